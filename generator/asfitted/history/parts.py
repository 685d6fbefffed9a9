"""Doing one change to a home: exchanging a part of it for another, and nothing else."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeVar

from asfitted.model.base import Value
from asfitted.model.device import Device
from asfitted.model.home import Home, Variation
from asfitted.model.visit import Visit

Do = Callable[[Home], Home]
_Item = TypeVar("_Item", bound=Value)

ORDERLESS = frozenset(
    {"linked", "wakes_by", "checked", "taught", "handed_over", "not_tested", "roams", "valued_rooms", "photos"}
)
"""Lists of a record whose order says nothing."""


def same(old: Value, new: Value, fields: Iterable[str] | None = None) -> bool:
    """Tell whether two parts of a record say the same, in the fields named or in all."""
    names = type(old).model_fields if fields is None else fields
    return type(old) is type(new) and all(same_field(old, new, name) for name in names)


def same_field(old: Value, new: Value, name: str) -> bool:
    """Tell whether two parts of a record say the same in one field."""
    a, b = getattr(old, name), getattr(new, name)
    if name in ORDERLESS:
        return sorted(map(repr, a)) == sorted(map(repr, b))
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(_same_item(a[key], b[key]) for key in a)
    return _same_item(a, b)


def _same_item(a: object, b: object) -> bool:
    return same(a, b) if isinstance(a, Value) and isinstance(b, Value) else a == b


def swapped(items: Sequence[_Item], old: _Item | None, new: _Item | None) -> tuple[_Item, ...]:
    """Give a list with one item exchanged for another, left out where there is no other, or added at the end."""
    if old is None:
        return (*items, new) if new is not None else tuple(items)
    found = next((index for index, item in enumerate(items) if item == old), None)
    if found is None:
        return tuple(items)
    return (*items[:found], *([new] if new is not None else []), *items[found + 1 :])


def on_home(part: str, **update: object) -> Do:
    """Give the doing of a change to fields of ``home``, ``household`` or ``system``."""
    return lambda home: home.model_copy(update={part: getattr(home, part).model_copy(update=update)})


def on_device(tag: str, **update: object) -> Do:
    """Give the doing of a change to fields of a device."""
    return lambda home: _with_device(home, tag, home.devices[tag].model_copy(update=update))


def on_room(storey: str, room: str, **update: object) -> Do:
    """Give the doing of a change to fields of a room."""

    def do(home: Home) -> Home:
        storeys = tuple(
            level.model_copy(
                update={"rooms": tuple(r.model_copy(update=update) if r.id == room else r for r in level.rooms)}
            )
            if level.id == storey
            else level
            for level in home.storeys
        )
        return home.model_copy(update={"storeys": storeys})

    return do


def retagged(home: Home, names: Mapping[str, str]) -> Home:
    """Give a home with other tags for its devices, wherever they are named."""
    if all(tag == name for tag, name in names.items()):
        return home
    devices = {names.get(tag, tag): relinked(device, names) for tag, device in home.devices.items()}
    visits = tuple(retagged_visit(visit, names) for visit in home.visits)
    variations = tuple(retagged_variation(agreed, names) for agreed in home.variations)
    return home.model_copy(update={"devices": devices, "visits": visits, "variations": variations})


def relinked(device: Device, names: Mapping[str, str]) -> Device:
    """Give a device with other tags for those it is linked to."""
    return device.model_copy(update={"linked": tuple(names.get(link, link) for link in device.linked)})


def retagged_visit(visit: Visit, names: Mapping[str, str]) -> Visit:
    """Give a visit with other tags for the devices it names."""
    named = (*visit.tests, *(item.device for item in visit.not_tested if item.device))
    if all(names.get(tag, tag) == tag for tag in named):
        return visit
    tests = {names.get(tag, tag): test for tag, test in visit.tests.items()}
    not_tested = tuple(
        item.model_copy(update={"device": names.get(item.device, item.device)}) if item.device else item
        for item in visit.not_tested
    )
    return visit.model_copy(update={"tests": tests, "not_tested": not_tested})


def retagged_variation(agreed: Variation, names: Mapping[str, str]) -> Variation:
    """Give a variation with another tag for the device it is about."""
    if not agreed.device or names.get(agreed.device, agreed.device) == agreed.device:
        return agreed
    return agreed.model_copy(update={"device": names[agreed.device]})


def device_put(tag: str, device: Any) -> Do:
    """Give the doing of adding a device, or of putting another in its place; of taking it away where it is None."""
    return lambda home: _with_device(home, tag, device)


def _with_device(home: Home, tag: str, device: Any) -> Home:
    rest = {name: other for name, other in home.devices.items() if name != tag or device is not None}
    if device is not None:
        return home.model_copy(update={"devices": {**rest, tag: device}})
    linked = {
        name: other.model_copy(update={"linked": tuple(link for link in other.linked if link != tag)})
        for name, other in rest.items()
    }
    return home.model_copy(update={"devices": linked})


def on_storey(storey: str, part: str, old: Any, new: Any) -> Do:
    """Give the doing of exchanging one room, opening, fitting or stair of a storey."""

    def do(home: Home) -> Home:
        storeys = tuple(
            level.model_copy(update={part: swapped(getattr(level, part), old, new)}) if level.id == storey else level
            for level in home.storeys
        )
        return home.model_copy(update={"storeys": storeys})

    return do


def storey_fields(storey: str, **update: object) -> Do:
    """Give the doing of a change to fields of a storey."""
    return lambda home: home.model_copy(
        update={
            "storeys": tuple(level.model_copy(update=update) if level.id == storey else level for level in home.storeys)
        }
    )


def on_list(part: str, old: Any, new: Any) -> Do:
    """Give the doing of exchanging one visit or variation."""
    return lambda home: home.model_copy(update={part: swapped(getattr(home, part), old, new)})
