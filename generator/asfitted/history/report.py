"""One comparison of a home, whole: the two points, what changed, which verdicts turned, what speaks for the history."""

from dataclasses import asdict, dataclass
from typing import Any

from asfitted.history.changes import At, Change, Comparison
from asfitted.history.compare_home import compare_home
from asfitted.history.integrity import Integrity, integrity
from asfitted.history.points import Point, Timeline
from asfitted.history.revision import ChangedHome, Commit
from asfitted.history.side import Side
from asfitted.history.verdict_changes import Turn, VerdictChange, verdict_changes
from asfitted.rules.finding import Finding

FORMAT = 1
"""Version of the JSON that :func:`as_data` gives."""


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
        """Whether something newly does not conform, or what was written of a past day is other now."""
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
            verdict.
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
        verdicts = None if troubles else verdict_changes(a, b, comparison, together=evidence)
    return Report(home.name, home.old, home.new, before, after, troubles, comparison, verdicts, looked)


def as_data(made: Report) -> dict[str, Any]:
    """Give a comparison as plain data for JSON; ``docs/revisions.md`` says what each key means."""
    changes = made.comparison.changes if made.comparison else ()
    place = {id(change): index for index, change in enumerate(changes)}
    return {
        "home": made.home,
        "was": made.was,
        "now": made.now,
        "old": point_data(made.old),
        "new": point_data(made.new),
        "troubles": list(made.troubles),
        "changes": [change_data(change) for change in changes] if made.comparison else None,
        "verdicts": [_verdict(item, place) for item in made.verdicts] if made.verdicts is not None else None,
        "evidence": _evidence(made.evidence) if made.evidence else None,
    }


def point_data(point: Point | None) -> dict[str, Any] | None:
    """Give a point as plain data."""
    if point is None:
        return None
    digest = point.side.digest if isinstance(point.side, Side) else None
    return {**_commit(point.commit), "working-copy": point.commit is None, "record-sha256": digest}


def _commit(commit: Commit | None) -> dict[str, Any]:
    if commit is None:
        return {"commit": None}
    return {
        "commit": commit.id,
        "committed": commit.at.isoformat(),
        "author": commit.author,
        "written": commit.authored.isoformat(),
        "subject": commit.subject,
        "merge": commit.merge,
        "signature": commit.signed or None,
        "signature-verified": False,
        "folder": commit.folder,
    }


def change_data(change: Change) -> dict[str, Any]:
    """Give a change as plain data."""
    return {
        "kind": change.kind.value,
        "subject": change.subject,
        "says": change.says,
        "before": change.before,
        "after": change.after,
        "after-the-fact": change.flagged,
        "was-at": _at(change.was),
        "now-at": _at(change.now),
    }


def _at(at: At | None) -> dict[str, Any] | None:
    if at is None:
        return None
    data = asdict(at)
    data["point"] = [round(value, 4) + 0.0 for value in at.point] if at.point else None
    data["height"] = None if at.height is None else round(at.height, 4)
    return data


def _verdict(item: VerdictChange, place: dict[int, int]) -> dict[str, Any]:
    rule, kind, subject = item.key
    return {
        "turn": item.turn.value,
        "rule": rule,
        "title": item.title,
        "subject": {"kind": kind, "id": subject, "name": item.subject},
        "before": _finding(item.before),
        "after": _finding(item.after),
        "because": item.because.value,
        "causes": [place[id(change)] for change in item.causes],
    }


def _finding(finding: Finding | None) -> dict[str, Any] | None:
    if finding is None:
        return None
    margin = None if finding.margin is None else round(finding.margin, 6)
    return {"verdict": finding.verdict.value, "says": finding.says, "margin": margin, "unit": finding.limit.unit}


def _evidence(found: Integrity) -> dict[str, Any]:
    return {
        "revisions": found.revisions,
        "signed": found.signed,
        "after-the-fact": [{**_commit(edit.commit), **change_data(edit.change)} for edit in found.edits],
        "days-that-do-not-fit": list(found.days),
        "cautions": list(found.cautions),
        "cannot-be-used": [{**_commit(commit), "why": why} for commit, why in found.unusable],
        "records": [{**_commit(item.commit), "record-sha256": item.digest} for item in found.digests],
    }
