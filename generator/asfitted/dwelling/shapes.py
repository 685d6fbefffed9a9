"""The shapes of a dwelling: frozen values, in metres."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import atan2, degrees, hypot

from shapely import LineString, Point, Polygon
from shapely.affinity import translate

from asfitted.dwelling.ceilings import CeilingShape
from asfitted.model.building import Fitting, Opening, Room, Stair, Storey
from asfitted.model.words import Side

XY = tuple[float, float]

SIDE_VECTORS: dict[Side, XY] = {"north": (0.0, 1.0), "east": (1.0, 0.0), "south": (0.0, -1.0), "west": (-1.0, 0.0)}
"""Unit vectors of the four sides of a plan."""


def bearing(dx: float, dy: float) -> float:
    """Give the bearing of a direction in degrees clockwise from the plan's upper edge, from 0 up to 360."""
    return degrees(atan2(dx, dy)) % 360.0


@dataclass(frozen=True, slots=True)
class Face:
    """A stretch of a wall, in metres along it, and what is behind: another room's id, or None for outside."""

    start: float
    end: float
    beyond: str | None
    thickness: float
    of: str


@dataclass(frozen=True)
class Wall:
    """One straight inside face of a room, from ``a`` to ``b`` with the room on its left."""

    room: str
    name: str
    side: Side
    a: XY
    b: XY
    faces: tuple[Face, ...] = ()

    @cached_property
    def length(self) -> float:
        """Metres along the face."""
        return hypot(self.b[0] - self.a[0], self.b[1] - self.a[1])

    @cached_property
    def along(self) -> XY:
        """The unit vector from ``a`` to ``b``."""
        return (self.b[0] - self.a[0]) / self.length, (self.b[1] - self.a[1]) / self.length

    @property
    def outward(self) -> XY:
        """The unit vector out of the room."""
        return self.along[1], -self.along[0]

    @property
    def line(self) -> LineString:
        """The face as a line."""
        return LineString([self.a, self.b])

    def at(self, distance: float, out: float = 0.0) -> XY:
        """Give the point ``distance`` metres from ``a`` along the face and ``out`` metres behind it."""
        (ux, uy), (nx, ny) = self.along, self.outward
        return self.a[0] + ux * distance + nx * out, self.a[1] + uy * distance + ny * out

    def face_at(self, distance: float) -> Face:
        """Give the stretch of the wall at a distance along it."""
        return min(self.faces, key=lambda face: max(face.start - distance, distance - face.end))


@dataclass(frozen=True, slots=True)
class Closing:
    """How well a walked room closed: the error in metres, the length walked, and the error as one part in so many."""

    error: float
    length: float

    @property
    def one_in(self) -> float:
        """The length walked over the error; infinite for a perfect walk."""
        return self.length / self.error if self.error else float("inf")


@dataclass(frozen=True)
class RoomShape:
    """A room by its inside faces."""

    room: Room
    storey: str
    outline: Polygon
    walls: tuple[Wall, ...]
    ceiling: CeilingShape
    closing: Closing | None = None

    @property
    def id(self) -> str:
        """The room's id."""
        return self.room.id

    @property
    def area(self) -> float:
        """Floor area in square metres."""
        return float(self.outline.area)


