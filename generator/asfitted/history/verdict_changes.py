"""Which verdicts changed with a revision, and what caused each: one change of the record, the rules, or time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from asfitted.history.changes import Change, Comparison, unchanged
from asfitted.history.side import Side
from asfitted.history.trial import Key, Trial, by_key
from asfitted.reckon.of_home import Reckoned
from asfitted.rules.finding import Finding, Verdict

MOST_TOGETHER = 6
"""Changes that are named as one cause; with more than these nobody could say what did it."""
FEW = 12
"""Changes of which it is always looked for those that turn a verdict only together: that takes little time then."""
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
        causes: the change that alone turns the verdict, or those that turn it together; empty where none were found.
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


def verdict_changes(
    old: Side, new: Side, comparison: Comparison, on: date | None = None, *, together: bool = True
) -> tuple[VerdictChange, ...]:
    """Judge a home at both revisions and say which verdicts turned, each with its cause.

    Each revision is judged on its own day, or both on ``on``. A cause is found by doing one change of the record to
    the earlier home and judging it again: what then gives the later verdict is the cause. Where nothing does alone, it
    is several changes together, and with ``together`` a smallest set of them is looked for; where the earlier record
    gives the later verdict without any change, it is the rules or the time.

    Raises:
        ValueError: when one of the two cannot be judged; see :attr:`Side.trouble`.
    """
    then, now = on or old.day, on or new.day
    known = old.reckoned(now)
    before = by_key(old.findings(then, (), known if then == now else None), comparison)
    after = by_key(new.findings(now), None)
    turned = [
        VerdictChange(turn, key[0], finding.rule.title, finding.subject.name, key, before.get(key), after.get(key))
        for key in dict.fromkeys([*after, *before])
        if (turn := _turn(before.get(key), after.get(key)))
        and (finding := after.get(key) or before.get(key)) is not None
    ]
    if not turned:
        return ()
    explained = _by_rules_and_time(turned, old, new, comparison, known)
    trial = Trial(old, known, comparison)
    explained = _by_one_change(explained, trial)
    if together:
        explained = [_by_several(item, trial) for item in explained]
    unsure = Because.BOTH if rules_or_time(old, new, now) else Because.TOGETHER
    explained = [
        replace(item, because=unsure) if item.because is Because.TOGETHER and not item.causes else item
        for item in explained
    ]
    return tuple(sorted(explained, key=lambda change: list(Turn).index(change.turn)))


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
    turned: Sequence[VerdictChange], old: Side, new: Side, comparison: Comparison, known: Reckoned
) -> list[VerdictChange]:
    """Explain what the earlier record gives as well, on the later day or by the later rules."""
    now = known.on
    rules = {change.rule for change in turned}
    found = list(turned)
    if now != old.day:
        same_record = by_key(old.findings(now, rules, known), comparison)
        found = [_told(change, same_record, Because.TIME) for change in found]
    if new.rules.limits != old.rules.limits or new.rules.rules != old.rules.rules:
        home = old.home.model_copy(update={"home": old.home.home.model_copy(update={"rules": new.home.home.rules})})
        later = Side(home, old.day, new.catalogue)
        by_rules = by_key(later.findings(now, rules), comparison)
        found = [_told(change, by_rules, Because.RULES) for change in found]
    return found


def _told(change: VerdictChange, judged: Mapping[Key, Finding], because: Because) -> VerdictChange:
    if change.because is not Because.TOGETHER or _verdict(judged, change) is not _after(change):
        return change
    return replace(change, because=because)


def _after(change: VerdictChange) -> Verdict | None:
    return change.after.verdict if change.after else None


def _verdict(judged: Mapping[Key, Finding], change: VerdictChange) -> Verdict | None:
    finding = judged.get(change.key)
    return finding.verdict if finding else None


def rules_or_time(old: Side, new: Side, now: date) -> bool:
    """Tell whether the rules or the day differ, so that they may have a part in what turned."""
    return now != old.day or new.rules.limits != old.rules.limits or new.rules.rules != old.rules.rules


def _turned(trial: Trial, changes: Sequence[Change], items: Sequence[VerdictChange]) -> list[VerdictChange]:
    """Give those of some verdicts that are the later ones when these changes are done."""
    judged = trial.verdicts(changes, {item.rule for item in items})
    return [] if judged is None else [item for item in items if judged.get(item.key) is _after(item)]


def _by_one_change(turned: Sequence[VerdictChange], trial: Trial) -> list[VerdictChange]:
    """Do each change alone to the earlier home, the likeliest first, until every verdict is explained."""
    open_ones = [item for item in turned if item.because is Because.TOGETHER]
    causes: dict[Key, Change] = {}
    for change in _likeliest(trial.comparison.changes, open_ones):
        waiting = [item for item in open_ones if item.key not in causes]
        if not waiting:
            break
        causes |= {item.key: change for item in _turned(trial, [change], waiting)}
    return [
        replace(item, because=Because.CHANGE, causes=(causes[item.key],)) if item.key in causes else item
        for item in turned
    ]


def _by_several(item: VerdictChange, trial: Trial) -> VerdictChange:
    """Find a few changes that turn a verdict together: the shortest beginning that does, its last one, and so on."""
    if item.because is not Because.TOGETHER:
        return item
    left, chosen = _likeliest(trial.comparison.changes, [item]), list[Change]()
    while len(chosen) < MOST_TOGETHER and not (chosen and _turned(trial, chosen, [item])):
        if not _turned(trial, [*left, *chosen], [item]):
            return item
        low, high = 0, len(left)
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if _turned(trial, [*left[:middle], *chosen], [item]) else (middle, high)
        chosen = [left[high - 1], *chosen] if left else chosen
        left = left[: high - 1]
    if not _turned(trial, chosen, [item]):
        return item
    for change in tuple(chosen):
        fewer = [other for other in chosen if other is not change]
        chosen = fewer if _turned(trial, fewer, [item]) else chosen
    return replace(item, causes=tuple(chosen))


def _likeliest(changes: Sequence[Change], turned: Sequence[VerdictChange]) -> list[Change]:
    """Give the changes that can turn a verdict, first those that name what is judged, and the narrowest of them."""
    findings = [item.after or item.before for item in turned]
    judged = {name for finding in findings if finding for name in (finding.subject.id, finding.subject.room)}

    def rank(change: Change) -> tuple[bool, int]:
        return judged.isdisjoint(change.names), len(set(change.names))

    return sorted((change for change in changes if change.apply is not unchanged), key=rank)
