"""Openings set into walls and matched between rooms."""

import re
from collections.abc import Mapping
from math import cos, radians

from shapely import box

from asfitted.dwelling.outlines import ON_ONE_LINE
from asfitted.dwelling.shapes import XY, PlacedOpening, RoomShape, Wall
from asfitted.dwelling.tapes import ceiling_point
from asfitted.dwelling.walls import find_room, find_wall, starts_at
from asfitted.model.base import Unusable, shown
from asfitted.model.building import Opening

DOOR_HEIGHT = 2.00
"""Metres; an inner door's usual height where the record gives none (common practice, no source)."""
WINDOW_HEIGHT = 1.20
"""Metres; the same for a window or rooflight (common practice, no source)."""

_SIDE = r"(?:north|east|south|west)(?:-[0-9])?"
_WHERE = re.compile(rf"(?P<room>[a-z0-9-]+?)(?: (?P<wall>{_SIDE}))?(?: - (?P<beyond>[a-z0-9-]+))?")


def place_opening(opening: Opening, storey: str, rooms: Mapping[str, RoomShape]) -> PlacedOpening:
    """Set an opening into its wall.

    Raises:
        Unusable: for a wall or room that is not there, an opening beyond its wall, or a neighbour that is not
        named.
    """
    height = opening.height or (WINDOW_HEIGHT if opening.kind in ("window", "rooflight") else DOOR_HEIGHT)
    if opening.kind == "rooflight":
        return _rooflight(opening, storey, rooms, height)
    match = _WHERE.fullmatch(opening.where)
    if not match or not (match["wall"] or match["beyond"]):
        example = "“ROOM SIDE” such as hall south, or “ROOM - ROOM” such as hall - living"
        raise Unusable(shown(opening.where), example)
    room = find_room(rooms, match["room"])
    beyond = find_room(rooms, match["beyond"]).id if match["beyond"] else None
    if match["wall"]:
        wall = find_wall(room.walls, match["wall"], room.id)
        start = _start(opening, wall)
    else:
        wall, start = _shared_wall(opening, room, str(beyond))
    end = start + opening.width
    _check_reach(opening, wall, start)
    _check_height(opening, room)
    _check_behind(opening, wall, _behind(wall, start, end), beyond)
    thickness = wall.face_at((start + end) / 2).thickness
    return PlacedOpening(opening, storey, (room.id, beyond), wall.at(start), wall.at(end), wall, thickness, height)


def _start(opening: Opening, wall: Wall) -> float:
    """Give metres from the wall's start to the opening's start, from the tape taken to its nearest edge."""
    tapes = opening.tapes
    if len(tapes) != 1:
        raise Unusable(
            f"{len(tapes) or 'no'} distances along the {wall.name} wall of {wall.room}",
            "one distance, to the nearest edge of the opening",
        )
    ((side, offset),) = tapes.items()
    return offset if starts_at(wall, side) else wall.length - offset - opening.width


def _shared_wall(opening: Opening, one: RoomShape, other: str) -> tuple[Wall, float]:
    """Find the wall between two rooms that has room for an opening at its distance, and where it starts there."""
    walls = [wall for wall in one.walls if any(face.beyond == other for face in wall.faces)]
    if not walls:
        raise Unusable(f"{one.id} and {other}, which share no wall", "two rooms side by side")
    starts: list[tuple[Wall, float]] = []
    trouble: Unusable | None = None
    for wall in walls:
        try:
            start = _start(opening, wall)
        except Unusable as reason:
            trouble = reason
            continue
        if len(walls) == 1 or _behind(wall, start, start + opening.width) == {other}:
            starts.append((wall, start))
    if len(starts) == 1:
        return starts[0]
    if trouble and not starts:
        raise trouble
    names = " and ".join(wall.name for wall in walls)
    raise Unusable(
        f"the walls {names} between {one.id} and {other}, with {opening.id} fitting {'several' if starts else 'none'}",
        "the wall by name and a distance within it",
        f"Write for example “{opening.kind}: {one.id} {walls[0].name} - {other}”.",
    )


def _behind(wall: Wall, start: float, end: float) -> set[str | None]:
    return {f.beyond for f in wall.faces if min(f.end, end) - max(f.start, start) > ON_ONE_LINE}


def _check_reach(opening: Opening, wall: Wall, start: float) -> None:
    over = max(-start, start + opening.width - wall.length)
    if over > ON_ONE_LINE:
        raise Unusable(
            f"{opening.id} {over:.2f} m beyond the {wall.name} wall of {wall.room}, which is {wall.length:.2f} m long",
            "an opening within its wall",
        )


def _check_height(opening: Opening, room: RoomShape) -> None:
    over = opening.sill + (opening.height or 0.0) - room.ceiling.high
    if over > ON_ONE_LINE:
        raise Unusable(
            f"the top of {opening.id} {over:.2f} m above the ceiling of {room.id}, {room.ceiling.high:.2f} m high",
            "a sill and a height that end below it",
        )


def _check_behind(opening: Opening, wall: Wall, behind: set[str | None], wanted: str | None) -> None:
    if behind == {wanted}:
        return
    there = " and ".join(sorted(name or "the outside" for name in behind))
    found = f"{there} behind the {wall.name} wall of {wall.room} at {opening.id}"
    if wanted is None:
        rooms = sorted(name for name in behind if name)
        write = f"“{opening.kind}: {wall.room} - {rooms[0]}”" if rooms else "another distance"
        raise Unusable(found, "the outside", f"Write {write} if the opening leads there.")
    raise Unusable(found, f"{wanted} along the whole width", "Check the distance and the width.")


def _rooflight(opening: Opening, storey: str, rooms: Mapping[str, RoomShape], height: float) -> PlacedOpening:
    """Set a rooflight into its ceiling: its width across the slope, its height foreshortened down the slope."""
    room = find_room(rooms, opening.where)
    x, y = ceiling_point(room, opening.tapes)
    axis = room.ceiling.axis or (0.0, 1.0)
    across: XY = (abs(axis[1]) * opening.width / 2, abs(axis[0]) * opening.width / 2)
    run = height * cos(radians(room.ceiling.pitch)) / 2
    half_x, half_y = across[0] + abs(axis[0]) * run, across[1] + abs(axis[1]) * run
    outline = box(x - half_x, y - half_y, x + half_x, y + half_y)
    a, b = (x - across[0], y - across[1]), (x + across[0], y + across[1])
    return PlacedOpening(opening, storey, (room.id, None), a, b, None, 0.0, height, outline)
