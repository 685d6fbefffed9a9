"""Which verdicts changed with a revision, and what caused each: one change of the record, the rules, or time."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from asfitted.history.changes import Change, Comparison, Kind, unchanged
from asfitted.history.side import Side
from asfitted.rules.finding import Finding, Verdict

_QUIET = frozenset({None, Verdict.CONFORMS, Verdict.NOT_APPLICABLE})
"""What a finding of something new, or of something gone, may say without being told."""


class Turn(StrEnum):
    """What became of a verdict, in the order in which it is told."""

    FAILS = "newly does not conform"
    NOT_VERIFIED = "newly not verified"
    SHRUNK = "margin shrunk into borderline"
    BORDERLINE = "newly borderline"
    VARIATION = "newly a variation"
    CONFORMS = "newly conforms"
    GONE = "no longer asked"


class Because(StrEnum):
    """What a change of a verdict rests on."""

    CHANGE = "a change of the record"
    TOGETHER = "several changes of the record together"
    RULES = "the rules themselves"
    TIME = "the passing of time"
    BOTH = "the record and the rules or the time together"


@dataclass(frozen=True, slots=True)
class VerdictChange:
    """One finding whose verdict differs between two revisions.

    Attributes:
        turn: what became of it.
        rule: the id of the rule.
        title: its title.
        subject: what the finding is about, by name: ``SA3 (front bedroom)``.
        key: rule, kind of subject and subject, as the later revision names it.
        before: the finding at the earlier revision; None where nothing was asked of it.
        after: the finding at the later one.
        because: what kind of cause.
        causes: the changes that, each alone, turn the verdict; empty where the cause is no single change.
    """

    turn: Turn
    rule: str
    title: str
    subject: str
    key: tuple[str, str, str]
    before: Finding | None
    after: Finding | None
    because: Because = Because.TOGETHER
    causes: tuple[Change, ...] = ()

    @property
    def says(self) -> str:
        """What the later finding says, or the earlier one where there is no later."""
        finding = self.after or self.before
        return finding.says if finding else ""

    @property
    def cause(self) -> str:
        """The cause in words."""
        if self.causes:
            return " ".join(change.says for change in self.causes)
        return f"{self.because.value[:1].upper()}{self.because.value[1:]}."


_Key = tuple[str, str, str]


def verdict_changes(old: Side, new: Side, comparison: Comparison, on: date | None = None) -> tuple[VerdictChange, ...]:
    """Judge a home at both revisions and say which verdicts turned, each with its cause.

    Each revision is judged on its own day, or both on ``on``. A cause is found by doing one change of the record to
    the earlier home and judging it again: what then gives the later verdict is the cause. Where nothing does alone, it
    is several changes together; where the earlier record gives the later verdict without any change, it is the rules
    or the time.

    Raises:
        ValueError: when one of the two cannot be judged; see :attr:`Side.trouble`.
    """
    then, now = on or old.day, on or new.day
    before = _by_key(old.findings(then), comparison)
    after = _by_key(new.findings(now), None)
    turned = [
        VerdictChange(turn, key[0], finding.rule.title, finding.subject.name, key, before.get(key), after.get(key))
        for key in dict.fromkeys([*after, *before])
        if (turn := _turn(before.get(key), after.get(key)))
        and (finding := after.get(key) or before.get(key)) is not None
    ]
    if not turned:
        return ()
    explained = _by_rules_and_time(turned, old, new, comparison, now)
    explained = _by_changes(explained, old, now, comparison)
    return tuple(sorted(explained, key=lambda change: list(Turn).index(change.turn)))


def _by_key(findings: Iterable[Finding], comparison: Comparison | None) -> dict[_Key, Finding]:
    """Name findings as the later revision does."""
    names: Mapping[str, str] = {**comparison.rooms, **comparison.tags} if comparison else {}
    named: dict[_Key, Finding] = {}
    for finding in findings:
        rule, kind, subject = finding.key
        named.setdefault((rule, kind, names.get(subject, subject)), finding)
    return named


def _turn(before: Finding | None, after: Finding | None) -> Turn | None:
    was, now = before.verdict if before else None, after.verdict if after else None
    if was is now or (was in _QUIET and now in _QUIET):
        return None
    if was is Verdict.CONFORMS and now is Verdict.BORDERLINE:
        return Turn.SHRUNK
    turns = {
        Verdict.FAILS: Turn.FAILS,
        Verdict.NOT_VERIFIED: Turn.NOT_VERIFIED,
        Verdict.BORDERLINE: Turn.BORDERLINE,
        Verdict.VARIATION: Turn.VARIATION,
        Verdict.CONFORMS: Turn.CONFORMS,
    }
    return turns.get(now, Turn.GONE) if now else Turn.GONE


def _by_rules_and_time(
    turned: Sequence[VerdictChange], old: Side, new: Side, comparison: Comparison, now: date
) -> list[VerdictChange]:
    """Explain what the earlier record gives as well, on the later day or by the later rules."""
    rules = {change.rule for change in turned}
    found = list(turned)
    if now != old.day:
        same_record = _by_key(old.findings(now, rules), comparison)
        found = [_told(change, same_record, Because.TIME) for change in found]
    if new.rules.limits != old.rules.limits or new.rules.rules != old.rules.rules:
        home = old.home.model_copy(update={"home": old.home.home.model_copy(update={"rules": new.home.home.rules})})
        later = Side(home, old.day, new.catalogue)
        by_rules = _by_key(later.findings(now, rules), comparison)
        found = [_told(change, by_rules, Because.RULES) for change in found]
    return found


def _told(change: VerdictChange, judged: Mapping[_Key, Finding], because: Because) -> VerdictChange:
    if change.because is not Because.TOGETHER or _verdict(judged, change) is not _after(change):
        return change
    return replace(change, because=because)


def _after(change: VerdictChange) -> Verdict | None:
    return change.after.verdict if change.after else None


def _verdict(judged: Mapping[_Key, Finding], change: VerdictChange) -> Verdict | None:
    finding = judged.get(change.key)
    return finding.verdict if finding else None


def _by_changes(turned: list[VerdictChange], old: Side, now: date, comparison: Comparison) -> list[VerdictChange]:
    """Do each change alone to the earlier home, the likeliest first, until every verdict is explained."""
    open_ones = [change for change in turned if change.because is Because.TOGETHER]
    causes: dict[int, Change] = {}
    for change in _likeliest(comparison.changes, open_ones):
        waiting = [item for item in open_ones if id(item) not in causes]
        if not waiting:
            break
        alone = Side(change.apply(old.home), old.day, old.catalogue)
        if not _touches_shapes(change):
            alone.__dict__["dwelling"] = old.dwelling  # the shapes are those of the earlier home
        if alone.trouble is not None:
            continue
        judged = _by_key(alone.findings(now, {item.rule for item in waiting}), comparison)
        for item in waiting:
            if _verdict(judged, item) is _after(item):
                causes[id(item)] = change
    rules_too = {change.kind for change in comparison.changes} & {Kind.RULE_SET, Kind.LIMIT}
    unexplained = Because.BOTH if rules_too or now != old.day else Because.TOGETHER
    return [
        replace(item, because=Because.CHANGE, causes=(causes[id(item)],))
        if id(item) in causes
        else replace(item, because=unexplained)
        if item.because is Because.TOGETHER
        else item
        for item in turned
    ]


_ABOUT_RECORD = frozenset(
    {
        Kind.SETTING, Kind.BATTERY, Kind.PARTICULAR, Kind.DEVICE_RENAMED, Kind.HOUSEHOLD, Kind.SYSTEM,
        Kind.VISIT_ADDED, Kind.VISIT_INSERTED, Kind.PAST_VISIT_EDITED, Kind.PAST_VISIT_DELETED,
        Kind.VARIATION, Kind.VARIATION_ADDED, Kind.VARIATION_WITHDRAWN, Kind.DEVICE_REPLACED,
    }
)  # fmt: skip
"""Kinds of change that leave every shape as it is."""


def _touches_shapes(change: Change) -> bool:
    return change.kind not in _ABOUT_RECORD


def _likeliest(changes: Sequence[Change], turned: Sequence[VerdictChange]) -> list[Change]:
    """Give the changes that can turn a verdict, first those that name what is judged, and the narrowest of them."""
    findings = [item.after or item.before for item in turned]
    judged = {name for finding in findings if finding for name in (finding.subject.id, finding.subject.room)}

    def rank(change: Change) -> tuple[bool, int]:
        return judged.isdisjoint(change.names), len(set(change.names))

    return sorted((change for change in changes if change.apply is not unchanged), key=rank)
