"""What ``compare`` and ``trace`` give as JSON: every key with its meaning. The published schemas are made from this."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, ClassVar, Literal

from pydantic import ConfigDict, Field, TypeAdapter

from asfitted.history.changes import Kind
from asfitted.history.verdict_changes import Because, Turn
from asfitted.model.base import key_of
from asfitted.rules.finding import Verdict

FORMAT: Literal[1] = 1
"""Version of the JSON; raised when a key changes its meaning."""

Sha256 = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
Count = Annotated[int, Field(ge=0)]


class _Data:
    """Keys are written with hyphens, and there are no others."""

    __pydantic_config__: ClassVar[ConfigDict] = ConfigDict(alias_generator=key_of, extra="forbid")


@dataclass(frozen=True, kw_only=True)
class CommitData(_Data):
    """A commit."""

    id: Annotated[str, Field(description="its id", pattern="^([0-9a-f]{40}|[0-9a-f]{64})$")]
    committed: Annotated[datetime, Field(description="when it was committed, by the committer's clock")]
    author: Annotated[str, Field(description="the author's name, as the author's own git was told")]
    committer: Annotated[str, Field(description="the committer's name, as that one's git was told")]
    written: Annotated[datetime, Field(description="when it was written, by the author's clock")]
    subject: Annotated[str, Field(description="the first line of its message")]
    merge: Annotated[bool, Field(description="whether it joins two lines of history")]
    signature: Annotated[str | None, Field(description="the kind of signature it carries; null if none")]
    signature_verified: Annotated[Literal[False], Field(description="always false: no signature is verified here")]
    folder: Annotated[str, Field(description="the home's folder in the repository then; empty if it is not there")]


@dataclass(frozen=True, kw_only=True)
class PointData(_Data):
    """A point of a home's history."""

    commit: Annotated[CommitData | None, Field(description="the commit; null for the working copy")]
    record_sha256: Annotated[
        Sha256 | None, Field(description="SHA-256 of the record, as a hand-over pack names it; null if unreadable")
    ]


@dataclass(frozen=True, kw_only=True)
class AtData(_Data):
    """A place on the plan."""

    storey: Annotated[str, Field(description="the storey's id")]
    room: Annotated[str, Field(description="the room's id")]
    point: Annotated[tuple[float, float] | None, Field(description="metres east and north on the plan; null if none")]
    height: Annotated[float | None, Field(description="metres above the floor; null if not recorded")]


@dataclass(frozen=True, kw_only=True)
class ChangeData(_Data):
    """A change."""

    kind: Annotated[Kind, Field(description="one of the kinds of change above")]
    subject: Annotated[str, Field(description="a tag, an id, “visit of” and its day, “home” or “system”")]
    says: Annotated[str, Field(description="the change in a sentence")]
    before: Annotated[str, Field(description="what stood there; empty for something added")]
    after: Annotated[str, Field(description="what stands there now; empty for something removed")]
    after_the_fact: Annotated[bool, Field(description="whether it rewrites what was written of a past day")]
    was_at: Annotated[AtData | None, Field(description="where it was, for something with a place; else null")]
    now_at: Annotated[AtData | None, Field(description="where it is now; null as for was-at")]


@dataclass(frozen=True, kw_only=True)
class SubjectData(_Data):
    """What a finding is about."""

    kind: Annotated[str, Field(description="device, room, opening, storey, home and the like")]
    id: Annotated[str, Field(description="its tag or id, as the later revision names it")]
    name: Annotated[str, Field(description="its name for people")]


@dataclass(frozen=True, kw_only=True)
class FindingData(_Data):
    """A finding."""

    verdict: Annotated[Verdict, Field(description="the verdict")]
    says: Annotated[str, Field(description="the finding in a sentence")]
    margin: Annotated[float | None, Field(description="by how much it is kept; negative if missed; null if no figure")]
    unit: Annotated[str, Field(description="the unit of the margin; empty if none")]


@dataclass(frozen=True, kw_only=True)
class VerdictChangeData(_Data):
    """A verdict that turned."""

    turn: Annotated[Turn, Field(description="one of the turns above")]
    rule: Annotated[str, Field(description="the rule's id")]
    title: Annotated[str, Field(description="the rule's title")]
    subject: Annotated[SubjectData, Field(description="what the finding is about")]
    before: Annotated[FindingData | None, Field(description="the earlier finding; null if nothing was asked")]
    after: Annotated[FindingData | None, Field(description="the later finding; null if nothing is asked any more")]
    because: Annotated[Because, Field(description="what it rests on, as above")]
    causes: Annotated[list[Count], Field(description="which changes turn it: places in changes, from 0")]


@dataclass(frozen=True, kw_only=True)
class EditData(_Data):
    """A past visit rewritten."""

    commit: Annotated[CommitData, Field(description="the commit that did it")]
    change: Annotated[ChangeData, Field(description="what it did, with both texts")]


