"""From a record to a dwelling: every room, opening, fitting, stair and tagged place as a shape."""

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from asfitted.dwelling.ceilings import ceiling_over
from asfitted.dwelling.fittings import place_fitting, place_stair
from asfitted.dwelling.names import repeated_ids, unknown_names
from asfitted.dwelling.openings import place_opening
from asfitted.dwelling.outlines import gaps, outlines_of, overlaps
from asfitted.dwelling.places import spot_of
from asfitted.dwelling.shapes import Dwelling, PlacedOpening, RoomShape, StoreyShape
from asfitted.dwelling.walls import walls_of, with_faces
from asfitted.model.base import Path, Problem, Unusable
from asfitted.model.building import Storey
from asfitted.model.home import Home

FLOOR_THICKNESS = 0.25
"""Metres from a ceiling to the finished floor above where the record gives no level (common practice, no source)."""

_Item = TypeVar("_Item")
_Made = TypeVar("_Made")


def survey(home: Home) -> tuple[Dwelling | None, list[Problem]]:
    """Lay out a home.

    Returns:
        The dwelling, and an empty list; or None and everything that is wrong with it, each with the place in
        the record and the figure.
    """
    problems = [*repeated_ids(home), *unknown_names(home)]
    rooms: dict[str, dict[str, RoomShape]] = {}
    for index, storey in enumerate(home.storeys):
        rooms[storey.id], troubles = _rooms_of(storey, ("storeys", index))
        problems += troubles
    levels, troubles = _levels(home.storeys)
    problems += troubles
    if problems:
        return None, problems
    storeys = [
        _storey(storey, level, rooms, ("storeys", index), problems)
        for index, (storey, level) in enumerate(zip(home.storeys, levels, strict=True))
    ]
    all_rooms = {name: shape for shapes in rooms.values() for name, shape in shapes.items()}
    all_openings = {opening.id: opening for storey in storeys for opening in storey.openings}
    spots = {}
    for tag, device in home.devices.items():
        try:
            spots[tag] = spot_of(device, all_rooms, all_openings)
        except Unusable as trouble:
            problems.append(trouble.at(("devices", tag)))
    if problems:
        return None, problems
    return Dwelling(tuple(storeys), spots), []


def _storey(
    storey: Storey,
    level: float,
    rooms: Mapping[str, Mapping[str, RoomShape]],
    path: Path,
    problems: list[Problem],
) -> StoreyShape:
    here = rooms[storey.id]

    def each(name: str, items: Iterable[_Item], make: Callable[[_Item, Path], _Made]) -> tuple[_Made, ...]:
        made = []
        for index, item in enumerate(items):
            at = (*path, name, index)
            try:
                made.append(make(item, at))
            except Unusable as trouble:
                problems.append(trouble.at(at))
        return tuple(made)

    openings = each("openings", storey.openings, lambda opening, _: place_opening(opening, storey.id, here))
    placed: dict[str, PlacedOpening] = {opening.id: opening for opening in openings}
    fittings = each("fittings", storey.fittings, lambda fitting, at: place_fitting(fitting, here, placed, at))
    flights = each("stairs", storey.stairs, lambda stair, _: place_stair(stair, rooms, storey.id))
    return StoreyShape(storey, level, tuple(here.values()), openings, fittings, flights)


def _rooms_of(storey: Storey, path: Path) -> tuple[dict[str, RoomShape], list[Problem]]:
    outlines, problems = outlines_of(storey, path)
    problems = problems or overlaps(storey, outlines, path) or gaps(storey, outlines, path)
    if problems:
        return {}, problems
    bare = {room.id: walls_of(room.id, outlines[room.id][0]) for room in storey.rooms}
    shapes = {}
    for room in storey.rooms:
        outline, closing = outlines[room.id]
        others = {name: walls for name, walls in bare.items() if name != room.id}
        walls = tuple(with_faces(wall, others, storey.walls) for wall in bare[room.id])
        ceiling = ceiling_over(outline, room.height or storey.height)
        shapes[room.id] = RoomShape(room, storey.id, outline, walls, ceiling, closing)
    return shapes, []


def _levels(storeys: tuple[Storey, ...]) -> tuple[list[float], list[Problem]]:
    levels: list[float] = []
    problems = []
    for index, storey in enumerate(storeys):
        if not levels:
            levels.append(storey.level or 0.0)
            continue
        below = storeys[index - 1]
        top = levels[-1] + below.height.lowest
        level = top + FLOOR_THICKNESS if storey.level is None else storey.level
        if level < top:
            problems.append(
                Problem(
                    ("storeys", index, "level"),
                    f"{storey.called} at {level:.2f} m, {top - level:.2f} m below the ceiling of {below.called}",
                    "storeys from the lowest to the highest, each above the one before",
                )
            )
        levels.append(level)
    return levels, problems
