"""The loudest way of sound from one device to every room of a home, its inner doors shut or open."""

from collections.abc import Mapping
from dataclasses import replace
from heapq import heappop, heappush
from itertools import count

from asfitted.dwelling.shapes import Dwelling
from asfitted.reckon.crossings import End, end_of
from asfitted.reckon.hearing import Bed, Heard, Readings
from asfitted.reckon.passages import Doors, Passage, room_inputs
from asfitted.reckon.room_sound import absorbed_in, beyond, levels, parts_of, reduction
from asfitted.reckon.working import Input


class House:
    """The rooms of a home and the ways between them, with the inner doors shut or open."""

    def __init__(self, dwelling: Dwelling, ways: tuple[Passage, ...], doors: Doors) -> None:
        self.dwelling, self.doors = dwelling, doors
        self.rooms = {room.id: room_inputs(room, 0, ways, doors) for room in dwelling.rooms.values()}
        self.ways: dict[str, list[tuple[Passage, float]]] = {room: [] for room in dwelling.rooms}
        for way in ways:
            for room in way.rooms:
                self.ways[room].append((way, self._change(way, way.behind(room))))

    def _change(self, way: Passage, into: str) -> float:
        """Give what a way adds to the level, below 0, from the room before it to the room behind it."""
        given = {**self.rooms[into], **way.inputs(0, self.doors)}
        return beyond(0.0, reduction(parts_of(given, 0)), way.area, absorbed_in(given, 0))

    def room(self, room: str, k: int) -> dict[str, Input]:
        """Give the inputs of a room as the ``k``-th on a way."""
        return {
            f"{symbol[0]}{k}": replace(given, symbol=f"{symbol[0]}{k}") for symbol, given in self.rooms[room].items()
        }


class Routes:
    """The loudest ways from one device to every room."""

    def __init__(self, house: House, tag: str, source: Mapping[str, Input]) -> None:
        spot = house.dwelling.spots[tag]
        self.house, self.tag, self.source, self.tolerance = house, tag, source, spot.tolerance
        self.room, self.end = spot.room, end_of(house.dwelling, spot)
        self.routes = self._loudest()

    def to(self, bed: Bed, readings: Readings) -> Heard | None:
        """Give the device at a bed; None where no sound gets there."""
        if bed.room != self.room and bed.room not in self.routes:
            return None
        route = self.routes.get(bed.room, ())
        inputs = self._inputs(route, self._to_opening(route[0]) if route else self._far(bed.ear))
        doors = self.house.doors
        taken = readings.get((self.tag, bed.room), {})
        suits = [
            found
            for how, found in taken.items()
            if bed.room == self.room or how == doors or (how is None and doors == "open")
        ]
        measured = max(suits, key=lambda found: found[1], default=None)
        return Heard(self.tag, route, inputs, f"{self.tag} heard at the {bed.called}, doors {doors}", measured)

    def _loudest(self) -> dict[str, tuple[Passage, ...]]:
        order, best = count(), dict[str, tuple[Passage, ...]]()
        queue: list[tuple[float, int, str, tuple[Passage, ...]]] = []

        def push(way: Passage, into: str, level: float, route: tuple[Passage, ...]) -> None:
            if into not in best and into != self.room:
                heappush(queue, (-level, next(order), into, (*route, way)))

        for way, change in self.house.ways[self.room]:
            here = levels(self._inputs((), self._to_opening(way)))[0]
            push(way, way.behind(self.room), here + change, ())
        while queue:
            level, _, room, route = heappop(queue)
            if room not in best:
                best[room] = route
                for way, change in self.house.ways[room]:
                    push(way, way.behind(room), change - level, route)
        return best

    def _to_opening(self, way: Passage) -> Input | None:
        return self._far(End(*way.at)) if way.at is not None else None

    def _far(self, end: End) -> Input:
        what, metres = "to the ear, or to the first opening on the way", self.end.distance(end)
        left_open = (*(f"{each} of {self.tag}" for each in self.end.assumed), *end.assumed)
        if not left_open:
            return Input("d", what, metres, "m", "measured", "places as surveyed", self.tolerance)
        missing, doubt = ", ".join(left_open), max(self.end.doubt + end.doubt, 1.0)
        return Input(
            "d", what, metres, "m", "assumed", f"assumed: {missing}", doubt, f"Measure where it is: {missing}."
        )

    def _inputs(self, route: tuple[Passage, ...], far: Input | None) -> dict[str, Input]:
        room, house = self.room, self.house
        inputs = {**self.source, **({"d": far} if far else {}), **house.room(room, 0)}
        for k, way in enumerate(route, start=1):
            room = way.behind(room)
            inputs |= {**way.inputs(k, house.doors), **house.room(room, k)}
        return inputs
