"""The sampling record that an auditor files: what was drawn, from what, how, and what that can show."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from hashlib import sha256
from math import ceil
from typing import Literal

from pydantic import Field, model_validator

from asfitted.fleet.sampling import chance_unseen, equally, in_order, in_proportion, place_of, size_for
from asfitted.fleet.strata import Factor, stratum
from asfitted.model.base import Value
from asfitted.record.reader import RECORD_NAME

Allocation = Literal["proportional", "equal"]
NO_RECORD = "no record"
"""What stands in place of the digest of a home whose record could not be read at all."""


class Plan(Value):
    """What was asked for: a size, or a confidence from which the size follows."""

    seed: str = Field(pattern=r"^[A-Za-z0-9.-]{1,64}$")
    by: tuple[Factor, ...]
    allocation: Allocation = "proportional"
    size: int | None = Field(None, ge=1)
    confidence: str = Field("95%", pattern=r"^[0-9]{1,2}(\.[0-9]{1,6})?%$")
    faulty: str | None = Field(None, pattern=r"^([0-9]{1,3}(\.[0-9]{1,6})?%|[0-9]{1,7})$")
    accept: int = Field(0, ge=0)

    @model_validator(mode="after")
    def _has_a_size(self) -> "Plan":
        if self.size is None and self.faulty is None:
            raise ValueError("a plan has a size, or faulty homes that must not go unseen")
        return self

    @property
    def sure(self) -> Fraction:
        """The confidence as a number."""
        return Fraction(self.confidence.rstrip("%")) / 100

    def faulty_of(self, homes: int) -> int | None:
        """Give the fewest faulty homes that must not go unseen; a share is rounded up, and is at least one home."""
        if self.faulty is None or not self.faulty.endswith("%"):
            return None if self.faulty is None else int(self.faulty)
        return max(1, ceil(Fraction(self.faulty.rstrip("%")) / 100 * homes))


class Member(Value):
    """One home of the population: its record's SHA-256 and the stratum it fell in."""

    home: str
    record_sha256: str
    stratum: str


class Revision(Value):
    """The revision of the repository: the commit checked out, and the homes whose record on disk is another."""

    commit: str | None = None
    committed: date | None = None
    changed_since: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


class RuleSetUsed(Value):
    """A rule set that homes are judged by; the SHA-256 is that of the file of a firm's own set."""

    name: str
    title: str
    sha256: str | None = None


class Context(Value):
    """What the verdicts rest on besides the records."""

    on: date
    program: str
    rules_sha256: str
    rule_sets: tuple[RuleSetUsed, ...]
    revision: Revision


class Bound(Value):
    """So many faulty homes found in the sample, and how many of all homes are faulty at most then."""

    found: int
    at_most: int


class StratumDrawn(Value):
    """A stratum: how many homes it has, how many of them are drawn, and what findings there say of it alone."""

    stratum: str
    homes: int = Field(ge=1)
    drawn: int = Field(ge=0)
    bounds: tuple[Bound, ...] = ()


class Drawn(Value):
    """A home that was drawn: its stratum, its place in the order of drawing, and which record was drawn."""

    home: str
    stratum: str
    order_sha256: str
    record_sha256: str
    revision: str = ""


class SamplingRecord(Value):
    """The whole of what is filed; ``docs/sampling.md`` says what each key holds."""

    sampling_record: Literal[1] = 1
    plan: Plan
    context: Context
    population_sha256: str
    population: tuple[Member, ...]
    by: tuple[Factor, ...]
    size: int
    strata: tuple[StratumDrawn, ...]
    drawn: tuple[Drawn, ...]
    method: tuple[str, ...] = ()
    formula: tuple[str, ...] = ()
    bounds: tuple[Bound, ...] = ()
    shows: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Home:
    """A home to draw from: its id, its record's SHA-256, and what may part it from others (None: cannot be used)."""

    id: str
    digest: str
    facts: Mapping[Factor, str] | None


@dataclass(frozen=True)
class Draw:
    """A draw: the factors that part the homes, and the strata with their homes in the order of drawing."""

    by: tuple[Factor, ...]
    strata: Mapping[str, Sequence[str]]
    counts: Sequence[int]

    @property
    def sizes(self) -> list[tuple[int, int]]:
        """How many homes each stratum has, and how many are drawn."""
        return [(len(ids), count) for ids, count in zip(self.strata.values(), self.counts, strict=True)]

    @property
    def size(self) -> int:
        """How many homes are drawn."""
        return sum(self.counts)


