"""What changed between two revisions of a home, in the words of the trade."""

from collections.abc import Iterator

from asfitted.history.changes import Change, Comparison, Kind
from asfitted.history.compare_devices import device_changes
from asfitted.history.compare_dwelling import dwelling_changes
from asfitted.history.compare_facts import fact_changes, limit_changes
from asfitted.history.compare_visits import variation_changes, visit_changes
from asfitted.history.pairing import later_names, pair_devices, pair_rooms
from asfitted.history.side import Side

_ORDER = {kind: index for index, kind in enumerate(Kind)}


def compare_home(old: Side, new: Side) -> Comparison:
    """Compare a home at two revisions: devices by tag and serial, rooms by id and shape, never by their order.

    Comparing in the other direction gives the same changes mirrored.
    """
    tags, rooms = pair_devices(old, new), pair_rooms(old, new)

    names = later_names(old.home.devices, tags.kept)

    def found() -> Iterator[Change]:
        yield from visit_changes(old.home.visits, new.home.visits, names, rooms.kept)
        yield from device_changes(old, new, tags, rooms.kept)
        yield from dwelling_changes(old, new, rooms)
        yield from fact_changes(old.home, new.home, rooms.kept)
        yield from variation_changes(old, new, names, rooms.kept)
        yield from limit_changes(old, new)

    changes = sorted(found(), key=lambda change: _ORDER[change.kind])
    return Comparison(tuple(changes), tags.kept, rooms.kept)
