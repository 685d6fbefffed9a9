"""Surfaces on which a device may hang, and what rules forbid of them.

A placing rule answers twice from the same shapes: its check measures where a device hangs, and its bans tell where one
may not. The admissible zone is what all bans leave of a surface.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from shapely import LineString, Point, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import XY, RoomShape, Wall
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.obstacles import Obstacle

_FAR = 100.0
"""Metres beyond which nothing of a home lies."""


@dataclass(frozen=True)
class Surface:
    """The ceiling of a room, or one of its walls, as a plane with two coordinates in metres.

    On a ceiling the coordinates are those of the plan. On a wall they are the distance along it from its end ``a``, and
    the height above finished floor.
    """

    room: RoomShape
    wall: Wall | None = None

    @cached_property
    def outline(self) -> BaseGeometry:
        """The whole of the surface; a wall ends under the slope of the ceiling."""
        if self.wall is None:
            return self.room.outline
        tops = [(along, self.room.ceiling.height_at(*self.wall.at(along))) for along in _bends(self.room, self.wall)]
        return Polygon([(0.0, 0.0), (self.wall.length, 0.0), *reversed(tops)])

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
        return union_all([box(low, -_FAR, high, _FAR) for low, high in spans])

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


@dataclass(frozen=True)
class Zone:
    """Where on a surface a device may go by all placing rules, and the bans that leave it."""

    surface: Surface
    shape: BaseGeometry
    bans: tuple[Ban, ...]


def zone(trial: Trial, placings: Mapping[str, Placing]) -> Zone:
    """Apply every placing rule to a surface.

    Args:
        trial: what is to hang where, and with how much to spare.
        placings: what each check forbids, by its name.
    """
    surface, rules = trial.surface, trial.case.rules
    bans = tuple(
        ban
        for rule in rules.rules.values()
        if rule.check in placings and trial.candidate.kind in rule.applies_to
        for limit in (rules.limits[rule.id],)
        if not limit.nothing
        for ban in placings[rule.check](rule, limit, trial)
        if not ban.shape.is_empty
    )
    shape = surface.outline.difference(union_all([ban.shape for ban in bans])) if bans else surface.outline
    return Zone(surface, shape, bans)
