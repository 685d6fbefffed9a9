"""What is due over all homes, month by month, the technician's apart from the household's."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_homes import folder
from asfitted.upkeep.due import Group, coming, grouped

MONTHS_AHEAD = 12
SELDOM = 2
"""Months between two times from which a task is listed each time; one done oftener is listed at its next date only."""


@dataclass(frozen=True, slots=True)
class DueLine:
    """Something due at a home on a day. ``again`` says how it goes on where later times are not listed."""

    group: Group
    day: date
    again: str


@dataclass(frozen=True, slots=True)
class HomeDue:
    """What is due at one home in one month."""

    id: str
    folder: str
    label: str
    lines: tuple[DueLine, ...]


@dataclass(frozen=True, slots=True)
class Due:
    """What is due in one month, or overdue when there is no month."""

    first: date | None
    technician: tuple[HomeDue, ...]
    household: tuple[HomeDue, ...]

    @property
    def anchor(self) -> str:
        """The id of its section."""
        return f"{self.first:month-%Y-%m}" if self.first else "overdue"

    @property
    def lines(self) -> int:
        """How many lines it holds."""
        return sum(len(home.lines) for home in (*self.technician, *self.household))


def due_months(dossiers: Sequence[Dossier], on: date) -> tuple[Due, ...]:
    """Give what is overdue on a day, then what is due month by month up to the same day a year on."""
    start = on.replace(day=1)
    end = on + relativedelta(months=MONTHS_AHEAD)
    months: list[date | None] = [None, *(start + relativedelta(months=n) for n in range(MONTHS_AHEAD + 1))]
    gathered: dict[tuple[date | None, str], list[HomeDue]] = {}
    for dossier in sorted(dossiers, key=lambda d: (d.home.home.label.casefold(), d.id)):
        for (month, who), lines in _of_home(dossier, on, end).items():
            home = HomeDue(dossier.id, folder(dossier.id), dossier.home.home.label, tuple(lines))
            gathered.setdefault((month, who), []).append(home)
    return tuple(
        Due(month, tuple(gathered.get((month, "technician"), ())), tuple(gathered.get((month, "household"), ())))
        for month in months
    )


def _of_home(dossier: Dossier, on: date, end: date) -> dict[tuple[date | None, str], list[DueLine]]:
    lines = sorted(_lines(grouped(dossier.tasks), on, end), key=lambda line: (line.day, line.group.tasks[0].id))
    found: dict[tuple[date | None, str], list[DueLine]] = {}
    for line in lines:
        month = None if line.day < on else line.day.replace(day=1)
        found.setdefault((month, line.group.interval.who), []).append(line)
    return found


def _lines(groups: Iterable[Group], on: date, end: date) -> Iterator[DueLine]:
    for group in groups:
        interval = group.interval
        if group.due > end:
            continue
        again = "" if group.tasks[0].once or _seldom(group) else f"then {interval.every}"
        yield DueLine(group, group.due, again)
        if _seldom(group):
            later = (day for day in coming(group.tasks[0], end) if day > max(group.due, on))
            yield from (DueLine(group, day, "") for day in later)


def _seldom(group: Group) -> bool:
    return group.interval.months >= SELDOM
