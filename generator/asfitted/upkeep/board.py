"""The firm's work ahead over many homes: which homes in which month, and what to buy by which quarter."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from asfitted.model.home import Home
from asfitted.rules.finding import Finding
from asfitted.upkeep.bundle import Plan, PlannedVisit, plan_visits
from asfitted.upkeep.done import begun
from asfitted.upkeep.due import coming
from asfitted.upkeep.parts import Part, PartKind, part_of
from asfitted.upkeep.put_right import put_right
from asfitted.upkeep.task import Task, Who


@dataclass(frozen=True, slots=True)
class HomePlan:
    """The plan of one home; ``household`` is what its own battery changes use up, each by the day it is due."""

    id: str
    label: str
    plan: Plan
    household: tuple[tuple[date, Part], ...] = ()


@dataclass(frozen=True, slots=True)
class BoardVisit:
    """One visit on the board."""

    id: str
    label: str
    visit: PlannedVisit


@dataclass(frozen=True, slots=True)
class BoardMonth:
    """The visits of one month, by day, then home."""

    first: date
    visits: tuple[BoardVisit, ...]

    @property
    def homes(self) -> int:
        """How many homes are visited."""
        return len({entry.id for entry in self.visits})

    @property
    def tasks(self) -> int:
        """How many tasks are done."""
        return sum(len(entry.visit.tasks) for entry in self.visits)

    @property
    def parts(self) -> tuple[Part, ...]:
        """What the visits use up, by kind and name."""
        return _summed(part for entry in self.visits for part in entry.visit.parts)

    @property
    def batteries(self) -> int:
        """How many batteries, packs counting as one."""
        return sum(part.count for part in self.parts if part.kind == "battery")


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is wanted by one quarter of a year: of whom the task is says who usually buys it."""

    year: int
    quarter: int
    who: Who
    part: Part

    @property
    def words(self) -> str:
        """The quarter: "2027 Q2"."""
        return f"{self.year} Q{self.quarter}"


def plan_home(
    home_id: str, home: Home, tasks: Sequence[Task], findings: Iterable[Finding], on: date, until: date
) -> HomePlan:
    """Plan the visits to a home: what the calendar asks for and what is to be put right, bundled.

    Args:
        home_id: its folder name.
        home: the record.
        tasks: as :func:`asfitted.upkeep.schedule.schedule` gives them.
        findings: what the rules say of it.
        on: the day the plan is made.
        until: the last day of the plan.
    """
    wanted = (*tasks, *put_right(home, findings, on))
    plan = plan_visits(home, wanted, on, until)
    own = household_needs(home, tasks, on, until) if begun(home, on) else ()
    return HomePlan(home_id, home.home.label, plan, own)


def household_needs(home: Home, tasks: Iterable[Task], on: date, until: date) -> tuple[tuple[date, Part], ...]:
    """Give what the household's own tasks use up by a day, each at its due day; what is overdue stands at ``on``."""
    found = [
        (max(day, on), part)
        for task in tasks
        if task.interval.who == "household" and (part := part_of(task, home.devices.get(task.tag or "")))
        for day in _days(task, on, until)
    ]
    return tuple(sorted(found))


def _days(task: Task, on: date, until: date) -> Iterator[date]:
    """Give the due days ahead; of those that have passed only one: a battery is changed once, however late."""
    days = list(coming(task, until))
    late = [day for day in days if day < on]
    yield from late[-1:]
    yield from days[len(late) :]


def board(plans: Sequence[HomePlan]) -> tuple[BoardMonth, ...]:
    """Give the months in which somebody is visited, in order."""
    months: dict[date, list[BoardVisit]] = {}
    for home in plans:
        for visit in home.plan.visits:
            months.setdefault(visit.day.replace(day=1), []).append(BoardVisit(home.id, home.label, visit))
    return tuple(
        BoardMonth(first, tuple(sorted(visits, key=lambda entry: (entry.visit.day, entry.label.casefold(), entry.id))))
        for first, visits in sorted(months.items())
    )


def forecast(plans: Sequence[HomePlan]) -> tuple[Purchase, ...]:
    """Give what is wanted quarter by quarter: the technician's before the household's, batteries before devices."""
    wanted: dict[tuple[int, int, Who], list[Part]] = {}
    for home in plans:
        for visit in home.plan.visits:
            wanted.setdefault((*_quarter(visit.day), "technician"), []).extend(visit.parts)
        for day, part in home.household:
            wanted.setdefault((*_quarter(day), "household"), []).append(part)
    in_order = sorted(wanted.items(), key=lambda entry: (entry[0][:2], entry[0][2] == "household"))
    return tuple(Purchase(*key, part) for key, parts in in_order for part in _summed(parts))


def _quarter(day: date) -> tuple[int, int]:
    return day.year, (day.month + 2) // 3


def _summed(parts: Iterable[Part]) -> tuple[Part, ...]:
    counts = Counter[tuple[PartKind, str]]()
    for part in parts:
        counts[part.kind, part.name] += part.count
    return tuple(Part(kind, name, count) for (kind, name), count in sorted(counts.items()))