@dataclass(frozen=True)
class PlacedOpening:
    """An opening in its place: ``a`` to ``b`` along the inside face of the first room named.

    A rooflight has no wall but an ``outline``, what it takes up of the plan; its ``a`` to ``b`` is the line across
    the slope through its middle.
    """

    opening: Opening
    storey: str
    rooms: tuple[str, str | None]
    a: XY
    b: XY
    wall: Wall | None
    thickness: float
    height: float
    outline: Polygon | None = None

    @property
    def id(self) -> str:
        """The opening's id."""
        return self.opening.id

    @property
    def line(self) -> LineString:
        """The opening along the inside face."""
        return LineString([self.a, self.b])

    def line_in(self, room: str) -> LineString:
        """Give the opening along the face of one of its two rooms."""
        if self.wall is None or room != self.rooms[1]:
            return self.line
        nx, ny = self.wall.outward
        return translate(self.line, nx * self.thickness, ny * self.thickness)

    @property
    def middle(self) -> XY:
        """The middle of the opening on the inside face."""
        return (self.a[0] + self.b[0]) / 2, (self.a[1] + self.b[1]) / 2

    @property
    def is_outer(self) -> bool:
        """Whether it leads out of the dwelling."""
        return self.rooms[1] is None

    @property
    def is_door(self) -> bool:
        """Whether one can walk through it."""
        return self.opening.kind in ("door", "sliding-door", "archway")

    @property
    def glazed(self) -> bool:
        """Whether daylight and draught come through it."""
        return self.opening.kind in ("window", "rooflight", "sliding-door") or self.opening.leaf == "glass"

    def end_towards(self, side: Side) -> XY:
        """Give the end of the opening that lies towards a side of the plan."""
        vx, vy = SIDE_VECTORS[side]
        return max((self.a, self.b), key=lambda p: p[0] * vx + p[1] * vy)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a place of the record is: plan point, height above floor, and what it is fixed to.

    ``point`` is None when the record does not say where in the room; ``z`` is None when the height is unknown.
    ``fixed`` is one of ceiling, wall, corner, opening, floor, outside, unknown. ``facing`` is a bearing.
    """

    storey: str
    room: str
    point: XY | None
    z: float | None
    fixed: str
    wall: Wall | None = None
    opening: PlacedOpening | None = None
    facing: float | None = None
    tolerance: float = 0.0


@dataclass(frozen=True, slots=True)
class PlacedFitting:
    """A fitting in its place: a point, a line (beam) or a rectangle (furniture) on the plan."""

    fitting: Fitting
    spot: Spot
    shape: Point | LineString | Polygon | None
    path: tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Flight:
    """A flight of stairs on the plan of the storey where it starts."""

    stair: Stair
    storey: str
    to_storey: str
    outline: Polygon


@dataclass(frozen=True)
class StoreyShape:
    """One storey: its rooms, openings, fittings and stairs in their places, and its floor level in metres."""

    storey: Storey
    level: float
    rooms: tuple[RoomShape, ...]
    openings: tuple[PlacedOpening, ...]
    fittings: tuple[PlacedFitting, ...]
    flights: tuple[Flight, ...]

    @property
    def id(self) -> str:
        """The storey's id."""
        return self.storey.id


@dataclass(frozen=True, eq=False)
class Dwelling:
    """A surveyed home as shapes, lowest storey first, and the spot of every device that has a place.

    Two are equal only when they are one, so that what is worked out from a dwelling can be kept beside it.
    """

    storeys: tuple[StoreyShape, ...]
    spots: Mapping[str, Spot] = field(default_factory=dict)

    @cached_property
    def rooms(self) -> dict[str, RoomShape]:
        """Every room by its id."""
        return {room.id: room for storey in self.storeys for room in storey.rooms}

    @cached_property
    def openings(self) -> dict[str, PlacedOpening]:
        """Every opening by its id."""
        return {opening.id: opening for storey in self.storeys for opening in storey.openings}

    def storey(self, storey_id: str) -> StoreyShape:
        """Give a storey by its id."""
        return next(storey for storey in self.storeys if storey.id == storey_id)

    def openings_of(self, room: str) -> Iterator[PlacedOpening]:
        """Give the openings in the walls and ceiling of a room."""
        return (opening for opening in self.openings.values() if room in opening.rooms)

    def fittings_of(self, room: str, *kinds: str) -> Iterator[PlacedFitting]:
        """Give the fittings of a room, of the kinds named or of all."""
        every = (placed for storey in self.storeys for placed in storey.fittings)
        return (placed for placed in every if placed.spot.room == room and (not kinds or placed.fitting.kind in kinds))
