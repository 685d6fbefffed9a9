"""What alarms cover: every point of a room, every wall, the length of a corridor, every bay between deep beams.

The subject is the first room, in the order of the record, of those that are one for smoke. A distance goes from the
middle of an alarm.
"""

from collections.abc import Iterator
from dataclasses import replace

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from asfitted.reckon.cover import furthest, last_place, nearest, uncovered
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.home_terms import on_home_terms
from asfitted.rules.finding import Finding, Mark, Subject, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.placing import Ban, Trial
from asfitted.rules.spaces import (
    Space,
    bays_of,
    beams_of,
    path_of,
    protected,
    sites_in,
    space_of,
    undetermined_beams,
    where_in,
)

PLACE_IT = "Measure the distance of each from two walls and record them."


def question(rule: Rule, limit: Limit, case: Case, space: Space) -> Question:
    """Put a rule to a space, in the name of its first room."""
    room = space.rooms[0]
    subject = Subject("room", room.id, room.room.called, room.id, room.storey)
    return Question(rule, limit, subject, path_of(case, room.storey, room.id))


@on_home_terms
def covers(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that every point of a space that has an alarm is within reach of one.

    Options: ``kinds`` of alarm; ``joined``, whether rooms that archways join are one; ``lacking``, kinds of alarm
    without which alone the rule applies; ``not-alone``, uses of a room that it passes over on its own; ``served-by``,
    kinds of alarm whose rooms may be left to them; those that tell deep beams, at which the reach of an alarm ends;
    and the terms of :mod:`asfitted.rules.checks.home_terms` that say how severe it is.
    """
    options = rule.options
    for space, alarms in protected(case, tuple(options["kinds"]), joined=options.get("joined", True)):
        if _left_out(rule, case, space):
            continue
        yield _covers(question(rule, limit, case, space), case, space, alarms)


def _left_out(rule: Rule, case: Case, space: Space) -> bool:
    """Tell whether a rule passes a space over: one room of a use it is not about, or one with other alarms."""
    names, options = {room.id for room in space.rooms}, rule.options
    if len(space.rooms) == 1 and space.rooms[0].room.use in options.get("not-alone", ()):
        return True
    return any(placed.spot.room in names for placed in case.of_kinds(tuple(options.get("lacking", ()))))


def _covers(ask: Question, case: Case, space: Space, alarms: list[Placed]) -> Finding:
    lost = [placed.tag for placed in alarms if placed.spot.point is None]
    finding = _reached(ask, case, space, alarms)
    served = frozenset(p.spot.room for p in case.of_kinds(tuple(ask.rule.options.get("served-by", ()))))
    served -= {placed.spot.room for placed in alarms}
    if finding is not None and finding.verdict is not Verdict.CONFORMS and served & {room.id for room in space.rooms}:
        rest = _reached(ask, case, space.without(served), alarms)
        finding = rest if rest is not None and rest.verdict is Verdict.CONFORMS else finding
    if lost and (finding is None or finding.verdict is not Verdict.CONFORMS):
        return ask.answer(
            Verdict.NOT_VERIFIED, f"The record does not say where in the {space.called} {lost[0]} is.", PLACE_IT
        )
    assert finding is not None
    if finding.verdict is Verdict.CONFORMS and (beams := undetermined_beams(case, space, ask.rule.options)):
        says = f"The record does not say how deep {beams[0]} in the {space.called} is; a deep one ends the reach."
        return ask.answer(
            Verdict.NOT_VERIFIED, says, "Measure how far it hangs below the ceiling and record its depth."
        )
    return finding


def _reached(ask: Question, case: Case, space: Space, alarms: list[Placed]) -> Finding | None:
    """Judge the point of a space that is furthest from its alarms; a bay without one is for another rule."""
    found = [
        furthest(bay, sites)
        for bay in bays_of(case, space, ask.rule.options)
        if not bay.is_empty and (sites := sites_in(bay, alarms))
    ]
    if not found:
        return None
    point, far = max(found, key=lambda pair: pair[1])
    tolerance = max(placed.spot.tolerance for placed in alarms)
    tag = min((p for p in alarms if p.spot.point), key=lambda p: nearest(point, [p.spot.point or point])).tag
    kind = alarms[0].device.kind
    says = f"The furthest point of the {space.called}, {where_in(space, point)}, is {far:.2f} m from the nearest {kind}"
    return ask.measured(far, tolerance, f"{says}, {tag}", mark=Mark(point, radius=ask.limit.most))


def keep_covered(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the places from which the last missing alarm would leave a point uncovered.

    Where more than one alarm is missing nothing is forbidden: the first may hang anywhere.
    """
    if limit.most is None:
        return
    space = space_of(trial.case, trial.surface.room.id, joined=rule.options.get("joined", True))
    if _left_out(rule, trial.case, space):
        return
    names = {room.id for room in space.rooms}
    served = frozenset(p.spot.room for p in trial.case.of_kinds(tuple(rule.options.get("served-by", ()))))
    space = space.without(served - {trial.surface.room.id})
    alarms = others(trial, tuple(rule.options["kinds"]), names)
    for bay in bays_of(trial.case, space, rule.options):
        left = uncovered(bay, sites_in(bay, alarms), limit.most - trial.spare)
        yield from ban_but(rule, limit, trial, bay, left, last_place(left, limit.most - trial.spare))


def others(trial: Trial, kinds: tuple[str, ...], rooms: set[str]) -> list[Placed]:
    """Give the alarms of some kinds in some rooms, other than the one that is tried."""
    every = trial.case.of_kinds(kinds)
    return [placed for placed in every if placed.spot.room in rooms and placed.tag != trial.candidate.tag]


def ban_but(
    rule: Rule, limit: Limit, trial: Trial, bay: BaseGeometry, left: BaseGeometry, place: BaseGeometry
) -> Iterator[Ban]:
    """Forbid all of a bay but a place; nothing where nothing is left to cover, or no place would do."""
    if left.area < 1e-4 or place.intersection(bay).area < 1e-4:
        return
    yield Ban(rule, limit, "what it would leave uncovered", trial.surface.under(bay.buffer(0.5).difference(place)))


def each_bay(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that an alarm hangs on each side of a beam that is so deep that it counts as a wall."""
    kinds = tuple(rule.options["kinds"])
    for space, alarms in protected(case, kinds):
        if not beams_of(case, space):
            continue
        ask = question(rule, limit, case, space)
        bays = bays_of(case, space, rule.options)
        empty = [bay for bay in bays if not sites_in(bay, alarms)]
        lost = [placed.tag for placed in alarms if placed.spot.point is None]
        if beams := undetermined_beams(case, space, rule.options):
            says = f"The record does not say how deep {beams[0]} in the {space.called} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure how far it hangs below the ceiling.")
        elif len(bays) == 1:
            yield ask.answer(
                Verdict.CONFORMS, f"No beam of the {space.called} cuts its ceiling apart ({limit.by_whom})."
            )
        elif lost and empty:
            says = f"The record does not say where in the {space.called} {lost[0]} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, PLACE_IT)
        elif empty:
            middle = empty[0].representative_point()
            says = f"Deep beams cut the ceiling of the {space.called} into {len(bays)} bays, and {len(empty)} of them "
            sizes = listed([f"{bay.area:.1f} m²" for bay in empty])
            says += f"{'has' if len(empty) == 1 else 'have'} no alarm: {sizes} ({limit.by_whom})."
            finding = ask.answer(Verdict.FAILS, says)
            yield replace(finding, mark=Mark((float(middle.x), float(middle.y))))
        else:
            yield ask.answer(Verdict.CONFORMS, f"Every bay of the ceiling of the {space.called} has an alarm.")


def keep_to_empty_bay(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid bays that have an alarm while another has none."""
    space = space_of(trial.case, trial.surface.room.id)
    alarms = others(trial, tuple(rule.options["kinds"]), {room.id for room in space.rooms})
    bays = bays_of(trial.case, space, rule.options)
    empty = [bay for bay in bays if not sites_in(bay, alarms)]
    if len(bays) > 1 and empty and alarms:
        full = union_all([bay for bay in bays if bay not in empty])
        yield Ban(rule, limit, "a bay that has an alarm", trial.surface.under(full))
