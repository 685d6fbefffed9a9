"""Walls in rooms so narrow that no place keeps the distance: the centre line is then the best one."""

from dataclasses import replace
from math import dist

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question
from asfitted.rules.obstacles import Obstacle, obstacles
from asfitted.rules.placing import Ban, Trial

_NOWHERE = 1e-4
_FINE = 0.001
"""Metres to which the best distance a room allows is found."""
ON_IT = 0.05
"""Metres off the best distance up to which an alarm counts as on the centre line (common practice, no source)."""


def width_of(room: RoomShape) -> float:
    """Give the shorter side of the smallest rectangle round a room, in metres."""
    corners = list(room.outline.minimum_rotated_rectangle.exterior.coords)
    return min(dist(corners[0], corners[1]), dist(corners[1], corners[2]))


def in_narrow_room(ask: Question, case: Case, placed: Placed, finding: Finding) -> Finding:
    """Judge the distance from walls anew where the room is too narrow for it.

    Up to the width of the option ``waived-under`` the rule set asks for the centre line instead. Without it, an alarm
    on the centre line of a room that has no better place is *not verified*: the figure cannot be met, and no rule says
    what then.
    """
    room = case.dwelling.rooms[placed.spot.room]
    edge, options = (placed.device.across or 0.0) / 2, ask.rule.options
    width, spare = width_of(room), max(placed.spot.tolerance, ON_IT)
    if width <= options.get("waived-under", 0.0) + 1e-9:
        off = width / 2 - (finding.found or 0.0) - edge
        says = (
            f"{placed.words} is {max(off, 0.0):.2f} m off the centre line of the {placed.room}, which is {width:.2f} m "
        )
        says += (
            f"wide; up to {amount(options['waived-under'], 'm')} the centre line is asked for instead of a distance."
        )
        verdict = Verdict.CONFORMS if off <= spare else Verdict.FAILS
        remedy = "" if verdict is Verdict.CONFORMS else "Move it to the centre line of the ceiling."
        return replace(finding, verdict=verdict, says=says, remedy=remedy, margin=spare - off)
    if finding.verdict is not Verdict.FAILS or ask.limit.least is None:
        return finding
    walls = list(obstacles(ask.rule, case, room))
    if _left(room, walls, ask.limit.least + edge).area > _NOWHERE:
        return finding
    best = _best(room, walls, ask.limit.least + edge) - edge
    if best >= ask.limit.least - _FINE:
        says = f"{finding.says} On this ceiling only the centre line has as much."
        return replace(finding, says=says, remedy="Move it to the centre line of the ceiling.")
    says = f"{finding.says} No place on this ceiling has more than {best:.2f} m, so the figure cannot be met there: "
    says += "the centre line is the best place."
    if (finding.found or 0.0) < best - spare:
        return replace(finding, says=says, remedy="Move it to the centre line of the ceiling.")
    return ask.answer(Verdict.NOT_VERIFIED, says, "Leave it on the centre line, and have that agreed in writing.")


def off_centre_line(rule: Rule, limit: Limit, trial: Trial) -> Ban | None:
    """Forbid all but the centre line of a room that is narrow enough for it; None where the room is wider."""
    room = trial.surface.room
    width = width_of(room)
    if width > rule.options.get("waived-under", 0.0) + 1e-9:
        return None
    near = union_all([o.around(width / 2 - ON_IT) for o in obstacles(rule, trial.case, room)])
    return Ban(rule, limit, "off the centre line", trial.surface.under(near))


def _left(room: RoomShape, walls: list[Obstacle], limit: float) -> BaseGeometry:
    return room.outline.difference(union_all([wall.around(limit) for wall in walls]))


def _best(room: RoomShape, walls: list[Obstacle], limit: float) -> float:
    """Give the greatest distance from the walls that a room allows, by halving."""
    low, high = 0.0, limit
    while high - low > _FINE:
        middle = (low + high) / 2
        low, high = (middle, high) if not _left(room, walls, middle).is_empty else (low, middle)
    return low
