"""From a place of the record to a spot in the dwelling."""

import re
from collections.abc import Mapping
from math import dist

from shapely import Polygon, box

from asfitted.dwelling.shapes import XY, PlacedOpening, RoomShape, Spot, Wall, bearing
from asfitted.dwelling.tapes import ceiling_point, corner_point
from asfitted.dwelling.walls import distance_from_end, find_room, find_wall
from asfitted.model.base import Unusable, shown
from asfitted.model.building import Opening
from asfitted.model.place import Place
from asfitted.model.words import READING_TOLERANCE, Corner, Side

_CEILING = re.compile(r"ceiling of ([a-z0-9-]+)")
_OUTSIDE = re.compile(r"([a-z0-9-]+) ((?:north|east|south|west)(?:-[0-9])?)")
_BEARINGS: dict[Side | Corner, float] = {
    "north": 0.0,
    "north-east": 45.0,
    "east": 90.0,
    "south-east": 135.0,
    "south": 180.0,
    "south-west": 225.0,
    "west": 270.0,
    "north-west": 315.0,
}
_NEAR = 1e-6
BELOW_SILL, ABOVE_HEAD = 0.05, 0.15
"""Metres by which something on an opening may sit below its sill, and above its head on the frame (common practice,
no source)."""
CORNER_SLACK = 5.0
"""Degrees by which something in a corner may look past a wall: what a bearing read by eye is out (common practice,
no source)."""


def named_in(place: Place) -> str | None:
    """Give the id of the room or opening that a place names; None when it names none."""
    if place.on:
        match = _CEILING.fullmatch(place.on)
        return match[1] if match else place.on
    if place.outside:
        match = _OUTSIDE.fullmatch(place.outside)
        return match[1] if match else None
    return place.in_


def spot_of(place: Place, rooms: Mapping[str, RoomShape], openings: Mapping[str, PlacedOpening]) -> Spot:
    """Find the spot of a place of the record.

    Raises:
        Unusable: for a room, wall or opening that is not there, and for distances that end outside the room.
    """
    if place.outside:
        return _outside(place, rooms)
    if place.on:
        if match := _CEILING.fullmatch(place.on):
            return _on_ceiling(place, find_room(rooms, match[1]))
        if place.on not in openings:
            known = f" ({', '.join(openings)})" if openings else ""
            raise Unusable(f"on {shown(place.on)}", f"“ceiling of ROOM”, or the id of an opening{known}")
        return _on_opening(place, openings[place.on], rooms)
    if place.in_ is None:
        raise Unusable("no place", "“on: ceiling of ROOM”, “on: OPENING”, “in: ROOM” or “outside: ROOM SIDE”")
    return _in_room(place, find_room(rooms, place.in_))


def _facing(place: Place) -> float | None:
    """Give the recorded bearing a thing looks at."""
    if isinstance(place.facing, str):
        return _BEARINGS[place.facing]
    return None if place.facing is None else place.facing % 360.0


def _facing_into(place: Place, room: RoomShape, default: float, view: tuple[float, float], slack: float = 0.0) -> float:
    """Give the bearing a thing looks at from the edge of a room.

    Args:
        place: as recorded.
        room: the room.
        default: the bearing it looks at if none is recorded.
        view: the bearing of the middle of what lies before it, and the degrees to either side up to the walls.
        slack: degrees past a wall that are let pass.

    Raises:
        Unusable: when the recorded bearing points out of the room.
    """
    facing, (middle, half) = _facing(place), view
    if facing is None:
        return default
    over = abs((facing - middle + 180.0) % 360.0 - 180.0) - half
    if over > slack + _NEAR:
        told = f"{place.facing}, {facing:g}°" if isinstance(place.facing, str) else f"{facing:g}°"
        first, last = (f"{round(middle + turn, 1) % 360:g}°" for turn in (-half, half))
        raise Unusable(
            f"facing {told}, which points out of {room.id}, {over:.3g}° past the wall",
            f"a bearing from {first} clockwise to {last}",
            f"Record what it looks at; without “facing” that is {round(default, 1):g}°, straight into the room.",
        )
    return facing


def _view_from(room: RoomShape, corner: XY) -> tuple[float, float]:
    """Give the middle bearing between the two walls that meet in a corner, and half the angle between them."""
    after = min(room.walls, key=lambda wall: dist(wall.a, corner))
    before = min(room.walls, key=lambda wall: dist(wall.b, corner))
    first = bearing(-before.along[0], -before.along[1])
    half = (bearing(*after.along) - first) % 360.0 / 2
    return first + half, half


def _tolerance(place: Place) -> float:
    return READING_TOLERANCE[place.by]


def _on_ceiling(place: Place, room: RoomShape) -> Spot:
    if not place.tapes:
        return Spot(room.storey, room.id, None, place.height, "ceiling", tolerance=_tolerance(place))
    x, y = ceiling_point(room, place.tapes)
    height = place.height if place.height is not None else room.ceiling.height_at(x, y)
    return Spot(room.storey, room.id, (x, y), height, "ceiling", None, None, _facing(place), _tolerance(place))


