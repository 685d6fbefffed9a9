"""One thing that is not as it was: its earlier place and its later one, and where both stand on paper."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import hypot

from shapely.geometry.base import BaseGeometry

from asfitted.drawing.canvas import XY, View
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.shift_marks import ROOM
from asfitted.drawing.standing import Stand, stand
from asfitted.drawing.symbols import symbol_of
from asfitted.dwelling.shapes import RoomShape, Spot

_NEAR = 0.001
"""Metres within which two places are one."""
FREE = 3.2
"""Millimetres that must be free between the old symbol and the new for an arrow from one to the other."""


@dataclass(frozen=True)
class Place:
    """Where a thing is on the storey that is drawn: its spot, room, outline, and the corner it is fixed in."""

    spot: Spot
    room: RoomShape
    shape: BaseGeometry | None
    corner: str | None

    @property
    def point(self) -> XY:
        """The point on the plan."""
        assert self.spot.point is not None
        return self.spot.point


@dataclass(frozen=True)
class Thing:
    """One thing that changed on a storey: its earlier and later place there, its marks, and words of its own."""

    tag: str
    kind: str
    was: Place | None
    now: Place | None
    marks: frozenset[str]
    words: tuple[str, ...] = ()

    @property
    def points(self) -> list[XY]:
        """Where it was and is."""
        return [place.point for place in (self.was, self.now) if place]

    @property
    def has_symbol(self) -> bool:
        """Whether it is drawn by its symbol and not by its outline."""
        return bool(self.kind) and any(place.shape is None for place in (self.was, self.now) if place)

    @property
    def in_wall(self) -> bool:
        """Whether it is an opening."""
        return any(place.spot.fixed == "opening" and not self.kind for place in (self.was, self.now) if place)

    @property
    def step(self) -> float:
        """Metres that it moved on the plan."""
        (ax, ay), (bx, by) = self.points[0], self.points[-1]
        return hypot(bx - ax, by - ay)

    @property
    def rise(self) -> float:
        """Metres that it was raised; 0 where a height is not known."""
        heights = [place.spot.z for place in (self.was, self.now) if place and place.spot.z is not None]
        rise = heights[1] - heights[0] if len(heights) == 2 and "moved" in self.marks else 0.0
        return rise if abs(rise) > _NEAR else 0.0

    @property
    def turn(self) -> float | None:
        """Degrees that it was turned; None where it is not known."""
        facing = [place.spot.facing for place in (self.was, self.now) if place and place.spot.facing is not None]
        return abs((facing[1] - facing[0] + 180.0) % 360.0 - 180.0) if len(facing) == 2 else None

    @property
    def apart(self) -> bool:
        """Whether its earlier place is another on the plan."""
        return "moved" in self.marks and self.was is not None and self.now is not None and self.step > _NEAR

    @property
    def shown_as(self) -> Iterator[str]:
        """Give the marks that it is drawn with."""
        yield from (mark for mark in ("added", "removed", "replaced", "re-aimed") if mark in self.marks)
        if self.apart:
            yield "moved"
        if self.rise:
            yield "higher"


@dataclass(frozen=True)
class Set:
    """A thing on paper: the stands of its symbol, or the boxes of its outlines."""

    thing: Thing
    was: Stand | None
    now: Stand | None
    box_was: Box | None
    box_now: Box | None

    @property
    def main(self) -> Box:
        """The box of its later place, or of its earlier one where it is gone."""
        box = self.box_now or self.box_was
        assert box is not None
        return box


def set_out(view: View, thing: Thing, taken: Taken) -> Set:
    """Find where the old symbol of a thing stands and the new one."""
    now = _stand(view, thing, thing.now, taken)
    box_now = now.box if now else _box_of(view, thing.now)
    # Of a short way the old symbol shows from under the new one; only a far one gives way to others.
    short = thing.now is not None and view.length(thing.step) < 2 * FREE + 3.0
    was = None
    if thing.now is None or thing.apart:
        was = _stand(view, thing, thing.was, Taken(taken.page) if short else taken)
    box_was = was.box if was else _box_of(view, thing.was) if thing.now is None or thing.apart else None
    return Set(thing, was, now, box_was, box_now)


def _stand(view: View, thing: Thing, place: Place | None, taken: Taken) -> Stand | None:
    if place is None or not thing.kind or place.shape is not None:
        return None
    symbol = symbol_of(thing.kind)
    framed = "added" in thing.marks or "removed" in thing.marks or ("replaced" in thing.marks and place is thing.now)
    if framed and symbol.stand is None:  # so that the frame stays clear of the wall
        symbol = replace(symbol, width=symbol.width + 2 * ROOM, height=symbol.height + 2 * ROOM)
    stood = stand(view, symbol, place.spot, place.corner, place.room, taken)
    if framed and symbol.stand is not None:
        stood = replace(stood, box=Box.over(stood.box.corners, ROOM))
        taken.take(stood.box, 12.0)
    return stood


def _box_of(view: View, place: Place | None) -> Box | None:
    if place is None:
        return None
    if place.shape is None:
        return Box.around(view.at(place.point), 2.0, 2.0)
    west, south, east, north = place.shape.bounds
    return Box.over([view.at((west, south)), view.at((east, north))], 0.9)
