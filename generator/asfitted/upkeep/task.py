"""A task of upkeep: what, on which device, how often, by whom, last done and next due."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Who = Literal["household", "technician"]
CountsFrom = Literal["done", "made", "battery", "confirmed", "fitting"]


@dataclass(frozen=True, slots=True)
class Interval:
    """A kind of task and how often it is done: calendar months or weeks, from the data, with its source.

    ``applies_to`` holds kinds of device, or "system". ``months`` and ``weeks`` are 0 for what comes once,
    such as the end of a device's life after ``life_months``. ``tested_by`` and ``done_by`` name the readings, and
    ``done_on`` the kinds of visit, that count as doing it. ``status`` is "read", "from memory" or "common
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

    @property
    def every(self) -> str:
        """How often in words, "every 6 months"; empty for what comes once."""
        if self.weeks:
            return "every week" if self.weeks == 1 else f"every {self.weeks} weeks"
        return f"every {span(self.months).removeprefix('1 ')}" if self.months else ""


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
    count, word = (months // 12, "year") if months % 12 == 0 else (months, "month")
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
