"""Which revision of a home brought in a finding that does not conform."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from asfitted.history.changes import Change, Comparison
from asfitted.history.compare_home import compare_home
from asfitted.history.later_names import LaterNames
from asfitted.history.onset import Onset, onset
from asfitted.history.points import LazyPoints, Point
from asfitted.history.revision import Unavailable
from asfitted.history.side import Side
from asfitted.history.trial import Key, by_key
from asfitted.rules.finding import Finding, Verdict


@dataclass(frozen=True, slots=True)
class Trace:
    """Where a failing finding came from.

    Attributes:
        finding: the finding as it is now.
        first: the revision from which on it fails.
        before: the last one before that at which it does not fail; None where it fails since the first that counts.
        changes: what changed between the two.
        judged: how many revisions were judged, of ``of``.
        of: how many there are, the working copy among them where it is another; on one line of history, see below.
        turns: the revisions at which the verdict turned, where it turned more than once.
        unusable: how many revisions between the two cannot be judged, so that it may have been any of them.
        one_line: whether the history has branches, and only the line by which the finding came in was looked at.
    """

    finding: Finding
    first: Point
    before: Point | None
    changes: tuple[Change, ...]
    judged: int
    of: int
    turns: tuple[Point, ...] = ()
    unusable: int = 0
    one_line: bool = False

    @property
    def method(self) -> str:
        """How it was found, and how sure that is."""
        aside = " Lines of history by which it did not come in were left out." if self.one_line else ""
        return self._method + aside

    @property
    def _method(self) -> str:
        if self.turns:
            return (
                f"The verdict turned {len(self.turns)} times, so all {self.of} revisions were looked at one by one; "
                "this is the last turn."
            )
        if self.of == 1:
            return "There is only this revision."
        if self.judged >= self.of:
            return f"All {self.of} revisions were judged; the verdict turned once at most."
        return (
            f"By halving: {self.judged} of {self.of} revisions were judged. A verdict that turned and turned back "
            "between those would not show."
        )


def trace(points: LazyPoints, rule: str, on: date, subject: str | None = None) -> tuple[Trace, ...] | Unavailable:
    """Find the revision that brought in every failing finding of a rule.

    All revisions are judged on one day by the rules of the last one, so that nothing but the record can turn a verdict.

    Args:
        points: the home at its revisions, oldest first; the last is the one that fails.
        rule: the id of the rule.
        on: the day.
        subject: the tag of a device, or the id of what the finding is about; all that fail unless given.
    """
    if not points:
        return Unavailable("it has no revision and no record on disk")
    last = points[-1].side
    if isinstance(last, Unavailable):
        return last
    if last.trouble is not None:
        return last.trouble
    about = [finding for finding in last.findings(on, {rule}) if subject in (None, finding.subject.id)]
    failing = [finding for finding in about if finding.verdict is Verdict.FAILS]
    if not about:
        return Unavailable(f"the rule {rule} says nothing about {subject or 'this home'}")
    if not failing:
        verdicts = ", ".join(sorted({finding.verdict.value for finding in about}))
        return Unavailable(f"nothing to trace: the rule {rule} gives {verdicts} there")
    judged: dict[int, dict[Key, Verdict] | None] = {}
    names = LaterNames(points)

    def verdicts_at(index: int) -> dict[Key, Verdict] | None:
        if index not in judged:
            judged[index] = _verdicts(points[index], last, rule, on, names.at(index))
        return judged[index]

    return tuple(_trace(points, finding, verdicts_at) for finding in failing)


def _trace(points: LazyPoints, finding: Finding, verdicts_at: Callable[[int], dict[Key, Verdict] | None]) -> Trace:
    def fails(index: int) -> bool | None:
        verdicts = verdicts_at(index)
        return None if verdicts is None else verdicts.get(finding.key) is Verdict.FAILS

    own = list(range(len(points)))
    found, start = _onset(own, fails)
    while points.branched and (line := _line(points, own[: start + 1], fails)) != own:
        own = line
        found, start = _onset(own, fails)
    first, before = points[own[start]], points[own[found.before]] if found.before is not None else None
    changes: tuple[Change, ...] = ()
    if before and isinstance(before.side, Side) and isinstance(first.side, Side):
        changes = compare_home(before.side, first.side).changes
    between = range((found.before if found.before is not None else -1) + 1, start)
    return Trace(
        finding, first, before, changes, found.judged, len(own), tuple(points[own[i]] for i in found.turns),
        len(between), one_line=points.branched,
    )  # fmt: skip


def _onset(line: Sequence[int], fails: Callable[[int], bool | None]) -> tuple[Onset, int]:
    found = onset(len(line), lambda place: fails(line[place]))
    assert found.first is not None
    return found, found.first


def _line(points: LazyPoints, revisions: Sequence[int], fails: Callable[[int], bool | None]) -> list[int]:
    """Give the line of history that led to a failing revision, the last of those given.

    Revisions that it was not made from are left out. A merge brings in nothing that a line which it joins had already:
    then that line is given.
    """
    *earlier, last = revisions
    made_from = [index for index in earlier if points.made_after(last, index)]
    commit = points.commits[last]
    joined: list[int] = []
    for index in reversed(made_from) if commit and commit.merge else ():
        if not any(points.made_after(tip, index) for tip in joined):
            joined.append(index)
    failing = next((tip for tip in joined if fails(tip)), None)
    return (
        [*made_from, last] if failing is None else [i for i in made_from if i <= failing and _up_to(points, failing, i)]
    )


def _up_to(points: LazyPoints, tip: int, index: int) -> bool:
    return index == tip or points.made_after(tip, index)


def _verdicts(point: Point, last: Side, rule: str, on: date, named: Comparison) -> dict[Key, Verdict] | None:
    """Judge a revision by the rules of the last; by subject as the last one names it. None where that cannot be."""
    side = point.side
    if isinstance(side, Unavailable):
        return None
    rules = side.home.home.model_copy(update={"rules": last.home.home.rules})
    alike = Side(side.home.model_copy(update={"home": rules}), on, last.catalogue)
    if alike.trouble is not None:
        return None
    return {key: finding.verdict for key, finding in by_key(alike.findings(on, {rule}), named).items()}
