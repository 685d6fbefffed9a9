"""From distances taken with a tape to a point in a room, and back."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from math import hypot

from shapely import LineString, Point, affinity

from asfitted.dwelling.shapes import SIDE_VECTORS, XY, RoomShape, Wall
from asfitted.model.base import Unusable
from asfitted.model.words import Corner, Side

AGREE = 0.10
"""Metres by which a further distance may differ from the room as measured (common practice, no source)."""

_FACES = 0.3
"""Least cosine between a tape and the direction a wall faces for the tape to be taken from it: walls of a walked room
are a little out of square, and a wall that the tape runs along is not the one it ends at."""
_ALIKE = "In a room of like arms, record one arm as a room of its own, with an archway between."
_NEAR, _DUST = 1e-6, 1e-5
_UPRIGHT: tuple[Side, ...] = ("north", "south")
_LEVEL: tuple[Side, ...] = ("east", "west")
_CORNERS: dict[Corner, XY] = {
    "north-east": (1.0, 1.0),
    "south-east": (1.0, -1.0),
    "south-west": (-1.0, -1.0),
    "north-west": (-1.0, 1.0),
}


def reach(room: RoomShape, point: XY, side: Side) -> float:
    """Give the horizontal distance from a point in a room to the first wall in a direction, in metres.

    It is what a tape shows. From a point outside the room it is the distance to the first wall that bounds
    the room on that side, or 0 where there is none.
    """
    found = [(leaves, away) for wall in room.walls for leaves, away in _hits(wall, point, side)]
    ends_at = [away for leaves, away in found if leaves > _FACES] or [away for _, away in found]
    return min(ends_at, default=0.0)


def _hits(wall: Wall, point: XY, side: Side) -> Iterator[tuple[float, float]]:
    """Give how squarely and how far away a wall bounds the room before a point, if it does."""
    vx, vy = SIDE_VECTORS[side]
    nx, ny = wall.outward
    leaves = nx * vx + ny * vy
    if leaves <= _NEAR:
        return
    away = ((wall.a[0] - point[0]) * nx + (wall.a[1] - point[1]) * ny) / leaves
    x, y = point[0] + vx * away - wall.a[0], point[1] + vy * away - wall.a[1]
    along = x * wall.along[0] + y * wall.along[1]
    if away > -_NEAR and -_NEAR <= along <= wall.length + _NEAR:
        yield leaves, max(away, 0.0)


def ceiling_point(room: RoomShape, tapes: Mapping[Side, float]) -> XY:
    """Give the point of a room that lies at the distances taken from two of its walls.

    In a room with corners that jut in, two distances can fit several points; the record must then say more. A
    third or fourth distance must agree with the room as it was measured.

    Raises:
        Unusable: when the distances are too few, fit no point of the room, fit several, or contradict each
        other.
    """
    upright = [side for side in _UPRIGHT if side in tapes]
    level = [side for side in _LEVEL if side in tapes]
    if not upright or not level:
        found = f"only {_told(tapes, list(tapes))}" if tapes else "no distance"
        raise Unusable(found, "one distance from north or south and one from east or west")
    pairs = [_Pair(room, tapes, up, across) for up, across in product(upright, level)]
    for pair in sorted(pairs, key=lambda pair: len(pair.fits) != 1):  # one that leaves no choice is the sharpest
        if len(pair.agreeing) == 1:
            return pair.agreeing[0]
    pair = next((pair for pair in pairs if pair.agreeing), pairs[0])
    if pair.agreeing:
        raise Unusable(
            f"{_told(tapes, [*upright, *level])}, which fits more than one point of {room.id}",
            "distances that fit one point",
            _ALIKE if len(tapes) == 4 else "Add a third distance, from another wall.",
        )
    if pair.fits:
        raise _contradiction(room, pair.fits[0], tapes, pair.extra)
    west, south, east, north = room.outline.bounds
    raise Unusable(
        f"{_told(tapes, [pair.up, pair.across])}, which is outside {room.id} "
        f"({east - west:.2f} m by {north - south:.2f} m)",
        "distances that end in the room",
    )


class _Pair:
    """Two of the distances, the points they fit, and those of them that the other distances agree with."""

    def __init__(self, room: RoomShape, tapes: Mapping[Side, float], up: Side, across: Side) -> None:
        self.up, self.across = up, across
        self.extra = [side for side in tapes if side not in (up, across)]
        self.fits = _points(room, up, tapes[up], across, tapes[across])
        self.agreeing = [
            point for point in self.fits if all(abs(reach(room, point, s) - tapes[s]) <= AGREE for s in self.extra)
        ]


def _told(tapes: Mapping[Side, float], sides: Sequence[Side]) -> str:
    return " and ".join(f"{tapes[side]:.2f} m from {side}" for side in sides)


def _contradiction(room: RoomShape, point: XY, tapes: Mapping[Side, float], extra: Sequence[Side]) -> Unusable:
    """Say which distance does not agree with the one taken from the opposite wall."""
    side = max(extra, key=lambda s: abs(reach(room, point, s) - tapes[s]))
    pairs: dict[Side, Side] = {"north": "south", "south": "north", "east": "west", "west": "east"}
    other = pairs[side]
    wide = reach(room, point, side) + tapes[other]
    return Unusable(
        f"{_told(tapes, [other, side])}, together {tapes[other] + tapes[side]:.2f} m, "
        f"where {room.id} measures {wide:.2f} m across",
        f"distances that agree with the room within {AGREE:.2f} m",
        "Measure again, or leave one of the two out.",
    )


def _points(room: RoomShape, up: Side, up_value: float, across: Side, across_value: float) -> list[XY]:
    """Give the points of a room that lie at two distances, one along each axis of the plan.

    Where both tapes end at one slanted wall, a whole line of points fits; its ends stand for it.
    """
    fits: list[XY] = []
    for (one, a), (other, b) in product(_shifted(room, up, up_value), _shifted(room, across, across_value)):
        if one is other:
            ends = [Point(end) for end in a.coords if b.distance(Point(end)) < _DUST]
            crossings = [*ends, *(Point(end) for end in b.coords if a.distance(Point(end)) < _DUST)]
        else:
            crossings = [a.intersection(b)]
        for cross in crossings:
            if not isinstance(cross, Point) or cross.is_empty or room.outline.distance(cross) > _NEAR:
                continue
            point = (float(cross.x), float(cross.y))
            off = abs(reach(room, point, up) - up_value) + abs(reach(room, point, across) - across_value)
            if off < 4 * _DUST and all(hypot(point[0] - x, point[1] - y) > _NEAR for x, y in fits):
                fits.append(point)
    return sorted(fits)


def _shifted(room: RoomShape, side: Side, value: float) -> list[tuple[Wall, LineString]]:
    """Give the walls that bound a room towards a side, each with its line moved into the room by a distance."""
    vx, vy = SIDE_VECTORS[side]
    return [
        (wall, affinity.translate(wall.line, -vx * value, -vy * value))
        for wall in room.walls
        if wall.outward[0] * vx + wall.outward[1] * vy > _FACES
    ]


def corner_point(room: RoomShape, corner: Corner) -> XY:
    """Give the corner of a room that lies furthest towards a compass corner.

    Raises:
        Unusable: when two corners lie equally far.
    """
    dx, dy = _CORNERS[corner]
    ring: Sequence[XY] = [(float(x), float(y)) for x, y in room.outline.exterior.coords[:-1]]
    best = max(x * dx + y * dy for x, y in ring)
    at_best = [p for p in ring if best - (p[0] * dx + p[1] * dy) < 0.02]
    if len(at_best) > 1:
        raise Unusable(f"“{corner}”, but {room.id} has {len(at_best)} such corners", "a wall and a distance along it")
    return at_best[0]
