"""The shortest walk from one place of a dwelling to another, through doors, archways and stairs.

In a room one walks straight, or round the corners that stand in the way; furniture is not taken into account. The
result is therefore a lower bound of what a person walks.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from heapq import heappop, heappush
from itertools import combinations
from math import dist, hypot

from shapely import LineString, Point, prepare
from shapely.ops import nearest_points

from asfitted.dwelling.shapes import SIDE_VECTORS, XY, Dwelling, Flight, PlacedOpening, RoomShape

Spot = tuple[str, XY]
"""A room's id and a point of its plan."""

WIDE = 1.20
"""Metres from which an opening is passed at its ends as well as in its middle."""
BODY = 0.30
"""Metres that a person keeps from the edge of a wide opening (common practice, no source)."""
_SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk: its length in metres along the floor, where it bends, and the ids of openings and stairs it passes."""

    length: float
    points: tuple[Spot, ...]
    passed: tuple[str, ...]

    @property
    def rooms(self) -> tuple[str, ...]:
        """The rooms walked through, in order."""
        return tuple(dict.fromkeys(room for room, _ in self.points))


@dataclass(frozen=True, slots=True)
class _Step:
    """A way to another spot: how far, and through what where it leaves the room."""

    to: Spot
    length: float
    passes: str = ""


_Net = dict[Spot, list[_Step]]


def walk(dwelling: Dwelling, start: Spot, goal: Spot) -> Walk | None:
    """Find the shortest walk between two spots; None when no door or stair leads there.

    A spot on a wall or beside the room is taken to the nearest point of the room's floor.
    """
    start, goal = _on_floor(dwelling, start), _on_floor(dwelling, goal)
    net = _net(dwelling)
    ends = {start: _seen_from(dwelling, net, start, goal), goal: []}
    into = {step.to: step.length for step in _seen_from(dwelling, net, goal, start)}
    queue: list[tuple[float, Spot]] = [(0.0, start)]
    best, before = {start: 0.0}, dict[Spot, tuple[Spot, str]]()
    while queue:
        gone, spot = heappop(queue)
        if spot == goal:
            return _told(gone, goal, start, before)
        if gone > best[spot]:
            continue
        steps = [*ends.get(spot, ()), *net.get(spot, ())]
        if spot in into:
            steps.append(_Step(goal, into[spot]))
        for step in steps:
            if gone + step.length < best.get(step.to, float("inf")):
                best[step.to] = gone + step.length
                before[step.to] = spot, step.passes
                heappush(queue, (gone + step.length, step.to))
    return None


def _told(length: float, goal: Spot, start: Spot, before: dict[Spot, tuple[Spot, str]]) -> Walk:
    points, passed = [goal], []
    while points[-1] != start:
        spot, passes = before[points[-1]]
        points.append(spot)
        passed += [passes] if passes else []
    return Walk(length, tuple(reversed(points)), tuple(reversed(passed)))


def _on_floor(dwelling: Dwelling, spot: Spot) -> Spot:
    room, point = spot
    near = nearest_points(dwelling.rooms[room].outline, Point(point))[0]
    return room, (float(near.x), float(near.y))


def _seen_from(dwelling: Dwelling, net: _Net, spot: Spot, other: Spot) -> list[_Step]:
    """Give the spots of the net, and the other end, that one walks to straight within the room of a spot."""
    room = dwelling.rooms[spot[0]]
    known = [known for known in net if known[0] == spot[0]] + ([other] if other[0] == spot[0] else [])
    return [_Step(to, dist(spot[1], to[1])) for to in known if _straight(room, spot[1], to[1])]


@lru_cache(maxsize=4)
def _net(dwelling: Dwelling) -> _Net:
    """Give every spot at which walks turn or change rooms, with the steps from it."""
    net: _Net = {}

    def join(one: Spot, other: Spot, length: float, passes: str = "") -> None:
        net.setdefault(one, []).append(_Step(other, length, passes))
        net.setdefault(other, []).append(_Step(one, length, passes))

    for opening in dwelling.openings.values():
        first, second = opening.rooms
        if opening.is_door and second is not None and opening.wall is not None:
            for here, there in _crossings(opening):
                join((first, here), (second, there), dist(here, there), opening.id)
    for storey in dwelling.storeys:
        for flight in storey.flights:
            bottom, top, length = _climb(dwelling, flight)
            join(bottom, top, length, flight.stair.id)
    for room in dwelling.rooms.values():
        prepare(room.outline)
        spots = [spot for spot in net if spot[0] == room.id] + [(room.id, corner) for corner in _inner_corners(room)]
        for one, other in combinations(dict.fromkeys(spots), 2):
            if _straight(room, one[1], other[1]):
                join(one, other, dist(one[1], other[1]))
    return net


def _crossings(opening: PlacedOpening) -> Iterator[tuple[XY, XY]]:
    """Give where one passes an opening, on the face of either room."""
    assert opening.wall is not None
    nx, ny = opening.wall.outward
    width = dist(opening.a, opening.b)
    shares = (0.5,) if width < WIDE else (BODY / width, 0.5, 1 - BODY / width)
    for share in shares:
        x = opening.a[0] + (opening.b[0] - opening.a[0]) * share
        y = opening.a[1] + (opening.b[1] - opening.a[1]) * share
        yield (x, y), (x + nx * opening.thickness, y + ny * opening.thickness)


def _climb(dwelling: Dwelling, flight: Flight) -> tuple[Spot, Spot, float]:
    """Give the lower and upper end of a flight, and its length along the slope."""
    west, south, east, north = flight.outline.bounds
    middle, half = ((west + east) / 2, (south + north) / 2), ((east - west) / 2, (north - south) / 2)
    ux, uy = SIDE_VECTORS[flight.stair.up]
    low = middle[0] - ux * half[0], middle[1] - uy * half[1]
    high = middle[0] + ux * half[0], middle[1] + uy * half[1]
    rise = dwelling.storey(flight.to_storey).level - dwelling.storey(flight.storey).level
    length = hypot(dist(low, high), rise)
    return _on_floor(dwelling, (flight.stair.in_, low)), _on_floor(dwelling, (flight.stair.to, high)), length


def _inner_corners(room: RoomShape) -> Iterator[XY]:
    """Give the corners of a room that stand into it, round which one walks."""
    ring = [(float(x), float(y)) for x, y in room.outline.exterior.coords[:-1]]
    turn = 1.0 if room.outline.exterior.is_ccw else -1.0
    for before, here, after in zip([ring[-1], *ring[:-1]], ring, [*ring[1:], ring[0]], strict=True):
        cross = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        if cross * turn < -_SLACK:
            yield here


def _straight(room: RoomShape, one: XY, other: XY) -> bool:
    return dist(one, other) < _SLACK or bool(room.outline.buffer(_SLACK).covers(LineString([one, other])))
