"""What changed of the devices: added, removed, replaced, moved, re-aimed, renamed, battery, settings."""

from collections.abc import Iterable, Iterator, Mapping

from asfitted.dwelling.shapes import Spot
from asfitted.history.changes import Change, Kind
from asfitted.history.pairing import Pairs, later_names, same_spot, spot_in
from asfitted.history.parts import device_put, on_device, relinked, same_field
from asfitted.history.side import Side
from asfitted.history.where import at, step, where
from asfitted.history.wording import NOTHING, a_thing, field_words, spaced, stopped, turned
from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.model.words import Side as Way

TAPES = ("from_north", "from_east", "from_south", "from_west")
PLACE = ("on", "in_", "outside", "wall", "corner", "height", *TAPES)
PARTICULARS = ("model", "serial", "batch", "firmware", "made", "replace_by", "fitted")
"""What is printed on a device, and when it was put up: a new device has all of them anew."""
_TOLD_APART = {"kind", "name", "facing", "by", "battery", "note", "photos", *PLACE, *PARTICULARS}
_AIM = 0.05


def device_changes(old: Side, new: Side, tags: Pairs, rooms: Mapping[str, str]) -> Iterator[Change]:
    """Compare the devices of two revisions.

    Args:
        old: the earlier revision.
        new: the later one.
        tags: which device is which.
        rooms: the later id of every earlier room.
    """
    names = later_names(old.home.devices, tags.kept)
    for tag in tags.gone:
        yield _removed(old, tag, names[tag])
    for tag in tags.come:
        yield _added(new, tag)
    for tag, name in tags.kept.items():
        yield from _kept(_Pair(old, new, tag, name, rooms, names))


class _Pair:
    """One device at two revisions; ``names`` gives the later tag of every earlier one."""

    def __init__(
        self, old: Side, new: Side, tag: str, name: str, rooms: Mapping[str, str], names: Mapping[str, str]
    ) -> None:
        self.old, self.new, self.tag, self.name, self.rooms = old, new, tag, name, rooms
        self.before, self.after = relinked(old.home.devices[tag], names), new.home.devices[name]

    @property
    def words(self) -> str:
        return _words(self.new, self.name)

    def differs(self, field: str) -> bool:
        return not same_field(self.before, self.after, field)

    def spots(self) -> tuple[Spot | None, Spot | None]:
        return spot_in(self.old.dwelling, self.tag), spot_in(self.new.dwelling, self.name)

    def change(self, kind: Kind, says: str, before: str, after: str, **update: object) -> Change:
        return Change(kind, self.name, says, before, after, (self.tag, self.name), apply=on_device(self.name, **update))


def _kept(pair: _Pair) -> Iterator[Change]:
    if pair.tag != pair.name and pair.before.serial == pair.after.serial:
        says = f"The device with the tag {pair.tag} has the tag {pair.name} now."
        yield Change(Kind.DEVICE_RETAGGED, pair.name, says, pair.tag, pair.name, (pair.tag, pair.name))
    replaced = _is_other(pair)
    if replaced:
        yield _replaced(pair)
    yield from _place(pair)
    if pair.differs("name"):
        before, after = pair.before.name or NOTHING, pair.after.name or NOTHING
        says = f"{pair.words}: enrolled name {turned(before, after)}."
        yield pair.change(Kind.DEVICE_RENAMED, says, before, after, name=pair.after.name)
    if not replaced:
        yield from _fields(pair, Kind.PARTICULAR, PARTICULARS)
    if pair.differs("battery") and not replaced:
        yield _battery(pair)
    if pair.before.kind == pair.after.kind:
        yield from _fields(pair, Kind.SETTING, [name for name in Device.model_fields if name not in _TOLD_APART])
    yield from _fields(pair, Kind.PARTICULAR, ["note", "photos"])


def _is_other(pair: _Pair) -> bool:
    if pair.before.kind != pair.after.kind:
        return True
    return None not in (pair.before.serial, pair.after.serial) and pair.before.serial != pair.after.serial


def _fields(pair: _Pair, kind: Kind, names: "tuple[str, ...] | list[str]") -> Iterator[Change]:
    for name in names:
        if pair.differs(name):
            before, after = field_words(pair.before, name), field_words(pair.after, name)
            says = stopped(f"{pair.words}: {spaced(key_of(name))} {turned(before, after)}")
            yield pair.change(kind, says, before, after, **{name: getattr(pair.after, name)})


def _replaced(pair: _Pair) -> Change:
    before, after = _identity(pair.before), _identity(pair.after)
    tags = "" if pair.tag == pair.name else f", in the place of {pair.tag}"
    kinds = "" if pair.before.kind == pair.after.kind else f" by another kind: {pair.after.kind} for {pair.before.kind}"
    says = f"{pair.words} was replaced{kinds}{tags}: was {before}; now {after}."
    if pair.before.fitted == pair.after.fitted:
        says += " The day it was fitted did not change: a correction, or an exchange without its date."
    new = {name: getattr(pair.after, name) for name in (*PARTICULARS, "battery")}
    change = pair.change(Kind.DEVICE_REPLACED, says, before, after, **new)
    if pair.before.kind == pair.after.kind:
        return change
    place = {name: getattr(pair.before, name) for name in (*PLACE, "facing", "by", "name", "note", "photos")}
    device = pair.after.model_copy(update=place)
    return Change(change.kind, change.subject, says, before, after, change.names, apply=device_put(pair.name, device))


