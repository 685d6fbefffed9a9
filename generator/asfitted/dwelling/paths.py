"""The shortest walk from one place of a dwelling to another, through doors, archways and stairs.

In a room one walks straight, or round the corners that stand in the way; furniture is not taken into account. The
result is therefore a lower bound of what a person walks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from heapq import heappop, heappush
from itertools import combinations
from math import dist, hypot

from shapely import LineString, Point, Polygon, prepare
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
class Leg:
    """One straight piece of a walk, in metres along the floor; ``passes`` is the opening or stair it goes through."""

    start: Spot
    end: Spot
    length: float
    passes: str = ""


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk from a spot, leg after leg."""

    start: Spot
    legs: tuple[Leg, ...]

    @property
    def length(self) -> float:
        """Metres along the floor."""
        return sum(leg.length for leg in self.legs)

    @property
    def points(self) -> tuple[Spot, ...]:
        """Where it starts, bends and ends."""
        return (self.start, *(leg.end for leg in self.legs))

    @property
    def passed(self) -> tuple[str, ...]:
        """The ids of the openings and stairs it goes through, in order."""
        return tuple(leg.passes for leg in self.legs if leg.passes)

    @property
    def rooms(self) -> tuple[str, ...]:
        """The rooms walked through, in order."""
        return tuple(dict.fromkeys(room for room, _ in self.points))


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a spot is from the nearest of several, in metres, and which of them that is."""

    length: float
    source: int


@dataclass(frozen=True)
class _Net:
    """Every spot at which walks turn or change rooms, with the legs from it; and the floors with corners to go round.

    A room that is not among ``floors`` has none: in it one walks straight from anywhere to anywhere.
    """

    legs: dict[Spot, list[Leg]]
    floors: dict[str, Polygon]

    def straight(self, one: Spot, other: Spot) -> bool:
        floor = self.floors.get(one[0])
        return floor is None or dist(one[1], other[1]) < _SLACK or bool(floor.covers(LineString([one[1], other[1]])))

    @cached_property
    def by_room(self) -> dict[str, list[Spot]]:
        found: dict[str, list[Spot]] = {}
        for spot in self.legs:
            found.setdefault(spot[0], []).append(spot)
        return found

    def seen_from(self, spot: Spot) -> list[Leg]:
        """Give the spots of the net to which one walks straight within the room of a spot."""
        known = self.by_room.get(spot[0], [])
        return [Leg(spot, to, dist(spot[1], to[1])) for to in known if self.straight(spot, to)]


def walk(dwelling: Dwelling, start: Spot, goal: Spot, avoid: frozenset[str] = frozenset()) -> Walk | None:
    """Find the shortest walk between two spots; None when no door or stair leads there.

    A spot on a wall or beside the room is taken to the nearest point of the room's floor.

    Args:
        dwelling: the home.
        start: where it begins.
        goal: where it ends.
        avoid: rooms it may not go through, unless it begins or ends there.
    """
    return walks(dwelling, start, [goal], avoid)[0]


def walks(
    dwelling: Dwelling, start: Spot, goals: Sequence[Spot], avoid: frozenset[str] = frozenset()
) -> list[Walk | None]:
    """Find the shortest walk from one spot to each of several, as :func:`walk` does to one."""
    net, start = _net(dwelling), on_floor(dwelling, start)
    trees: dict[frozenset[str], dict[Spot, tuple[float, Leg | None]]] = {}
    found = []
    for goal in (on_floor(dwelling, goal) for goal in goals):
        shut = avoid - {start[0], goal[0]}
        if shut not in trees:
            trees[shut] = _tree(net, [start], shut)
        found.append(_to(net, trees[shut], start, goal))
    return found


def reaches(dwelling: Dwelling, starts: Sequence[Spot]) -> dict[Spot, Reach]:
    """Give how far each spot at which walks turn or change rooms is from the nearest of several spots.

    The result holds the starts too, each taken to the floor of its room.
    """
    starts = [on_floor(dwelling, start) for start in starts]
    tree = _tree(_net(dwelling), starts, frozenset())
    source = {start: index for index, start in reversed(list(enumerate(starts)))}
    found: dict[Spot, Reach] = {}
    for spot, (length, leg) in tree.items():  # nearest first, so a leg begins at a spot that is already known
        found[spot] = Reach(length, source[spot] if leg is None else found[leg.start].source)
    return found


def _tree(net: _Net, starts: Sequence[Spot], shut: frozenset[str]) -> dict[Spot, tuple[float, Leg | None]]:
    """Give the shortest distance of every spot from the nearest start, with the leg that leads there; nearest first."""
    queue: list[tuple[float, Spot]] = [(0.0, start) for start in dict.fromkeys(starts)]
    first = {start: net.seen_from(start) for _, start in queue}
    best: dict[Spot, tuple[float, Leg | None]] = {start: (0.0, None) for _, start in queue}
    done: dict[Spot, tuple[float, Leg | None]] = {}
    while queue:
        gone, spot = heappop(queue)
        if spot in done:
            continue
        done[spot] = best[spot]
        for leg in (*first.get(spot, ()), *net.legs.get(spot, ())):
            length = gone + leg.length
            if leg.end[0] not in shut and (leg.end not in best or length < best[leg.end][0]):
                best[leg.end] = length, leg
                heappush(queue, (length, leg.end))
    return done


def _to(net: _Net, tree: dict[Spot, tuple[float, Leg | None]], start: Spot, goal: Spot) -> Walk | None:
    if start == goal:
        return Walk(start, ())
    ends = [
        (tree[leg.end][0] + leg.length, Leg(leg.end, goal, leg.length))
        for leg in net.seen_from(goal)
        if leg.end in tree
    ]
    if start[0] == goal[0] and net.straight(start, goal):
        ends.append((dist(start[1], goal[1]), Leg(start, goal, dist(start[1], goal[1]))))
    if not ends:
        return None
    _, leg = min(ends, key=lambda end: end[0])
    legs = [leg] if leg.length > 0.0 else []
    before = tree[leg.start][1]
    while before is not None:
        legs.append(before)
        before = tree[before.start][1]
    return Walk(start, tuple(reversed(legs)))


def on_floor(dwelling: Dwelling, spot: Spot) -> Spot:
    """Take a spot to the nearest point of its room's floor."""
    room, point = spot
    outline = dwelling.rooms[room].outline
    if outline.covers(Point(point)):
        return spot
    near = nearest_points(outline, Point(point))[0]
    return room, (float(near.x), float(near.y))


