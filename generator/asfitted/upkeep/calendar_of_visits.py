"""The technician's planned visits as a calendar: of one home, or of all the firm's.

A visit is known by its number: one more than the visits of its kind that the record says were made, and so on. A plan
that moves keeps the name of its visits; a visit that was made leaves the calendar, and the next keeps its own name.
"""

from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime

from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.upkeep.board import HomePlan
from asfitted.upkeep.bundle import VISITS, PlannedVisit
from asfitted.upkeep.calendar import uid
from asfitted.upkeep.calendar_file import Entry, begin, calendar_file

_PLANNED = "Planned, not agreed with the household."


def visit_entries(home: Home, plan: HomePlan, on: date, committed: datetime | None = None) -> tuple[Entry, ...]:
    """Give an entry for each planned visit to a home.

    A plan is made afresh every day, so that its entries count as changed every day, and with every commit.

    Args:
        home: the record.
        plan: its visits.
        on: the day the plan was made.
        committed: when the record was committed; None where that is not known.
    """
    revised = max(begin(on, committed), committed) if committed else begin(on)
    made = {visit.date for visit in standing(home.visits, on) if visit.kind in VISITS and not visit.remote}
    return tuple(
        _entry(uid(plan.id, f"visit-{number}"), home, visit, revised)
        for number, visit in enumerate(plan.plan.visits, start=len(made) + 1)
    )


def visit_calendar(name: str, entries: Iterable[Entry]) -> bytes:
    """Write planned visits as an iCalendar file, in the order of their days."""
    return calendar_file(name, sorted(entries, key=lambda entry: (entry.day, entry.uid)))


def _entry(name: str, home: Home, visit: PlannedVisit, revised: datetime) -> Entry:
    facts = home.home
    where = f"{facts.label} ({facts.reference})" if facts.reference else facts.label
    counted = Counter(task.interval.title for task in visit.tasks)
    lines = [f"{title}{_tags(visit, title)}{f', {n} times' if n > 1 else ''}" for title, n in counted.items()]
    if visit.parts:
        lines.append(f"Bring: {', '.join(f'{part.count} x {part.name}' for part in visit.parts)}")
    moved = f"May be moved: not before {visit.not_before}, not after {visit.not_after}."
    return Entry(name, visit.day, f"Visit: {where}", (*lines, moved, _PLANNED), revised, tentative=True)


def _tags(visit: PlannedVisit, title: str) -> str:
    tags = dict.fromkeys(task.tag for task in visit.tasks if task.interval.title == title and task.tag)
    return f": {', '.join(tags)}" if tags else ""
