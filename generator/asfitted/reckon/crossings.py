"""What a straight line between two places of a dwelling crosses: walls, leaves, panes and floors."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import acos, degrees, dist, hypot
from typing import Literal

import numpy as np
from shapely import Point
from shapely.ops import nearest_points

from asfitted.dwelling.outlines import ON_ONE_LINE, THICKEST_WALL
from asfitted.dwelling.shapes import XY, Dwelling, Face, PlacedOpening, Spot, StoreyShape, Wall

Group = Literal["wall", "leaf", "pane", "open", "floor"]
"""What kind of thing is crossed, and so which list of makes its material is looked up in; *open* costs nothing."""

OFF_THE_WALL = 0.02
"""Metres from the face of a wall to the aerial of what is fixed to it (common practice, no source)."""
USUAL_HEIGHT = 1.50
"""Metres above floor of a device whose height is not recorded (common practice, no source)."""
HEIGHT_DOUBT = 1.0
"""Metres by which such a height may be out (common practice, no source)."""
_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class End:
    """One end of a line: metres on the plan, and above the level that storeys are counted from.

    ``assumed`` says what of it the record leaves open: the place in the room, the height; ``doubt`` by how many metres
    it may be out for that.
    """

    x: float
    y: float
    z: float
    assumed: tuple[str, ...] = ()
    doubt: float = 0.0

    def distance(self, other: "End") -> float:
        """Give the metres to another end, in space."""
        return dist((self.x, self.y, self.z), (other.x, other.y, other.z))


@dataclass(frozen=True, slots=True)
class Crossing:
    """One thing crossed.

    Attributes:
        group: wall, leaf, pane, open or floor.
        of: what it is made of, in the words of the record; empty where nothing stands in the way.
        thickness: of the wall or floor, in metres.
        angle: degrees from straight through.
        storey: the storey whose wall or floor it is.
        between: the rooms on either side; None for outside.
        at: where, in metres on the plan and in height.
        opening: the opening crossed, if it is one.
        assumed: whether the record leaves the material to be assumed.
    """

    group: Group
    of: str
    thickness: float
    angle: float
    storey: str
    between: tuple[str | None, str | None]
    at: tuple[float, float, float]
    opening: str | None = None
    assumed: bool = False


def end_of(dwelling: Dwelling, spot: Spot) -> End:
    """Give the end of a line at the spot of a device, just off the wall it is fixed to."""
    room, storey = dwelling.rooms[spot.room], dwelling.storey(spot.storey)
    assumed = (*(("place",) if spot.point is None else ()), *(("height",) if spot.z is None else ()))
    z = storey.level + (USUAL_HEIGHT if spot.z is None else spot.z)
    doubt = HEIGHT_DOUBT if spot.z is None else 0.0
    if spot.point is None:
        middle, (west, south, east, north) = room.outline.representative_point(), room.outline.bounds
        return End(float(middle.x), float(middle.y), z, assumed, hypot(east - west, north - south) / 2)
    if spot.fixed == "outside" and spot.wall is not None:
        nx, ny = spot.wall.outward
        return End(spot.point[0] + nx * OFF_THE_WALL, spot.point[1] + ny * OFF_THE_WALL, z, assumed, doubt)
    within = room.outline.buffer(-OFF_THE_WALL, join_style="mitre")
    near = nearest_points(room.outline if within.is_empty else within, Point(spot.point))[0]
    return End(float(near.x), float(near.y), z, assumed, doubt)


def crossings(dwelling: Dwelling, one: End, other: End) -> tuple[Crossing, ...]:
    """Give what the straight line from one end to the other crosses: walls storey by storey, then floors."""
    line = _Line(one, other)
    walls = [found for part in _parts(dwelling) for found in part.crossed(line)]
    return (*walls, *_floors(dwelling, line))


class _Line:
    """The straight line between two ends."""

    def __init__(self, one: End, other: End) -> None:
        self.start = one.x, one.y, one.z
        self.run = other.x - one.x, other.y - one.y, other.z - one.z
        self.length, self.reach = one.distance(other), hypot(*self.run[:2])
        self.low, self.high = min(one.z, other.z), max(one.z, other.z)

    def at(self, t: float) -> tuple[float, float, float]:
        """Give the point at a share of the way."""
        (x, y, z), (dx, dy, dz) = self.start, self.run
        return x + t * dx, y + t * dy, z + t * dz

    def across(self, wall: Wall) -> float:
        """Give the metres that the whole line runs square to a wall."""
        nx, ny = wall.outward
        return abs(self.run[0] * nx + self.run[1] * ny)

    def angle(self, straight: float) -> float:
        """Give the degrees from straight through what the line crosses, from the metres it runs square to it."""
        return degrees(acos(min(straight / self.length, 1.0)))


class _Segments:
    """Many straight pieces of a plan, to be cut by one line at once."""

    def __init__(self, ends: Sequence[tuple[XY, XY]]) -> None:
        points = np.array(ends, dtype=float).reshape(-1, 2, 2)
        self.x, self.y = points[:, 0, 0], points[:, 0, 1]
        self.ex, self.ey = points[:, 1, 0] - self.x, points[:, 1, 1] - self.y
        self.twist = self.x * self.ey - self.y * self.ex

    def cut(self, line: _Line) -> list[tuple[float, bool, int]]:
        """Give where along the line pieces are cut (0 to 1), whether they turn left there, and which they are."""
        (x, y, _), (dx, dy, _) = line.start, line.run
        turn = dx * self.ey - dy * self.ex
        turn[np.abs(turn) < 1e-12] = np.inf  # a piece the line runs along is not cut
        t = (self.twist - x * self.ey + y * self.ex) / turn
        s = ((self.x - x) * dy - (self.y - y) * dx) / turn
        which = ((t > 0) & (t < 1) & (s >= 0) & (s < 1)).nonzero()[0]
        return [(float(t[i]), bool(turn[i] > 0), int(i)) for i in which]


@dataclass(frozen=True, slots=True)
class _Event:
    """Where a line passes the inside face of a room: leaving it, or entering it."""

    t: float
    leaves: bool
    wall: Wall


class _Part:
    """One storey, ready to be crossed, from its floor level up to the next."""

    def __init__(self, shape: StoreyShape, low: float, high: float) -> None:
        self.shape, self.low, self.high = shape, low, high
        self.walls = [wall for room in shape.rooms for wall in room.walls]
        self.openings = [placed for placed in shape.openings if placed.wall is not None]
        faces = [(wall.a, wall.b) for wall in self.walls]
        self.pieces = _Segments([*faces, *(_middle_line(placed) for placed in self.openings)])
        self.says_walls = "walls" in shape.storey.model_fields_set

    def crossed(self, line: _Line) -> Iterator[Crossing]:
        """Give the walls and openings of the storey that a line crosses, in its order."""
        if line.reach < _DUST or line.high < self.low or line.low >= self.high:
            return
        events, holes = self._events(line)
        i = 0
        while i < len(events):
            event, following = events[i], events[i + 1] if i + 1 < len(events) else None
            i += 1
            if event.leaves and following and not following.leaves:
                gap = (following.t - event.t) * line.reach
                if following.wall.room == event.wall.room and gap < _DUST:
                    i += 1  # the line touches a corner
                    continue
                if face := self._shared(line, event, following, gap):
                    i += 1
                    yield self._through(line, face, holes, (event.wall.room, following.wall.room), gap)
                    continue
            beyond = None if event.leaves else _behind(event, line).beyond
            between = (event.wall.room, None) if event.leaves else (beyond, event.wall.room)
            yield self._through(line, event, holes, between, 0.0)

    @staticmethod
    def _shared(line: _Line, leaving: _Event, entering: _Event, gap: float) -> _Event | None:
        """Give the face that tells of the one wall between two rooms; None when the line comes into the open there."""
        thin = THICKEST_WALL + ON_ONE_LINE
        near = [one for one in (leaving, entering) if gap * line.across(one.wall) / line.reach <= thin]
        shared = next((one for one in near if _behind(one, line).beyond), None)
        return shared or (leaving if len(near) == 2 else None)

    def _events(self, line: _Line) -> tuple[list[_Event], list[tuple[float, PlacedOpening]]]:
        """Give where the line passes faces, in its order, and the openings whose width it passes."""
        events, holes = [], []
        for t, leaves, i in self.pieces.cut(line):
            if i >= len(self.walls):
                holes.append((t, self.openings[i - len(self.walls)]))
            elif self.low <= line.at(t)[2] < self.high:
                events.append(_Event(round(t, 9), leaves, self.walls[i]))
        return sorted(events, key=lambda event: (event.t, not event.leaves)), holes

    def _through(
        self,
        line: _Line,
        event: _Event,
        holes: Sequence[tuple[float, PlacedOpening]],
        between: tuple[str | None, str | None],
        gap: float,
    ) -> Crossing:
        """Tell what stands where a line passes between two rooms, or a room and the outside."""
        face, across = _behind(event, line), max(line.across(event.wall), _DUST)
        of, thickness, behind = face.of, face.thickness, gap * across / line.reach
        if None not in between and face.beyond is None:  # the end of a wall between two other rooms
            of, thickness = self.shape.storey.walls.inside.of, behind
        angle, within = line.angle(across), max(thickness, behind) / across + _DUST
        for t, placed in holes:
            point = line.at(t)
            above_sill = point[2] - self.shape.level - placed.opening.sill
            if set(between) == set(placed.rooms) and abs(t - event.t) <= within and 0 <= above_sill <= placed.height:
                group, leaf, open_ = _leaf(placed)
                return Crossing(group, leaf, thickness, angle, self.shape.id, between, point, placed.id, assumed=open_)
        at = line.at(event.t)
        return Crossing("wall", of, thickness, angle, self.shape.id, between, at, assumed=not self.says_walls)


def _behind(event: _Event, line: _Line) -> Face:
    x, y, _ = line.at(event.t)
    (ux, uy), (ax, ay) = event.wall.along, event.wall.a
    return event.wall.face_at((x - ax) * ux + (y - ay) * uy)


def _middle_line(placed: PlacedOpening) -> tuple[XY, XY]:
    """Give an opening along the middle of its wall."""
    assert placed.wall is not None
    nx, ny = (part * placed.thickness / 2 for part in placed.wall.outward)
    return (placed.a[0] + nx, placed.a[1] + ny), (placed.b[0] + nx, placed.b[1] + ny)


def _leaf(placed: PlacedOpening) -> tuple[Group, str, bool]:
    """Tell what fills an opening with its leaf shut, and whether that is assumed.

    A door is of timber and a pane of double glass unless the record says otherwise.
    """
    opening = placed.opening
    if opening.kind == "archway":
        return "open", "", False
    if opening.kind in ("window", "rooflight") or (opening.kind == "sliding-door" and opening.leaf is None):
        return "pane", opening.glass or "double", opening.glass is None
    return "leaf", opening.leaf or "timber", opening.leaf is None


def _floors(dwelling: Dwelling, line: _Line) -> Iterator[Crossing]:
    for below, above in pairwise(dwelling.storeys):
        if line.low < above.level <= line.high:
            thickness = max(above.level - below.level - below.storey.height.lowest, 0.0)
            at = line.at((above.level - line.start[2]) / line.run[2])
            angle = line.angle(abs(line.run[2]))
            yield Crossing("floor", "floor", thickness, angle, above.id, (None, None), at, assumed=True)


@lru_cache(maxsize=4)
def _parts(dwelling: Dwelling) -> tuple[_Part, ...]:
    levels = [storey.level for storey in dwelling.storeys]
    bounds = [float("-inf"), *levels[1:], float("inf")]
    return tuple(
        _Part(shape, low, high) for shape, low, high in zip(dwelling.storeys, bounds[:-1], bounds[1:], strict=True)
    )
