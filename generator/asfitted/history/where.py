"""Where something is, in words: how far from which walls, how high, and by how much it moved."""

from collections.abc import Iterable
from math import hypot

from asfitted.dwelling.shapes import XY, Dwelling, RoomShape, Spot
from asfitted.dwelling.tapes import reach
from asfitted.history.changes import At
from asfitted.history.wording import compass, metres
from asfitted.model.words import Side as Way

_PAIRS: tuple[tuple[Way, Way], ...] = (("north", "south"), ("west", "east"))
_NEAR = 0.001


def at(spot: Spot | None) -> At | None:
    """Give a spot as a place for a drawing."""
    return None if spot is None else At(spot.storey, spot.room, spot.point, spot.z)


def where(spot: Spot, dwelling: Dwelling, taped: Iterable[Way] = ()) -> str:
    """Say where a spot is: ``on the ceiling of the hall, 0.95 m from the east wall and 2.00 m from the south wall``.

    Args:
        spot: the place.
        dwelling: what it is in.
        taped: the sides to measure from; the nearer of two opposite ones where neither is named.
    """
    room = dwelling.rooms[spot.room]
    called = room.room.called
    height = "" if spot.z is None else f", {metres(spot.z)} above the floor"
    if spot.opening is not None:
        return f"on the {spot.opening.opening.called}{height}"
    on_wall = f"on the {spot.wall.name} wall" if spot.wall else ""
    if spot.fixed == "outside":
        return f"outside the {called}, {on_wall}{height}"
    if spot.point is None:
        return f"{on_wall or 'somewhere'} in the {called}{height}"
    away = _away(room, spot.point, set(taped))
    if spot.fixed == "corner":
        return f"in the {'-'.join(away)} corner of the {called}{height}"
    if spot.wall is not None:
        side = next(side for side in away if side not in _across(spot.wall.side))
        return f"{on_wall} of the {called}, {metres(away[side])} from its {side} end{height}"
    walls = " and ".join(f"{metres(distance)} from the {side} wall" for side, distance in away.items())
    if spot.fixed == "ceiling":
        return f"on the ceiling of the {called}, {walls}"
    return f"in the {called}, {walls}{height}"


def _across(side: Way) -> tuple[Way, Way]:
    return next(pair for pair in _PAIRS if side in pair)


def _away(room: RoomShape, point: XY, taped: set[Way]) -> dict[Way, float]:
    """Give the distance to one wall of each two opposite ones."""
    away: dict[Way, float] = {}
    for pair in _PAIRS:
        distances = {way: reach(room, point, way) for way in pair}
        named = [way for way in pair if way in taped]
        side = named[0] if len(named) == 1 else min(distances, key=lambda way: distances[way])
        away[side] = distances[side]
    return away


def step(was: Spot, now: Spot) -> str:
    """Say by how much something moved: ``0.42 m south-east and 0.10 m lower``; empty where that means nothing."""
    if was.storey != now.storey or was.point is None or now.point is None:
        return ""
    dx, dy = now.point[0] - was.point[0], now.point[1] - was.point[1]
    said = []
    if hypot(dx, dy) > _NEAR:
        said.append(f"{metres(hypot(dx, dy))} {compass(dx, dy)}")
    if was.z is not None and now.z is not None and abs(now.z - was.z) > _NEAR:
        said.append(f"{metres(abs(now.z - was.z))} {'higher' if now.z > was.z else 'lower'}")
    return " and ".join(said)
