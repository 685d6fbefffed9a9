"""What a rule keeps a device clear of, as shapes on the plan of its room.

Rooms joined by archways are one room for heat, draught and fumes; an archway that reaches the ceiling is no wall.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from shapely import LineString, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from asfitted.dwelling.outlines import ON_ONE_LINE
from asfitted.dwelling.shapes import XY, Dwelling, PlacedFitting, PlacedOpening, RoomShape, Wall
from asfitted.dwelling.ways import open_plan, open_spans
from asfitted.model.building import Fitting
from asfitted.model.words import READING_TOLERANCE
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Rule

SIDES = 64
"""Sides of a quarter of a circle."""
LAMPS = ("light", "decoration")
"""Fittings that bear on the ceiling only where they hang from it."""


@dataclass(frozen=True)
class Obstacle:
    """Something with a name and a shape, in metres on the plan.

    ``stretch`` is how much longer a distance is along a slope than on the plan; 1 where the rule measures on the
    plan. ``tolerance`` is by how much the obstacle's own place may be out. ``fitting`` is what it is, if it is one.
    """

    name: str
    shape: BaseGeometry
    stretch: float = 1.0
    tolerance: float = 0.0
    fitting: Fitting | None = None

    def distance(self, point: XY) -> float:
        """Give the distance from a point, in the way the rule measures it."""
        return float(self.shape.distance(Point(point))) * self.stretch

    def nearest(self, point: XY) -> XY:
        """Give the point of the obstacle nearest to a point."""
        near = nearest_points(self.shape, Point(point))[0]
        return float(near.x), float(near.y)

    def around(self, limit: float) -> BaseGeometry:
        """Give the part of the plan that is closer than a limit; its circles are many-sided: 0.1 mm in a metre."""
        return self.shape.buffer(limit / self.stretch, quad_segs=SIDES)


def obstacles(rule: Rule, case: Case, room: RoomShape, own: Wall | None = None) -> Iterator[Obstacle]:
    """Give everything that a clearance rule keeps a device of a room clear of; ``own`` is the wall it hangs on."""
    of = rule.options["of"]
    if of == "walls":
        yield from walls(case, room)
    elif of == "side-walls":
        yield from _side_walls(room, own)
    elif of == "fittings":
        for placed in _fittings(rule, case, room):
            if placed.shape is not None:
                tolerance = READING_TOLERANCE[placed.fitting.by]
                name = f"the {placed.fitting.called}"
                yield Obstacle(name, placed.shape, tolerance=tolerance, fitting=placed.fitting)
    else:
        yield from _openings(rule, case, room)


def unplaced(rule: Rule, case: Case, room: RoomShape) -> list[str]:
    """Give what a clearance rule names around a room but the record does not place."""
    if rule.options["of"] != "fittings":
        return []
    return [f"the {placed.fitting.called}" for placed in _fittings(rule, case, room) if placed.shape is None]


def _fittings(rule: Rule, case: Case, room: RoomShape) -> list[PlacedFitting]:
    """Give the fittings a rule names, in the room and those open to it; a lamp that stands or hangs low is left out."""
    return [
        placed
        for name in sorted(open_plan(case.dwelling, room.id))
        for placed in case.dwelling.fittings_of(name, *rule.options["kinds"])
        if not (placed.fitting.kind in LAMPS and placed.spot.fixed in ("floor", "wall", "corner"))
        and placed.fitting.lamp in (None, rule.options.get("lamp", placed.fitting.lamp))
    ]


def walls(case: Case, room: RoomShape) -> Iterator[Obstacle]:
    """Give the walls of a room, less the archways in them that reach the ceiling."""
    spans = open_spans(case.dwelling, room.id)
    open_part = union_all([span.buffer(0.001) for span in spans]) if spans else None
    for wall in room.walls:
        line: BaseGeometry = wall.line if open_part is None else wall.line.difference(open_part)
        if not line.is_empty:
            yield Obstacle(f"the {wall.name} wall", line)


def _side_walls(room: RoomShape, own: Wall | None) -> Iterator[Obstacle]:
    """Give the walls that stand out into the room from the one a device hangs on, at its ends or opposite."""
    if own is None:
        return
    nx, ny = own.outward
    for wall in room.walls:
        before = max(-(x - own.a[0]) * nx - (y - own.a[1]) * ny for x, y in (wall.a, wall.b))
        if before > ON_ONE_LINE:
            yield Obstacle(f"the {wall.name} wall", wall.line)


def top_of(room: RoomShape) -> Obstacle | None:
    """Give the ridge, or the upper edge of a slope, drawn on beyond the room; None under a flat ceiling.

    In a room of several arms it passes over each.
    """
    ceiling = room.ceiling
    top = ceiling.top_line(room.outline)
    if top is None:
        return None
    (ax, ay), (bx, by) = top.coords[0], top.coords[-1]
    west, south, east, north = room.outline.bounds
    far = (east - west + north - south) / hypot(bx - ax, by - ay)
    dx, dy = (bx - ax) * far, (by - ay) * far
    line = LineString([(ax - dx, ay - dy), (bx + dx, by + dy)])
    return Obstacle("the ridge" if ceiling.ridged else "the upper edge of the ceiling", line)


def _openings(rule: Rule, case: Case, room: RoomShape) -> Iterator[Obstacle]:
    if rule.options["of"] == "glazed":
        for name in sorted(open_plan(case.dwelling, room.id)):
            for opening in case.dwelling.openings_of(name):
                if opening.is_outer and opening.glazed and opening.opening.opening_part:
                    yield Obstacle(f"the {opening.opening.called}", shape_of(opening, name))
    elif rule.options["of"] == "doors-to":
        for opening in case.dwelling.openings_of(room.id):
            other = next((name for name in opening.rooms if name not in (room.id, None)), None)
            if opening.is_door and other and case.dwelling.rooms[other].room.use in rule.options["uses"]:
                yield Obstacle(f"the {opening.opening.called}", shape_of(opening, room.id))


def flights_in(dwelling: Dwelling, room: str) -> list[Polygon]:
    """Give the flights of stairs under the ceiling of a room: those that start in it and those that arrive in it."""
    return [
        flight.outline
        for storey in dwelling.storeys
        for flight in storey.flights
        if room in (flight.stair.in_, flight.stair.to)
    ]


def shape_of(opening: PlacedOpening, room: str) -> BaseGeometry:
    """Give an opening as a shape on the plan of a room: its line on that room's face, or a rooflight's rectangle."""
    return opening.outline if opening.outline is not None else opening.line_in(room)


def compass_words(dx: float, dy: float) -> str:
    """Say a move on the plan: ``0.19 m south and 0.05 m east``."""
    parts = []
    if abs(dy) >= 0.005:
        parts.append(f"{abs(dy):.2f} m {'north' if dy > 0 else 'south'}")
    if abs(dx) >= 0.005:
        parts.append(f"{abs(dx):.2f} m {'east' if dx > 0 else 'west'}")
    return " and ".join(parts) or "nowhere"
