"""Distances a device keeps, and distances it must not exceed."""

from collections.abc import Iterator
from math import hypot

from asfitted.dwelling.shapes import XY
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, amount
from asfitted.rules.obstacles import Obstacle, compass_words, obstacles, unplaced
from asfitted.rules.siting import advise_move

ON_CEILING_ONLY = ("walls", "ridge")
"""What only bears on a device that hangs from the ceiling: on a wall it is close to that wall by nature."""


def clear_of(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the distance of each device from the nearest thing its rule keeps it clear of."""
    for placed in case.of_kinds(rule.applies_to):
        yield _clear_of(rule, limit, case, placed)


def _clear_of(rule: Rule, limit: Limit, case: Case, placed: Placed) -> Finding:
    ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
    room = case.dwelling.rooms[placed.spot.room]
    of = rule.options["of"]
    around = list(obstacles(rule, case, room))
    lost = unplaced(rule, case, room)
    if of in ON_CEILING_ONLY and placed.spot.fixed not in ("ceiling", "unknown"):
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not on a ceiling.")
    if placed.spot.fixed == "outside":
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
    if not around and not lost:
        what = {"ridge": "no ridge", "glazed": "no window that opens", "doors-to": "no such door"}.get(
            of, "none of these"
        )
        says = f"The {room.room.called} has {what} in the record."
        return ask.answer(Verdict.NOT_APPLICABLE, says)
    if placed.spot.point is None:
        says = f"The record does not say where in the {room.room.called} {placed.tag} is."
        return ask.answer(
            Verdict.NOT_VERIFIED,
            says,
            "Measure its distance from two walls and record them.",
        )
    if not around:
        says = f"The record does not say where {lost[0]} in the {room.room.called} is."
        return ask.answer(
            Verdict.NOT_VERIFIED,
            says,
            "Measure its distance from two walls.",
        )
    return _measured(rule, limit, case, placed, around)


def _measured(rule: Rule, limit: Limit, case: Case, placed: Placed, around: list[Obstacle]) -> Finding:
    assert limit.value is not None
    point: XY = placed.spot.point or (0.0, 0.0)
    nearest = min(around, key=lambda obstacle: obstacle.distance(point))
    found = nearest.distance(point)
    margin = found - limit.value
    tolerance = hypot(placed.spot.tolerance, nearest.tolerance)
    remedy, mark = "", None
    how = " down the slope" if nearest.stretch > 1 else ""
    if margin < tolerance:
        radius = limit.value / nearest.stretch
        if placed.spot.fixed == "ceiling":
            move = advise_move(case, placed)
            remedy = move.says
            mark = Mark(point, nearest.nearest(point), radius, move.to, move.zone)
        else:
            mark = Mark(point, nearest.nearest(point), radius)
            remedy = f"{rule.remedy} It lacks {amount(max(limit.value - found, 0.0), limit.unit)}."
    says = f"{placed.words} is {found:.2f} m{how} from {nearest.name}"
    ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
    return ask.measured(
        found,
        margin,
        tolerance,
        says,
        remedy=remedy,
        mark=mark,
    )


def near(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the nearest fitting of a kind is within reach of a device, on one storey."""
    assert limit.value is not None
    what = " or ".join(rule.options["kinds"])
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        point = placed.spot.point
        storey = case.dwelling.storey(placed.spot.storey)
        there = [f for f in storey.fittings if f.fitting.kind in rule.options["kinds"]]
        known = [f for f in there if f.spot.point is not None]
        if point is None or not known:
            lacks = placed.tag if point is None else f"a {what} on the {storey.storey.called}"
            says = f"The record does not say where {lacks} is."
            remedy = f"Measure where the {what} and the {placed.device.kind} are, and record both."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
            continue
        distances = [(hypot(f.spot.point[0] - point[0], f.spot.point[1] - point[1]), f) for f in known if f.spot.point]
        found, fitting = min(distances, key=lambda pair: pair[0])
        margin = limit.value - found
        to = fitting.spot.point or point
        remedy = ""
        if margin < 0:
            share = -margin / found
            towards = compass_words((to[0] - point[0]) * share, (to[1] - point[1]) * share)
            remedy = f"{rule.remedy} It would have to come {towards}."
        yield ask.measured(
            found,
            margin,
            hypot(placed.spot.tolerance, fitting.spot.tolerance),
            f"{placed.words} is {found:.2f} m from the nearest {what}",
            remedy=remedy,
            mark=Mark(point, to),
        )
