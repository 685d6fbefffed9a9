"""What the hand-over pack shows beside the household's own pages: devices, readings, and what was checked."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_findings import About, about_each, families_of
from asfitted.pages.views.office_homes import LOOKS, Count, counts
from asfitted.pages.views.office_visits import Cell, Line, evidence
from asfitted.rules.finding import Verdict

IN_FULL: Mapping[Verdict, tuple[str, str]] = {
    Verdict.FAILS: ("Does not conform", "What was found falls short of what the rule asks."),
    Verdict.NOT_VERIFIED: ("Not verified", "The record lacks what would prove it. It may conform, and it may not."),
    Verdict.BORDERLINE: ("Borderline", "The margin is smaller than the tolerance of the measuring."),
    Verdict.VARIATION: ("Variation", "Does not conform, and was agreed in writing. Agreed does not mean safe."),
}  # fmt: skip
"""The verdicts whose findings stand in full, with their titles and what each means."""


@dataclass(frozen=True, slots=True)
class Readings:
    """What one person read of a device on one day: each test with what it read and whether it speaks against it."""

    day: date | None
    by: str
    tests: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True, slots=True)
class Tested:
    """A device, its last readings by day and person, and the tests that would prove it but were never made."""

    tag: str
    what: str
    readings: tuple[Readings, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """The findings of one verdict in full."""

    id: str
    look: str
    title: str
    means: str
    number: int
    about: tuple[About, ...]


@dataclass(frozen=True, slots=True)
class Statement:
    """What was checked: every verdict counted, over all and by family of rules; what conforms least in full.

    ``known_by`` counts the findings by how the limit they rest on is known, ``borrowed`` those whose limit is not from
    the home's own rule set.
    """

    total: int
    counts: tuple[Count, ...]
    families: tuple[tuple[str, tuple[int, ...]], ...]
    parts: tuple[Part, ...]
    known_by: tuple[tuple[str, int], ...]
    borrowed: int


def statement(dossier: Dossier) -> Statement:
    """Count the verdicts of a home and gather what is not plainly met."""
    asked = [finding for finding in dossier.findings if finding.verdict is not Verdict.NOT_APPLICABLE]
    return Statement(
        total=len(dossier.findings),
        counts=counts(dossier),
        families=tuple(_families(dossier)),
        parts=tuple(_part(dossier, verdict) for verdict in IN_FULL),
        known_by=tuple(sorted(Counter(finding.limit.status for finding in asked).items())),
        borrowed=sum(bool(finding.limit.borrowed_by) for finding in asked),
    )


def _families(dossier: Dossier) -> Iterator[tuple[str, tuple[int, ...]]]:
    numbers = Counter((finding.rule.family, finding.verdict) for finding in dossier.findings)
    for key, name, _ in families_of(dossier):
        yield name, tuple(numbers[key, verdict] for verdict in Verdict)


def _part(dossier: Dossier, verdict: Verdict) -> Part:
    found = [finding for finding in dossier.findings if finding.verdict is verdict]
    title, means = IN_FULL[verdict]
    return Part(LOOKS[verdict], LOOKS[verdict], title, means, len(found), about_each(dossier, found))


def tested(dossier: Dossier) -> tuple[Tested, ...]:
    """Give the last reading of every test of every device, as the office's evidence has them."""
    lines = [(matrix.tests, line) for matrix in evidence(dossier) for line in matrix.lines]
    return tuple(_tested(tests, line) for tests, line in lines)


def _tested(tests: tuple[str, ...], line: Line) -> Tested:
    gathered: dict[tuple[date | None, str], list[tuple[str, str, bool]]] = {}
    cells: list[tuple[str, Cell]] = [*zip(tests, line.cells, strict=True)]
    for test, cell in cells:
        if cell.value:
            gathered.setdefault((cell.day, cell.by), []).append((test, cell.value, cell.bad))
    readings = [Readings(day, by, tuple(read)) for (day, by), read in gathered.items()]
    readings.sort(key=lambda read: (read.day or date.min, read.by), reverse=True)
    return Tested(line.tag, line.what, tuple(readings), tuple(test for test, cell in cells if cell.missing))
