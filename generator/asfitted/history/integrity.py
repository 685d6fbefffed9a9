"""What speaks for and against a home's history as evidence: visits edited later, days that do not fit, signatures."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from asfitted.history.changes import FLAGGED, Change
from asfitted.history.compare_visits import visit_changes, visit_name
from asfitted.history.pairing import later_names, pair_devices, pair_rooms
from asfitted.history.points import Timeline
from asfitted.history.revision import Commit, Unavailable
from asfitted.history.side import Side

LATE = 14
"""Days after a visit from which its revision counts as late (common practice, no source): a job is written up the same
day or week."""


@dataclass(frozen=True, slots=True)
class Edit:
    """A past visit that a revision edited, deleted, or put in among earlier ones; with both texts."""

    commit: Commit
    change: Change


@dataclass(frozen=True, slots=True)
class Digest:
    """The SHA-256 of the record at a revision, by which a paper that names it is matched."""

    commit: Commit
    digest: str


@dataclass(frozen=True, slots=True)
class Integrity:
    """What an auditor asks of a history before relying on it.

    Attributes:
        edits: later edits and deletions of past visits, oldest first.
        days: days that do not fit: a visit committed long after, one dated after its commit or after today.
        digests: of every revision whose record can be read, newest first.
        unusable: revisions that cannot be read today, with the reason.
        cautions: what keeps the history from being whole, or hints at one that was written anew.
        signed: how many revisions carry a signature, of any kind; none was verified.
        revisions: how many there are.
    """

    edits: tuple[Edit, ...]
    days: tuple[str, ...]
    digests: tuple[Digest, ...]
    unusable: tuple[tuple[Commit, str], ...]
    cautions: tuple[str, ...]
    signed: int
    revisions: int


def integrity(timeline: Timeline, home: str) -> Integrity:
    """Look over the whole history of a home.

    Every revision is compared with its own parent, so that side branches and merges tell what they did themselves.
    """
    return _looked_over(timeline, home, timeline.revisions(home), (), on_disk=True, whole=True)


def integrity_between(timeline: Timeline, home: str, old: Commit, new: Commit | None) -> Integrity:
    """Look over the revisions of a home since one commit up to another, or up to the working copy."""
    commits, before = timeline.between(home, old, new)
    return _looked_over(timeline, home, commits, before, on_disk=new is None, whole=False)


def _looked_over(
    timeline: Timeline, home: str, commits: Sequence[Commit], bounds: Sequence[Commit], *, on_disk: bool, whole: bool
) -> Integrity:
    edits: list[Edit] = []
    days: list[str] = []
    digests, unusable = [], []
    for commit in reversed(commits):
        side = timeline.side(commit)
        if isinstance(side, Unavailable):
            unusable.append((commit, side.says))
            continue
        digests.append(Digest(commit, side.digest))
        before = _before(timeline, home, commit, (*commits, *bounds))
        for change in _visits(before, side):
            if change.kind in FLAGGED and not (commit.merge and change in (edit.change for edit in edits)):
                edits.append(Edit(commit, change))
        if not commit.merge:
            days += _misfits(commit, before, side)
    working = timeline.working(home) if on_disk else None
    if isinstance(working, Side):
        days += [
            f"The {visit_name(visit)} is dated after today, {timeline.today}."
            for visit in working.home.visits
            if visit.date > timeline.today
        ]
    signed = sum(bool(commit.signed) for commit in commits)
    cautions = (*(timeline.repository.cautions if whole else ()), *_hints(commits))
    return Integrity(
        tuple(edits), tuple(days), tuple(reversed(digests)), tuple(reversed(unusable)), cautions, signed,
        len(commits),
    )  # fmt: skip


def _before(timeline: Timeline, home: str, commit: Commit, among: Sequence[Commit]) -> Side | None:
    """Give the record before a revision: that of its parent, else the nearest earlier one that can be read.

    So no edit hides behind a revision that cannot be read, or behind a record that was taken away and came back.
    """
    sides = (timeline.side(earlier) for earlier in timeline.earlier(home, commit, among))
    return next((side for side in sides if isinstance(side, Side)), None)


def _visits(before: Side | None, after: Side) -> Iterator[Change]:
    if before is None or before.home.visits == after.home.visits:
        return iter(())
    tags = later_names(before.home.devices, pair_devices(before, after).kept)
    rooms = pair_rooms(before, after).kept
    return visit_changes(before.home.visits, after.home.visits, tags, rooms)


def _misfits(commit: Commit, before: Side | None, after: Side) -> Iterator[str]:
    known = Counter((visit.date, visit.kind) for visit in before.home.visits) if before else Counter()
    fresh = []
    for visit in after.home.visits:  # a second one of the same day and kind is another visit
        if known[visit.date, visit.kind]:
            known[visit.date, visit.kind] -= 1
        else:
            fresh.append(visit)
    ages = [(visit_name(visit), (commit.day - visit.date).days) for visit in fresh]
    late = [(name, days) for name, days in ages if days > LATE]
    by = f"{commit.words} by {commit.author}"
    if before is None and len(late) > 1:
        ago = min(days for _, days in late)
        first = "The first revision in this clone" if commit.cut else "The first revision"
        yield f"{first}, {by}, brought in {len(late)} visits made {ago} days before or longer."
    else:
        yield from (f"The {name} was committed {days} days after, in {by}." for name, days in late)
    for visit in fresh:
        if visit.date - commit.day > timedelta(days=1):  # a day's grace for clocks of other time zones
            yield f"The {visit_name(visit)} is dated after its commit, {by}."


def _hints(commits: Sequence[Commit]) -> Iterator[str]:
    """Say what hints at a history that was written anew. Git alone cannot prove that it was not."""
    moved = [commit for commit in commits if abs(commit.at - commit.authored) > timedelta(days=1)]
    if moved:
        yield (
            f"{_several(len(moved))} committed a day or more from the day it was written (the latest {moved[0].words}, "
            f"written {moved[0].authored.date()}): amended, moved or brought in from elsewhere."
        )
    merges = sum(commit.merge for commit in commits)
    if merges:
        yield f"{_several(merges, 'is')} a merge that holds a record of its own; it is compared with its first parent."
    if any(commit.blob is None for commit in commits):
        yield "The record was deleted and came back, or is deleted now."


def _several(count: int, verb: str = "was") -> str:
    if count == 1:
        return f"One revision {verb}"
    return f"{count} revisions {'were' if verb == 'was' else 'are each'}"
