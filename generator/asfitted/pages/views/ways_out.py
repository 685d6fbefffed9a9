"""The ways out of a home in plain words: from each bed to each door, what needs a key, and windows that may serve."""

from dataclasses import dataclass

from asfitted.drawing.ways_out import beds
from asfitted.dwelling.shapes import Dwelling
from asfitted.language import figure, say
from asfitted.pages.dossier import Dossier
from asfitted.pages.wording import listed, room_words, sentence
from asfitted.reckon.ways_out import SecondWay, WayOut


@dataclass(frozen=True, slots=True)
class DoorWay:
    """The way to one door: what it is called, how far it is, and what to know of it."""

    door: str
    far: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BedView:
    """A bed by its number on the drawing, its room, and the ways from it, the nearest first."""

    number: int
    room: str
    ways: tuple[DoorWay, ...]


@dataclass(frozen=True, slots=True)
class WindowView:
    """The windows of a room people sleep in: those that may serve as a way out, and those still to be measured."""

    room: str
    serve: str
    unknown: str


@dataclass(frozen=True, slots=True)
class EscapeView:
    """What the page on ways out shows; ``keys`` are the doors that need one from inside."""

    beds: tuple[BedView, ...]
    keys: tuple[str, ...]
    windows: tuple[WindowView, ...]


def escape_view(dossier: Dossier) -> EscapeView:
    """Give the ways out of a home for its household."""
    dwelling, known = dossier.dwelling, dossier.reckoned
    numbered = beds(dwelling, known.ways)
    keys = dict.fromkeys(name for way in known.ways for name in way.keys)
    rooms = dict.fromkeys(bed.spot[0] for bed in numbered)
    return EscapeView(
        tuple(
            BedView(
                bed.number,
                sentence(room_words(dwelling, bed.spot[0])),
                tuple(_door(dwelling, way) for way in bed.ways),
            )
            for bed in numbered
        ),
        tuple(_name(dwelling, name) for name in keys),
        tuple(_windows(dwelling, room, known.second_ways) for room in rooms),
    )


def _door(dwelling: Dwelling, way: WayOut) -> DoorWay:
    notes = []
    if way.through_kitchen and way.round_kitchens is not None:
        far = figure(way.round_kitchens.length, 0)
        notes.append(say("through the kitchen; {distance} m round it", distance=far))
    elif way.through_kitchen:
        notes.append(say("through the kitchen"))
    if way.keys:
        doors = listed(_name(dwelling, name) for name in way.keys)
        notes.append(say("needs a key: {doors}", doors=doors))
    return DoorWay(_name(dwelling, way.exit), f"{figure(way.walk.length, 0)} m", tuple(notes))


def _windows(dwelling: Dwelling, room: str, windows: tuple[SecondWay, ...]) -> WindowView:
    here = [window for window in windows if window.room == room]
    return WindowView(
        sentence(room_words(dwelling, room)),
        listed(_name(dwelling, window.opening) for window in here if window.serves),
        listed(_name(dwelling, window.opening) for window in here if window.serves is None),
    )


def _name(dwelling: Dwelling, opening: str) -> str:
    return dwelling.openings[opening].opening.called
