"""Tables of the export that say what a home is: the home, its storeys, rooms, openings and fittings.

Left out on purpose: facts about the people, names that a household gave, notes, photos, and where on earth a home is.
"""

from collections.abc import Iterator

from asfitted.dwelling.shapes import PlacedFitting, PlacedOpening, RoomShape, Spot, StoreyShape
from asfitted.fleet.csv_text import Cell
from asfitted.fleet.table import Column, Refers, Table, of_model
from asfitted.model.building import Fitting, Opening, Room
from asfitted.model.home import HomeFacts
from asfitted.model.system import System
from asfitted.pages.dossier import Dossier


def _homes(dossier: Dossier) -> Iterator[Dossier]:
    yield dossier


HOMES: Table[Dossier] = Table(
    "home",
    "one home whose record can be used",
    (
        *of_model(HomeFacts, "label", "reference", of=lambda dossier: dossier.home.home),
        Column("rule_set", "text", "the rule set it is judged by", lambda dossier: dossier.home.home.rules),
        *of_model(HomeFacts, "rented", "language", of=lambda dossier: dossier.home.home),
        Column("new_build", "truth", HomeFacts.model_fields["new"].description or "", lambda d: d.home.home.new),
        *of_model(
            System,
            "fire_category",
            "fire_grade",
            "intruder_grade",
            "entry_time",
            "exit_time",
            "tells",
            "path",
            "police",
            of=lambda dossier: dossier.home.system,
        ),
        Column("judged_on", "day", "the day for which verdicts and tasks were worked out", lambda dossier: dossier.on),
    ),
    (),
    _homes,
)


def _storeys(dossier: Dossier) -> Iterator[tuple[int, StoreyShape]]:
    yield from enumerate(dossier.dwelling.storeys, start=1)


STOREYS: Table[tuple[int, StoreyShape]] = Table(
    "storey",
    "one floor level of a home",
    (
        Column("storey", "text", "id of the storey", lambda item: item[1].id),
        Column("number", "whole", "1 for the lowest", lambda item: item[0]),
        Column("level", "real", "finished floor above the ground outside", lambda item: _metres(item[1].level), "m"),
    ),
    ("storey",),
    _storeys,
    (Refers(("home",), "home"),),
)


def _rooms(dossier: Dossier) -> Iterator[RoomShape]:
    yield from dossier.dwelling.rooms.values()


ROOMS: Table[RoomShape] = Table(
    "room",
    "one room, hall, cupboard or shaft",
    (
        Column("room", "text", "id of the room", lambda shape: shape.id),
        Column("storey", "text", "id of its storey", lambda shape: shape.storey),
        Column("room_use", "text", "what it is for", lambda shape: shape.room.use),
        Column("area", "real", "floor area", lambda shape: round(shape.area, 3), "m²"),
        Column("lowest_ceiling", "real", "least height of its ceiling", lambda s: _metres(s.ceiling.low), "m"),
        Column("highest_ceiling", "real", "greatest height of its ceiling", lambda s: _metres(s.ceiling.high), "m"),
        *of_model(Room, "heated", "most_used", of=lambda shape: shape.room),
    ),
    ("room",),
    _rooms,
    (Refers(("home", "storey"), "storey"),),
)


def _openings(dossier: Dossier) -> Iterator[PlacedOpening]:
    yield from dossier.dwelling.openings.values()


OPENINGS: Table[PlacedOpening] = Table(
    "opening",
    "one door, window, rooflight, sliding door or archway",
    (
        Column("opening", "text", "id of the opening", lambda placed: placed.id),
        Column("kind", "text", "what it is", lambda placed: placed.opening.kind),
        Column("room", "text", "the room it is in", lambda placed: placed.rooms[0]),
        Column("beyond", "text", "the room behind it; nothing where it leads outside", lambda placed: placed.rooms[1]),
        Column("width", "real", "of the opening itself, along the wall", lambda p: p.opening.width, "m"),
        Column("height", "real", "of the opening itself, as recorded or usual", lambda p: _metres(p.height), "m"),
        *of_model(
            Opening,
            "sill",
            "leaf",
            "glass",
            "opening_part",
            "key_needed",
            "entry",
            of=lambda placed: placed.opening,
        ),
        Column("leads_to", "text", Opening.model_fields["to"].description or "", lambda placed: placed.opening.to),
    ),
    ("opening",),
    _openings,
    (Refers(("home", "room"), "room"), Refers(("home", "beyond"), "room")),
)


def _fittings(dossier: Dossier) -> Iterator[tuple[int, PlacedFitting]]:
    every = (placed for storey in dossier.dwelling.storeys for placed in storey.fittings)
    yield from enumerate(every, start=1)


FITTINGS: Table[tuple[int, PlacedFitting]] = Table(
    "fitting",
    "one thing that bears on where a device may go: a light, vent, cooker, beam",
    (
        Column("number", "whole", "counted from 1 through the record", lambda item: item[0]),
        *of_model(Fitting, "id", "kind", of=lambda item: item[1].fitting),
        Column("room", "text", "the room it is in", lambda item: item[1].spot.room),
        Column("east", "real", "east of the storey's origin", lambda item: east(item[1].spot), "m"),
        Column("north", "real", "north of the storey's origin", lambda item: north(item[1].spot), "m"),
        *of_model(Fitting, "burns", "flue", "lamp", "depth", "movable", of=lambda item: item[1].fitting),
    ),
    ("number",),
    _fittings,
    (Refers(("home", "room"), "room"),),
)


def east(spot: Spot | None) -> Cell:
    """Give metres east of the storey's origin; None where the record does not tell."""
    return _metres(spot.point[0]) if spot and spot.point else None


def north(spot: Spot | None) -> Cell:
    """Give metres north of the storey's origin; None where the record does not tell."""
    return _metres(spot.point[1]) if spot and spot.point else None


def _metres(value: float) -> float:
    """Round to a tenth of a millimetre: nothing finer is measured, and no dust of arithmetic stays."""
    return round(value, 4) + 0.0
