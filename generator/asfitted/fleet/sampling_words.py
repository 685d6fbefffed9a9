"""What a draw rests on and can show, in sentences for the sampling record."""

from collections.abc import Iterator
from fractions import Fraction

from asfitted.fleet.sampling import chance_of_at_most, chance_unseen, most_faulty, most_unseen, size_for
from asfitted.fleet.sampling_record import Bound, Draw, Plan
from asfitted.fleet.strata import UNUSABLE

MOST_FOUND = 3
"""The most faulty homes found of which the record says what that means."""


def method(made: Draw, plan: Plan) -> Iterator[str]:
    """Say how the homes were drawn, so that another person can do it with any tool."""
    yield (
        "Every folder of homes is one home of the population, also one whose record cannot be used: those are a "
        f"stratum of their own, “{UNUSABLE}”."
        if made.by
        else "Every folder of homes is one home of the population, also one whose record cannot be used; all are drawn "
        "from alike."
    )
    if made.by:
        yield f"The strata are parted by: {', '.join(made.by)}."
    left_out = [factor for factor in plan.by if factor not in made.by]
    if left_out:
        yield (
            f"Asked for as well, but left out: {', '.join(left_out)}. That would have made more strata than homes to "
            "draw, and some homes could never have been drawn."
        )
    if made.by and plan.allocation == "proportional":
        yield (
            "Each stratum gets its share of the sample, rounded down, but at least one home; what is left goes to "
            "those furthest below their share, what is too much is taken from those furthest above it. Of equals the "
            "larger comes first, then the earlier in the alphabet."
        )
    elif made.by:
        yield "The strata get one home in turn, the larger first, until the sample is spent or a stratum is used up."
    yield (
        "Within a stratum the homes stand in the order of the SHA-256 of the text SEED/HOME, in UTF-8 without a line "
        f"end (here: {plan.seed}/HOME), the smallest first; the first so many are drawn. By hand: "
        f"printf '%s' '{plan.seed}/HOME' | sha256sum"
    )
    yield (
        "The population is pinned by the SHA-256 of its list of records. By hand, in the folder of homes: "
        "LC_ALL=C; sha256sum */record.yml | sha256sum"
    )


def formula(made: Draw, plan: Plan) -> Iterator[str]:
    """Give the formulas with their numbers."""
    homes, size = sum(count for count, _ in made.sizes), made.size
    faulty, left, needed = plan.faulty_of(homes), 1 - plan.sure, 0
    if faulty is not None:
        needed = size_for(homes, faulty, plan.sure, plan.accept)
        of = f" ({plan.faulty} of {homes}, rounded up)" if plan.faulty and plan.faulty.endswith("%") else ""
        with_one_less = ""
        if needed > plan.accept + 1:
            less = chance_of_at_most(plan.accept, needed - 1, faulty, homes)
            with_one_less = f"; with n = {needed - 1} it is {_number(less)}"
        at = _number(chance_of_at_most(plan.accept, needed, faulty, homes))
        yield (
            f"N = {homes} homes, D = {faulty} faulty{of}, a = {plan.accept} accepted in the sample, confidence "
            f"{plan.confidence}. The smallest n with P(at most a) no more than {_number(left)} is n = {needed}, where "
            f"P = {_worked(plan.accept, needed, faulty, homes)} = {at}{with_one_less}."
        )
    several = len(made.sizes) > 1
    bound = bounds_of_all(made, plan)[0].at_most
    at = _number(chance_unseen(made.sizes, bound + 1))
    how = "P" if several else _worked(0, size, bound + 1, homes)
    if several and faulty is not None and plan.accept == 0:
        more = f" A draw from all homes alike would take {needed}." if plan.size is None and size > needed else ""
        hidden = _number(chance_unseen(made.sizes, faulty))
        yield f"Over the strata, n = {size}, D = {faulty}: P(none) = {hidden}.{more}"
    if bound < homes - size:
        yield (
            f"Upper bound where none is found in n = {size}: the largest D with P(none) above {_number(left)}. "
            f"D = {bound + 1} gives {how} = {at}, so that it is {bound}."
        )
    if several:
        yield (
            "Over the strata P(none) is that with the faulty homes where they are hardest to find: in a stratum with f "
            "faulty of N homes and n drawn, one more makes it (N - f - n) / (N - f) times as large, and each is put "
            "where that is largest."
        )
    yield "P(at most a) is the sum over k = 0 … a of C(D, k) C(N - D, n - k) / C(N, n): drawn without putting back."


