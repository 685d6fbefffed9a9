"""What brings a task forward: dust, cooking, the sea, as far as the record tells of them."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.model.building import Room
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.upkeep.task import Interval

_CEILING = "ceiling of "


@dataclass(frozen=True, slots=True)
class Condition:
    """Something that leaves only a ``share`` of the usual interval of some tasks, from the data."""

    tasks: tuple[str, ...]
    share: float
    source: str
    status: str
    note: str
    uses: tuple[str, ...] = ()
    fittings: tuple[str, ...] = ()
    climates: tuple[str, ...] = ()


@cache
def conditions() -> Mapping[str, Condition]:
    """Give every condition by its name, in the order of the data.

    Raises:
        ValueError: when a share would lengthen an interval, or leave nothing of it.
    """
    data = tomllib.loads((files("asfitted.upkeep") / "data" / "conditions.toml").read_text(encoding="utf-8"))
    found = {name: _condition(entry) for name, entry in data.items()}
    for name, condition in found.items():
        if not 0 < condition.share <= 1:
            raise ValueError(f"{name}: a share lies above 0 and is at most 1")
    return found


def _condition(entry: Mapping[str, Any]) -> Condition:
    values: dict[str, Any] = {key: tuple(value) if isinstance(value, list) else value for key, value in entry.items()}
    return Condition(**values)


def as_conditions_ask(interval: Interval, home: Home, device: Device) -> Interval:
    """Give the interval as it holds for a device where it hangs: the shortest that one of its conditions leaves.

    It is never less than a month; ``note`` then says why it is shorter.
    """
    held = [found for name in conditions_of(home, device) if interval.id in (found := conditions()[name]).tasks]
    if not held or not interval.months:
        return interval
    first = min(held, key=lambda condition: condition.share)
    months = max(1, int(interval.months * first.share))
    if months >= interval.months:
        return interval
    note = " ".join(filter(None, (interval.note, f"Sooner here: {first.note}")))
    return replace(interval, months=months, note=note)


def conditions_of(home: Home, device: Device) -> Iterator[str]:
    """Give the names of the conditions that hold where a device hangs, as far as the record tells."""
    known, room = conditions(), room_of(home, device)
    if room is not None:
        if room.dusty or (room.dusty is None and room.use in known["dusty-room"].uses):
            yield "dusty-room"
        cooking = known["near-cooking"]
        if room.use in cooking.uses or _holds(home, room, cooking.fittings):
            yield "near-cooking"
    outdoors = device.outside is not None or device.climate in known["by-the-sea"].climates
    if home.home.coastal and outdoors:
        yield "by-the-sea"


def room_of(home: Home, device: Device) -> Room | None:
    """Give the room a device hangs in by the record's own words; None outside, and at a door or window."""
    name = device.in_
    if device.on and device.on.startswith(_CEILING):
        name = device.on.removeprefix(_CEILING).strip()
    return home.rooms.get(name) if name else None


def _holds(home: Home, room: Room, kinds: tuple[str, ...]) -> bool:
    fittings = (fitting for storey in home.storeys for fitting in storey.fittings)
    return any(fitting.kind in kinds and fitting.in_ == room.id for fitting in fittings)
