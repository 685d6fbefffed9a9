"""A home beside one that it is like: what is worked out of the one serves the other, where both say the same of it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from asfitted.dwelling.names import repeated_ids, unknown_names
from asfitted.dwelling.places import spot_of
from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.history.side import Side
from asfitted.model.base import Unusable
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.place import Place
from asfitted.reckon.of_home import Reckoned


@dataclass(frozen=True, slots=True)
class _Reads:
    """What a topic of :class:`Reckoned` reads of a record besides the shapes; a test holds it against what is read."""

    device: tuple[str, ...]
    parts: tuple[str, ...] = ()
    system: tuple[str, ...] = ()


_SEEN = ("kind", "fitted", "mode", "facing", "field", "range", "looks_down", "turned_over")
READS: Mapping[str, _Reads] = {
    "coverage": _Reads(_SEEN, ("visits",)),
    "walks": _Reads(_SEEN, ("visits", "household")),
    "unseen": _Reads(_SEEN, ("visits", "household")),
    "field": _Reads(("kind", "fitted")),
    "radio": _Reads(
        ("kind", "fitted", "enrolled", "linked", "joined_by", "battery"),
        ("visits",),
        ("hears", "radio", "radio_power"),
    ),
    "sun": _Reads(_SEEN, ("home", "visits")),
    "sound": _Reads(("kind", "fitted", "enrolled", "linked", "output", "wakes_by"), ("visits", "household")),
}
"""The topics that take long, by name."""


def beside(home: Home, near: Side, shapes: Dwelling | None) -> Side:
    """Give a home that is like another one, of the same revision.

    Args:
        home: the home.
        near: the other one.
        shapes: those of the home where they are known.
    """
    side = Side(home, near.day, near.catalogue)
    if home.home.rules == near.home.home.rules:
        side.__dict__["rules"] = near.rules
    if shapes is not None:
        side.__dict__["dwelling"] = shapes
    return side


def shapes_beside(home: Home, near: Side) -> Dwelling | None:
    """Give the shapes of a home from those of another with the same storeys; None where they have to be surveyed.

    What is found of the place of a device rests on nothing but its place, so only those that differ are looked for.
    """
    shapes, other = near.dwelling, near.home
    if shapes is None or home.storeys != other.storeys or repeated_ids(home) or unknown_names(home):
        return None
    spots: dict[str, Spot] = {}
    for tag, device in home.devices.items():
        before = other.devices.get(tag)
        if before is not None and (before is device or _place(before) == _place(device)):
            spots |= {tag: shapes.spots[tag]} if tag in shapes.spots else {}
        elif device.placed or device.tapes:
            try:
                spots[tag] = spot_of(device, shapes.rooms, shapes.openings)
            except Unusable:
                return None
    same = list(spots) == list(shapes.spots) and all(spots[tag] is shapes.spots[tag] for tag in spots)
    return shapes if same else Dwelling(shapes.storeys, spots)


def _place(device: Device) -> tuple[object, ...]:
    return tuple(getattr(device, name) for name in Place.model_fields)


def reckoned_beside(side: Side, near: Reckoned) -> Reckoned:
    """Give the calculations of a home on a day, with those of a home like it that read nothing in which they differ.

    Args:
        side: the home.
        near: the calculations of the other home on that day; what it has not worked out yet is not shared.
    """
    assert side.dwelling is not None
    known = Reckoned(side.home, side.dwelling, near.on)
    if side.dwelling is near.dwelling:
        for topic, reads in READS.items():
            if topic in near.__dict__ and _alike(side.home, near.home, reads):
                known.__dict__[topic] = near.__dict__[topic]
    return known


def _alike(a: Home, b: Home, reads: _Reads) -> bool:
    devices = list(a.devices) == list(b.devices) and all(
        device is b.devices[tag] or _same(device, b.devices[tag], reads.device) for tag, device in a.devices.items()
    )
    return devices and _same(a, b, reads.parts) and _same(a.system, b.system, reads.system)


def _same(a: object, b: object, names: Collection[str]) -> bool:
    return all(getattr(a, name) == getattr(b, name) for name in names)
