"""What a household is shown of the tasks: what to do, how often, and the dates up to a year on."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from dateutil.relativedelta import relativedelta

from asfitted.language import say
from asfitted.pages.dossier import Firm
from asfitted.upkeep.due import coming, grouped
from asfitted.upkeep.task import Interval, Task

FEW = 4
"""How many tags stand in a line before it says how many there are instead."""


@dataclass(frozen=True, slots=True)
class Job:
    """Something to do with one or several devices that is due on one day."""

    interval: Interval
    tags: tuple[str, ...]
    due: date

    @property
    def by_household(self) -> bool:
        """Whether the household does it itself."""
        return self.interval.who == "household"

    @property
    def is_monthly(self) -> bool:
        """Whether the household does it every month."""
        return self.by_household and self.interval.months == 1

    @property
    def page(self) -> str:
        """Where the household reads what to do, from the folder of the pages; of a technician's job, when it is due."""
        if not self.by_household:
            return f"dates.html#{self.interval.id}"
        if self.interval.tested_by:
            return "how-to.html#test"
        if self.interval.counts_from == "battery":
            return "how-to.html#batteries"
        return "how-to.html#clean" if "cleaned" in self.interval.done_by else f"dates.html#{self.interval.id}"

    @property
    def which(self) -> str:
        """The tags in words, or how many there are when a line would not hold them."""
        return ", ".join(self.tags) if len(self.tags) <= FEW else say("{count} devices", count=len(self.tags))


@dataclass(frozen=True, slots=True)
class Round:
    """A kind of task over all its devices, each with the day it is due."""

    interval: Interval
    jobs: tuple[Job, ...]

    @property
    def due(self) -> date:
        """The first day on which some of it is due."""
        return self.jobs[0].due

    @property
    def often(self) -> str:
        """How often in words; empty where it is not as often for all its devices."""
        found = {job.interval.every for job in self.jobs}
        return found.pop() if len(found) == 1 else ""


@dataclass(frozen=True, slots=True)
class DayOfJobs:
    """A day and what is due on it; ``monthly`` holds the tags that the household tests every month.

    Several monthly tests stand as one line: twelve times the same list would hide what comes once a year.
    """

    due: date
    monthly: tuple[str, ...]
    jobs: tuple[Job, ...]


@dataclass(frozen=True, slots=True)
class Month:
    """A month of the year ahead by its first day, and the days in it on which something is due."""

    first: date
    days: tuple[DayOfJobs, ...]

    @property
    def anchor(self) -> str:
        """The id of the month on the page."""
        return f"month-{self.first:%Y-%m}"

    @property
    def tests(self) -> bool:
        """Whether the household has its monthly tests."""
        return any(day.monthly or any(job.is_monthly for job in day.jobs) for day in self.days)

    @property
    def more(self) -> bool:
        """Whether the household has something to do beyond its monthly tests."""
        return any(job.by_household and not job.is_monthly for day in self.days for job in day.jobs)

    @property
    def firm(self) -> bool:
        """Whether the technician has something to do."""
        return any(not job.by_household for day in self.days for job in day.jobs)


def jobs(tasks: Iterable[Task], on: date, until: date | None = None) -> tuple[Job, ...]:
    """Gather tasks of one kind that are due on one day into a job, in the order of the days.

    Args:
        tasks: as the schedule gives them.
        on: today; of what was missed again and again, the first time counts.
        until: the last day; every time a task comes again up to it counts. Without it, only the next time.
    """
    gathered: dict[tuple[date, str], tuple[Interval, list[str]]] = {}
    for group in grouped(tasks):
        again = coming(group.tasks[0], until) if until else ()
        for day in dict.fromkeys([group.due, *(day for day in again if day >= on)]):
            gathered.setdefault((day, group.interval.id), (group.interval, []))[1].extend(group.tags)
    return tuple(
        Job(interval, tuple(tags), day)
        for (day, _), (interval, tags) in sorted(gathered.items(), key=lambda item: item[0])
    )


def rounds(tasks: Iterable[Task], who: str, on: date) -> tuple[Round, ...]:
    """Give the tasks of the household or of the technician by kind, the ones due first in front."""
    by_kind: dict[str, list[Job]] = {}
    for job in jobs((task for task in tasks if task.interval.who == who), on):
        by_kind.setdefault(job.interval.id, []).append(job)
    return tuple(Round(found[0].interval, tuple(found)) for found in by_kind.values())


def next_days(tasks: Iterable[Task], on: date, count: int = 3) -> tuple[DayOfJobs, ...]:
    """Give the next days on which something is due, what is overdue first. What comes every week is left out.

    What comes again and again counts once, on its next day, so that a monthly test hides nothing rarer.
    """
    return _days(jobs((task for task in tasks if not task.interval.weeks), on))[:count]


def year_ahead(tasks: Iterable[Task], on: date) -> tuple[Month, ...]:
    """Give the months from a day to the same day a year on, both included, each with what falls due in it.

    What is overdue stands in the first month. Tasks that recur weekly are left out: they would hide the rest.
    """
    start = on.replace(day=1)
    end = on + relativedelta(months=12)
    months: dict[date, list[DayOfJobs]] = {start + relativedelta(months=n): [] for n in range(13)}
    for day in _days(jobs((task for task in tasks if not task.interval.weeks), on, end)):
        if day.due <= end:
            months[max(day.due, start).replace(day=1)].append(day)
    return tuple(Month(first, tuple(found)) for first, found in months.items())


def subscription(home_id: str, firm: Firm) -> str:
    """Give the address at which a calendar fetches the dates of a home again and again; empty without a base address.

    ``webcal`` is what calendar programs listen to; it stands for the same address by ``https``.
    """
    base = firm.sites.removeprefix("https://").rstrip("/")
    return f"webcal://{base}/{quote(home_id)}/calendar.ics" if base else ""


def _days(listed: Iterable[Job]) -> tuple[DayOfJobs, ...]:
    by_day: dict[date, list[Job]] = {}
    for job in listed:
        by_day.setdefault(job.due, []).append(job)
    return tuple(_day(day, due) for day, due in by_day.items())


def _day(day: date, due: list[Job]) -> DayOfJobs:
    usual = [job for job in due if job.is_monthly]
    if len(usual) < 2:
        return DayOfJobs(day, (), tuple(due))
    tags = dict.fromkeys(tag for job in usual for tag in job.tags)
    return DayOfJobs(day, tuple(tags), tuple(job for job in due if job not in usual))
