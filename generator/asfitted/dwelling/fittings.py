"""Fittings and stairs in their places."""

from collections.abc import Mapping

from shapely import LineString, Point, Polygon, box

from asfitted.dwelling.places import rectangle_at, spot_of
from asfitted.dwelling.shapes import Flight, PlacedFitting, PlacedOpening, RoomShape, Spot
from asfitted.dwelling.tapes import ceiling_point
from asfitted.dwelling.walls import find_room
from asfitted.model.base import Path, Unusable
from asfitted.model.building import Fitting, Size, Stair
from asfitted.model.words import FittingKind, Side

ON_CEILING: frozenset[FittingKind] = frozenset({"light", "decoration", "ceiling-fan", "beam"})
"""Fittings that hang from the ceiling where two distances are given, unless they have a height of their own."""

PROTRUDES = 0.05
"""Metres by which the plan of a thing may pass through a wall: what sizes read off by eye are out."""


def place_fitting(
    fitting: Fitting, rooms: Mapping[str, RoomShape], openings: Mapping[str, PlacedOpening], path: Path
) -> PlacedFitting:
    """Set a fitting into its room.

    A distance goes to the middle of a fitting without a size, and to the nearest edge of one with a size.

    Raises:
        Unusable: when the place is not there.
    """
    if fitting.kind == "beam":
        return _beam(fitting, rooms, path)
    if fitting.size and fitting.tapes:
        moved = {f"from_{side}": value for side, value in _to_middle(fitting.tapes, fitting.size).items()}
        fitting = fitting.model_copy(update=moved)
    spot = spot_of(fitting, rooms, openings)
    room = rooms[spot.room]
    shape: Point | Polygon | None = None
    if spot.point is not None:
        shape = _plan(fitting, spot.point, spot) if fitting.size else Point(spot.point)
        if spot.fixed != "outside":
            _check_inside(fitting.called, shape, room)
    if spot.fixed == "floor" and spot.point is not None and _hangs(fitting):
        height = room.ceiling.height_at(*spot.point) if spot.z is None else spot.z
        spot = Spot(spot.storey, spot.room, spot.point, height, "ceiling", tolerance=spot.tolerance)
    return PlacedFitting(fitting, spot, shape, path)


def _hangs(fitting: Fitting) -> bool:
    """Tell whether two distances mean a place on the ceiling: a lamp with a height of its own stands below it."""
    return fitting.kind in ON_CEILING and (fitting.height is None or fitting.kind == "ceiling-fan")


def _plan(fitting: Fitting, point: tuple[float, float], spot: Spot) -> Polygon:
    assert fitting.size is not None
    if fitting.corner:
        north_south, east_west = fitting.corner.split("-")
        x = point[0] + (-0.5 if east_west == "east" else 0.5) * fitting.size[0]
        y = point[1] + (-0.5 if north_south == "north" else 0.5) * fitting.size[1]
        return rectangle_at((x, y), None, fitting.size)
    return rectangle_at(point, spot.wall, fitting.size)


def _check_inside(called: str, shape: Point | Polygon, room: RoomShape) -> None:
    outside = shape.difference(room.outline.buffer(PROTRUDES, join_style="mitre"))
    if not outside.is_empty:
        corners = [shape] if isinstance(shape, Point) else [Point(corner) for corner in shape.exterior.coords]
        over = max(float(room.outline.distance(corner)) for corner in corners)
        raise Unusable(f"the {called} {over:.2f} m out of {room.id}", "a place and a size within the room")


def _to_middle(tapes: Mapping[Side, float], size: Size) -> dict[Side, float]:
    """Turn distances to the edges of something into distances to its middle."""
    width, depth = size
    half: dict[Side, float] = {"east": width / 2, "west": width / 2, "north": depth / 2, "south": depth / 2}
    return {side: value + half[side] for side, value in tapes.items()}


def _beam(fitting: Fitting, rooms: Mapping[str, RoomShape], path: Path) -> PlacedFitting:
    """Run a beam across its room at the one distance given: from the north or south wall it runs east to west."""
    room, tapes = find_room(rooms, fitting.in_), fitting.tapes
    if len(tapes) != 1:
        raise Unusable(f"a beam with {len(tapes) or 'no'} distances", "one distance, from the wall it runs along")
    ((side, offset),) = tapes.items()
    west, south, east, north = room.outline.bounds
    if side in ("north", "south"):
        at = north - offset if side == "north" else south + offset
        line = LineString([(west - 1, at), (east + 1, at)])
    else:
        at = east - offset if side == "east" else west + offset
        line = LineString([(at, south - 1), (at, north + 1)])
    cut = line.intersection(room.outline)
    if cut.is_empty or not isinstance(cut, LineString):
        raise Unusable(f"a beam {offset:.2f} m from the {side} wall of {room.id}", "one that crosses the room once")
    middle = cut.interpolate(0.5, normalized=True)
    point = (float(middle.x), float(middle.y))
    spot = Spot(room.storey, room.id, point, room.ceiling.height_at(*point), "ceiling")
    return PlacedFitting(fitting, spot, cut, path)


def place_stair(stair: Stair, storeys: Mapping[str, Mapping[str, RoomShape]], storey: str) -> Flight:
    """Set a flight of stairs into its room and find the storey it leads to.

    Args:
        stair: the flight as recorded.
        storeys: the rooms of every storey, lowest storey first.
        storey: the storey where it starts.

    Raises:
        Unusable: when the rooms are not there, or the upper room is not above the flight.
    """
    room = find_room(storeys[storey], stair.in_)
    order = list(storeys)
    above = next((name for name in order[order.index(storey) + 1 :] if stair.to in storeys[name]), None)
    if above is None:
        higher = [room for name in order[order.index(storey) + 1 :] for room in storeys[name]]
        expected = "one of " + ", ".join(higher) if higher else "a storey above to lead to"
        raise Unusable(f"“{stair.to}”, which is no room of a higher storey", expected)
    x, y = ceiling_point(room, _to_middle(stair.tapes, stair.size))
    width, depth = stair.size
    outline = box(x - width / 2, y - depth / 2, x + width / 2, y + depth / 2)
    _check_inside("flight", outline, room)
    upper = storeys[above][stair.to]
    apart = float(upper.outline.distance(outline))
    if apart > 1.0:
        raise Unusable(
            f"{stair.to} {apart:.2f} m away from the flight below it",
            "the upper room above or beside the flight",
            "Storeys share one origin: give the rooms of both from the same corner of the house.",
        )
    return Flight(stair, storey, above, outline)
