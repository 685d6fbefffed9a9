"""One comparison of a home, whole: the two points, what changed, which verdicts turned, what speaks for the history."""

from dataclasses import dataclass

from asfitted.history.changes import Comparison
from asfitted.history.compare_home import compare_home
from asfitted.history.integrity import Integrity, integrity
from asfitted.history.points import Point, Timeline
from asfitted.history.revision import ChangedHome, Commit
from asfitted.history.side import Side
from asfitted.history.verdict_changes import FEW, Turn, VerdictChange, verdict_changes


@dataclass(frozen=True)
class Report:
    """A home compared.

    Attributes:
        home: its name at the later point, or at the earlier where it is gone.
        was: its name at the earlier point; None where it is new.
        now: its name at the later point; None where it is gone.
        old: the earlier point.
        new: the later point.
        troubles: why it could not be compared or judged, in sentences without their stop.
        comparison: what changed; None where a record cannot be read.
        verdicts: which verdicts turned; None where they were not asked for or cannot be told.
        evidence: what speaks for and against the history; None where it was not asked for.
    """

    home: str
    was: str | None
    now: str | None
    old: Point | None
    new: Point | None
    troubles: tuple[str, ...] = ()
    comparison: Comparison | None = None
    verdicts: tuple[VerdictChange, ...] | None = None
    evidence: Integrity | None = None

    @property
    def alarming(self) -> bool:
        """Whether something newly does not conform, or what was written of a past day is other now, or gone."""
        if self.was and not self.now:
            return True
        flagged = any(change.flagged for change in self.comparison.changes) if self.comparison else False
        return flagged or any(change.turn is Turn.FAILS for change in self.verdicts or ())


def report(
    timeline: Timeline,
    home: ChangedHome,
    old: Commit | None,
    new: Commit | None,
    *,
    judged: bool = True,
    evidence: bool = False,
) -> Report:
    """Compare a home at two points; None for a commit is the working copy.

    Args:
        timeline: the history.
        home: its name at each of the two.
        old: the earlier commit.
        new: the later one.
        judged: whether to say which verdicts turned, which takes most of the time.
        evidence: whether to look over the whole history of visits, and to find the changes that only together turn a
            verdict even among many.
    """
    earlier_name = home.old if home.old != home.name else None  # by one name, the history may know others
    before = timeline.point(home.name, old, earlier_name) if home.old else None
    after = timeline.point(home.name, new) if home.new else None
    looked = integrity(timeline, home.name) if evidence else None
    sides = [point.side for point in (before, after) if point]
    troubles = tuple(
        f"{point.words}: {point.side.says}" for point in (before, after) if point and not isinstance(point.side, Side)
    )
    if before is None or after is None or not all(isinstance(side, Side) for side in sides):
        return Report(home.name, home.old, home.new, before, after, troubles, evidence=looked)
    a, b = before.side, after.side
    assert isinstance(a, Side)
    assert isinstance(b, Side)
    comparison = compare_home(a, b)
    verdicts = None
    if judged:
        pairs = ((before, a), (after, b))
        troubles = tuple(f"{point.words}: {side.trouble.says}" for point, side in pairs if side.trouble)
        verdicts = (
            None if troubles else verdict_changes(a, b, comparison, together=evidence or len(comparison.changes) <= FEW)
        )
    return Report(home.name, home.old, home.new, before, after, troubles, comparison, verdicts, looked)
