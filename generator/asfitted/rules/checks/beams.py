"""What a motion detector reaches and sees from where it hangs."""

from collections.abc import Iterator
from math import cos, dist, radians, sin

from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import XY, PlacedOpening
from asfitted.reckon.beams import angle_needed, farthest, from_straight_at, hole_radius
from asfitted.rules.access import openings
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.terms import graded
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, verdict_of
from asfitted.rules.sight import off_axis

WHERE = "Record its corner, or its wall and the distance along it, and facing."
USUAL_FIELD = 90.0
"""Degrees that a motion detector looks over where the record does not say (common practice, no source)."""
_FAR = 50.0


def view_of(case: Case, placed: Placed, reach: float | None) -> BaseGeometry | None:
    """Give the part of its room that a detector looks at, as far as its reach; None where its place is not recorded.

    What stands in the room does not shade it here.
    """
    point, facing = placed.spot.point, placed.spot.facing
    outline = case.dwelling.rooms[placed.spot.room].outline
    if point is None:
        return None
    if placed.spot.fixed == "ceiling":
        return outline.intersection(Point(point).buffer(reach or _FAR))
    if facing is None:
        return None
    half = (placed.device.field or USUAL_FIELD) / 2
    turns = [facing - half + half * step / 16 for step in range(33)]
    far = [(point[0] + (reach or _FAR) * sin(radians(t)), point[1] + (reach or _FAR) * cos(radians(t))) for t in turns]
    return outline.intersection(Polygon([point, *far]).buffer(0))


def _corners_looked_at(case: Case, placed: Placed, point: XY) -> list[XY]:
    """Give the corners of the room in plain sight and within the angle a detector looks over."""
    outline = case.dwelling.rooms[placed.spot.room].outline
    inside, half = outline.buffer(0.005), (placed.device.field or USUAL_FIELD) / 2
    facing = placed.spot.facing
    return [
        (x, y)
        for x, y in outline.exterior.coords[:-1]
        if dist(point, (x, y)) > 0.01 and inside.covers(LineString([point, (x, y)]))
        if placed.spot.fixed == "ceiling" or facing is None or off_axis(point, facing, (x, y)) <= half + 1e-6
    ]


def reaches(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the reach the maker gives against the farthest corner of the room that the detector looks at."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "range"))
        point, reach = placed.spot.point, placed.device.range
        corners = _corners_looked_at(case, placed, point) if point else []
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
        elif point is None or (placed.spot.facing is None and placed.spot.fixed != "ceiling"):
            says = f"The record does not say where {placed.tag} is and which way it faces."
            yield ask.answer(Verdict.NOT_VERIFIED, says, WHERE)
        elif not corners:
            says = f"{placed.words} looks at no corner of the {placed.room}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Check the way it faces and the angle it looks over.")
        elif reach is None:
            says = f"{placed.words} looks at a corner {farthest(point, corners):.2f} m away; its reach is not recorded."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in its booklet, and record range.")
        else:
            far = farthest(point, corners)
            says = f"{placed.words} reaches {reach:g} m; the farthest corner it looks at is {far:.2f} m away"
            verdict = verdict_of(reach - far, placed.spot.tolerance)
            yield ask.answer(verdict, f"{says} ({limit.by_whom}).")


def close_in(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the radius of the circle under each detector that its steepest beam leaves out.

    Options: ``by-grade``, metres at grades other than the limit's.
    """
    limit, words = graded(rule, limit, case)
    assert limit.most is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "looks-down"))
        down, height = placed.device.looks_down, placed.spot.z
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
        elif not down or height is None:
            lacks = "how steeply it looks down" if not down else "how high it hangs"
            says = f"The record does not say {lacks}: {placed.words}; {ask.asks}."
            yield ask.answer(
                Verdict.NOT_VERIFIED, says, "Look in its booklet, measure, and record looks-down and height."
            )
        else:
            found = hole_radius(height, down)
            says = (
                f"{placed.words}, {height:.2f} m high and looking down {down:g} deg, leaves out {found:.2f} m around it"
            )
            remedy = f"At this height it must look down at {angle_needed(height, limit.most):.1f} deg or more steeply."
            tolerance = hole_radius(placed.spot.tolerance, down)
            yield ask.measured(found, tolerance, f"{says}{words}", remedy=f"{rule.remedy} {remedy}")


def across(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the angle at which who comes in by an outer door of the room walks at each detector.

    Options: ``tolerance``, degrees by which a direction may be out.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        room, point = placed.spot.room, placed.spot.point
        doors = [o for _, o, _ in openings(case) if o.is_outer and o.is_door and o.rooms[0] == room and o.wall]
        if placed.spot.fixed in ("outside", "ceiling"):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} looks all round, or is outside.")
        elif not doors:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No outer door leads into the {placed.room}.")
        elif point is None:
            says = f"The record does not say where in the {placed.room} {placed.tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, WHERE)
        else:
            angle, door = min(((_off_line(point, door), door) for door in doors), key=lambda found: found[0])
            says = f"Who comes in by the {door.opening.called} walks {angle:.0f} deg off the line to {placed.words}"
            yield ask.measured(angle, rule.options["tolerance"], says, mark=Mark(point, door.middle))


def _off_line(point: XY, door: PlacedOpening) -> float:
    assert door.wall is not None
    return from_straight_at(point, door.middle, (-door.wall.outward[0], -door.wall.outward[1]))


def clear_view(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the distance from each detector to the nearest tall furniture in its view.

    Options: ``kinds`` of fitting; ``taller``, metres of height from which one counts, as one of unknown height does.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        items = [
            item
            for item in case.dwelling.fittings_of(placed.spot.room, *rule.options["kinds"])
            if item.fitting.height is None or item.fitting.height > rule.options["taller"]
        ]
        view, point = view_of(case, placed, None), placed.spot.point
        if placed.spot.fixed == "outside" or not items:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No tall furniture is recorded where {placed.words} is.")
        elif view is None or point is None:
            says = f"The record does not say where {placed.tag} is and which way it faces."
            yield ask.answer(Verdict.NOT_VERIFIED, says, WHERE)
        elif lost := [item for item in items if item.shape is None]:
            says = f"The record does not say where the {lost[0].fitting.called} near {placed.words} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure where it is, from two walls, and record it.")
        elif seen := [(view.intersection(item.shape), item) for item in items if view.intersects(item.shape)]:
            here = Point(point)
            shape, item = min(seen, key=lambda pair: float(pair[0].distance(here)))
            found = float(shape.distance(here))
            says = f"The {item.fitting.called} stands {found:.2f} m in front of {placed.words}"
            yield ask.measured(found, placed.spot.tolerance, says)
        else:
            yield ask.answer(Verdict.CONFORMS, f"No tall furniture stands in the view of {placed.words}.")
