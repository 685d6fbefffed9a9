"""Surfaces on which a device may hang, and what rules forbid of them.

A placing rule answers twice from the same shapes: its check measures where a device hangs, and its bans tell where one
may not. The admissible zone is what all bans leave of a surface.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from shapely import LineString, Point, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.outlines import ON_ONE_LINE
from asfitted.dwelling.shapes import XY, Dwelling, PlacedOpening, RoomShape, Wall
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.obstacles import Obstacle

_FAR = 100.0
"""Metres beyond which nothing of a home lies."""
_NOWHERE = 1e-4
"""Square metres below which a zone is no place: less than a square centimetre."""
_DUST = 1e-6
"""Metres within which a span on a wall ends where the wall does."""
_SQUARE = 0.05
"""Greatest sine between the two faces of one wall: rooms on either side are walked on their own."""
STRIP = 0.12
"""Metres that a zone on a wall shows on the plan, where it has no width of its own."""


@dataclass(frozen=True)
class Surface:
    """The ceiling of a room, or one of its walls, as a plane with two coordinates in metres.

    On a ceiling the coordinates are those of the plan. On a wall they are the distance along it from its end ``a``, and
    the height above finished floor. ``holes`` are its doors, windows and rooflights, in its own coordinates, and
    ``openings`` their ids in the same order.
    """

    room: RoomShape
    wall: Wall | None = None
    holes: tuple[Polygon, ...] = ()
    openings: tuple[str, ...] = ()

    @cached_property
    def whole(self) -> Polygon:
        """The whole of the surface, holes and all; a wall ends under the slope of the ceiling."""
        if self.wall is None:
            return self.room.outline
        tops = [(along, self.room.ceiling.height_at(*self.wall.at(along))) for along in _bends(self.room, self.wall)]
        return Polygon([(0.0, 0.0), (self.wall.length, 0.0), *reversed(tops)])

    @cached_property
    def outline(self) -> BaseGeometry:
        """What there is of the surface to hang something on: the whole, less the holes."""
        return self.whole.difference(union_all(self.holes)) if self.holes else self.whole

    @property
    def called(self) -> str:
        """What it is called in its room: *ceiling*, *north wall*."""
        return "ceiling" if self.wall is None else f"{self.wall.name} wall"

    def on_plan(self, point: XY) -> XY:
        """Give the plan point of a point of the surface."""
        return point if self.wall is None else self.wall.at(point[0])

    def height(self, point: XY) -> float:
        """Give the height above finished floor of a point of the surface."""
        return self.room.ceiling.height_at(*point) if self.wall is None else point[1]

    def under(self, plan: BaseGeometry) -> BaseGeometry:
        """Give the part of the surface that lies within a shape of the plan, at any height."""
        if self.wall is None or plan.is_empty:
            return plan
        cut = self.wall.line.intersection(plan)
        start = Point(self.wall.a)
        spans = [
            sorted(start.distance(Point(end)) for end in (part.coords[0], part.coords[-1]))
            for part in getattr(cut, "geoms", (cut,))
            if isinstance(part, LineString) and not part.is_empty
        ]
        over = self.wall.length - _DUST  # a span up to an end of the wall goes beyond it, so that no sliver is left
        return union_all(
            [box(low - (low < _DUST), -_FAR, high + (high > over), _FAR) for low, high in spans if high - low > _DUST]
        )

    def between(self, low: float, high: float) -> BaseGeometry:
        """Give the part of a wall from one height above the floor to another."""
        assert self.wall is not None
        return box(-1.0, low, self.wall.length + 1.0, high)


def _bends(room: RoomShape, wall: Wall) -> list[float]:
    """Give where along a wall its upper edge begins, bends under a ridge, and ends."""
    ceiling, ends = room.ceiling, [0.0, wall.length]
    if ceiling.axis is None or not ceiling.ridged:
        return ends
    ax, ay = ceiling.axis
    rise = wall.along[0] * ax + wall.along[1] * ay
    if abs(rise) < 1e-9:
        return ends
    bend = (ceiling.top - wall.a[0] * ax - wall.a[1] * ay) / rise
    return [0.0, bend, wall.length] if 1e-6 < bend < wall.length - 1e-6 else ends


def surfaces(dwelling: Dwelling, room: RoomShape) -> tuple[Surface, ...]:
    """Give the ceiling and the walls of a room, each less its openings."""
    openings = list(dwelling.openings_of(room.id))
    lights = {opening.id: opening.outline for opening in openings if opening.outline is not None}
    found = [Surface(room, None, tuple(lights.values()), tuple(lights))]
    for wall in room.walls:
        holes = {opening.id: hole for opening in openings if (hole := _hole(wall, opening, room.id)) is not None}
        found.append(Surface(room, wall, tuple(holes.values()), tuple(holes)))
    return tuple(found)


def _hole(wall: Wall, opening: PlacedOpening, room: str) -> Polygon | None:
    """Give the hole an opening makes in a wall of a room, if it is in it; its usual height where none is recorded."""
    if opening.wall is None or abs(_cross(opening.wall.along, wall.along)) > _SQUARE:
        return None
    line = opening.line_in(room)
    if wall.line.distance(line.centroid) > ON_ONE_LINE:
        return None
    low, high = sorted(_along(wall, (x, y)) for x, y in line.coords)
    sill = opening.opening.sill
    return box(low, sill, high, sill + opening.height)


def _along(wall: Wall, point: XY) -> float:
    """Give how far along a wall a point of the plan lies, in metres."""
    return (point[0] - wall.a[0]) * wall.along[0] + (point[1] - wall.a[1]) * wall.along[1]


def _cross(one: XY, other: XY) -> float:
    return one[0] * other[1] - one[1] * other[0]


@dataclass(frozen=True)
class Ban:
    """What one rule forbids of a surface, in the surface's own coordinates, and because of what.

    ``of`` is what the device is to stay clear of, where the rule is about a distance.
    """

    rule: Rule
    limit: Limit
    because: str
    shape: BaseGeometry
    of: Obstacle | None = None


@dataclass(frozen=True)
class Candidate:
    """A device that may hang somewhere: its kind, how it is made, and its tag where it already has one."""

    kind: str
    tag: str | None = None
    across: float = 0.0

    @property
    def reach(self) -> float:
        """Metres from its middle to its edge; 0 where its size is not known."""
        return self.across / 2


@dataclass(frozen=True)
class Trial:
    """A candidate tried on a surface of a home, with metres to spare beyond every limit (the tolerance of the tape)."""

    case: Case
    candidate: Candidate
    surface: Surface
    spare: float = 0.0


Placing = Callable[[Rule, Limit, Trial], Iterable[Ban]]
"""What a placing rule forbids of the surface of a trial."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a wall, in metres from its end ``a``, and the heights above the floor from which to which it serves.

    Under a slope the heights are those at its higher end.
    """

    start: float
    end: float
    heights: tuple[tuple[float, float], ...]

    @property
    def length(self) -> float:
        """Metres along the wall."""
        return self.end - self.start


@dataclass(frozen=True)
class Zone:
    """Where on a surface a device may go by all placing rules, the bans that leave it, and the metres to spare."""

    surface: Surface
    shape: BaseGeometry
    bans: tuple[Ban, ...]
    spare: float = 0.0

    @property
    def has_place(self) -> bool:
        """Whether it holds any place."""
        return not self.shape.is_empty

    @property
    def parts(self) -> tuple[Polygon, ...]:
        """The connected parts."""
        return _pieces(self.shape)

    @cached_property
    def stretches(self) -> tuple["Stretch", ...]:
        """Where along a wall it has a place, and at which heights; cut where an opening begins or ends."""
        ends = {x for part in (*self.parts, *self.surface.holes) for x in (part.bounds[0], part.bounds[2])}
        found: list[Stretch] = []
        for start, end in pairwise(sorted(ends)):
            slab = self.shape.intersection(box(start, -_FAR, end, _FAR))
            bounds = [piece.bounds for piece in _pieces(slab)]
            heights = tuple(sorted((round(low, 3), round(high, 3)) for _, low, _, high in bounds))
            if found and heights == found[-1].heights and abs(start - found[-1].end) < ON_ONE_LINE:
                start = found.pop().start  # noqa: PLW2901 - the stretch goes on
            if heights:
                found.append(Stretch(start, end, heights))
        return tuple(found)

    @property
    def plan(self) -> BaseGeometry:
        """The zone as a plan shows it: on a wall, a strip along its face."""
        wall = self.surface.wall
        if wall is None:
            return self.shape
        return union_all(
            [
                Polygon([wall.at(s.start), wall.at(s.end), wall.at(s.end, -STRIP), wall.at(s.start, -STRIP)])
                for s in self.stretches
            ]
        )


def zone(trial: Trial, placings: Mapping[str, Placing]) -> Zone:
    """Apply every placing rule to a surface.

    Args:
        trial: what is to hang where, and with how much to spare.
        placings: what each check forbids, by its name.
    """
    surface, rules, kinds = trial.surface, trial.case.rules, {trial.candidate.kind, "device"}
    bans = tuple(
        ban
        for rule in rules.rules.values()
        if rule.check in placings and not kinds.isdisjoint((*rule.applies_to, *rule.options.get("kinds", ())))
        for limit in (rules.limits[rule.id],)
        if not limit.nothing
        for ban in placings[rule.check](rule, limit, trial)
        if surface.whole.intersects(ban.shape)
    )
    return Zone(surface, left_by(surface, bans), bans, trial.spare)


def left_by(surface: Surface, bans: Iterable[Ban]) -> BaseGeometry:
    """Give what some bans leave of a surface, slivers left out."""
    shapes = [ban.shape for ban in bans]
    return union_all(_pieces(surface.outline.difference(union_all(shapes)) if shapes else surface.outline))


def _pieces(shape: BaseGeometry) -> tuple[Polygon, ...]:
    """Give the connected parts of a shape that are large enough to be a place."""
    pieces = getattr(shape, "geoms", (shape,))
    return tuple(piece for piece in pieces if isinstance(piece, Polygon) and piece.area > _NOWHERE)
