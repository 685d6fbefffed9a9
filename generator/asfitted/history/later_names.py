"""What each device and room of an earlier revision is called at the last one, followed step by step along the line."""

from collections.abc import Mapping

from asfitted.history.changes import Comparison
from asfitted.history.pairing import pair_devices, pair_rooms
from asfitted.history.points import LazyPoints
from asfitted.history.side import Side

_NONE = Comparison((), {}, {})


class LaterNames:
    """The later names of what every revision holds.

    Compared with the last one directly, a device that was retagged, then replaced, then moved, would be another one. So
    each revision is paired with the next on its line, and the names are followed from there. Where no tag, serial or
    room differs from the last, there is nothing to follow, and nothing in between is read.

    Args:
        points: a home at its revisions, oldest first.
    """

    def __init__(self, points: LazyPoints) -> None:
        self.points = points
        self._known: dict[int, Comparison] = {}

    def at(self, index: int) -> Comparison:
        """Give the tags and rooms of a revision, each with its name at the last one; none where it cannot be read."""
        steps: list[tuple[int, int]] = []
        while index not in self._known:
            side, last = self.points[index].side, self.points[-1].side
            if not isinstance(side, Side) or not isinstance(last, Side):
                self._known[index] = _NONE
            elif _plain(side, last) or (following := self._next(index)) is None:
                self._known[index] = _paired(side, last)
            else:
                steps.append((index, following))
                index = following
        for earlier, later in reversed(steps):
            self._known[earlier] = self._followed(earlier, later)
        return self._known[steps[0][0] if steps else index]

    def _next(self, index: int) -> int | None:
        """Give the next revision that can be read and was made from one; None where that is the last."""
        for later in range(index + 1, len(self.points) - 1):
            if self.points.made_after(later, index) and isinstance(self.points[later].side, Side):
                return later
        return None

    def _followed(self, index: int, later: int) -> Comparison:
        side, following, last = (self.points[place].side for place in (index, later, -1))
        assert isinstance(side, Side)
        assert isinstance(following, Side)
        assert isinstance(last, Side)
        step, onward, direct = _paired(side, following), self._known[later], _paired(side, last)
        return Comparison(
            (), _joined(step.tags, onward.tags, direct.tags), _joined(step.rooms, onward.rooms, direct.rooms)
        )


def _joined(step: Mapping[str, str], onward: Mapping[str, str], direct: Mapping[str, str]) -> dict[str, str]:
    """Follow names through a step; what was lost on the way and came back counts by how it compares directly."""
    names = {name: onward[then] for name, then in step.items() if then in onward}
    taken = set(names.values())
    return names | {a: b for a, b in direct.items() if a not in names and b not in taken}


def _paired(old: Side, new: Side) -> Comparison:
    return Comparison((), pair_devices(old, new).kept, pair_rooms(old, new).kept)


def _plain(old: Side, new: Side) -> bool:
    """Tell whether every tag stands for the same serial, and every room has its id."""
    return old.home.rooms.keys() == new.home.rooms.keys() and _serials(old) == _serials(new)


def _serials(side: Side) -> dict[str, tuple[str, str | None]]:
    return {tag: (device.kind, device.serial) for tag, device in side.home.devices.items()}
