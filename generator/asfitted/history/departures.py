"""The register of variations over time: which revision brought each in, changed it, and withdrew it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from asfitted.history.changes import Change, Kind
from asfitted.history.revision import Commit
from asfitted.history.side import Side
from asfitted.history.story import Chapter
from asfitted.history.wording import value_words
from asfitted.model.home import Variation

_LATER = {Kind.VARIATION, Kind.VARIATION_LAPSED, Kind.VARIATION_REVIVED, Kind.VARIATION_WITHDRAWN}


@dataclass(frozen=True, slots=True)
class Event:
    """What happened to a variation, and the revision that tells it; None for the working copy."""

    commit: Commit | None
    change: Change


@dataclass(frozen=True, slots=True)
class Departure:
    """A variation through its life.

    Attributes:
        agreed: as it was last recorded.
        brought_in: the revision that first holds it; None for the working copy.
        events: what became of it since, oldest first.
        stands: whether the record holds it today.
    """

    agreed: Variation
    brought_in: Commit | None
    events: tuple[Event, ...] = ()
    stands: bool = True


def departures(chapters: Iterable[Chapter]) -> tuple[Departure, ...]:
    """Follow every variation through the revisions of a home, in the order in which they came in.

    Args:
        chapters: the revisions, latest first, as :func:`asfitted.history.story.story` gives them.
    """
    found: list[Departure] = []
    for chapter in reversed([*chapters]):
        side = chapter.report.new.side if chapter.report.new else None
        if not isinstance(side, Side):
            continue
        if chapter.report.comparison is None:
            found += [Departure(agreed, chapter.commit) for agreed in side.home.variations if not _held(found, agreed)]
            continue
        before = tuple(item.agreed for item in found)
        found = [_renamed(item, chapter.report.comparison.tags, chapter.report.comparison.rooms) for item in found]
        for change in chapter.changes:
            if change.kind is Kind.VARIATION_ADDED:
                new = [agreed for agreed in side.home.variations if value_words(agreed) == change.after]
                found += [Departure(agreed, chapter.commit) for agreed in new[:1] if not _held(found, agreed)]
            elif change.kind in _LATER:
                _note(found, before, change, chapter.commit, side)
    return tuple(found)


def _held(found: Iterable[Departure], agreed: Variation) -> bool:
    return any(item.stands and item.agreed == agreed for item in found)


def _note(
    found: list[Departure], before: Sequence[Variation], change: Change, commit: Commit | None, side: Side
) -> None:
    """Note a change of a variation; ``before`` gives each as it was called before this revision."""
    for place, item in enumerate(found):
        known = (item.agreed, *before[place : place + 1])
        if item.stands and change.before in map(value_words, known):
            now = next((agreed for agreed in side.home.variations if value_words(agreed) == change.after), item.agreed)
            gone = change.kind is Kind.VARIATION_WITHDRAWN
            found[place] = replace(item, agreed=now, events=(*item.events, Event(commit, change)), stands=not gone)
            return


def _renamed(item: Departure, tags: Mapping[str, str], rooms: Mapping[str, str]) -> Departure:
    """Call what a variation is about by its later name, where it was renamed."""
    agreed = item.agreed
    device = tags.get(agreed.device, agreed.device) if agreed.device else None
    room = rooms.get(agreed.room, agreed.room) if agreed.room else None
    if not item.stands or (device, room) == (agreed.device, agreed.room):
        return item
    return replace(item, agreed=agreed.model_copy(update={"device": device, "room": room}))
