"""Distances a device keeps, and distances it must not exceed."""

from collections.abc import Iterator
from dataclasses import replace
from math import hypot

from shapely import Point

from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.narrow import in_narrow_room, off_centre_line
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question
from asfitted.rules.needed import limit_for
from asfitted.rules.obstacles import Obstacle, compass_words, flights_in, obstacles, unplaced
from asfitted.rules.placing import Ban, Trial

ON_CEILING_ONLY = ("walls",)
"""What only bears on a device that hangs from the ceiling: on a wall it is close to that wall by nature."""


def clear_of(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the distance of each device from the nearest thing its rule keeps it clear of.

    The distance is from the edge of the device where the record gives its size, or else from its middle.
    Options: ``of``, what it keeps clear of, with ``kinds`` or ``uses``; ``thing``, the word for it; ``lamp``, the kind
    of lamp that counts; ``where-needed``, how near it may stand where nothing else will do; ``waived-under``, the width
    of a room up to which it hangs on the centre line instead, within ``off-centre``; and those of
    :mod:`asfitted.rules.needed`.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        yield _clear_of(ask, case, placed)


def _clear_of(ask: Question, case: Case, placed: Placed) -> Finding:
    room = case.dwelling.rooms[placed.spot.room]
    around = _that_count(ask, case, placed, room)
    lost = unplaced(ask.rule, case, room)
    fixed = placed.spot.fixed
    if fixed == "outside":
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
    if placed.device.is_fire and fixed == "floor":
        says = f"The record has {placed.words} on the floor."
        return ask.answer(Verdict.NOT_VERIFIED, says, f"Record “on: ceiling of {room.id}” if it hangs there.")
    if ask.rule.options["of"] in ON_CEILING_ONLY and fixed not in ("ceiling", "unknown"):
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not on a ceiling.")
    if ask.rule.options["of"] == "side-walls" and fixed != "wall":
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not on a wall.")
    if not around and not lost:
        says = f"No {ask.rule.options['thing']} is recorded in the {placed.room}."
        return ask.answer(Verdict.NOT_APPLICABLE, says)
    if placed.spot.point is None:
        says = f"The record does not say where in the {placed.room} {placed.tag} is."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls and record them.")
    finding = _measured(ask, case, placed, around) if around else None
    if lost and (finding is None or finding.verdict is not Verdict.FAILS):
        says = f"The record does not say where {lost[0]} near {placed.words} is."
        return ask.answer(Verdict.NOT_VERIFIED, says, f"Measure where {lost[0]} is, from two walls, and record it.")
    assert finding is not None
    return finding


def _that_count(ask: Question, case: Case, placed: Placed, room: RoomShape) -> list[tuple[Obstacle, Limit]]:
    """Give what is around a device, each with what is asked of it."""
    return [
        (obstacle, asked)
        for obstacle in obstacles(ask.rule, case, room, placed.spot.wall)
        if (asked := limit_for(ask.rule, ask.limit, obstacle, room, placed.device)) is not None
    ]


def _measured(ask: Question, case: Case, placed: Placed, around: list[tuple[Obstacle, Limit]]) -> Finding:
    point = placed.spot.point
    assert point is not None
    edge = (placed.device.across or 0.0) / 2
    nearest, limit = min(around, key=lambda pair: pair[0].distance(point) - (pair[1].least or 0.0))
    assert limit.least is not None
    found = nearest.distance(point) - edge
    tolerance = hypot(placed.spot.tolerance, nearest.tolerance)
    says = f"{placed.words} is {max(found, 0.0):.2f} m from {nearest.name}{', edge to edge' if edge else ''}"
    at = nearest.nearest(point)
    way = compass_words(at[0] - point[0], at[1] - point[1])
    remedy = (
        f"{ask.rule.remedy} It lacks {amount(max(limit.least - found, 0.0), 'm')}; {nearest.name} lies {way} of it."
    )
    mark = Mark(point, at, limit.least + edge)
    finding = replace(ask, limit=limit).measured(found, tolerance, says, remedy=remedy, mark=mark)
    if ask.rule.options["of"] == "walls":
        return in_narrow_room(ask, case, placed, finding)
    return _with_reserve(ask, placed, nearest, finding)


def _with_reserve(ask: Question, placed: Placed, nearest: Obstacle, finding: Finding) -> Finding:
    """Take account of what bears on the figure and is not recorded, and of what a code allows where need be."""
    options, found, fitting = ask.rule.options, finding.found or 0.0, nearest.fitting
    if options.get("lamp") and fitting and fitting.lamp is None and finding.verdict is not Verdict.CONFORMS:
        remedy = f"Record the lamp of {nearest.name}: “{options['lamp']}” or “other”."
        return ask.answer(Verdict.NOT_VERIFIED, finding.says, remedy)
    if fitting and fitting.kind == "beam" and fitting.depth is None and finding.verdict is not Verdict.CONFORMS:
        says = f"The record does not say how deep {nearest.name} near {placed.words} is."
        return ask.answer(
            Verdict.NOT_VERIFIED, says, "Measure how far it hangs below the ceiling and record its depth."
        )
    strict, base = options.get("ionisation"), ask.limit.least or 0.0
    if strict and placed.device.sensing is None and base <= found < strict:
        says = f"{placed.words} is {found:.2f} m from {nearest.name}, and the record does not say how it senses smoke; "
        says += f"an ionisation alarm without a silence button would have to keep {amount(strict, 'm')}."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Read its label, and record sensing and silences.")
    needed = options.get("where-needed")
    if needed and found >= needed and finding.limit.least == base and finding.verdict is not Verdict.CONFORMS:
        says = f"{finding.says} It may come as near as {amount(needed, 'm')} where no other place will do."
        remedy = f"Show that no place further away will do, or else: {finding.remedy[:1].lower()}{finding.remedy[1:]}"
        return ask.answer(Verdict.NOT_VERIFIED, says, remedy)
    return finding


def keep_clear(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what is closer to each thing than the limit."""
    surface, room = trial.surface, trial.surface.room
    if limit.least is None or (rule.options["of"] in ON_CEILING_ONLY and surface.wall is not None):
        return
    if rule.options["of"] == "side-walls" and surface.wall is None:
        return
    if rule.options["of"] == "walls" and (waived := off_centre_line(rule, limit, trial)) is not None:
        yield waived
        return
    device = trial.case.home.devices.get(trial.candidate.tag or "")
    for obstacle in obstacles(rule, trial.case, room, surface.wall):
        asked = limit_for(rule, limit, obstacle, room, device)
        if asked is None or asked.least is None:
            continue
        more = hypot(trial.spare, obstacle.tolerance) if trial.spare else 0.0
        around = obstacle.around(asked.least + trial.candidate.reach + more)
        yield Ban(rule, asked, obstacle.name, surface.under(around), obstacle)


def not_over_stairs(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that no device hangs over a flight of stairs, in the room it starts from or the one it arrives in."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        flights = flights_in(case.dwelling, placed.spot.room)
        if not flights:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No stairs are recorded in the {placed.room}.")
        elif placed.spot.point is None:
            says = f"The record does not say where in the {placed.room} {placed.tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls and record them.")
        elif any(flight.covers(Point(placed.spot.point)) for flight in flights):
            yield ask.answer(Verdict.FAILS, f"{placed.words} hangs over the stairs.")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} hangs clear of the stairs.")


def off_stairs(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what is over a flight of stairs."""
    for flight in flights_in(trial.case.dwelling, trial.surface.room.id):
        over = flight.buffer(trial.spare, join_style="mitre")
        yield Ban(rule, limit, "the stairs", trial.surface.under(over))


def near(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the nearest fitting of a kind is within reach of a device, on one storey."""
    assert limit.most is not None
    what = " or ".join(rule.options["kinds"])
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        point = placed.spot.point
        storey = case.dwelling.storey(placed.spot.storey)
        places = [
            (fitting.spot.point, fitting.spot.tolerance)
            for fitting in storey.fittings
            if fitting.fitting.kind in rule.options["kinds"] and fitting.spot.point is not None
        ]
        if point is None or not places:
            lacks = placed.tag if point is None else f"a {what} on the {storey.storey.called}"
            remedy = f"Measure where the {what} and the {placed.device.kind} are, and record both."
            yield ask.answer(Verdict.NOT_VERIFIED, f"The record does not say where {lacks} is.", remedy)
            continue
        to, spread = min(places, key=lambda place: hypot(place[0][0] - point[0], place[0][1] - point[1]))
        found = hypot(to[0] - point[0], to[1] - point[1])
        share = max(found - limit.most, 0.0) / found if found else 0.0
        towards = compass_words((to[0] - point[0]) * share, (to[1] - point[1]) * share)
        yield ask.measured(
            found,
            hypot(placed.spot.tolerance, spread),
            f"{placed.words} is {found:.2f} m from the nearest {what}",
            remedy=f"{rule.remedy} The {placed.device.kind} would have to come {towards}." if share else "",
            mark=Mark(point, to),
        )
