"""Where a ceiling device may go: all clearance rules of its kind applied to its room at once."""

from dataclasses import dataclass
from itertools import combinations
from math import ceil, floor, hypot

from shapely import Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from asfitted.dwelling.shapes import XY, RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Rule, catalogue
from asfitted.rules.obstacles import Obstacle, compass_words, obstacles


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


def admissible_zone(case: Case, kind: str, room: RoomShape, spare: float = 0.0) -> BaseGeometry:
    """Give where on the ceiling of a room a kind of device may go by its clearance rules; empty when nowhere.

    Args:
        case: the home.
        kind: the kind of device.
        room: the room.
        spare: metres to stay clear of every limit beyond it, such as the tolerance of the tape.
    """
    return _zone(room.outline, clearances(case, kind, room), spare)


def _zone(outline: Polygon, rules: list[Clearance], spare: float) -> BaseGeometry:
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
    point = placed.spot.point
    assert point is not None
    for spare in (placed.spot.tolerance, 0.0):
        zone = _zone(room.outline, rules, spare)
        if not zone.is_empty and zone.area > 1e-4:
            to = _nearest(zone, point)
            if hypot(to[0] - point[0], to[1] - point[1]) < 0.005:
                return Move("No place here has more to spare: measure again, with a finer instrument.", None, zone)
            return Move(_say(point, to, rules), to, zone)
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


def _say(point: XY, to: XY, rules: list[Clearance]) -> str:
    says = f"Move it {compass_words(to[0] - point[0], to[1] - point[1])}."
    kept = []
    for clearance in rules:
        near = min(clearance.obstacles, key=lambda o: o.distance(to))
        kept.append((near.distance(to), near.name))
    kept.sort()
    if kept:
        names = [f"{distance:.2f} m from {name}" for distance, name in kept[:3]]
        says += f" There it stays {' and '.join([', '.join(names[:-1]), names[-1]]) if len(names) > 1 else names[0]}"
        says += f", and meets all {len(rules)} clearance rules that bear on this ceiling." if len(rules) > 1 else "."
    return says


def _conflict(room: RoomShape, rules: list[Clearance]) -> str:
    for size in range(1, len(rules) + 1):
        for some in combinations(rules, size):
            zone = _zone(room.outline, list(some), 0.0)
            if zone.is_empty or zone.area <= 1e-4:
                names = " and ".join(f"“{clearance.rule.title}” ({clearance.limit:.2f} m)" for clearance in some)
                together = "cannot be met" if size == 1 else "cannot be met together"
                return (
                    f"In the {room.room.called} {names} {together}: "
                    "choose the best place and agree a variation in writing."
                )
    return "Choose another place."
