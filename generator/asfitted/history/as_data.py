"""Comparisons and traces put under the keys of their JSON."""

from collections.abc import Mapping, Sequence

from asfitted.history.changes import At, Change
from asfitted.history.data import (
    FORMAT,
    AtData,
    ChangeData,
    CommitData,
    ComparisonData,
    EditData,
    EvidenceData,
    FindingData,
    HomeData,
    PointData,
    RecordData,
    SubjectData,
    TraceData,
    TracedData,
    UnusableData,
    VerdictChangeData,
)
from asfitted.history.integrity import Integrity
from asfitted.history.points import Point
from asfitted.history.report import Report
from asfitted.history.revision import Commit
from asfitted.history.side import Side
from asfitted.history.trace import Trace
from asfitted.history.verdict_changes import VerdictChange
from asfitted.rules.finding import Finding


def compared(reports: Sequence[Report], cautions: Sequence[str]) -> ComparisonData:
    """Give what ``asfitted compare`` tells."""
    return ComparisonData(format=FORMAT, cautions=list(cautions), homes=[_home(made) for made in reports])


def traced(traces: Sequence[Trace], cautions: Sequence[str]) -> TraceData:
    """Give what ``asfitted trace`` tells."""
    return TraceData(format=FORMAT, cautions=list(cautions), findings=[_traced(item) for item in traces])


def _home(made: Report) -> HomeData:
    changes = made.comparison.changes if made.comparison else ()
    place = {id(change): index for index, change in enumerate(changes)}
    return HomeData(
        home=made.home,
        was=made.was,
        now=made.now,
        old=_point(made.old) if made.old else None,
        new=_point(made.new) if made.new else None,
        troubles=list(made.troubles),
        cautions=list(made.cautions),
        changes=[_change(change) for change in changes] if made.comparison else None,
        verdicts=[_turned(item, place) for item in made.verdicts] if made.verdicts is not None else None,
        evidence=_evidence(made.evidence) if made.evidence else None,
    )


def _traced(item: Trace) -> TracedData:
    rule, kind, subject = item.finding.key
    return TracedData(
        rule=rule,
        subject=SubjectData(kind=kind, id=subject, name=item.finding.subject.name),
        says=item.finding.says,
        first=_point(item.first),
        before=_point(item.before) if item.before else None,
        changes=[_change(change) for change in item.changes],
        judged=item.judged,
        revisions=item.of,
        turns=[_point(point) for point in item.turns],
        cannot_be_used_between=item.unusable,
        method=item.method,
    )


def _point(point: Point) -> PointData:
    return PointData(
        commit=_commit(point.commit) if point.commit else None,
        record_sha256=point.side.digest if isinstance(point.side, Side) else None,
    )


def _commit(commit: Commit) -> CommitData:
    return CommitData(
        id=commit.id,
        committed=commit.at,
        author=commit.author,
        committer=commit.committer,
        written=commit.authored,
        subject=commit.subject,
        merge=commit.merge,
        signature=commit.signed or None,
        signature_verified=False,
        folder=commit.folder,
    )


def _change(change: Change) -> ChangeData:
    return ChangeData(
        kind=change.kind,
        subject=change.subject,
        says=change.says,
        before=change.before,
        after=change.after,
        after_the_fact=change.flagged,
        was_at=_at(change.was) if change.was else None,
        now_at=_at(change.now) if change.now else None,
    )


def _at(at: At) -> AtData:
    point = (round(at.point[0], 4) + 0.0, round(at.point[1], 4) + 0.0) if at.point else None
    height = None if at.height is None else round(at.height, 4)
    return AtData(storey=at.storey, room=at.room, point=point, height=height)


def _turned(item: VerdictChange, place: Mapping[int, int]) -> VerdictChangeData:
    rule, kind, subject = item.key
    return VerdictChangeData(
        turn=item.turn,
        rule=rule,
        title=item.title,
        subject=SubjectData(kind=kind, id=subject, name=item.subject),
        before=_finding(item.before) if item.before else None,
        after=_finding(item.after) if item.after else None,
        because=item.because,
        causes=[place[id(change)] for change in item.causes],
    )


def _finding(finding: Finding) -> FindingData:
    margin = None if finding.margin is None else round(finding.margin, 6)
    return FindingData(verdict=finding.verdict, says=finding.says, margin=margin, unit=finding.limit.unit)


def _evidence(found: Integrity) -> EvidenceData:
    return EvidenceData(
        revisions=found.revisions,
        signed=found.signed,
        after_the_fact=[EditData(commit=_commit(edit.commit), change=_change(edit.change)) for edit in found.edits],
        days_that_do_not_fit=list(found.days),
        cautions=list(found.cautions),
        cannot_be_used=[UnusableData(commit=_commit(commit), why=why) for commit, why in found.unusable],
        records=[RecordData(commit=_commit(item.commit), record_sha256=item.digest) for item in found.digests],
    )
