"""The revisions of one home, and of all homes, as the office reads them."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from asfitted.history.revision import Commit
from asfitted.history.story import Chapter, Story
from asfitted.pages.views.office_comparison import TURN_LOOKS
from asfitted.pages.views.office_homes import LOOKS, Count, folder
from asfitted.rules.finding import Verdict


@dataclass(frozen=True, slots=True)
class Tally:
    """How many changes of one kind, or verdicts of one turn, a revision has."""

    words: str
    number: int
    look: str = ""


@dataclass(frozen=True, slots=True)
class ChapterView:
    """One revision of a home in short. ``page`` is its comparison's file, empty where there is nothing to compare."""

    id: str
    day: date | None
    commit: Commit | None
    counts: tuple[Count, ...]
    kinds: tuple[Tally, ...]
    flagged: tuple[Tally, ...]
    turns: tuple[Tally, ...]
    troubles: tuple[str, ...]
    first: bool
    gone: bool
    page: str


@dataclass(frozen=True, slots=True)
class HomeEntry:
    """What a commit did to one home: its label, and the folder of its pages, which is empty where it has none."""

    label: str
    folder: str
    chapter: ChapterView


@dataclass(frozen=True, slots=True)
class CommitEntry:
    """One commit over all homes."""

    commit: Commit
    homes: tuple[HomeEntry, ...]

    @property
    def alarming(self) -> bool:
        """Whether it rewrites the past, takes a record away, or makes something fail."""
        return any(entry.chapter.flagged or entry.chapter.gone or _fails(entry.chapter) for entry in self.homes)


@dataclass(frozen=True, slots=True)
class Month:
    """The commits of a month, the latest first."""

    first: date
    entries: tuple[CommitEntry, ...]

    @property
    def anchor(self) -> str:
        """The id of its section."""
        return f"{self.first:month-%Y-%m}"


def chapter_view(chapter: Chapter) -> ChapterView:
    """Set a revision out in short."""
    report = chapter.report
    kinds = Counter(change.kind for change in chapter.changes if not change.flagged)
    flagged = Counter(change.kind for change in chapter.changes if change.flagged)
    turns = Counter(item.turn for item in report.verdicts or ())
    return ChapterView(
        id=chapter.id,
        day=chapter.day,
        commit=chapter.commit,
        counts=_counts(chapter.counts),
        kinds=tuple(Tally(kind.value, number) for kind, number in kinds.items()),
        flagged=tuple(Tally(kind.value, number) for kind, number in flagged.items()),
        turns=tuple(Tally(turn.value, turns[turn], look) for turn, look in TURN_LOOKS.items() if turns[turn]),
        troubles=report.troubles,
        first=report.old is None,
        gone=report.new is None,
        page=page_of(chapter),
    )


def page_of(chapter: Chapter) -> str:
    """Give the name of the page that holds what a revision changed; none where there is nothing to compare."""
    return f"history/{chapter.id}" if chapter.report.comparison else ""


def months(stories: Iterable[Story], labels: Mapping[str, str]) -> tuple[Month, ...]:
    """Give every commit that touched a record, month by month, the latest first.

    Args:
        stories: of every home.
        labels: of the homes that have pages, by id.
    """
    gathered: dict[str, tuple[Commit, list[HomeEntry]]] = {}
    for told in stories:
        for chapter in told.chapters:
            if chapter.commit is not None:
                where = folder(told.home) if told.home in labels else ""
                entry = HomeEntry(labels.get(told.home, told.home), where, chapter_view(chapter))
                gathered.setdefault(chapter.commit.id, (chapter.commit, []))[1].append(entry)
    entries = [
        CommitEntry(commit, tuple(sorted(homes, key=lambda entry: entry.label.casefold())))
        for commit, homes in gathered.values()
    ]
    entries.sort(key=lambda entry: (entry.commit.at, entry.commit.id), reverse=True)
    return tuple(
        Month(first, tuple(same)) for first, same in groupby(entries, key=lambda entry: entry.commit.day.replace(day=1))
    )


def uncommitted(stories: Iterable[Story], labels: Mapping[str, str]) -> tuple[HomeEntry, ...]:
    """Give the homes whose record on disk is not the one that is committed."""
    return tuple(
        HomeEntry(labels.get(told.home, told.home), folder(told.home) if told.home in labels else "", chapter_view(c))
        for told in stories
        for c in told.chapters[:1]
        if c.commit is None
    )


def _counts(counts: Mapping[Verdict, int] | None) -> tuple[Count, ...]:
    if counts is None:
        return ()
    return tuple(Count(verdict, LOOKS[verdict], counts.get(verdict, 0)) for verdict in Verdict)


def _fails(chapter: ChapterView) -> bool:
    return any(tally.look == "fails" for tally in chapter.turns)
