"""Spaces that alarms protect: rooms, and rooms that archways join, cut apart by deep beams."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from shapely import Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry
from shapely.ops import split

from asfitted.dwelling.shapes import SIDE_VECTORS, XY, PlacedFitting, RoomShape
from asfitted.dwelling.tapes import reach
from asfitted.dwelling.ways import open_plan
from asfitted.model.base import Path
from asfitted.model.words import Side
from asfitted.rules.case import Case, Placed
from asfitted.rules.needed import is_deep

_ON_EDGE = 1e-6
_SLIVER = 1e-4


@dataclass(frozen=True)
class Space:
    """One or more rooms that are one for smoke, in the order of the record."""

    rooms: tuple[RoomShape, ...]

    @property
    def outline(self) -> BaseGeometry:
        """The floor of all of them."""
        return union_all([room.outline for room in self.rooms])

    @property
    def called(self) -> str:
        """Its name for a sentence."""
        names = [room.room.called for room in self.rooms]
        return " with the ".join([names[0], " and the ".join(names[1:])] if len(names) > 1 else names)

    def without(self, rooms: frozenset[str]) -> "Space":
        """Give it less some rooms."""
        return Space(tuple(room for room in self.rooms if room.id not in rooms))


def space_of(case: Case, room: str, *, joined: bool = True) -> Space:
    """Give the space a room is part of; ``joined`` counts the rooms that archways join with it."""
    names = open_plan(case.dwelling, room) if joined else frozenset((room,))
    return Space(tuple(shape for name, shape in case.dwelling.rooms.items() if name in names))


def protected(case: Case, kinds: tuple[str, ...], *, joined: bool = True) -> Iterator[tuple[Space, list[Placed]]]:
    """Give every space that has an alarm of some kinds, with its alarms."""
    seen: set[str] = set()
    for placed in case.of_kinds(kinds):
        if placed.spot.room in seen or placed.spot.fixed == "outside":
            continue
        space = space_of(case, placed.spot.room, joined=joined)
        names = {room.id for room in space.rooms}
        seen |= names
        inside = (other for other in case.of_kinds(kinds) if other.spot.fixed != "outside")
        yield space, [other for other in inside if other.spot.room in names]


def path_of(case: Case, storey: str, room: str | None = None) -> Path:
    """Give where in the record a storey stands, or a room of it."""
    index, entry = next((index, entry) for index, entry in enumerate(case.home.storeys) if entry.id == storey)
    if room is None:
        return ("storeys", index)
    return ("storeys", index, "rooms", [other.id for other in entry.rooms].index(room))


def beams_of(case: Case, space: Space) -> list[tuple[PlacedFitting, RoomShape]]:
    """Give the beams over a space, each with its room."""
    return [(beam, room) for room in space.rooms for beam in case.dwelling.fittings_of(room.id, "beam")]


def bays_of(case: Case, space: Space, options: Mapping[str, Any]) -> list[BaseGeometry]:
    """Give the parts into which deep beams cut a space, from south-west to north-east; the whole where there is none.

    With the option ``field-over`` beams are passed over where no field is larger than that, in square metres.
    """
    bays: list[BaseGeometry] = [space.outline]
    for beam, room in beams_of(case, space):
        depth = beam.fitting.depth
        if depth is None or beam.shape is None:
            continue
        if is_deep(depth, room.ceiling.high, options):
            bays = [part for bay in bays for part in split_by(bay, beam) if part.area > _SLIVER]
    if "field-over" in options and max(float(bay.area) for bay in bays) <= options["field-over"] + _ON_EDGE:
        return [space.outline]
    return sorted(bays, key=lambda bay: bay.bounds)


def split_by(bay: BaseGeometry, beam: PlacedFitting) -> list[BaseGeometry]:
    """Cut a shape along a beam; what the beam does not cross stays whole."""
    parts = [part for part in getattr(bay, "geoms", (bay,)) if isinstance(part, Polygon)]
    return [piece for part in parts for piece in split(part, beam.shape).geoms] if len(parts) == 1 else [bay]


def undetermined_beams(case: Case, space: Space, options: Mapping[str, Any]) -> list[str]:
    """Give the beams of a space whose depth would decide, and is not recorded."""
    if not {"deep-share", "deep-over"} & options.keys():
        return []
    return [f"the {beam.fitting.called}" for beam, _ in beams_of(case, space) if beam.fitting.depth is None]


def sites_in(bay: BaseGeometry, alarms: list[Placed]) -> list[XY]:
    """Give the points of the alarms in a part of a space, those on its edge too."""
    return [
        placed.spot.point
        for placed in alarms
        if placed.spot.point is not None and bay.distance(Point(placed.spot.point)) < _ON_EDGE
    ]


def where_in(space: Space, point: XY) -> str:
    """Say where a point is by the nearest walls: ``0.00 m from the north and 1.20 m from the west wall``."""
    room = min(space.rooms, key=lambda shape: float(shape.outline.distance(Point(point))))
    found: list[tuple[float, Side]] = []
    for pair in (("south", "north"), ("west", "east")):
        sides: list[Side] = [side for side in SIDE_VECTORS if side in pair]
        found.append(min((reach(room, point, side), side) for side in sides))
    (up, north_south), (across, east_west) = found
    name = f" of the {room.room.called}" if len(space.rooms) > 1 else ""
    return f"{abs(up):.2f} m from the {north_south} and {abs(across):.2f} m from the {east_west} wall{name}"