def bounds(homes: int, drawn: int, plan: Plan) -> tuple[Bound, ...]:
    """Give how many homes are faulty at most for so many found among those drawn, all alike."""
    return tuple(
        Bound(found=found, at_most=most_faulty(homes, drawn, found, plan.sure))
        for found in range(min(MOST_FOUND, drawn) + 1)
    )


def bounds_of_all(made: Draw, plan: Plan) -> tuple[Bound, ...]:
    """Give the same for all homes together; over several strata only where none was found."""
    if len(made.sizes) > 1:
        return (Bound(found=0, at_most=most_unseen(made.sizes, plan.sure)),)
    return bounds(*made.sizes[0], plan)


def shows(made: Draw, plan: Plan) -> Iterator[str]:
    """Say what the sample can show."""
    homes, size = sum(count for count, _ in made.sizes), made.size
    faulty = plan.faulty_of(homes)
    if faulty is not None and plan.accept < faulty <= homes:
        strata = len(made.sizes) > 1 and plan.accept == 0
        chance = chance_unseen(made.sizes, faulty) if strata else chance_of_at_most(plan.accept, size, faulty, homes)
        few = "none" if plan.accept == 0 else f"at most {plan.accept}"
        enough = "" if chance <= 1 - plan.sure else f" That is too much for a confidence of {plan.confidence}."
        if chance:
            yield (
                f"If {faulty} or more of the {homes} homes are faulty, the chance that {few} of the {size} drawn is "
                f"faulty is no more than {_number(chance)}.{enough}"
            )
        else:
            more = "at least one" if plan.accept == 0 else f"more than {plan.accept}"
            yield f"If {faulty} or more of the {homes} homes are faulty, {more} of them is among those drawn."
    for bound in bounds_of_all(made, plan):
        found = "none" if bound.found == 0 else str(bound.found)
        verb = "is" if bound.found < 2 else "are"
        yield (
            f"If {found} of the {size} drawn {verb} faulty: at a confidence of {plan.confidence}, no more than "
            f"{bound.at_most} of the {homes} homes are."
        )
    if len(made.sizes) > 1:
        yield (
            "If some are found, the strata say what that means for each by itself; for all homes together it is not "
            "worked out over strata."
        )


def cautions(made: Draw, plan: Plan) -> Iterator[str]:
    """Say what the sample cannot show, and what would spoil it."""
    yield (
        "Faulty is what the auditor finds on site, by a test that was settled before the draw. It is not what the "
        "rules say of the record: “failing” is only a way to part the homes."
    )
    yield (
        "A home drawn that cannot be visited, or whose record cannot be used, is not shown to be good. Count it as "
        "faulty in these figures, and say so; do not put another in its place."
    )
    yield "Homes without a folder here are not in the population, and nothing is said of them."
    yield (
        "Who knows the seed beforehand knows the sample, and who tries several seeds can choose one. Settle the "
        "population first; then take the seed from something that nobody can steer, such as dice thrown before "
        "witnesses."
    )
    if plan.accept and len(made.sizes) > 1:
        yield (
            "The chance with faulty homes accepted is that of a draw from all homes alike. Over strata it is near "
            "that, but not worked out; draw with --by none where the figure has to hold."
        )
    if plan.allocation == "equal" and len(made.sizes) > 1:
        yield (
            "Strata of different sizes got the same number of homes: the share of faulty homes in the sample is not "
            "that of the population."
        )
    if len(made.sizes) > 1 and any(drawn == 1 < homes for homes, drawn in made.sizes):
        yield "One home drawn of a stratum says next to nothing of that stratum alone."


def _worked(accept: int, size: int, faulty: int, homes: int) -> str:
    if accept == 0:
        return f"C({homes - faulty}, {size}) / C({homes}, {size})"
    terms = [f"C({faulty}, {k}) C({homes - faulty}, {size - k})" for k in range(min(accept, size) + 1)]
    total = " + ".join(terms) if len(terms) <= 4 else f"{terms[0]} + … + {terms[-1]}"
    return f"({total}) / C({homes}, {size})"


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}"
