"""How many alarms a floor asks for by its area, and how far they may be apart."""

from collections.abc import Iterator
from math import dist

from shapely import Point, union_all

from asfitted.dwelling.shapes import StoreyShape
from asfitted.reckon.cover import furthest
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.coverage import PLACE_IT, question
from asfitted.rules.checks.rooms import serves
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question
from asfitted.rules.obstacles import SIDES
from asfitted.rules.placing import Ban, Trial
from asfitted.rules.spaces import path_of, protected, space_of


def area_per_alarm(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the floor area that falls to each alarm.

    Options: ``kinds`` of alarm; ``per``, ``room`` for each space that has an alarm, or ``storey``; ``over``, the area
    in square metres above which a storey is judged at all; ``or-within``, metres of walking from every point to an
    alarm that serve as well. The area is inside the walls of the rooms, voids left out.
    """
    kinds = tuple(rule.options["kinds"])
    if rule.options["per"] == "room":
        for space, alarms in protected(case, kinds):
            area = float(space.outline.area)
            says = f"The {space.called} has {_shares(area, len(alarms), kinds)}"
            yield question(rule, limit, case, space).measured(area / len(alarms), 0.0, says)
        return
    for storey in case.dwelling.storeys:
        subject = Subject("storey", storey.id, storey.storey.called, storey=storey.id)
        alarms = [item for item in case.of_kinds(kinds) if item.spot.storey == storey.id and serves(item, case)]
        yield _of_storey(Question(rule, limit, subject, path_of(case, storey.id)), storey, alarms, kinds)


def _of_storey(ask: Question, storey: StoreyShape, alarms: list[Placed], kinds: tuple[str, ...]) -> Finding:
    options, rooms = ask.rule.options, [room for room in storey.rooms if room.room.use != "void"]
    area, called = sum(room.area for room in rooms), storey.storey.called
    if area <= options.get("over", 0.0):
        says = f"The {called} has {area:.1f} m² of floor, no more than {options['over']:.1f} m²."
        return ask.answer(Verdict.NOT_APPLICABLE, says)
    if not alarms:
        says = f"The {called} has {area:.1f} m² of floor and no {' or '.join(kinds)}; {ask.asks}."
        return ask.answer(Verdict.FAILS, says)
    says = f"The {called} has {_shares(area, len(alarms), kinds)}"
    finding = ask.measured(area / len(alarms), 0.0, says)
    within = options.get("or-within")
    if finding.verdict is not Verdict.FAILS or within is None:
        return finding
    sites = [placed.spot.point for placed in alarms if placed.spot.point is not None]
    if sites and furthest(union_all([room.outline for room in rooms]), sites)[1] > within:
        return finding
    says = f"{finding.says} Every point within {amount(within, 'm')} of walking from an alarm would do as well."
    remedy = f"Measure the longest walk to an alarm, or else: {ask.rule.remedy[:1].lower()}{ask.rule.remedy[1:]}"
    return ask.answer(Verdict.NOT_VERIFIED, says, remedy)


def _shares(area: float, number: int, kinds: tuple[str, ...]) -> str:
    alarms = f"{number} {kinds[0] if len(kinds) == 1 else 'alarm'}{'s' if number > 1 else ''}"
    return f"{area:.1f} m² of floor and {alarms}, {area / number:.1f} m² each"


def spacing(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge, on each storey with more than one alarm, how far each is from the nearest other, straight on the plan.

    Options: ``kinds`` of alarm; ``uses`` of the rooms whose alarms count.
    """
    for storey in case.dwelling.storeys:
        alarms = _on(rule, case, storey.id)
        subject = Subject("storey", storey.id, storey.storey.called, storey=storey.id)
        ask = Question(rule, limit, subject, path_of(case, storey.id))
        points = {placed.tag: placed.spot.point for placed in alarms if placed.spot.point is not None}
        if len(alarms) < 2:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The {storey.storey.called} has no two such alarms.")
        elif len(points) < len(alarms):
            lost = next(placed.tag for placed in alarms if placed.spot.point is None)
            yield ask.answer(Verdict.NOT_VERIFIED, f"The record does not say where {lost} is.", PLACE_IT)
        else:
            far, tag, other = max(
                min((dist(point, there), tag, name) for name, there in points.items() if name != tag)
                for tag, point in points.items()
            )
            spread = max(placed.spot.tolerance for placed in alarms)
            yield ask.measured(far, spread, f"{tag} is {far:.2f} m from {other}, the nearest other alarm of its floor")


def _on(rule: Rule, case: Case, storey: str) -> list[Placed]:
    uses, rooms = rule.options.get("uses"), case.dwelling.rooms
    return [
        placed
        for placed in case.of_kinds(tuple(rule.options["kinds"]))
        if placed.spot.storey == storey
        and serves(placed, case)
        and (uses is None or rooms[placed.spot.room].room.use in uses)
    ]


def keep_together(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what is too far from every other alarm of the storey."""
    room = trial.surface.room
    uses = rule.options.get("uses")
    alarms = [placed for placed in _on(rule, trial.case, room.storey) if placed.tag != trial.candidate.tag]
    points = [placed.spot.point for placed in alarms if placed.spot.point is not None]
    if limit.most is None or not points or (uses is not None and room.room.use not in uses):
        return
    near = union_all([Point(point).buffer(limit.most - trial.spare, quad_segs=SIDES) for point in points])
    far = space_of(trial.case, room.id).outline.buffer(0.5).difference(near)
    yield Ban(rule, limit, "its distance from the other alarms", trial.surface.under(far))
