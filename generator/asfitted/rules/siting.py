"""Where a ceiling device may go: all clearance rules of its kind applied to its room at once."""

from dataclasses import dataclass
from itertools import combinations
from math import ceil, floor, hypot

from shapely import Point, union_all
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from asfitted.dwelling.shapes import XY, RoomShape
from asfitted.dwelling.tapes import reach
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Rule, catalogue
from asfitted.rules.judgement import listed
from asfitted.rules.obstacles import Obstacle, compass_words, flights_in, obstacles, unplaced

_NOWHERE = 1e-4
"""Square metres below which a zone is no place: less than a square centimetre."""


@dataclass(frozen=True)
class Clearance:
    """One clearance rule in one room: its distance, and what it keeps clear of."""

    rule: Rule
    limit: float
    obstacles: tuple[Obstacle, ...]

    def forbidden(self, spare: float) -> BaseGeometry:
        """Give the part of the plan that the rule forbids, with some distance to spare."""
        return union_all([obstacle.around(self.limit + spare + obstacle.tolerance) for obstacle in self.obstacles])


def clearances(case: Case, kind: str, room: RoomShape) -> list[Clearance]:
    """Give the clearance rules that bear on a kind of device in a room."""
    found = []
    for rule in catalogue().values():
        if rule.check == "clear-of" and kind in rule.applies_to:
            near = tuple(obstacles(rule, case, room))
            limit = rule.limit(case.rule_set).value
            if near and limit is not None:
                found.append(Clearance(rule, limit, near))
    return found


def admissible_zone(outline: BaseGeometry, rules: list[Clearance], spare: float = 0.0) -> BaseGeometry:
    """Give where on the ceiling of a room a device may go by its clearance rules; empty when nowhere.

    Args:
        outline: the part of the room from which the device can be reached.
        rules: the clearance rules that bear on it, from :func:`clearances`.
        spare: metres to stay clear of every limit beyond it, such as the tolerance of the tape.
    """
    zone: BaseGeometry = outline
    for clearance in rules:
        zone = zone.difference(clearance.forbidden(spare))
    return zone


@dataclass(frozen=True, slots=True)
class Move:
    """Advice on where a device should go: a sentence, and the place if there is one."""

    says: str
    to: XY | None
    zone: BaseGeometry | None


def advise_move(case: Case, placed: Placed) -> Move:
    """Find the nearest place for a ceiling device that meets every clearance rule of its kind, and say the move.

    Where no place meets them all, the fewest rules that cannot be met together are named.
    """
    room = case.dwelling.rooms[placed.spot.room]
    rules = clearances(case, placed.device.kind, room)
    floor = room.outline.difference(union_all(flights_in(case.dwelling, room.id)))
    point = placed.spot.point
    assert point is not None
    for spare in (placed.spot.tolerance, 0.0):
        zone = admissible_zone(floor, rules, spare)
        if zone.area > _NOWHERE:
            to = _nearest(zone, point)
            if hypot(to[0] - point[0], to[1] - point[1]) < 0.005:
                return Move("No place in this room has more.", None, zone)
            return Move(_say(case, placed, room, to, rules), to, zone)
    return Move(_conflict(room, rules), None, None)


def _nearest(zone: BaseGeometry, point: XY) -> XY:
    """Give the nearest point of a zone on the centimetre grid of the move, so that the figures said are exact."""
    near = nearest_points(zone, Point(point))[0]
    dx, dy = float(near.x) - point[0], float(near.y) - point[1]
    steps = [
        (point[0] + sx / 100, point[1] + sy / 100)
        for sx in range(floor(dx * 100) - 1, ceil(dx * 100) + 2)
        for sy in range(floor(dy * 100) - 1, ceil(dy * 100) + 2)
    ]
    inside = [step for step in steps if zone.covers(Point(step))]
    if not inside:
        return float(near.x), float(near.y)
    return min(inside, key=lambda p: (round((p[0] - point[0]) ** 2 + (p[1] - point[1]) ** 2, 9), p))


def _say(case: Case, placed: Placed, room: RoomShape, to: XY, rules: list[Clearance]) -> str:
    """Say the move, what the tape will show from the same walls, and what the place keeps clear of."""
    point = placed.spot.point or to
    says = f"Move it {compass_words(to[0] - point[0], to[1] - point[1])}"
    tapes = [f"{reach(room, to, side):.2f} m from {side}" for side in placed.device.tapes]
    says += f", to {listed(tapes)}" if tapes else ""
    says += "." if room.ceiling.is_flat else ", measured level and not along the slope."
    nearest = [min(clearance.obstacles, key=lambda o: o.distance(to)) for clearance in rules]
    kept = sorted((obstacle.distance(to), obstacle.name) for obstacle in nearest)
    says += f" There it stays {listed([f'{distance:.2f} m from {name}' for distance, name in kept[:3]])}"
    lost = any(
        unplaced(rule, case, room)
        for rule in catalogue().values()
        if rule.check == "clear-of" and placed.device.kind in rule.applies_to
    )
    if len(rules) > 1 and not lost:
        says += f", and meets all {len(rules)} clearance rules that bear on this ceiling"
    return says + "."


def _conflict(room: RoomShape, rules: list[Clearance]) -> str:
    for size in range(1, len(rules) + 1):
        for some in combinations(rules, size):
            if admissible_zone(room.outline, list(some)).area <= _NOWHERE:
                names = listed([f"“{clearance.rule.title}” ({clearance.limit:.2f} m)" for clearance in some])
                together = "cannot be met" if size == 1 else "cannot be met together"
                return (
                    f"In the {room.room.called} {names} {together}: "
                    "choose the best place and agree a variation in writing."
                )
    return "Choose another place."
