"""How far each point of a home is from the nearest smoke or heat alarm, along the ceiling and through doorways.

Smoke goes round corners and through open doorways, so the distance is that of the shortest way through them, by their
middle. In a room it is the least of several: the distance to each alarm of the room, to each doorway, stair end and
inner corner with what is left from there. Each of these grows outwards like a cone, so over a triangle it is greatest
at a corner: that bounds the field, and the furthest point is found by halving triangles until the bound is met (branch
and bound, as in Horst and Tuy, Global Optimization; from memory).

Rules measure straight through the air within one space; for that there is :mod:`asfitted.reckon.cover`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from heapq import heappop, heappush
from math import dist, inf

from shapely import Point, Polygon, constrained_delaunay_triangles, intersects_xy, prepare, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.paths import Reach, Spot, reaches
from asfitted.dwelling.shapes import Dwelling, RoomShape
from asfitted.model.home import Home
from asfitted.model.words import DeviceKind
from asfitted.reckon.cover import SIDES
from asfitted.reckon.visibility import XY, visible_from
from asfitted.reckon.working import Input, Step, Working, number

KINDS: frozenset[DeviceKind] = frozenset({"smoke alarm", "heat alarm"})
TO = 1e-3
"""Metres to which the furthest point of a field is found: less than a tape shows."""
_SLACK = 1e-6
_SPREAD = 0.05
"""Metres by which each of the two parts of a way may be out (common practice, no source)."""

_Triangle = tuple[XY, XY, XY]


@dataclass(frozen=True)
class Anchor:
    """A point from which distances in a room go on.

    Attributes:
        point: on the plan.
        base: metres from the alarm to it.
        alarm: the tag of that alarm.
        sees: what of the room lies straight before it; None for all.
    """

    point: XY
    base: float
    alarm: str
    sees: BaseGeometry | None = None

    def to(self, point: XY) -> float:
        """Give the distance of a point from the alarm by this way, in metres, if nothing is between."""
        return self.base + dist(self.point, point)

    def is_seen_from(self, point: XY) -> bool:
        """Tell whether a point lies straight before it."""
        return self.sees is None or bool(intersects_xy(self.sees, *point))

    def sees_all(self, corners: _Triangle) -> bool:
        """Tell whether it sees the whole of a triangle."""
        return self.sees is None or bool(self.sees.covers(Polygon(corners)))


@dataclass(frozen=True)
class Field:
    """The distance to the nearest alarm over one room: the least over some anchors."""

    space: Polygon
    anchors: tuple[Anchor, ...]

    def at(self, point: XY) -> float:
        """Give the distance in metres; infinite where no way leads to an alarm."""
        anchor = self.nearest(point)
        return inf if anchor is None else anchor.to(point)

    def nearest(self, point: XY) -> Anchor | None:
        """Give the anchor by which a point is nearest to an alarm."""
        ways = sorted(self.anchors, key=lambda anchor: anchor.to(point))
        return next((anchor for anchor in ways if anchor.is_seen_from(point)), None)

    def furthest(self) -> tuple[XY, float]:
        """Give the point of the room that is furthest from any alarm, and its distance, to within ``TO``."""
        if not self.anchors:
            return (float(self.space.representative_point().x), float(self.space.representative_point().y)), inf
        best: tuple[float, XY] = (-1.0, (0.0, 0.0))
        queue: list[tuple[float, _Triangle]] = []
        for triangle in _triangles(self.space):
            best = max(best, *((self.at(corner), corner) for corner in triangle))
            heappush(queue, (-self._bound(triangle), triangle))
        while queue:
            bound, triangle = heappop(queue)
            if -bound <= best[0] + TO:
                break
            middle, halves = _halved(triangle)
            best = max(best, (self.at(middle), middle))
            for half in halves:
                if (most := self._bound(half)) > best[0] + TO:
                    heappush(queue, (-most, half))
        return best[1], best[0]

    def _bound(self, triangle: _Triangle) -> float:
        """Give what the field nowhere exceeds in a triangle.

        Over it the distance from one anchor is greatest at a corner, as a cone is convex; and from corner to corner the
        field itself grows no faster than one walks.
        """
        cones = sorted((max(map(anchor.to, triangle)), index) for index, anchor in enumerate(self.anchors))
        most = min(map(self.at, triangle)) + max(dist(a, b) for a in triangle for b in triangle)
        below = (cone for cone, index in cones if cone < most and self.anchors[index].sees_all(triangle))
        return next(below, most)

    def beyond(self, radius: float) -> BaseGeometry:
        """Give what of the room is further than a radius from every alarm, as a shape."""
        reached = [
            disc if anchor.sees is None else disc.intersection(anchor.sees)
            for anchor in self.anchors
            if radius > anchor.base
            for disc in (Point(anchor.point).buffer(radius - anchor.base, quad_segs=SIDES),)
        ]
        return self.space.difference(union_all(reached)) if reached else self.space

    def grid(self, step: float) -> tuple[tuple[XY, float], ...]:
        """Give the distance at the points of a square grid over the room, row by row, for a drawing."""
        west, south, east, north = self.space.bounds
        inside = self.space.buffer(_SLACK)
        prepare(inside)
        points = [
            (west + (column + 0.5) * step, south + (row + 0.5) * step)
            for row in range(int((north - south) / step) + 1)
            for column in range(int((east - west) / step) + 1)
        ]
        return tuple((point, self.at(point)) for point in points if inside.covers(Point(point)))


def field_of(space: Polygon, sources: Sequence[tuple[XY, float, str]]) -> Field:
    """Give the field over a room.

    Args:
        space: the room.
        sources: points in it or on its edge, each with the distance from the nearest alarm that it already has, and the
            tag of that alarm: alarms themselves with 0, doorways, stair ends and inner corners with more.
    """
    if space.convex_hull.area - space.area < _SLACK:
        return Field(space, tuple(Anchor(*source) for source in _first(sources)))
    return Field(space, tuple(Anchor(*source, _sight(source[0], space)) for source in sources))


def _sight(point: XY, space: Polygon) -> BaseGeometry:
    sees = visible_from(point, space).buffer(_SLACK)
    prepare(sees)
    return sees


def _first(sources: Sequence[tuple[XY, float, str]]) -> list[tuple[XY, float, str]]:
    """Leave out what lies behind another source in a room without corners to go round: it is first to no point."""
    kept: list[tuple[XY, float, str]] = []
    for source in sorted(sources, key=lambda source: source[1]):
        if all(base + dist(point, source[0]) > source[1] + _SLACK for point, base, _ in kept):
            kept.append(source)
    return kept


def _triangles(space: Polygon) -> list[_Triangle]:
    """Cut a room into triangles that lie within it."""
    return [_corners(part) for part in constrained_delaunay_triangles(space).geoms]


def _corners(triangle: Polygon) -> _Triangle:
    a, b, c = ((float(x), float(y)) for x, y in triangle.exterior.coords[:3])
    return a, b, c


def _halved(triangle: _Triangle) -> tuple[XY, tuple[_Triangle, _Triangle]]:
    """Cut a triangle at the middle of its longest side."""
    a, b, c = max((triangle[i:] + triangle[:i] for i in range(3)), key=lambda turned: dist(turned[0], turned[1]))
    middle = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    return middle, ((a, middle, c), (middle, b, c))


@dataclass(frozen=True)
class RoomField:
    """The field over a room of a home, and its furthest point; ``left_out`` are alarms that have no place."""

    room: str
    field: Field
    point: XY
    far: float
    left_out: tuple[str, ...] = ()

    @property
    def inputs(self) -> Mapping[str, Input]:
        """What the distance of the furthest point is worked out from."""
        anchor = self.field.nearest(self.point)
        if anchor is None:
            return {}
        found = (
            ("w", f"from {anchor.alarm} to where it comes in sight of that point", anchor.base),
            ("s", "from there straight to that point", dist(anchor.point, self.point)),
        )
        return {
            key: Input(key, says, value, "m", "measured", "rooms as surveyed", _SPREAD) for key, says, value in found
        }

    @property
    def working(self) -> Working:
        """The distance of the furthest point from the nearest alarm, with its working."""
        return furthest_working(self.room, self.inputs, self.left_out)


def furthest_working(room: str, inputs: Mapping[str, Input], left_out: tuple[str, ...] = ()) -> Working:
    """Add up the way from an alarm to the furthest point of a room; without inputs no way leads to any alarm."""
    w, s = (inputs[symbol].value if inputs else inf for symbol in ("w", "s"))
    step = Step("d", "furthest point of the room from an alarm", "w + s", f"{number(w)} + {number(s)}", w + s, "m")
    caveats = (
        "Level, and by the middle of doorways, all taken as open; shut doors, beams and lintels hold smoke back.",
        f"The furthest point is found to {TO * 1000:g} mm.",
        *(f"The record does not say where {tag} is: it is left out." for tag in left_out),
    )
    return Working(f"Furthest point from an alarm, {room}", tuple(inputs.values()), (step,), caveats)


def fields_of(home: Home, dwelling: Dwelling, on: date, kinds: frozenset[DeviceKind] = KINDS) -> tuple[RoomField, ...]:
    """Give the field over every room of a home but shafts, from the alarms that have a place and are fitted by a day.

    Args:
        home: the record.
        dwelling: its shapes.
        on: the day.
        kinds: of alarm that count.
    """
    alarms: dict[str, Spot] = {}
    lost: list[str] = []
    for tag, device in home.devices.items():
        spot = dwelling.spots.get(tag)
        if device.kind not in kinds or not device.fitted_by(on):
            continue
        if spot is None or spot.point is None:
            lost.append(tag)
        elif spot.fixed != "outside":
            alarms[tag] = spot.room, spot.point
    tags, reached = list(alarms), reaches(dwelling, list(alarms.values()))
    rooms = [room for room in dwelling.rooms.values() if room.room.use != "void"]
    return tuple(_room_field(room, reached, tags, tuple(lost)) for room in rooms)


def _room_field(
    room: RoomShape, reached: Mapping[Spot, Reach], tags: Sequence[str], lost: tuple[str, ...]
) -> RoomField:
    sources = [(spot[1], reach.length, tags[reach.source]) for spot, reach in reached.items() if spot[0] == room.id]
    field = field_of(room.outline, sources)
    return RoomField(room.id, field, *field.furthest(), lost)