@lru_cache(maxsize=4)
def _net(dwelling: Dwelling) -> _Net:
    legs: dict[Spot, list[Leg]] = {}
    net = _Net(legs, {room.id: _floor(room) for room in dwelling.rooms.values() if any(_inner_corners(room))})

    def join(one: Spot, other: Spot, length: float, passes: str = "") -> None:
        legs.setdefault(one, []).append(Leg(one, other, length, passes))
        legs.setdefault(other, []).append(Leg(other, one, length, passes))

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
        spots = [spot for spot in legs if spot[0] == room.id] + [(room.id, corner) for corner in _inner_corners(room)]
        for one, other in combinations(dict.fromkeys(spots), 2):
            if net.straight(one, other):
                join(one, other, dist(one[1], other[1]))
    return net


def _floor(room: RoomShape) -> Polygon:
    floor = room.outline.buffer(_SLACK)
    prepare(floor)
    return floor


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
    return on_floor(dwelling, (flight.stair.in_, low)), on_floor(dwelling, (flight.stair.to, high)), length


def _inner_corners(room: RoomShape) -> Iterator[XY]:
    """Give the corners of a room that stand into it, round which one walks."""
    ring = [(float(x), float(y)) for x, y in room.outline.exterior.coords[:-1]]
    turn = 1.0 if room.outline.exterior.is_ccw else -1.0
    for before, here, after in zip([ring[-1], *ring[:-1]], ring, [*ring[1:], ring[0]], strict=True):
        cross = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        if cross * turn < -_SLACK:
            yield here