@dataclass(frozen=True, kw_only=True)
class UnusableData(_Data):
    """A revision that cannot be used."""

    commit: Annotated[CommitData, Field(description="the commit")]
    why: Annotated[str, Field(description="why it cannot be used")]


@dataclass(frozen=True, kw_only=True)
class RecordData(_Data):
    """A revision and its record."""

    commit: Annotated[CommitData, Field(description="the commit")]
    record_sha256: Annotated[Sha256, Field(description="SHA-256 of the record, as a hand-over pack names it")]


@dataclass(frozen=True, kw_only=True)
class EvidenceData(_Data):
    """The history as evidence."""

    revisions: Annotated[Count, Field(description="how many revisions of the home there are")]
    signed: Annotated[Count, Field(description="how many of them carry a signature")]
    after_the_fact: Annotated[list[EditData], Field(description="past visits rewritten by any revision, oldest first")]
    days_that_do_not_fit: Annotated[list[str], Field(description="visits whose days do not fit, in sentences")]
    cautions: Annotated[list[str], Field(description="what keeps this home's history from being whole, in sentences")]
    cannot_be_used: Annotated[list[UnusableData], Field(description="revisions that cannot be read, newest first")]
    records: Annotated[list[RecordData], Field(description="revisions that can be read, newest first")]


@dataclass(frozen=True, kw_only=True)
class HomeData(_Data):
    """A home compared."""

    home: Annotated[str, Field(description="its folder's name, the later one if there are two")]
    was: Annotated[str | None, Field(description="its name at the earlier point; null if it was not there")]
    now: Annotated[str | None, Field(description="its name at the later point; null if it is gone")]
    old: Annotated[PointData | None, Field(description="the earlier point; null if the home was not there")]
    new: Annotated[PointData | None, Field(description="the later point; null if the home is gone")]
    troubles: Annotated[list[str], Field(description="why it could not be compared or judged")]
    cautions: Annotated[list[str], Field(description="what names no rule of today, in sentences; it is judged without")]
    changes: Annotated[list[ChangeData] | None, Field(description="what changed; null if a record cannot be read")]
    verdicts: Annotated[
        list[VerdictChangeData] | None, Field(description="which verdicts turned; null if not judged at both points")
    ]
    evidence: Annotated[
        EvidenceData | None, Field(description="the history as evidence; with --all, the revisions between the two")
    ]


@dataclass(frozen=True, kw_only=True)
class ComparisonData(_Data):
    """What asfitted compare gives."""

    format: Annotated[Literal[1], Field(description="the version of this JSON")]
    cautions: Annotated[list[str], Field(description="what keeps the history from being whole; rule sets that changed")]
    homes: Annotated[list[HomeData], Field(description="the homes compared, by name")]


@dataclass(frozen=True, kw_only=True)
class TracedData(_Data):
    """A finding traced."""

    rule: Annotated[str, Field(description="the rule's id")]
    subject: Annotated[SubjectData, Field(description="what the finding is about")]
    says: Annotated[str, Field(description="the finding in a sentence")]
    first: Annotated[PointData, Field(description="the revision since which it does not conform")]
    before: Annotated[PointData | None, Field(description="the last one before at which it did not fail; null if none")]
    changes: Annotated[list[ChangeData], Field(description="what changed between the two")]
    judged: Annotated[Count, Field(description="how many revisions were judged")]
    revisions: Annotated[Count, Field(description="how many there are on its line of history")]
    turns: Annotated[list[PointData], Field(description="where the verdict turned, if more than once")]
    cannot_be_used_between: Annotated[Count, Field(description="how many between before and first cannot be judged")]
    method: Annotated[str, Field(description="how it was found and what that leaves open, in a sentence")]


@dataclass(frozen=True, kw_only=True)
class TraceData(_Data):
    """What asfitted trace gives."""

    format: Annotated[Literal[1], Field(description="the version of this JSON")]
    cautions: Annotated[
        list[str], Field(description="what keeps the history from being whole; what names no rule of today")
    ]
    findings: Annotated[list[TracedData], Field(description="every failing finding that was asked for")]


SCHEMAS: dict[str, type[Any]] = {"comparison": ComparisonData, "trace": TraceData}
"""What has a published schema, by the name it is asked for by."""


def as_json(data: ComparisonData | TraceData) -> str:
    """Write what a command gives as JSON."""
    plain = TypeAdapter[Any](type(data)).dump_python(data, mode="json", by_alias=True)
    return json.dumps(plain, indent=2, ensure_ascii=False)


def json_schema(name: str) -> str:
    """Give the JSON Schema (draft 2020-12) of ``comparison`` or ``trace`` as text.

    Raises:
        KeyError: for another name.
    """
    shape = SCHEMAS[name]
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **TypeAdapter[Any](shape).json_schema(by_alias=True, mode="serialization"),
        "title": (shape.__doc__ or "").rstrip("."),
    }
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
