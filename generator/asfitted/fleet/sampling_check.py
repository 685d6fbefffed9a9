"""Whether a filed sampling record follows from itself, and whether the same draw comes out of the homes as they are."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from asfitted.fleet.sampling_record import SamplingRecord, drawn_homes, population_digest, spread
from asfitted.fleet.sampling_words import bounds, bounds_of_all


@dataclass(frozen=True)
class Check:
    """What a check of a filed sampling record found, in sentences.

    Attributes:
        faults: why the filed record does not follow from itself.
        draw: how the draw of today differs.
        changes: what changed in the population and in what judges it.
    """

    faults: tuple[str, ...]
    draw: tuple[str, ...]
    changes: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether the filed record follows from itself and the same draw comes out, record for record."""
        return not self.faults and not self.draw


def check(filed: SamplingRecord, now: SamplingRecord | None) -> Check:
    """Check a filed record against the one that the same plan gives today; None where it gives none any more."""
    changes = tuple(_changes(filed, now)) if now else ()
    draw = tuple(_draw(filed, now)) if now else ("the plan cannot be carried out on the homes of today",)
    return Check(tuple(_faults(filed)), draw, changes)


def _faults(filed: SamplingRecord) -> Iterator[str]:
    records = {member.home: member.record_sha256 for member in filed.population}
    if len(records) != len(filed.population):
        yield "a home stands twice in its population"
        return
    if population_digest(records) != filed.population_sha256:
        yield "its population does not have the SHA-256 that it names"
    try:
        strata = {member.home: member.stratum for member in filed.population}
        made = spread(strata, filed.plan, filed.size, filed.by)
    except ValueError as error:
        yield f"its size does not fit its strata: {error}"
        return
    right = {item.home: item for item in drawn_homes(made, filed.plan, records)}
    named = {item.home: item for item in filed.drawn}
    if extra := sorted(set(named) - set(right)):
        yield f"it names homes that its own seed does not draw: {_some(extra)}"
    if left := sorted(set(right) - set(named)):
        yield f"it leaves out homes that its own seed draws: {_some(left)}"
    if len(named) != len(filed.drawn):
        yield "a home stands twice among those drawn"
    altered = sorted(
        home
        for home in set(right) & set(named)
        if (right[home].record_sha256, right[home].stratum, right[home].order_sha256)
        != (named[home].record_sha256, named[home].stratum, named[home].order_sha256)
    )
    if altered:
        yield f"what it says of homes drawn does not fit its population and seed: {_some(altered)}"
    counts = dict(zip(made.strata, made.sizes, strict=True))
    if counts != {item.stratum: (item.homes, item.drawn) for item in filed.strata}:
        yield "its strata do not have the numbers that it names"
    elif filed.bounds != bounds_of_all(made, filed.plan) or any(
        item.bounds != bounds(item.homes, item.drawn, filed.plan) for item in filed.strata
    ):
        yield "the numbers of faulty homes at most do not follow from its draw"


def _draw(filed: SamplingRecord, now: SamplingRecord) -> Iterator[str]:
    was = {item.home: item.record_sha256 for item in filed.drawn}
    comes = {item.home: item.record_sha256 for item in now.drawn}
    if gone := sorted(set(was) - set(comes)):
        yield f"not drawn any more: {_some(gone)}"
    if new := sorted(set(comes) - set(was)):
        yield f"drawn instead or as well: {_some(new)}"
    if altered := sorted(home for home in set(was) & set(comes) if was[home] != comes[home]):
        yield f"drawn still, but the record is another: {_some(altered)}"


def _changes(filed: SamplingRecord, now: SamplingRecord) -> Iterator[str]:
    was = {item.home: item for item in filed.population}
    is_now = {item.home: item for item in now.population}
    both = sorted(set(was) & set(is_now))
    edited = [home for home in both if was[home].record_sha256 != is_now[home].record_sha256]
    yield from _listed("homes added", sorted(set(is_now) - set(was)))
    yield from _listed("homes removed", sorted(set(was) - set(is_now)))
    yield from _listed("records changed", edited)
    if filed.by == now.by:
        moved = [home for home in both if home not in edited and was[home].stratum != is_now[home].stratum]
        yield from _listed("in another stratum with the same record", moved)
    else:
        yield f"parted by {', '.join(now.by) or 'nothing'} instead of {', '.join(filed.by) or 'nothing'}"
    if filed.size != now.size:
        yield f"size: {now.size} instead of {filed.size}"
    if filed.context.program != now.context.program:
        yield f"program: {now.context.program} instead of {filed.context.program}"
    if filed.context.rules_sha256 != now.context.rules_sha256:
        yield "the rules that come with the program changed"
    sets = {item.name: item for item in filed.context.rule_sets}
    for item in now.context.rule_sets:
        if item.name in sets and item.sha256 != sets[item.name].sha256:
            yield f"the firm's own rule set {item.name} changed"


def _listed(what: str, homes: Sequence[str]) -> Iterator[str]:
    if homes:
        yield f"{what}: {_some(homes)}"


def _some(homes: Sequence[str]) -> str:
    return ", ".join(homes[:12]) + (f" and {len(homes) - 12} more" if len(homes) > 12 else "")
