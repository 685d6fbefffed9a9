"""One comparison of a home, whole: the two points, what changed, which verdicts turned, what speaks for the history."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from asfitted.history.changes import Comparison
from asfitted.history.compare_home import compare_home
from asfitted.history.integrity import Integrity, integrity, integrity_between
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
        evidence: what speaks for and against the history, or the part between; None where it was not asked for.
        exchanged: whether both its names are there at both points, so that it exchanged its folder with another home.
        cautions: what it names that today's rules do not know, in sentences.
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
    exchanged: bool = False
    cautions: tuple[str, ...] = ()

    @property
    def renamed(self) -> str:
        """How its folder came to have another name, in a sentence; empty where it has not."""
        if not self.was or not self.now or self.was == self.now:
            return ""
        if self.exchanged:
            return (
                f"Records exchanged: this home was in the folder {self.was} and is in {self.now} now, and each folder "
                "holds another home's record than before."
            )
        return f"The folder {self.was} went and {self.now} came; alike as they are, they count as one home."

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
    between: bool = False,
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
        between: whether to look over the visits in the revisions between the two.
    """
    earlier_name = home.old if home.old != home.name else None  # by one name, the history may know others
    before = timeline.point(home.name, old, earlier_name) if home.old else None
    after = timeline.point(home.name, new) if home.new else None
    looked = integrity(timeline, home.name) if evidence else None
    if between and old is not None:
        looked = integrity_between(timeline, home.name, old, new)
    was, now = _name_then(before) or home.old, _name_then(after) or home.new
    exchanged = bool(was and now and was != now and timeline.holds(was, new) and timeline.holds(now, old))
    sides = [point.side for point in (before, after) if point]
    troubles = tuple(
        f"{point.words}: {point.side.says}" for point in (before, after) if point and not isinstance(point.side, Side)
    )
    cautions = tuple(caution for point in (before, after) if point for caution in unknown_rules(point))
    made = Report(
        home.name, was, now, before, after, troubles, None, None, looked, exchanged=exchanged,
        cautions=cautions,
    )  # fmt: skip
    if before is None or after is None or not all(isinstance(side, Side) for side in sides):
        return made
    a, b = before.side, after.side
    assert isinstance(a, Side)
    assert isinstance(b, Side)
    comparison = compare_home(a, b)
    made = replace(made, comparison=comparison)
    if not judged:
        return made
    pairs = ((before, a), (after, b))
    if troubles := tuple(f"{point.words}: {side.trouble.says}" for point, side in pairs if side.trouble):
        return replace(made, troubles=troubles)
    together = evidence or len(comparison.changes) <= FEW
    return replace(made, verdicts=verdict_changes(a, b, comparison, together=together))


def _name_then(point: Point | None) -> str:
    """Give the name a home had at a point; empty where that is not known."""
    commit = point.commit if point else None
    return commit.folder.rpartition("/")[2] if commit else ""


def unknown_rules(point: Point) -> Iterator[str]:
    """Say which variations of a record name a rule that is not there any more, so that they count for nothing."""
    side = point.side
    if not isinstance(side, Side):
        return
    for agreed in side.home.variations:
        if agreed.rule not in side.catalogue.rules:
            yield (
                f"{point.words}: a variation names the rule {agreed.rule}, which is not there today. It counts for "
                "nothing, and asfitted check refuses the record."
            )
