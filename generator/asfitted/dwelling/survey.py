"""From a record to a dwelling: every room, opening, fitting, stair and tagged place as a shape."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import TypeVar

from asfitted.dwelling.ceilings import ceiling_over
from asfitted.dwelling.fittings import place_fitting, place_stair
from asfitted.dwelling.names import repeated_ids, unknown_names
from asfitted.dwelling.openings import place_opening
from asfitted.dwelling.outlines import gaps, outlines_of, overlaps
from asfitted.dwelling.places import named_in, spot_of
from asfitted.dwelling.shapes import Dwelling, RoomShape, StoreyShape
from asfitted.dwelling.walls import walls_of, with_faces
from asfitted.model.base import Path, Problem, Unusable
from asfitted.model.building import Storey
from asfitted.model.device import Device
from asfitted.model.home import Home

FLOOR_THICKNESS = 0.25
"""Metres from a ceiling to the finished floor above where the record gives no level (common practice, no source)."""

_Item = TypeVar("_Item")
_Made = TypeVar("_Made")


@dataclass
class _Trial:
    """What is wrong so far, and the ids of what therefore has no shape.

    What refers to one of those is passed over, as its trouble would only follow from theirs.
    """

    problems: list[Problem]
    unsettled: set[str]

    def each(
        self,
        items: Mapping[Path, _Item],
        refers_to: Callable[[_Item], set[str | None]],
        make: Callable[[_Item, Path], _Made],
    ) -> dict[Path, _Made]:
        """Make what can be made of items that stand at their places in the record."""
        made = {}
        for path, item in items.items():
            if refers_to(item) & self.unsettled:
                continue
            try:
                made[path] = make(item, path)
            except Unusable as trouble:
                self.problems.append(trouble.at(path))
        return made


def survey(home: Home) -> tuple[Dwelling | None, list[Problem]]:
    """Lay out a home. A device without any place is planned, and has no spot.

    Returns:
        The dwelling, and an empty list; or None and everything that is wrong with it, each with the place in
        the record and the figure.
    """
    repeated = repeated_ids(home)
    trial = _Trial([*chain.from_iterable(repeated.values()), *unknown_names(home)], set(repeated))
    laid = [_rooms_of(storey, ("storeys", index), trial) for index, storey in enumerate(home.storeys)]
    levels, troubles = _levels(home.storeys)
    trial.problems += troubles
    rooms = {storey.id: shapes for storey, shapes in zip(home.storeys, laid, strict=True)}
    storeys = tuple(
        _storey(storey, level, here, rooms, ("storeys", index), trial)
        for index, (storey, level, here) in enumerate(zip(home.storeys, levels, laid, strict=True))
        if here
    )
    all_rooms = {name: shape for shapes in laid for name, shape in shapes.items()}
    all_openings = {opening.id: opening for storey in storeys for opening in storey.openings}
    devices: dict[Path, Device] = {
        ("devices", tag): device for tag, device in home.devices.items() if device.placed or device.tapes
    }
    spots = trial.each(
        devices, lambda device: {named_in(device)}, lambda device, _: spot_of(device, all_rooms, all_openings)
    )
    if trial.problems:
        return None, trial.problems
    return Dwelling(storeys, {str(tag): spot for (_, tag), spot in spots.items()}), []


def _storey(
    storey: Storey,
    level: float,
    here: Mapping[str, RoomShape],
    rooms: Mapping[str, Mapping[str, RoomShape]],
    path: Path,
    trial: _Trial,
) -> StoreyShape:
    def at(name: str, items: Iterable[_Item]) -> dict[Path, _Item]:
        return {(*path, name, index): item for index, item in enumerate(items)}

    openings = trial.each(
        at("openings", storey.openings), lambda _: set(), lambda opening, _: place_opening(opening, storey.id, here)
    ).values()
    placed = {opening.id: opening for opening in openings}
    trial.unsettled |= {opening.id for opening in storey.openings} - placed.keys()
    fittings = trial.each(
        at("fittings", storey.fittings),
        lambda fitting: {named_in(fitting)},
        lambda fitting, place: place_fitting(fitting, here, placed, place),
    ).values()
    flights = trial.each(
        at("stairs", storey.stairs),
        lambda stair: {storey.id, stair.to},
        lambda stair, _: place_stair(stair, rooms, storey.id),
    ).values()
    return StoreyShape(storey, level, tuple(here.values()), tuple(openings), tuple(fittings), tuple(flights))


def _rooms_of(storey: Storey, path: Path, trial: _Trial) -> dict[str, RoomShape]:
    """Lay out the rooms of a storey; none of them while one of them is wrong or two share an id."""
    names = {room.id for room in storey.rooms}
    distinct = len(names) == len(storey.rooms)
    outlines, problems = outlines_of(storey, path) if distinct else ({}, [])
    problems = problems or overlaps(storey, outlines, path) or gaps(storey, outlines, path)
    if problems or not distinct:
        trial.problems += problems
        trial.unsettled |= names | {opening.id for opening in storey.openings}
        return {}
    bare = {room.id: walls_of(room.id, outlines[room.id][0]) for room in storey.rooms}
    shapes = {}
    for room in storey.rooms:
        outline, closing = outlines[room.id]
        others = {name: walls for name, walls in bare.items() if name != room.id}
        walls = tuple(with_faces(wall, others, storey.walls) for wall in bare[room.id])
        ceiling = ceiling_over(outline, room.height or storey.height)
        shapes[room.id] = RoomShape(room, storey.id, outline, walls, ceiling, closing)
    return shapes


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
