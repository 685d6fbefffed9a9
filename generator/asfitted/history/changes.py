"""What can change from one revision of a home to the next, as values."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from asfitted.model.home import Home


class Kind(StrEnum):
    """The kinds of change, in the order in which they are told."""

    PAST_VISIT_EDITED = "past visit edited"
    PAST_VISIT_DELETED = "past visit deleted"
    VISIT_INSERTED = "visit inserted among past ones"
    VISIT_ADDED = "visit added"
    DEVICE_ADDED = "device added"
    DEVICE_REMOVED = "device removed"
    DEVICE_REPLACED = "device replaced"
    DEVICE_MOVED = "device moved"
    DEVICE_AIMED = "device re-aimed"
    DEVICE_MEASURED = "device measured again"
    DEVICE_RETAGGED = "device tag changed"
    DEVICE_RENAMED = "device renamed"
    BATTERY = "battery changed"
    SETTING = "setting changed"
    PARTICULAR = "particular changed"
    STOREY_ADDED = "storey added"
    STOREY_REMOVED = "storey removed"
    STOREY = "storey changed"
    ROOM_ADDED = "room added"
    ROOM_REMOVED = "room removed"
    ROOM_RESHAPED = "room reshaped"
    ROOM_MEASURED = "room measured again"
    ROOM_RENAMED = "room renamed"
    ROOM = "room changed"
    OPENING_ADDED = "opening added"
    OPENING_REMOVED = "opening removed"
    OPENING_MOVED = "opening moved"
    OPENING = "opening changed"
    FITTING_ADDED = "fitting added"
    FITTING_REMOVED = "fitting removed"
    FITTING_MOVED = "fitting moved"
    FITTING = "fitting changed"
    STAIR_ADDED = "stair added"
    STAIR_REMOVED = "stair removed"
    STAIR_MOVED = "stair moved"
    STAIR = "stair changed"
    HOUSEHOLD = "household changed"
    SYSTEM = "system setting changed"
    HOME = "home fact changed"
    VARIATION_ADDED = "variation added"
    VARIATION_LAPSED = "variation lapsed"
    VARIATION_REVIVED = "variation not yet lapsed"
    VARIATION_WITHDRAWN = "variation withdrawn"
    VARIATION = "variation changed"
    RULE_SET = "rule set changed"
    LIMIT = "limit changed"


FLAGGED = frozenset({Kind.PAST_VISIT_EDITED, Kind.PAST_VISIT_DELETED, Kind.VISIT_INSERTED})
"""Kinds that rewrite what was written of a past day; visits are append-only."""

_PAIRS = (
    (Kind.VISIT_ADDED, Kind.PAST_VISIT_DELETED),
    (Kind.DEVICE_ADDED, Kind.DEVICE_REMOVED),
    (Kind.STOREY_ADDED, Kind.STOREY_REMOVED),
    (Kind.ROOM_ADDED, Kind.ROOM_REMOVED),
    (Kind.OPENING_ADDED, Kind.OPENING_REMOVED),
    (Kind.FITTING_ADDED, Kind.FITTING_REMOVED),
    (Kind.STAIR_ADDED, Kind.STAIR_REMOVED),
    (Kind.VARIATION_ADDED, Kind.VARIATION_WITHDRAWN),
    (Kind.VARIATION_LAPSED, Kind.VARIATION_REVIVED),
)
MIRROR: Mapping[Kind, Kind] = {
    **{kind: kind for kind in Kind},
    **dict(_PAIRS),
    **{b: a for a, b in _PAIRS},
    Kind.VISIT_INSERTED: Kind.PAST_VISIT_DELETED,
}
"""The kind that the same change has when the two revisions are exchanged."""


@dataclass(frozen=True, slots=True)
class At:
    """Where something is on the plan: storey, room, point in metres, and height above the floor."""

    storey: str
    room: str
    point: tuple[float, float] | None
    height: float | None = None


def unchanged(home: Home) -> Home:
    """Give a home as it is: the doing of a change that no verdict rests on."""
    return home


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs between two revisions of a home. Text in it is hostile until escaped.

    Attributes:
        kind: what kind of change.
        subject: what it is about: a tag, the id of a room, opening or stair, ``visit of 2024-05-21``, ``home``.
        says: a sentence in the words of the trade.
        before: what stood there, in words; empty for something added.
        after: what stands there now; empty for something removed.
        names: what a finding that hangs on it may be about: tags and ids.
        was: where it was, for something with a place.
        now: where it is.
        apply: does this one change, and no other, to the earlier home, in which every device has its later tag already.
    """

    kind: Kind
    subject: str
    says: str
    before: str = ""
    after: str = ""
    names: tuple[str, ...] = ()
    was: At | None = None
    now: At | None = None
    apply: Callable[[Home], Home] = field(default=unchanged, compare=False, repr=False)

    @property
    def flagged(self) -> bool:
        """Whether it rewrites what was written of a past day."""
        return self.kind in FLAGGED

    @property
    def key(self) -> tuple[Kind, str]:
        """Kind and subject."""
        return self.kind, self.subject


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed between two revisions of a home.

    Attributes:
        changes: every change, in the order of :class:`Kind`.
        tags: the later tag of every earlier one, where the device is the same or stands in its place.
        rooms: the later id of every earlier room that is still there.
    """

    changes: tuple[Change, ...]
    tags: Mapping[str, str]
    rooms: Mapping[str, str]
