"""From a place of the record to a spot in the dwelling."""

import re
from collections.abc import Mapping

from shapely import Polygon, box

from asfitted.dwelling.shapes import XY, PlacedOpening, RoomShape, Spot, Wall, bearing
from asfitted.dwelling.tapes import ceiling_point, corner_point
from asfitted.dwelling.walls import distance_from_end, find_wall
from asfitted.model.base import Unusable, shown
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


def facing_of(place: Place, default: float | None) -> float | None:
    """Give the bearing a thing looks at: as written, or the default of its place."""
    if place.facing is None:
        return default
    if isinstance(place.facing, str):
        return _BEARINGS[place.facing]
    return place.facing % 360.0


def spot_of(place: Place, rooms: Mapping[str, RoomShape], openings: Mapping[str, PlacedOpening]) -> Spot:
    """Find the spot of a place of the record.

    Raises:
        Unusable: for a room, wall or opening that is not there, and for distances that end outside the room.
    """
    if place.outside:
        return _outside(place, rooms)
    if place.on:
        if match := _CEILING.fullmatch(place.on):
            return _on_ceiling(place, _room(match[1], rooms))
        if place.on not in openings:
            known = f" ({', '.join(openings)})" if openings else ""
            raise Unusable(f"on {shown(place.on)}", f"“ceiling of ROOM”, or the id of an opening{known}")
        return _on_opening(place, openings[place.on], rooms)
    if place.in_ is None:
        raise Unusable("no place", "“on: ceiling of ROOM”, “on: OPENING”, “in: ROOM” or “outside: ROOM SIDE”")
    return _in_room(place, _room(place.in_, rooms))


def _room(name: str, rooms: Mapping[str, RoomShape]) -> RoomShape:
    if name not in rooms:
        raise Unusable(f"{shown(name)}, which is no room of this home", "one of " + ", ".join(rooms))
    return rooms[name]


def _tolerance(place: Place) -> float:
    return READING_TOLERANCE[place.by]


def _on_ceiling(place: Place, room: RoomShape) -> Spot:
    if not place.tapes:
        return Spot(room.storey, room.id, None, place.height, "ceiling", tolerance=_tolerance(place))
    x, y = ceiling_point(room, place.tapes)
    height = place.height if place.height is not None else room.ceiling.height_at(x, y)
    return Spot(room.storey, room.id, (x, y), height, "ceiling", None, None, facing_of(place, None), _tolerance(place))


def _on_opening(place: Place, opening: PlacedOpening, rooms: Mapping[str, RoomShape]) -> Spot:
    if place.tapes:
        raise Unusable(f"a distance along {opening.id}", "the edge of the opening it sits at, and its height")
    room = rooms[opening.rooms[0]]
    point = opening.middle
    inward = None
    if opening.wall:
        inward = bearing(-opening.wall.outward[0], -opening.wall.outward[1])
        edge = getattr(place, "edge", None)
        hinge = opening.opening.hinge
        if edge in ("lock side", "hinge side") and hinge:
            at_hinge = opening.end_towards(hinge)
            at_lock = opening.a if at_hinge == opening.b else opening.b
            point = at_hinge if edge == "hinge side" else at_lock
    facing = facing_of(place, inward)
    return Spot(room.storey, room.id, point, place.height, "opening", opening.wall, opening, facing, _tolerance(place))


def _outside(place: Place, rooms: Mapping[str, RoomShape]) -> Spot:
    match = _OUTSIDE.fullmatch(place.outside or "")
    if not match:
        raise Unusable(f"outside {shown(place.outside)}", "“ROOM SIDE”, such as kitchen north")
    room = _room(match[1], rooms)
    wall = find_wall(room.walls, match[2], room.id)
    distance = _along(place, wall)
    facing = facing_of(place, bearing(*wall.outward))
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
        return Spot(room.storey, room.id, point, place.height, "corner", None, None, facing_of(place, into), tolerance)
    if place.wall:
        wall = find_wall(room.walls, place.wall, room.id)
        facing = facing_of(place, bearing(-wall.outward[0], -wall.outward[1]))
        distance = _along(place, wall)
        point_on = wall.at(distance) if distance is not None else None
        return Spot(room.storey, room.id, point_on, place.height, "wall", wall, None, facing, tolerance)
    if place.tapes:
        x, y = ceiling_point(room, place.tapes)
        return Spot(room.storey, room.id, (x, y), place.height, "floor", None, None, facing_of(place, None), tolerance)
    return Spot(room.storey, room.id, None, place.height, "unknown", None, None, facing_of(place, None), tolerance)


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
