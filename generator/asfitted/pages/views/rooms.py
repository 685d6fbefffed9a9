"""The rooms of a household: which have devices, and the ways out of the home."""

from collections.abc import Sequence
from dataclasses import dataclass

from asfitted.dwelling.shapes import Dwelling
from asfitted.pages.views.devices import DeviceCard
from asfitted.pages.wording import room_words, sentence


@dataclass(frozen=True, slots=True)
class RoomView:
    """A room with devices."""

    id: str
    name: str
    storey: str
    cards: tuple[DeviceCard, ...]


@dataclass(frozen=True, slots=True)
class WayOut:
    """A door that leads out of the dwelling."""

    name: str
    room: str
    to: str
    key_needed: bool


def room_views(dwelling: Dwelling, cards: Sequence[DeviceCard]) -> tuple[RoomView, ...]:
    """Give every room that has a device, storey by storey."""
    by_room: dict[str | None, list[DeviceCard]] = {}
    for card in cards:
        by_room.setdefault(card.room, []).append(card)
    return tuple(
        RoomView(
            room,
            sentence(shape.room.called),
            sentence(dwelling.storey(shape.storey).storey.called),
            tuple(by_room[room]),
        )
        for room, shape in dwelling.rooms.items()
        if room in by_room
    )


def burns_gas(dwelling: Dwelling) -> bool:
    """Whether anything in the home burns gas, as far as the record says."""
    return any(placed.fitting.burns == "gas" for storey in dwelling.storeys for placed in storey.fittings)


def ways_out(dwelling: Dwelling) -> tuple[WayOut, ...]:
    """Give the doors that lead out of the dwelling, storey by storey."""
    return tuple(
        WayOut(
            name=sentence(opening.opening.called),
            room=room_words(dwelling, opening.rooms[0]),
            to="the shared stairs or hall" if opening.opening.to == "shared" else "outside",
            key_needed=opening.opening.key_needed,
        )
        for opening in dwelling.openings.values()
        if opening.is_outer and opening.is_door
    )
