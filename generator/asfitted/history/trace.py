"""Which revision of a home brought in a finding that does not conform."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from asfitted.history.changes import Change
from asfitted.history.compare_home import compare_home
from asfitted.history.onset import onset
from asfitted.history.pairing import pair_devices
from asfitted.history.points import Point
from asfitted.history.revision import Unavailable
from asfitted.history.side import Side
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
        of: how many there are, the working copy among them where it is another.
        turns: the revisions at which the verdict turned, where it turned more than once.
        unusable: how many revisions between the two cannot be judged, so that it may have been any of them.
    """

    finding: Finding
    first: Point
    before: Point | None
    changes: tuple[Change, ...]
    judged: int
    of: int
    turns: tuple[Point, ...] = ()
    unusable: int = 0

    @property
    def method(self) -> str:
        """How it was found, and how sure that is."""
        if self.turns:
            return (
                f"The verdict turned {len(self.turns)} times, so all {self.of} revisions were looked at one by one; "
                "this is the last turn."
            )
        if self.judged >= self.of:
            return f"All {self.of} revisions were judged; the verdict turned once at most."
        return (
            f"By halving: {self.judged} of {self.of} revisions were judged. A verdict that turned and turned back "
            "between those would not show."
        )


def trace(points: Sequence[Point], rule: str, on: date, subject: str | None = None) -> tuple[Trace, ...] | Unavailable:
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
    judged: dict[int, dict[str, Verdict] | None] = {}

    def verdicts_at(index: int) -> dict[str, Verdict] | None:
        if index not in judged:
            judged[index] = _verdicts(points[index], last, rule, on)
        return judged[index]

    return tuple(_trace(points, finding, verdicts_at) for finding in failing)


def _trace(points: Sequence[Point], finding: Finding, verdicts_at: Callable[[int], dict[str, Verdict] | None]) -> Trace:
    def fails(index: int) -> bool | None:
        verdicts = verdicts_at(index)
        return None if verdicts is None else verdicts.get(finding.subject.id) is Verdict.FAILS

    found = onset(len(points), fails)
    assert found.first is not None
    first, before = points[found.first], points[found.before] if found.before is not None else None
    changes: tuple[Change, ...] = ()
    if before and isinstance(before.side, Side) and isinstance(first.side, Side):
        changes = compare_home(before.side, first.side).changes
    between = range((found.before if found.before is not None else -1) + 1, found.first)
    return Trace(
        finding, first, before, changes, found.judged, len(points), tuple(points[i] for i in found.turns), len(between)
    )


def _verdicts(point: Point, last: Side, rule: str, on: date) -> dict[str, Verdict] | None:
    """Judge a revision by the rules of the last; by subject as the last one names it. None where that cannot be."""
    side = point.side
    if isinstance(side, Unavailable):
        return None
    rules = side.home.home.model_copy(update={"rules": last.home.home.rules})
    alike = Side(side.home.model_copy(update={"home": rules}), on, last.catalogue)
    if alike.trouble is not None:
        return None
    names = pair_devices(alike, last).kept
    return {names.get(f.subject.id, f.subject.id): f.verdict for f in alike.findings(on, {rule})}
