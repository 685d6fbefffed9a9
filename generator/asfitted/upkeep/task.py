"""A task of upkeep: what, on which device, how often, by whom, last done and next due."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from dateutil.relativedelta import relativedelta

from asfitted.language import say_many

Who = Literal["household", "technician"]
CountsFrom = Literal["done", "made", "battery", "confirmed", "fitting"]


@dataclass(frozen=True, slots=True)
class Leeway:
    """How far from its due day a task may be done: calendar months and days."""

    months: int = 0
    days: int = 0

    @property
    def step(self) -> relativedelta:
        """The same as a step on the calendar."""
        return relativedelta(months=self.months, days=self.days)

    @property
    def words(self) -> str:
        """In words, "3 months", "14 days", "none"."""
        if self.months:
            return f"{self.months} month{'s' * (self.months != 1)}"
        return f"{self.days} day{'s' * (self.days != 1)}" if self.days else "none"


@dataclass(frozen=True, slots=True)
class Interval:
    """A kind of task and how often it is done: calendar months or weeks, from the data, with its source.

    ``applies_to`` holds kinds of device, or "system". ``months`` and ``weeks`` are 0 for what comes once,
    such as the end of a device's life after ``life_months``. ``tested_by`` and ``done_by`` name the readings, and
    ``done_on`` the kinds of visit, that count as doing it; ``on_site`` leaves out a visit made over the line.
    ``early`` is how long before the due day it may be done and still count, ``late`` how long after it is not yet
    missed, ``window_source`` and ``window_status`` what the two rest on. ``status`` is "read", "from memory" or "common
    practice".
    """

    id: str
    title: str
    how: str
    who: Who
    applies_to: tuple[str, ...]
    months: int
    weeks: int
    source: str
    status: str
    note: str = ""
    address: str = ""
    since: str = ""
    counts_from: CountsFrom = "done"
    life_months: int = 0
    tested_by: tuple[str, ...] = ()
    done_by: tuple[str, ...] = ()
    done_on: tuple[str, ...] = ()
    on_site: bool = False
    early: Leeway = Leeway()
    late: Leeway = Leeway()
    window_source: str = ""
    window_status: str = ""
    window_note: str = ""

    @property
    def step(self) -> relativedelta:
        """The interval as a step on the calendar; none for what comes once."""
        return relativedelta(months=self.months, weeks=self.weeks)

    @property
    def every(self) -> str:
        """How often in words, "every 6 months"; empty for what comes once."""
        if self.weeks:
            return say_many("every week", "every {count} weeks", self.weeks)
        if self.months and self.months % 12 == 0:
            return say_many("every year", "every {count} years", self.months // 12)
        return say_many("every month", "every {count} months", self.months) if self.months else ""


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do. ``tag`` is the device, or None for the system as a whole.

    ``last`` is the day it was last done by the record, None when it never was; ``due`` the day it is next
    due. ``because`` says in words how the day was found. ``starts`` is the day the interval is counted from:
    what comes again falls on ``starts`` plus 1, 2, 3... intervals, never on one clamped day plus another.
    """

    interval: Interval
    tag: str | None
    last: date | None
    due: date
    because: str
    starts: date | None = None

    @property
    def id(self) -> str:
        """A stable name: the interval, and the tag where there is one."""
        return f"{self.interval.id}-{self.tag.lower()}" if self.tag else self.interval.id

    @property
    def earliest(self) -> date:
        """The first day on which doing it counts."""
        return self.due - self.interval.early.step

    @property
    def latest(self) -> date:
        """The last day on which doing it is in time."""
        return self.due + self.interval.late.step

    @property
    def once(self) -> bool:
        """Whether it comes once, such as the end of a device's life, rather than again and again."""
        return self.interval.months == 0 and self.interval.weeks == 0

    @property
    def month_day(self) -> int:
        """The day of the month it falls on where the month has one: 31 for a task counted from 31 January."""
        return self.starts.day if self.starts and self.interval.months else self.due.day


@dataclass(frozen=True, slots=True)
class Undated:
    """A task that will come, on a day the record cannot tell; ``why`` says what it lacks."""

    interval: Interval
    tag: str
    why: str


def span(months: int) -> str:
    """Give a number of calendar months in words: "1 month", "18 months", "1 year", "10 years"."""
    if months % 12 == 0:
        return say_many("{count} year", "{count} years", months // 12)
    return say_many("{count} month", "{count} months", months)
