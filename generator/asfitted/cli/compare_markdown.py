"""A comparison in Markdown, for a comment on a proposed change. Whatever a record says is made harmless."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from asfitted.history.report import Report
from asfitted.pages.render import harmless

if TYPE_CHECKING:
    from asfitted.history.changes import Change
    from asfitted.history.integrity import Integrity
    from asfitted.history.points import Point
    from asfitted.history.verdict_changes import VerdictChange


def as_markdown(reports: Sequence[Report], cautions: Iterable[str], *, between: bool = False) -> str:
    """Write comparisons as one Markdown text; ``between``: what is told as evidence is the part between the two."""
    lines = [f"> {harmless(caution)}" for caution in cautions]
    if not reports:
        lines += ["No record changed between the two."]
    for made in reports:
        lines += ["", *_home(made, between=between)]
    return "\n".join(lines).strip() + "\n"


def _home(made: Report, *, between: bool) -> Iterator[str]:
    yield f"## {harmless(made.home)}"
    yield ""
    if made.renamed:
        yield harmless(made.renamed)
        yield ""
    yield f"{_point(made.old, 'not there')} to {_point(made.new, 'not there any more')}"
    for caution in made.cautions:
        yield ""
        yield harmless(caution)
    for trouble in made.troubles:
        yield ""
        yield f"**Cannot be used.** {harmless(trouble)}."
    if made.comparison is not None:
        yield from _changes(made.comparison.changes)
    if made.verdicts is not None:
        yield from _verdicts(made.verdicts)
    if made.evidence is not None:
        yield from _evidence(made.evidence, between=between)


def _point(point: "Point | None", absent: str) -> str:
    if point is None:
        return absent
    if point.commit is None:
        return point.words
    return f"{point.words} by {harmless(point.commit.by)} ({harmless(point.signature)})"


def _changes(changes: "Sequence[Change]") -> Iterator[str]:
    yield ""
    if not changes:
        yield "Nothing changed in what the record says."
    for kind, group in groupby(changes, key=lambda change: change.kind):
        members = list(group)
        yield f"**{kind.value[:1].upper()}{kind.value[1:]}**" + (" (after the fact)" if members[0].flagged else "")
        yield ""
        for change in members:
            yield f"- {harmless(change.says)}"
            yield from _both_texts(change)
        yield ""


def _both_texts(change: "Change") -> Iterator[str]:
    if change.flagged:
        for word, text in (("before", change.before), ("after", change.after)):
            if text:
                yield f"    - {word}: " + "<br>".join(harmless(line) for line in text.split("\n"))


def _verdicts(verdicts: "Sequence[VerdictChange]") -> Iterator[str]:
    yield ""
    if not verdicts:
        yield "No verdict turned."
        return
    yield "| verdict | rule | about | was | because of |"
    yield "|---|---|---|---|---|"
    for item in verdicts:
        was = item.before.verdict.value if item.before else "not asked"
        cause = "; ".join(f"{c.kind.value}, {c.subject}" for c in item.causes) or item.because.value
        cells = (item.turn.value, item.title, item.subject, was, cause)
        yield "| " + " | ".join(harmless(cell) for cell in cells) + " |"


def _evidence(found: "Integrity", *, between: bool) -> Iterator[str]:
    yield ""
    what = "The revisions between as evidence" if between else "The history as evidence"
    number = f"{found.revisions} revision{'s' if found.revisions != 1 else ''}"
    yield f"**{what}**: {number}, {found.signed} signed, no signature verified."
    yield ""
    for edit in found.edits:
        where = f"{edit.commit.words} by {edit.commit.by}; {edit.commit.signature}"
        yield f"- **{edit.change.kind.value}** in {harmless(where)}: {harmless(edit.change.says)}"
        yield from _both_texts(edit.change)
    for line in (*found.days, *found.cautions, *(f"{commit.words}: {why}." for commit, why in found.unusable)):
        yield f"- {harmless(line)}"
