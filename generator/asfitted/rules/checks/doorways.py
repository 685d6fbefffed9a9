"""How far a device is from the door of a room, on foot."""

from collections.abc import Iterable
from dataclasses import dataclass

from asfitted.dwelling.paths import walk
from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case, Placed


@dataclass(frozen=True, slots=True)
class Way:
    """A device, and how far one walks from under it to the nearest door of a room: 0 inside the room."""

    placed: Placed
    length: float


def way_to_door(case: Case, room: RoomShape, devices: Iterable[Placed]) -> Way | None:
    """Give the device nearest to a door of a room, along the way one walks; None where none has a place."""
    doors = [
        (other, (float(middle.x), float(middle.y)))
        for opening in case.dwelling.openings_of(room.id)
        for other in opening.rooms
        if opening.is_door and other not in (room.id, None)
        for middle in (opening.line_in(other).interpolate(0.5, normalized=True),)
    ]
    ways = []
    for placed in devices:
        if placed.spot.fixed == "outside":
            continue
        if placed.spot.room == room.id:
            return Way(placed, 0.0)
        if placed.spot.point is None:
            continue
        walks = [walk(case.dwelling, (placed.spot.room, placed.spot.point), door) for door in doors]
        ways += [Way(placed, found.length) for found in walks if found is not None]
    return min(ways, key=lambda way: way.length, default=None)
