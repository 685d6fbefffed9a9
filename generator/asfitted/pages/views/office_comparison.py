"""One comparison of a home as the office reads it: what changed, which verdicts turned and why, and who answers."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import groupby

from asfitted.history.changes import Change
from asfitted.history.points import Point
from asfitted.history.report import Report
from asfitted.history.side import Side
from asfitted.history.verdict_changes import Turn, VerdictChange

TURN_LOOKS = {
    Turn.FAILS: "fails",
    Turn.NOT_VERIFIED: "unproven",
    Turn.SHRUNK: "borderline",
    Turn.BORDERLINE: "borderline",
    Turn.VARIATION: "variation",
    Turn.CONFORMS: "conforms",
    Turn.GONE: "idle",
}
"""The look of a verdict that turned: that of what it is now."""


@dataclass(frozen=True, slots=True)
class PointView:
    """One of the two revisions. ``words`` says which; the rest is empty for the working copy, or where it is absent."""

    words: str
    author: str = ""
    subject: str = ""
    signature: str = ""
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A change with its number on the page."""

    number: int
    change: Change

    @property
    def texts(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Both texts, line by line, of a change that rewrites what was written of a past day."""
        if not self.change.flagged:
            return ()
        both = (("before", self.change.before), ("after", self.change.after))
        return tuple((word, tuple(text.split("\n"))) for word, text in both if text)


@dataclass(frozen=True, slots=True)
class Kindred:
    """The changes of one kind."""

    kind: str
    flagged: bool
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Turned:
    """A verdict that turned: what it was and is, and the changes on the page that did it."""

    look: str
    turn: str
    rule: str
    title: str
    subject: str
    was: str
    now: str
    says: str
    because: str
    causes: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class ComparisonView:
    """A comparison of a home. ``judged`` is false where the verdicts cannot be told."""

    old: PointView
    new: PointView
    troubles: tuple[str, ...]
    cautions: tuple[str, ...]
    compared: bool
    judged: bool
    kinds: tuple[Kindred, ...]
    turned: tuple[Turned, ...]
    number: int


def comparison_view(made: Report, rules: Collection[str], today: str) -> ComparisonView:
    """Set a comparison out for a page.

    Args:
        made: the comparison.
        rules: the ids of the rules that have a page.
        today: what to call the record as it stands on disk.
    """
    changes = made.comparison.changes if made.comparison else ()
    lines = tuple(Line(number, change) for number, change in enumerate(changes, 1))
    return ComparisonView(
        old=_point(made.old, "The home was not recorded", today),
        new=_point(made.new, "The home is not recorded any more", today),
        troubles=made.troubles,
        cautions=(*([made.renamed] if made.renamed else []), *made.cautions),
        compared=made.comparison is not None,
        judged=made.verdicts is not None,
        kinds=tuple(_kindred(lines)),
        turned=tuple(_turned(item, lines, rules) for item in made.verdicts or ()),
        number=len(lines),
    )


def _point(point: Point | None, absent: str, today: str) -> PointView:
    if point is None:
        return PointView(absent)
    digest = point.side.digest if isinstance(point.side, Side) else ""
    if point.commit is None:
        return PointView(today, digest=digest)
    commit = point.commit
    return PointView(commit.words, commit.by, commit.subject, commit.signature, digest)


def _kindred(lines: tuple[Line, ...]) -> Iterator[Kindred]:
    for kind, same in groupby(lines, key=lambda line: line.change.kind):
        members = tuple(same)
        yield Kindred(kind.value, members[0].change.flagged, members)


def _turned(item: VerdictChange, lines: tuple[Line, ...], rules: Collection[str]) -> Turned:
    by_change = {id(line.change): line for line in lines}
    return Turned(
        look=TURN_LOOKS[item.turn],
        turn=item.turn.value,
        rule=item.rule if item.rule in rules else "",
        title=item.title,
        subject=item.subject,
        was=item.before.verdict.value if item.before else "not asked",
        now=item.after.verdict.value if item.after else "not asked any more",
        says="" if item.turn is Turn.CONFORMS else item.says,
        because=item.because.value,
        causes=tuple(by_change[id(change)] for change in item.causes),
    )
