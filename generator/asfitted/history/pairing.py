"""Which device and which room of one revision is which of the other: by tag and serial, by id and shape."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import hypot

from asfitted.dwelling.shapes import Dwelling, RoomShape, Spot
from asfitted.history.side import Side
from asfitted.model.device import Device

SAME_PLACE = 0.05
"""Metres within which a device with a new serial hangs in the place of the old one (common practice, no source):
a new base seldom fits the old holes to the millimetre."""
EQUAL = 0.001
"""Metres below which two places are one; less than any tape shows."""


@dataclass(frozen=True, slots=True)
class Pairs:
    """The later name of every earlier one that is still there; what is gone; what has come."""

    kept: Mapping[str, str]
    gone: tuple[str, ...]
    come: tuple[str, ...]


def pair_devices(old: Side, new: Side) -> Pairs:
    """Match devices: the same serial is the same device, then the same tag is the same post, then the same place."""
    before, after = old.home.devices, new.home.devices
    kept: dict[str, str] = {}
    serials = _by_serial(after)
    for tag, device in before.items():
        name = serials.get((device.kind, device.serial)) if _unique(before, device) else None
        if name is not None:
            kept[tag] = name
    _match(before, after, kept, lambda tag, name: tag == name)
    _match(before, after, kept, lambda tag, name: _same_but_tag(before[tag], after[name]))
    if len(kept) < min(len(before), len(after)):
        _match(
            before,
            after,
            kept,
            lambda tag, name: before[tag].kind == after[name].kind and _in_place(old, tag, new, name),
        )
    taken = set(kept.values())
    return Pairs(kept, tuple(tag for tag in before if tag not in kept), tuple(tag for tag in after if tag not in taken))


def later_names(before: Iterable[str], kept: Mapping[str, str]) -> dict[str, str]:
    """Give what each earlier device is called by the later tags; one that is gone, and whose tag another has, apart."""
    taken = set(kept.values())
    return {tag: kept.get(tag, f"{tag} (earlier)" if tag in taken else tag) for tag in before}


def pair_rooms(old: Side, new: Side) -> Pairs:
    """Match rooms by id; then those left over by use, storey and outline: the same one, then one mostly the same."""
    before, after = old.home.rooms, new.home.rooms
    kept = {room: room for room in before if room in after}
    if len(kept) < min(len(before), len(after)) and old.dwelling and new.dwelling:
        a, b = old.dwelling.rooms, new.dwelling.rooms
        _match(before, after, kept, lambda room, name: _alike(a[room], b[name]) and _same_outline(a[room], b[name]))
        _match(before, after, kept, lambda room, name: _alike(a[room], b[name]) and _mostly(a[room], b[name]))
    taken = set(kept.values())
    return Pairs(kept, tuple(room for room in before if room not in kept), tuple(r for r in after if r not in taken))


def _alike(a: RoomShape, b: RoomShape) -> bool:
    return a.storey == b.storey and a.room.use == b.room.use


def _same_outline(a: RoomShape, b: RoomShape) -> bool:
    return bool(a.outline.symmetric_difference(b.outline).area < EQUAL)


def _mostly(a: RoomShape, b: RoomShape) -> bool:
    """Tell whether more than half of the larger of two rooms is in the other: then there is no other such room."""
    return bool(a.outline.intersection(b.outline).area > max(a.area, b.area) / 2.0)


def same_spot(a: Spot | None, b: Spot | None, rooms: Mapping[str, str], within: float = EQUAL) -> bool:
    """Tell whether two spots are one, within metres; ``rooms`` gives the later id of an earlier room."""
    if a is None or b is None:
        return a is b
    if rooms.get(a.room, a.room) != b.room or a.fixed != b.fixed or (a.point is None) != (b.point is None):
        return False
    if (a.opening and a.opening.id) != (b.opening and b.opening.id) or (a.z is None) != (b.z is None):
        return False
    if a.point and b.point and hypot(a.point[0] - b.point[0], a.point[1] - b.point[1]) > within:
        return False
    if a.wall and b.wall and a.point is None and a.wall.name != b.wall.name:
        return False
    return a.z is None or b.z is None or abs(a.z - b.z) <= within


def spot_in(dwelling: Dwelling | None, tag: str) -> Spot | None:
    """Give the spot of a device; None without one, or without shapes."""
    return dwelling.spots.get(tag) if dwelling else None


def _by_serial(devices: Mapping[str, Device]) -> dict[tuple[str, str | None], str]:
    return {(device.kind, device.serial): tag for tag, device in devices.items() if _unique(devices, device)}


def _unique(devices: Mapping[str, Device], device: Device) -> bool:
    count = Counter(other.serial for other in devices.values() if other.kind == device.kind)
    return device.serial is not None and count[device.serial] == 1


def _match(
    before: Iterable[str], after: Iterable[str], kept: dict[str, str], alike: Callable[[str, str], bool]
) -> None:
    free = [name for name in after if name not in kept.values()]
    for tag in before:
        if tag in kept:
            continue
        name = next((name for name in free if alike(tag, name)), None)
        if name is not None:
            kept[tag] = name
            free.remove(name)


def _same_but_tag(old: Device, new: Device) -> bool:
    return old.model_copy(update={"linked": ()}) == new.model_copy(update={"linked": ()})


def _in_place(old: Side, tag: str, new: Side, name: str) -> bool:
    was, now = spot_in(old.dwelling, tag), spot_in(new.dwelling, name)
    return was is not None and was.point is not None and same_spot(was, now, {}, SAME_PLACE)
