"""What somebody can reach of a home without being noticed at all, whatever way they take round the detectors.

What no detector covers of each room falls into parts; a part is joined with one beyond where both touch a door without
a contact, an archway or the end of a stair. Who is in a part gets to every part joined with it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shapely import LineString, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.paths import BODY, Spot
from asfitted.dwelling.shapes import SIDE_VECTORS, Dwelling, Flight, PlacedOpening, RoomShape
from asfitted.reckon.undetected import Watch

_TOUCH = 1e-3


@dataclass(frozen=True, eq=False)
class Part:
    """A part of a room's floor that no detector covers, wide enough for a body."""

    room: str
    shape: Polygon


@dataclass(frozen=True)
class Unseen:
    """The parts of each room of a home that no detector covers, and which of them one gets to from which."""

    parts: Mapping[str, tuple[Part, ...]]
    joined: Mapping[Part, tuple[Part, ...]]

    def behind(self, opening: PlacedOpening) -> frozenset[Part]:
        """Give the parts that somebody who comes in by an outer opening gets to unseen; none where they are seen."""
        room = opening.rooms[0]
        known = set(_touching(self.parts, room, opening.outline or opening.line_in(room)))
        queue = list(known)
        while queue:
            for part in self.joined[queue.pop()]:
                if part not in known:
                    known.add(part)
                    queue.append(part)
        return frozenset(known)


def reached_by(parts: frozenset[Part], spot: Spot, arm: float) -> bool:
    """Tell whether a place is within an arm's length, in metres, of parts of its room."""
    return any(part.room == spot[0] and part.shape.distance(Point(spot[1])) <= arm for part in parts)


def unseen_of(dwelling: Dwelling, watches: Sequence[Watch]) -> Unseen:
    """Give what nothing notices of a home.

    Args:
        dwelling: its shapes.
        watches: contacts and detectors; their coverage is on the plan of their storey.
    """
    shut = {watch.opening for watch in watches if watch.opening}
    parts = {name: tuple(_parts(room, watches)) for name, room in dwelling.rooms.items()}
    joined: dict[Part, list[Part]] = {part: [] for here in parts.values() for part in here}
    for one, other in _joints(dwelling, parts, shut):
        joined[one].append(other)
        joined[other].append(one)
    return Unseen(parts, {part: tuple(beyond) for part, beyond in joined.items()})


def _parts(room: RoomShape, watches: Sequence[Watch]) -> Iterator[Part]:
    """Give what is left of a room, without strips too narrow for a body."""
    shapes = [watch.covers for watch in watches if watch.covers is not None and watch.storey == room.storey]
    seen = [shape for shape in shapes if shape.intersects(room.outline)]
    left = room.outline.difference(union_all(seen)) if seen else room.outline
    if seen:
        left = left.buffer(-BODY / 2).buffer(BODY / 2).intersection(left)
    return (Part(room.id, shape) for shape in getattr(left, "geoms", (left,)) if shape.area > BODY * BODY / 4)


def _joints(dwelling: Dwelling, parts: Mapping[str, Sequence[Part]], shut: set[str]) -> Iterator[tuple[Part, Part]]:
    for opening in dwelling.openings.values():
        first, second = opening.rooms
        if opening.is_door and second is not None and opening.id not in shut:
            here = _touching(parts, first, opening.line_in(first))
            there = _touching(parts, second, opening.line_in(second))
            yield from ((one, other) for one in here for other in there)
    for storey in dwelling.storeys:
        for flight in storey.flights:
            low, high = _ends(flight)
            above = dwelling.rooms[flight.stair.to].outline
            arrives = high if above.intersects(high) else flight.outline
            here = _touching(parts, flight.stair.in_, low)
            there = _touching(parts, flight.stair.to, arrives)
            yield from ((one, other) for one in here for other in there)


def _ends(flight: Flight) -> tuple[LineString, LineString]:
    """Give the lower and the upper edge of a flight on the plan."""
    west, south, east, north = flight.outline.bounds
    ux, uy = SIDE_VECTORS[flight.stair.up]
    edges = {
        (0.0, 1.0): LineString([(west, north), (east, north)]),
        (0.0, -1.0): LineString([(west, south), (east, south)]),
        (1.0, 0.0): LineString([(east, south), (east, north)]),
        (-1.0, 0.0): LineString([(west, south), (west, north)]),
    }
    return edges[-ux, -uy], edges[ux, uy]


def _touching(parts: Mapping[str, Sequence[Part]], room: str, line: BaseGeometry) -> list[Part]:
    return [part for part in parts[room] if part.shape.distance(line) < _TOUCH]
