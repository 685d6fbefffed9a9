"""The ways sound takes between the rooms of a dwelling: openings, stairs, walls and floors, each with its inputs."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, radians
from typing import Literal

from asfitted.dwelling.shapes import Dwelling, PlacedOpening, RoomShape
from asfitted.reckon.standard import standard
from asfitted.reckon.working import Input

Doors = Literal["open", "closed"]
"""How the inner doors stand."""

LEAST = 0.5
"""Square metres of wall or floor below which what goes through is left out."""
MOST_OPEN = 0.5
"""Share of a room's surface that can stand open: beyond it the room is no room of its own (common practice, no
source)."""
_SURVEYED, _AREA_SPREAD = "the rooms as surveyed", 0.02


@dataclass(frozen=True)
class Passage:
    """One way from room to room.

    Attributes:
        kind: *door* (a leaf that may be shut), *open* (archway, stairs), *wall* or *floor*.
        called: what it is called.
        rooms: on either side.
        area: square metres.
        reduced: what is known of its sound reduction; None for what is open.
        width: of a door, in metres.
        at: the middle of an opening, in metres on the plan and in height; None for walls and floors, which sound goes
            through all over.
    """

    kind: Literal["door", "open", "wall", "floor"]
    called: str
    rooms: tuple[str, str]
    area: float
    reduced: Input | None = None
    width: float = 0.0
    at: tuple[float, float, float] | None = None

    def stands_open(self, doors: Doors) -> bool:
        """Tell whether nothing is in the way of the sound."""
        return self.kind == "open" or (self.kind == "door" and doors == "open")

    def behind(self, room: str) -> str:
        """Give the room on the other side."""
        return self.rooms[1] if room == self.rooms[0] else self.rooms[0]

    def inputs(self, k: int, doors: Doors) -> dict[str, Input]:
        """Give its inputs as the ``k``-th partition on a way; see :func:`asfitted.reckon.room_sound.heard`."""
        spread = _AREA_SPREAD * self.area
        found = [Input(f"S{k}", f"area of {self.called}", self.area, "m²", "measured", _SURVEYED, spread)]
        if self.reduced is not None and not self.stands_open(doors):
            found.append(replace(self.reduced, symbol=f"R{k}", meaning=f"{self.reduced.meaning}, {self.called}"))
            if self.kind == "door":
                found.append(replace(standard("sound", "door-g"), symbol=f"g{k}"))
                found.append(Input(f"b{k}", f"width of {self.called}", self.width, "m", "stated", "the record"))
        return {given.symbol: given for given in found}


def passages(dwelling: Dwelling) -> tuple[Passage, ...]:
    """Give every way of sound between two rooms of a dwelling."""
    return (*_openings(dwelling), *_stairs(dwelling), *_walls(dwelling), *_floors(dwelling))


def room_inputs(room: RoomShape, k: int, ways: tuple[Passage, ...], doors: Doors) -> dict[str, Input]:
    """Give the inputs of the ``k``-th room on a way: its surface, what it absorbs, what of it stands open."""
    surface, name = surface_of(room), room.room.called
    open_area = sum(way.area for way in ways if room.id in way.rooms and way.stands_open(doors))
    opened = min(open_area, MOST_OPEN * surface)
    spread = standard("sound", "F").value * surface
    return {
        f"α{k}": replace(standard("sound", f"{room.room.use}-α"), symbol=f"α{k}"),
        f"F{k}": Input(f"F{k}", f"floor, ceiling and walls, {name}", surface, "m²", "measured", _SURVEYED, spread),
        f"O{k}": Input(f"O{k}", f"stands open of them, {name}", opened, "m²", "stated", "the record"),
    }


def surface_of(room: RoomShape) -> float:
    """Give the square metres of floor, ceiling and walls of a room, the walls at its mean height."""
    ceiling = room.area / cos(radians(room.ceiling.pitch))
    return room.area + ceiling + float(room.outline.length) * _mean_height(room)


def _mean_height(room: RoomShape) -> float:
    return (room.ceiling.low + room.ceiling.high) / 2


def _openings(dwelling: Dwelling) -> Iterator[Passage]:
    for placed in dwelling.openings.values():
        one, other = placed.rooms
        if other is None or placed.wall is None:
            continue
        (x, y), half = placed.middle, placed.height / 2
        at = x, y, dwelling.storey(placed.storey).level + placed.opening.sill + half
        area = placed.opening.width * placed.height
        opened = placed.opening.kind == "archway"
        if placed.is_door:
            kind: Literal["door", "open"] = "open" if opened else "door"
            reduced = None if opened else _leaf(placed)
            yield Passage(kind, placed.opening.called, (one, other), area, reduced, placed.opening.width, at)


def _leaf(placed: PlacedOpening) -> Input:
    leaf = placed.opening.leaf or ("glass" if placed.opening.kind == "sliding-door" else None)
    return standard("sound", f"door-{leaf}-R" if leaf else "door-R")


def _stairs(dwelling: Dwelling) -> Iterator[Passage]:
    for storey in dwelling.storeys:
        for flight in storey.flights:
            middle, top = flight.outline.centroid, dwelling.storey(flight.to_storey).level
            at = float(middle.x), float(middle.y), top
            rooms = flight.stair.in_, flight.stair.to
            yield Passage("open", flight.stair.id.replace("-", " "), rooms, float(flight.outline.area), at=at)


def _walls(dwelling: Dwelling) -> Iterator[Passage]:
    lengths: dict[tuple[str, str, str], float] = {}
    for room in dwelling.rooms.values():
        for wall in room.walls:
            for face in wall.faces:
                if face.beyond is not None and room.id < face.beyond:
                    key = room.id, face.beyond, face.of
                    lengths[key] = lengths.get(key, 0.0) + face.end - face.start
    for (one, other, of), length in lengths.items():
        height = min(_mean_height(dwelling.rooms[name]) for name in (one, other))
        area = length * height - _pierced(dwelling, one, other)
        if area > LEAST:
            called = f"wall to {dwelling.rooms[other].room.called} from {dwelling.rooms[one].room.called}"
            yield Passage("wall", called, (one, other), area, standard("sound", f"wall-{of}-R"))


def _pierced(dwelling: Dwelling, one: str, other: str) -> float:
    """Give the square metres of the openings between two rooms."""
    between = (placed for placed in dwelling.openings_of(one) if other in placed.rooms)
    return sum(placed.opening.width * placed.height for placed in between)


def _floors(dwelling: Dwelling) -> Iterator[Passage]:
    for below, above in pairwise(dwelling.storeys):
        wells: Mapping[tuple[str, str], float] = {
            (flight.stair.in_, flight.stair.to): float(flight.outline.area) for flight in below.flights
        }
        for low in below.rooms:
            for high in above.rooms:
                area = float(low.outline.intersection(high.outline).area) - wells.get((low.id, high.id), 0.0)
                if area > LEAST:
                    called = f"floor between {low.room.called} and {high.room.called}"
                    yield Passage("floor", called, (low.id, high.id), area, standard("sound", "floor-R"))