def spread(strata_of: Mapping[str, str], plan: Plan, size: int, by: tuple[Factor, ...]) -> Draw:
    """Draw so many homes whose strata are known.

    Raises:
        ValueError: when there are more strata than homes to draw, or more to draw than homes.
    """
    strata: dict[str, list[str]] = {name: [] for name in sorted(set(strata_of.values()))}
    for home in in_order(plan.seed, strata_of):
        strata[strata_of[home]].append(home)
    return Draw(by, strata, _allocate([len(ids) for ids in strata.values()], plan, size))


def planned(homes: Sequence[Home], plan: Plan) -> Draw:
    """Draw as planned; without a size, as many as the confidence takes.

    Where there are more strata than homes to draw, the factor named last is left out, and so on: a sample that cannot
    reach every stratum would never see some homes, whatever the seed. Where nothing faulty is accepted, so many are
    drawn that the confidence holds over the strata too, in whole homes and wherever the faulty homes are.

    Raises:
        ValueError: when the plan asks for what no sample of these homes can give.
    """
    faulty = plan.faulty_of(len(homes))
    needed = 0 if faulty is None else size_for(len(homes), faulty, plan.sure, plan.accept)
    size = plan.size or needed
    if size > len(homes):
        raise ValueError(f"{size} homes cannot be drawn from {len(homes)}")
    possible = [plan.by[:count] for count in range(len(plan.by), -1, -1)]
    parted = [sorted(Counter(stratum(home.facts, by) for home in homes).items()) for by in possible]
    while True:
        by, counts = next(
            (by, [count for _, count in strata])
            for by, strata in zip(possible, parted, strict=True)
            if len(strata) <= size
        )
        if not faulty or plan.size or plan.accept:
            break
        drawn = _allocate(counts, plan, size)
        if chance_unseen(zip(counts, drawn, strict=True), faulty) <= 1 - plan.sure:
            break
        size += 1
    return spread({home.id: stratum(home.facts, by) for home in homes}, plan, size, by)


def _allocate(counts: Sequence[int], plan: Plan, size: int) -> list[int]:
    return in_proportion(counts, size) if plan.allocation == "proportional" else equally(counts, size)


def population_digest(records: Mapping[str, str]) -> str:
    """Give the SHA-256 that pins a population: of a line ``SHA-256  HOME/record.yml`` a record, in order of the path.

    It is what ``sha256sum */record.yml | sha256sum`` gives in the folder of homes, by the order of bytes.

    Args:
        records: the SHA-256 of each home's record.
    """
    lines = sorted((f"{home}/{RECORD_NAME}", digest) for home, digest in records.items())
    text = "".join(f"{digest}  {path}\n" for path, digest in lines)
    return sha256(text.encode("utf-8", "surrogateescape")).hexdigest()


def drawn_homes(made: Draw, plan: Plan, records: Mapping[str, str]) -> list[Drawn]:
    """Give the homes drawn, stratum by stratum in the order of drawing."""
    return [
        Drawn(home=home, stratum=name, order_sha256=place_of(plan.seed, home), record_sha256=records[home])
        for (name, ids), count in zip(made.strata.items(), made.counts, strict=True)
        for home in ids[:count]
    ]


def sampling_record(
    homes: Sequence[Home], plan: Plan, context: Context, revisions: Callable[[str], str]
) -> SamplingRecord:
    """Draw as planned and write down what an auditor files.

    Args:
        homes: the population.
        plan: what was asked for.
        context: what the verdicts rest on.
        revisions: gives the revision of a drawn home's record in words.

    Raises:
        ValueError: when the plan asks for what no sample of these homes can give.
    """
    from asfitted.fleet import sampling_words as words

    made = planned(homes, plan)
    records = {home.id: home.digest for home in homes}
    drawn = [item.model_copy(update={"revision": revisions(item.home)}) for item in drawn_homes(made, plan, records)]
    return SamplingRecord(
        plan=plan,
        context=context,
        population_sha256=population_digest(records),
        population=tuple(
            Member(home=home.id, record_sha256=home.digest, stratum=stratum(home.facts, made.by)) for home in homes
        ),
        by=made.by,
        size=made.size,
        strata=tuple(
            StratumDrawn(stratum=name, homes=count, drawn=taken, bounds=words.bounds(count, taken, plan))
            for name, (count, taken) in zip(made.strata, made.sizes, strict=True)
        ),
        drawn=tuple(drawn),
        method=tuple(words.method(made, plan)),
        formula=tuple(words.formula(made, plan)),
        bounds=words.bounds_of_all(made, plan),
        shows=tuple(words.shows(made, plan)),
        cautions=tuple(words.cautions(made, plan)),
    )
