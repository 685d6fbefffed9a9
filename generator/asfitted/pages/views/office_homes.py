"""The table of homes: how each one stands, what comes next, and which records could not be used."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from asfitted.pages.dossier import Dossier
from asfitted.rules.finding import Verdict
from asfitted.upkeep.due import Group, grouped

LOOKS: dict[Verdict, str] = {
    Verdict.FAILS: "fails",
    Verdict.NOT_VERIFIED: "unproven",
    Verdict.BORDERLINE: "borderline",
    Verdict.VARIATION: "variation",
    Verdict.CONFORMS: "conforms",
    Verdict.NOT_APPLICABLE: "idle",
}
"""The class that gives a verdict its shape on a page."""


@dataclass(frozen=True, slots=True)
class Count:
    """How many findings of a home have a verdict."""

    verdict: Verdict
    look: str
    number: int


@dataclass(frozen=True, slots=True)
class Next:
    """What is due next for the household or the technician."""

    who: Literal["household", "technician"]
    group: Group


@dataclass(frozen=True, slots=True)
class HomeRow:
    """One home in the table."""

    id: str
    folder: str
    label: str
    reference: str
    counts: tuple[Count, ...]
    coming: tuple[Next, ...]
    visited: date | None
    revision: str

    @property
    def sought(self) -> str:
        """What the filter box looks in."""
        return f"{self.id} {self.label} {self.reference}".lower()


def folder(home_id: str) -> str:
    """Give the folder of a home's pages: its id, with whatever is no plain word written as the number of the letter.

    Two ids never share a folder, and none leaves its own.
    """
    return re.sub(r"[^A-Za-z0-9-]", lambda match: f"_{ord(match[0]):x}_", home_id)


def home_rows(dossiers: Iterable[Dossier]) -> tuple[HomeRow, ...]:
    """Give the table of homes in the order of their labels."""
    rows = (_row(dossier) for dossier in dossiers)
    return tuple(sorted(rows, key=lambda row: (row.label.casefold(), row.id)))


def counts(dossier: Dossier) -> tuple[Count, ...]:
    """Count the findings of a home by verdict, worst first."""
    return tuple(Count(verdict, LOOKS[verdict], dossier.count(verdict)) for verdict in Verdict)


def last_visit(dossier: Dossier) -> date | None:
    """Give the day somebody of the firm was last there."""
    days = [v.date for v in dossier.home.visits if v.date <= dossier.on and v.kind != "household test"]
    return max(days, default=None)


def _row(dossier: Dossier) -> HomeRow:
    facts = dossier.home.home
    groups = grouped(dossier.tasks)
    return HomeRow(
        id=dossier.id,
        folder=folder(dossier.id),
        label=facts.label,
        reference=facts.reference or "",
        counts=counts(dossier),
        coming=tuple(_next(groups)),
        visited=last_visit(dossier),
        revision=dossier.revision.words,
    )


def _next(groups: Sequence[Group]) -> Iterable[Next]:
    sides: tuple[Literal["technician", "household"], ...] = ("technician", "household")
    for who in sides:
        theirs = (group for group in groups if group.interval.who == who)
        yield from (Next(who, group) for group in [*theirs][:1])
