"""The walls of a room: their names, and what is behind each stretch of them."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from shapely import Polygon

from asfitted.dwelling.outlines import NEAR, ON_ONE_LINE, THICKEST_WALL
from asfitted.dwelling.shapes import SIDE_VECTORS, XY, Face, RoomShape, Wall
from asfitted.model.base import Unusable, did_you_mean, shown
from asfitted.model.building import WallMake, Walls
from asfitted.model.words import Side


def side_of(direction: XY) -> Side:
    """Give the side of the plan that a direction points to most."""
    x, y = direction
    return max(SIDE_VECTORS, key=lambda side: round(SIDE_VECTORS[side][0] * x + SIDE_VECTORS[side][1] * y, 6))


def walls_of(room: str, outline: Polygon) -> tuple[Wall, ...]:
    """Give the walls of a room in order round it, each named after the side it bounds.

    Where a room has several walls on one side they are numbered from west to east or from south to north.
    """
    ring: Sequence[XY] = [(float(x), float(y)) for x, y in outline.exterior.coords]
    drawn: list[Wall] = []
    by_side: dict[Side, list[int]] = defaultdict(list)
    for a, b in pairwise(ring):
        if abs(a[0] - b[0]) + abs(a[1] - b[1]) < 1e-9:
            continue
        wall = Wall(room, "", "north", a, b)
        side = side_of(wall.outward)
        by_side[side].append(len(drawn))
        drawn.append(replace(wall, side=side))
    for side, numbers in by_side.items():
        along = 0 if side in ("north", "south") else 1
        numbers.sort(key=lambda i: drawn[i].a[along] + drawn[i].b[along])
        for count, i in enumerate(numbers, start=1):
            drawn[i] = replace(drawn[i], name=side if len(numbers) == 1 else f"{side}-{count}")
    return tuple(drawn)


def with_faces(wall: Wall, others: Mapping[str, Sequence[Wall]], makes: Walls) -> Wall:
    """Find what is behind a wall: the stretches shared with other rooms, and the rest, which is outside.

    Behind each stretch stands the nearest room, so that a narrow cupboard is not looked through.
    """
    behind: list[tuple[float, float, float, str]] = []
    (ux, uy), (nx, ny) = wall.along, wall.outward
    for room, walls in others.items():
        for other in walls:
            if other.outward[0] * nx + other.outward[1] * ny > -0.999:
                continue
            gap = (other.a[0] - wall.a[0]) * nx + (other.a[1] - wall.a[1]) * ny
            ends = sorted((p[0] - wall.a[0]) * ux + (p[1] - wall.a[1]) * uy for p in (other.a, other.b))
            start, end = max(ends[0], 0.0), min(ends[1], wall.length)
            if -ON_ONE_LINE <= gap <= THICKEST_WALL + NEAR and end - start > ON_ONE_LINE:
                behind.append((gap, start, end, room))
    shared: list[Face] = []
    for gap, start, end, room in sorted(behind):
        thick = gap if gap > ON_ONE_LINE else 0.0
        shared += [Face(a, b, room, thick, makes.inside.of) for a, b in _uncovered(start, end, shared)]
    return replace(wall, faces=tuple(_fill(sorted(shared, key=lambda f: f.start), wall.length, makes.outside)))


def _uncovered(start: float, end: float, faces: Sequence[Face]) -> list[tuple[float, float]]:
    """Give the parts of a stretch that no face covers yet."""
    parts = [(start, end)]
    for face in faces:
        split = [((a, min(b, face.start)), (max(a, face.end), b)) for a, b in parts]
        parts = [part for halves in split for part in halves if part[0] < part[1]]
    return [(a, b) for a, b in parts if b - a > ON_ONE_LINE]


def _fill(shared: list[Face], length: float, outside: WallMake) -> list[Face]:
    faces, reached = [], 0.0
    for face in shared:
        if face.start > reached + ON_ONE_LINE:
            faces.append(Face(reached, face.start, None, outside.thickness, outside.of))
        faces.append(face)
        reached = max(reached, face.end)
    if length > reached + ON_ONE_LINE or not faces:
        faces.append(Face(reached, length, None, outside.thickness, outside.of))
    return faces


def find_room(rooms: Mapping[str, RoomShape], name: str | None) -> RoomShape:
    """Find a room by its id among those of a storey or of the home.

    Raises:
        Unusable: when there is none.
    """
    if name is None or name not in rooms:
        whole = "home" if len({room.storey for room in rooms.values()}) > 1 else "storey"
        near = did_you_mean(name, list(rooms)) if name else ""
        expected = "one of " + ", ".join(rooms) if rooms else "a room of the record"
        raise Unusable(f"{shown(name)}, which is no room of this {whole}", expected, near)
    return rooms[name]


def find_wall(walls: Sequence[Wall], name: str, room: str) -> Wall:
    """Find a wall of a room by its name.

    Raises:
        Unusable: when there is none, or when the room has several on that side and the name has no number.
    """
    for wall in walls:
        if wall.name == name:
            return wall
    several = [wall for wall in walls if wall.side == name]
    if several:
        told = "; ".join(f"{w.name} is {w.length:.2f} m long" for w in several)
        raise Unusable(f"{shown(name)}, but {room} has {len(several)} such walls", f"one of them ({told})")
    names = ", ".join(wall.name for wall in walls)
    raise Unusable(f"{shown(name)}, which is no wall of {room}", f"one of {names}")


def starts_at(wall: Wall, side: Side) -> bool:
    """Tell whether the end of a wall that lies towards a side is its start.

    Raises:
        Unusable: when the wall has no end on that side.
    """
    towards = _towards(wall, side)
    if abs(towards) < 0.3:
        ends = " or ".join(f"from-{s}" for s in SIDE_VECTORS if abs(_towards(wall, s)) >= 0.3)
        raise Unusable(f"a distance from-{side} along the {wall.name} wall of {wall.room}", ends)
    return towards < 0


def _towards(wall: Wall, side: Side) -> float:
    return wall.along[0] * SIDE_VECTORS[side][0] + wall.along[1] * SIDE_VECTORS[side][1]


def distance_from_end(wall: Wall, side: Side, offset: float) -> float:
    """Turn a distance taken from one end of a wall into a distance from its start.

    Raises:
        Unusable: when the wall has no end on that side.
    """
    return offset if starts_at(wall, side) else wall.length - offset
