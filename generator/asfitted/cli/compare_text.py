"""A comparison on the terminal."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from asfitted.cli.terminal import STYLES, console, heading, say, styled
from asfitted.history.report import Report
from asfitted.history.verdict_changes import Turn
from asfitted.rules.finding import Verdict
from asfitted.rules.judgement import listed

if TYPE_CHECKING:
    from asfitted.history.changes import Change
    from asfitted.history.integrity import Integrity
    from asfitted.history.points import Point
    from asfitted.history.verdict_changes import VerdictChange

SHOWN = 3
"""Visits whose days do not fit that are listed on the terminal."""
_STYLE = {
    "newly does not conform": STYLES[Verdict.FAILS],
    "newly not verified": STYLES[Verdict.NOT_VERIFIED],
    "margin shrunk into borderline": STYLES[Verdict.BORDERLINE],
    "newly borderline": STYLES[Verdict.BORDERLINE],
    "newly a variation": STYLES[Verdict.VARIATION],
    "newly conforms": STYLES[Verdict.CONFORMS],
}


def show(reports: Sequence[Report], cautions: Iterable[str], *, between: bool = False) -> None:
    """Print comparisons, one home after another; ``between``: what is told as evidence is the part between the two."""
    for caution in cautions:
        say(caution)
    if not reports:
        say("No record changed between the two.")
    for number, made in enumerate(reports):
        if number:
            console().print()
        _show(made, between=between)


def _show(made: Report, *, between: bool) -> None:
    renamed = f"{made.was} → {made.now}" if made.was and made.now and made.was != made.now else made.home
    heading(renamed)
    if made.renamed:
        say(made.renamed)
    _point("from", made.old, "the home was not there")
    _point("to", made.new, "the home is not there any more")
    for caution in made.cautions:
        say(caution)
    for trouble in made.troubles:
        styled("cannot be used", "bold red", f"{trouble}.")
    if made.comparison is not None:
        _changes(made.comparison.changes)
    if made.verdicts is not None:
        _verdicts(made.verdicts, made.comparison.changes if made.comparison else ())
    if made.evidence is not None:
        _evidence(made.evidence, between=between)


def _point(word: str, point: "Point | None", absent: str) -> None:
    if point is None:
        say(f"{word}: {absent}")
    elif point.commit is None:
        say(f"{word}: {point.words}")
    else:
        say(f"{word}: {point.words} by {point.commit.by}; {point.signature}. “{point.commit.subject}”")


def _changes(changes: "Sequence[Change]") -> None:
    if not changes:
        heading("Nothing changed in what the record says.")
        return
    numbered = enumerate(changes, start=1)
    for kind, group in groupby(numbered, key=lambda item: item[1].kind):
        members = list(group)
        flagged = members[0][1].flagged
        styled(kind.value, "bold red" if flagged else "bold", "after the fact" if flagged else "")
        for number, change in members:
            say(f"{number}. {change.says}")
            if change.flagged:
                _both_texts(change)


def _both_texts(change: "Change") -> None:
    for word, text in (("before", change.before), ("after", change.after)):
        if text:
            say(f"{word}:")
            for line in text.split("\n"):
                say(f"  {line}")


def _verdicts(verdicts: "Sequence[VerdictChange]", changes: "Sequence[Change]") -> None:
    if not verdicts:
        heading("No verdict turned.")
        return
    heading(f"Verdicts that turned: {len(verdicts)}")
    numbers = {id(change): number for number, change in enumerate(changes, start=1)}
    for item in verdicts:
        was = item.before.verdict.value if item.before else "not asked"
        now = item.after.verdict.value if item.after else "not asked any more"
        styled(item.turn.value, _STYLE.get(item.turn.value, "bold"), f"{item.title}: {item.subject}")
        if item.turn is not Turn.CONFORMS:
            say(f"Was {was}, now {now}. {item.says}")
        causes = [f"{numbers[id(change)]} ({_named(change)})" for change in item.causes]
        because = f"change {listed(causes)}" if len(causes) == 1 else f"changes {listed(causes)} together"
        because = because if causes else item.because.value
        say(f"Was {was}. Because of {because}." if item.turn is Turn.CONFORMS else f"Because of {because}.")


def _named(change: "Change") -> str:
    alone = change.subject in ("home", "system")
    return change.kind.value if alone else f"{change.kind.value}, {change.subject}"


def _evidence(found: "Integrity", *, between: bool) -> None:
    heading("The revisions between as evidence" if between else "The history as evidence")
    signed = f"{found.signed} of {found.revisions} signed" if found.signed else "none signed"
    unverified = "; no signature was verified" if found.signed else ""
    say(f"{found.revisions} revision{'s' if found.revisions != 1 else ''}, {signed}{unverified}.")
    for edit in found.edits:
        commit = edit.commit
        styled(edit.change.kind.value, "bold red", f"in {commit.words} by {commit.by}; {commit.signature}")
        say(edit.change.says)
        _both_texts(edit.change)
    if not found.edits:
        say("No past visit was edited, inserted or deleted in any revision that can be read.")
    for line in (*found.days[:SHOWN], *found.cautions):
        say(line)
    if len(found.days) > SHOWN:
        say(f"{len(found.days) - SHOWN} more visits with days that do not fit: --format json lists them.")
    for commit, why in found.unusable:
        say(f"{commit.words}: {why}.")
    if found.digests and not between:
        latest = found.digests[0]
        say(f"Record of {latest.commit.words}: SHA-256 {latest.digest}")