def _on_opening(place: Place, opening: PlacedOpening, rooms: Mapping[str, RoomShape]) -> Spot:
    if place.tapes:
        raise Unusable(f"a distance along {opening.id}", "the edge of the opening it sits at, and its height")
    _check_height(place, opening.opening)
    room = rooms[opening.rooms[0]]
    point, facing = opening.middle, _facing(place)
    if opening.wall:
        facing = bearing(-opening.wall.outward[0], -opening.wall.outward[1]) if facing is None else facing
        edge = getattr(place, "edge", None)
        hinge = opening.opening.hinge
        if edge in ("lock side", "hinge side") and hinge:
            at_hinge = opening.end_towards(hinge)
            at_lock = opening.a if at_hinge == opening.b else opening.b
            point = at_hinge if edge == "hinge side" else at_lock
    return Spot(room.storey, room.id, point, place.height, "opening", opening.wall, opening, facing, _tolerance(place))


def _check_height(place: Place, opening: Opening) -> None:
    """Refuse a height off the opening, where the record gives both its edges: one that is assumed is no evidence."""
    known = "sill" in opening.model_fields_set or opening.kind in ("door", "sliding-door", "archway")
    if place.height is None or opening.height is None or not known or opening.kind == "rooflight":
        return
    low, high = max(opening.sill - BELOW_SILL, 0.0), opening.sill + opening.height + ABOVE_HEAD
    if not low - _NEAR <= place.height <= high + _NEAR:
        above = place.height > high
        edge = f"ends at {opening.sill + opening.height:.2f} m" if above else f"begins at {opening.sill:.2f} m"
        raise Unusable(
            f"a height of {place.height:.2f} m above the floor on the {opening.called}, which {edge}",
            f"a height from {low:.2f} to {high:.2f} m, frame included",
            "Measure again, or record it on the wall: “in: ROOM” and “wall: SIDE”.",
        )


def _outside(place: Place, rooms: Mapping[str, RoomShape]) -> Spot:
    match = _OUTSIDE.fullmatch(place.outside or "")
    if not match:
        raise Unusable(f"outside {shown(place.outside)}", "“ROOM SIDE”, such as kitchen north")
    room = find_room(rooms, match[1])
    wall = find_wall(room.walls, match[2], room.id)
    distance = _along(place, wall)
    facing = bearing(*wall.outward) if place.facing is None else _facing(place)
    if distance is None:
        return Spot(room.storey, room.id, None, place.height, "outside", wall, None, facing, _tolerance(place))
    face = wall.face_at(distance)
    if face.beyond is not None:
        raise Unusable(f"the outside of {room.id} {wall.name}, where {face.beyond} is", "an outer wall")
    point = wall.at(distance, face.thickness)
    return Spot(room.storey, room.id, point, place.height, "outside", wall, None, facing, _tolerance(place))


def _along(place: Place, wall: Wall) -> float | None:
    """Give metres from the start of a wall, from the one distance taken along it; None when none was taken."""
    if not place.tapes:
        return None
    if len(place.tapes) > 1:
        raise Unusable(f"{len(place.tapes)} distances along one wall", "one distance, from an end of the wall")
    ((side, offset),) = place.tapes.items()
    distance = distance_from_end(wall, side, offset)
    if not -_NEAR <= distance <= wall.length + _NEAR:
        raise Unusable(
            f"{offset:.2f} m from {side} along the {wall.name} wall of {wall.room}, {wall.length:.2f} m long",
            "a distance within the wall",
        )
    return distance


def _in_room(place: Place, room: RoomShape) -> Spot:
    tolerance = _tolerance(place)
    if place.corner:
        point = corner_point(room, place.corner)
        into = (_BEARINGS[place.corner] + 180.0) % 360.0
        facing = _facing_into(place, room, into, _view_from(room, point), CORNER_SLACK)
        return Spot(room.storey, room.id, point, place.height, "corner", None, None, facing, tolerance)
    if place.wall:
        wall = find_wall(room.walls, place.wall, room.id)
        inward = bearing(-wall.outward[0], -wall.outward[1])
        facing = _facing_into(place, room, inward, (inward, 90.0))
        distance = _along(place, wall)
        point_on = wall.at(distance) if distance is not None else None
        return Spot(room.storey, room.id, point_on, place.height, "wall", wall, None, facing, tolerance)
    if place.tapes:
        x, y = ceiling_point(room, place.tapes)
        return Spot(room.storey, room.id, (x, y), place.height, "floor", None, None, _facing(place), tolerance)
    return Spot(room.storey, room.id, None, place.height, "unknown", None, None, _facing(place), tolerance)


def rectangle_at(point: XY, wall: Wall | None, size: tuple[float, float]) -> Polygon:
    """Give the plan of something of a size, with its back to a wall at a point, or around the point."""
    x, y = point
    width, depth = size
    if wall is None:
        return box(x - width / 2, y - depth / 2, x + width / 2, y + depth / 2)
    nx, ny = -wall.outward[0], -wall.outward[1]
    if wall.side in ("north", "south"):
        return box(x - width / 2, min(y, y + ny * depth), x + width / 2, max(y, y + ny * depth))
    return box(min(x, x + nx * width), y - depth / 2, max(x, x + nx * width), y + depth / 2)