def _identity(device: Device) -> str:
    fitted = f"fitted {device.fitted}" if device.fitted else "day of fitting not recorded"
    made = f", made {device.made:%Y-%m}" if device.made else ""
    return f"serial {device.serial or NOTHING}, {fitted}{made}"


def _battery(pair: _Pair) -> Change:
    before, after = field_words(pair.before, "battery"), field_words(pair.after, "battery")
    was, now = pair.before.battery, pair.after.battery
    fresh = now is not None and now.fitted is not None and (was is None or was.fitted != now.fitted)
    says = f"{pair.words}: battery {turned(before, after)}."
    if fresh and now is not None and was is not None and was.type == now.type and was.life == now.life:
        since = f"the earlier one was fitted {was.fitted}" if was.fitted else "that of the earlier one was not recorded"
        says = f"{pair.words}: a fresh battery, {now.type}, fitted {now.fitted}; {since}."
    return pair.change(Kind.BATTERY, says, before, after, battery=now)


def _place(pair: _Pair) -> Iterator[Change]:
    """Compare where a device is by its place on the plan, however the record says it."""
    was, now = pair.spots()
    known = was is not None and now is not None
    if any(pair.differs(name) for name in PLACE):
        new = {name: getattr(pair.after, name) for name in PLACE}
        taped = any(pair.differs(name) for name in (*TAPES, "height"))
        if not same_spot(was, now, pair.rooms) or (not known and not _planless(pair)):
            before = _said(pair.old, was, pair.before, pair.after.tapes)
            after = _said(pair.new, now, pair.after, pair.after.tapes)
            by = step(was, now) if was and now else ""
            says = f"{pair.words} moved{f' {by}' if by else ''}: was {before}; now {after}."
            yield Change(
                Kind.DEVICE_MOVED, pair.name, says, before, after, (pair.tag, pair.name), at(was), at(now),
                on_device(pair.name, **new),
            )  # fmt: skip
        elif taped:
            says = f"{pair.words} was measured from other walls or again; it is in the same place."
            yield pair.change(Kind.DEVICE_MEASURED, says, _tapes(pair.before), _tapes(pair.after), **new)
    if pair.differs("by"):
        says = f"{pair.words}: its place {turned(f'by {pair.before.by}', f'by {pair.after.by}')}."
        yield pair.change(Kind.DEVICE_MEASURED, says, pair.before.by, pair.after.by, by=pair.after.by)
    if pair.differs("facing"):
        a, b = was.facing if was else None, now.facing if now else None
        if a is None or b is None or abs((a - b + 180.0) % 360.0 - 180.0) > _AIM:
            before, after = _aim(pair.before, a), _aim(pair.after, b)
            turn = f" by {abs((b - a + 180.0) % 360.0 - 180.0):.0f}°" if a is not None and b is not None else ""
            says = f"{pair.words} was re-aimed{turn}: looked {before}, looks {after} now."
            yield pair.change(Kind.DEVICE_AIMED, says, before, after, facing=pair.after.facing)


def _planless(pair: _Pair) -> bool:
    """Whether neither revision says where the device is; then tapes that differ are no move."""
    return not pair.before.placed and not pair.after.placed


def _aim(device: Device, bearing: float | None) -> str:
    if isinstance(device.facing, str):
        return device.facing
    if bearing is None:
        return "nowhere that is recorded"
    return f"at {bearing:.0f}°" if device.facing is not None else f"at {bearing:.0f}° by its place"


def _said(side: Side, spot: Spot | None, device: Device, taped: Iterable[Way] = ()) -> str:
    if spot is not None and side.dwelling is not None:
        return where(spot, side.dwelling, taped or device.tapes)
    return _tapes(device) or "without a place"


def _tapes(device: Device) -> str:
    given = (name for name in PLACE if getattr(device, name) is not None)
    return ", ".join(f"{spaced(key_of(name))} {field_words(device, name)}" for name in given)


def _words(side: Side, tag: str) -> str:
    spot = spot_in(side.dwelling, tag)
    if spot is None or side.dwelling is None:
        return tag
    return f"{tag} ({side.dwelling.rooms[spot.room].room.called})"


def _added(new: Side, tag: str) -> Change:
    device = new.home.devices[tag]
    spot = spot_in(new.dwelling, tag)
    after = f"{device.kind}, {_identity(device)}"
    says = f"{_words(new, tag)} is new: {a_thing(after)}; {_said(new, spot, device)}."
    return Change(
        Kind.DEVICE_ADDED, tag, says, "", after, (tag,), None, at(spot), device_put(tag, device)
    )  # fmt: skip


def _removed(old: Side, tag: str, name: str) -> Change:
    device = old.home.devices[tag]
    spot = spot_in(old.dwelling, tag)
    before = f"{device.kind}, {_identity(device)}"
    says = f"{_words(old, tag)} is gone: {a_thing(before)}; it was {_said(old, spot, device)}."
    return Change(Kind.DEVICE_REMOVED, tag, says, before, "", (tag,), at(spot), None, device_put(name, None))
