"""The story of a home: every revision with what it changed, how the home stood at it, and who made it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from asfitted.history.changes import Change
from asfitted.history.integrity import Integrity, integrity
from asfitted.history.points import LAST_COMMISSIONING, Timeline
from asfitted.history.report import Report, report
from asfitted.history.revision import ChangedHome, Commit, HistoryDamaged, Unavailable
from asfitted.history.side import Side
from asfitted.rules.finding import Verdict

WORKING = "working-copy"
Key = tuple[str, str]
"""The id of a commit, and the folder of the home in it."""


@dataclass(frozen=True)
class Chapter:
    """One revision of a home, compared with the one it was made from.

    Attributes:
        commit: the commit; None for what stands on disk and is not committed.
        report: the comparison; its earlier point is None at the first revision.
        counts: how many findings had each verdict, judged on the day of the commit; None where it cannot be judged.
    """

    commit: Commit | None
    report: Report
    counts: Mapping[Verdict, int] | None

    @property
    def id(self) -> str:
        """What it is called in an address."""
        return self.commit.short if self.commit else WORKING

    @property
    def key(self) -> Key | None:
        """By what it is known again; None for what can still change."""
        return (self.commit.id, self.commit.folder) if self.commit else None

    @property
    def day(self) -> date | None:
        """The day it was committed; None for what is not."""
        return self.commit.day if self.commit else None

    @property
    def changes(self) -> tuple[Change, ...]:
        """What it changed."""
        return self.report.comparison.changes if self.report.comparison else ()

    @property
    def flagged(self) -> bool:
        """Whether it rewrites what was written of a past day."""
        return any(change.flagged for change in self.changes)


@dataclass(frozen=True)
class Story:
    """The revisions of a home, the latest first; the last commissioning compared with today; what the history is worth.

    ``commissioned`` is None where no commissioning is recorded.
    """

    home: str
    chapters: tuple[Chapter, ...]
    commissioned: Report | None
    evidence: Integrity


def story(timeline: Timeline, home: str, known: Mapping[Key, Chapter] | None = None) -> Story:
    """Tell the story of a home.

    Args:
        timeline: the history.
        home: its name today, or at its last revision where it is gone.
        known: chapters told before, which need not be told again.
    """
    commits = timeline.revisions(home)
    told = known or {}
    chapters = [told.get((commit.id, commit.folder)) or _chapter(timeline, home, commit) for commit in commits]
    if timeline.changed(home):
        chapters.insert(0, _of_working_copy(timeline, home, commits[0] if commits else None))
    return Story(home, tuple(chapters), _since_commissioning(timeline, home), integrity(timeline, home))


def _chapter(timeline: Timeline, home: str, commit: Commit) -> Chapter:
    before = _made_from(timeline, home, commit)
    named = ChangedHome(_name(before) if before else None, None if commit.blob is None else _name(commit))
    made = report(timeline, named, before, commit, judged=True)
    return Chapter(commit, made, _counts(made))


def _of_working_copy(timeline: Timeline, home: str, latest: Commit | None) -> Chapter:
    there = (timeline.homes / home).is_dir()
    was = _name(latest) if latest and latest.blob else None
    made = report(timeline, ChangedHome(was, home if there else None), latest if was else None, None, judged=True)
    return Chapter(None, made, _counts(made))


def _made_from(timeline: Timeline, home: str, commit: Commit) -> Commit | None:
    """Give the revision that one is compared with: the nearest earlier one that can be read, else the nearest."""
    nearest = None
    for other in timeline.earlier(home, commit):
        if isinstance(timeline.side(other), Side):
            return other
        nearest = nearest or other
    return nearest


def _name(commit: Commit) -> str:
    return commit.folder.rpartition("/")[2]


def _counts(made: Report) -> Mapping[Verdict, int] | None:
    side = made.new.side if made.new else None
    if not isinstance(side, Side) or side.trouble is not None:
        return None
    return Counter(finding.verdict for finding in side.findings(side.day))


def _since_commissioning(timeline: Timeline, home: str) -> Report | None:
    start = timeline.resolve(home, LAST_COMMISSIONING)
    if start is None or isinstance(start, Unavailable) or not (timeline.homes / home).is_dir():
        return None
    return report(timeline, ChangedHome(_name(start), home), start, None, judged=True)


@dataclass(frozen=True)
class Stories:
    """The stories of all homes by their names, homes that are gone among them, and what keeps them from being whole."""

    told: Mapping[str, Story]
    cautions: tuple[str, ...]


def stories(timeline: Timeline, homes: Iterable[str], known: Mapping[Key, Chapter] | None = None) -> Stories:
    """Tell the stories of the homes named, and of those that the history knows and the folder does not hold any more.

    Args:
        timeline: the history.
        homes: the names of the homes there are.
        known: chapters told before; see :func:`story`.
    """
    told, cautions = dict[str, Story](), [*timeline.repository.cautions]
    for name in dict.fromkeys([*homes, *timeline.left]):
        try:
            told[name] = story(timeline, name, known)
        except HistoryDamaged as error:
            cautions.append(f"{name}: {error}")
    return Stories(told, tuple(cautions))
