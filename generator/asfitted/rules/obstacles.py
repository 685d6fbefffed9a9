"""What a rule keeps a device clear of, as shapes on the plan of its room."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan, cos

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from asfitted.dwelling.shapes import XY, RoomShape
from asfitted.model.words import READING_TOLERANCE
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Rule


@dataclass(frozen=True)
class Obstacle:
    """Something with a name and a shape, in metres on the plan.

    ``stretch`` is how much longer a distance is along a slope than on the plan; 1 where the rule measures on the
    plan. ``tolerance`` is by how much the obstacle's own place may be out.
    """

    name: str
    shape: BaseGeometry
    stretch: float = 1.0
    tolerance: float = 0.0

    def distance(self, point: XY) -> float:
        """Give the distance from a point, in the way the rule measures it."""
        return float(self.shape.distance(Point(point))) * self.stretch

    def nearest(self, point: XY) -> XY:
        """Give the point of the obstacle nearest to a point."""
        near = nearest_points(self.shape, Point(point))[0]
        return float(near.x), float(near.y)

    def around(self, limit: float) -> BaseGeometry:
        """Give the part of the plan that is closer than a limit."""
        return self.shape.buffer(limit / self.stretch, quad_segs=32)


def obstacles(rule: Rule, case: Case, room: RoomShape) -> Iterator[Obstacle]:
    """Give everything in a room that a clearance rule names."""
    of = rule.options["of"]
    if of == "walls":
        for wall in room.walls:
            yield Obstacle(f"the {wall.name.split('-')[0]} wall", wall.line)
    elif of == "ridge":
        top = room.ceiling.top_line(room.outline)
        if room.ceiling.ridged and top is not None:
            # Down the slope a distance is longer than on the plan by 1 / cos(pitch).
            yield Obstacle("the ridge", top, 1 / cos(atan(room.ceiling.gradient)))
    elif of == "fittings":
        for placed in case.dwelling.fittings_of(room.id, *rule.options["kinds"]):
            if placed.shape is not None:
                tolerance = READING_TOLERANCE[placed.fitting.by]
                yield Obstacle(f"the {placed.fitting.called}", placed.shape, tolerance=tolerance)
    else:
        yield from _openings(rule, case, room)


def unplaced(rule: Rule, case: Case, room: RoomShape) -> list[str]:
    """Give what a clearance rule names in a room but the record does not place."""
    if rule.options["of"] != "fittings":
        return []
    found = case.dwelling.fittings_of(room.id, *rule.options["kinds"])
    return [f"the {placed.fitting.called}" for placed in found if placed.shape is None]


def _openings(rule: Rule, case: Case, room: RoomShape) -> Iterator[Obstacle]:
    for opening in case.dwelling.openings_of(room.id):
        line = LineString([opening.a, opening.b])
        if rule.options["of"] == "glazed" and opening.glazed:
            if opening.opening.kind == "window" and not opening.opening.opening_part:
                continue
            yield Obstacle(f"the {opening.opening.called}", line)
        elif rule.options["of"] == "doors-to" and opening.is_door:
            other = next((name for name in opening.rooms if name not in (room.id, None)), None)
            if other and case.dwelling.rooms[other].room.use in rule.options["uses"]:
                yield Obstacle(f"the {opening.opening.called} to the {case.dwelling.rooms[other].room.called}", line)


def compass_words(dx: float, dy: float) -> str:
    """Say a move on the plan: ``0.19 m south and 0.05 m east``."""
    parts = []
    if abs(dy) >= 0.005:
        parts.append(f"{abs(dy):.2f} m {'north' if dy > 0 else 'south'}")
    if abs(dx) >= 0.005:
        parts.append(f"{abs(dx):.2f} m {'east' if dx > 0 else 'west'}")
    return " and ".join(parts) or "nowhere"
