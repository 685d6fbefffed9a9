"""The rooms of a household: which have devices, and the ways out of the home."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from asfitted.dwelling.shapes import Dwelling
from asfitted.language import say
from asfitted.model.photo import Photo
from asfitted.pages.views.devices import DeviceCard
from asfitted.pages.wording import room_words, sentence
from asfitted.rules.checks.wanting import BURNERS


@dataclass(frozen=True, slots=True)
class RoomView:
    """A room with devices; ``title`` tells it from a room of the same name on another storey."""

    id: str
    name: str
    title: str
    storey: str
    cards: tuple[DeviceCard, ...]
    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class WayOut:
    """A door that leads out of the dwelling."""

    name: str
    room: str
    to: str
    shared: bool
    key_needed: bool


def room_views(dwelling: Dwelling, cards: Sequence[DeviceCard]) -> tuple[RoomView, ...]:
    """Give every room that has a device, storey by storey."""
    by_room: dict[str | None, list[DeviceCard]] = {}
    for card in cards:
        by_room.setdefault(card.room, []).append(card)
    shown = [shape for room, shape in dwelling.rooms.items() if room in by_room]
    names = Counter(shape.room.called for shape in shown)
    return tuple(
        RoomView(
            shape.id,
            sentence(shape.room.called),
            sentence(shape.room.called if names[shape.room.called] == 1 else room_words(dwelling, shape.id)),
            sentence(dwelling.storey(shape.storey).storey.called),
            tuple(by_room[shape.id]),
            shape.room.photos,
        )
        for shape in shown
    )


def burns_gas(dwelling: Dwelling) -> bool:
    """Whether anything in the home burns gas, as far as the record says."""
    return any(placed.fitting.burns == "gas" for storey in dwelling.storeys for placed in storey.fittings)


def unknown_fuel(dwelling: Dwelling) -> tuple[tuple[str, str], ...]:
    """Give every boiler and stove of which the record does not say what it burns: its room's id, and what it is."""
    return tuple(
        (room, placed.fitting.called)
        for room in dwelling.rooms
        for placed in dwelling.fittings_of(room, *BURNERS)
        if not placed.fitting.burns
    )


def ways_out(dwelling: Dwelling) -> tuple[WayOut, ...]:
    """Give the doors that lead out of the dwelling, storey by storey."""
    return tuple(
        WayOut(
            name=sentence(opening.opening.called),
            room=room_words(dwelling, opening.rooms[0]),
            to=say("the shared stairs or hall") if opening.opening.to == "shared" else say("outside"),
            shared=opening.opening.to == "shared",
            key_needed=opening.opening.key_needed,
        )
        for opening in dwelling.openings.values()
        if opening.is_outer and opening.is_door
    )
