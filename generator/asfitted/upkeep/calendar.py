"""The tasks of a home as an iCalendar file (RFC 5545), by the icalendar library."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from typing import Any

from asfitted.language import say, spoken
from asfitted.upkeep.due import Group, grouped
from asfitted.upkeep.task import Task

PRODID = "-//asfitted//upkeep of a home//{language}"
_DOMAIN = "asfitted.invalid"  # a name that can never be somebody's: RFC 2606, section 2


def uid(home_id: str, task: Task) -> str:
    """Give the name by which a calendar knows a task again: the ids of home and task, nothing personal."""
    return f"{task.id}@{home_id}.{_DOMAIN}"


def calendar(home_id: str, name: str, tasks: Sequence[Task], stamp: date) -> bytes:
    """Write the tasks of a home as an iCalendar file.

    What is done in one go (see :func:`asfitted.upkeep.due.grouped`) is one all-day event, known by the
    :func:`uid` of its first task.

    Args:
        home_id: the home's folder name, part of every event's name.
        name: what a calendar program shows as the calendar's name.
        tasks: as :func:`asfitted.upkeep.schedule.schedule` gives them.
        stamp: the day the file was made, for DTSTAMP; midnight UTC.

    Returns:
        The file, UTF-8, lines ended by CR LF and folded at 75 octets.
    """
    from icalendar import Calendar

    file = Calendar()
    file.add("prodid", PRODID.format(language=spoken().code.upper()))
    file.add("version", "2.0")
    file.add("x-wr-calname", _one_line(name))  # RFC 7986 has NAME; most programs still read only this one
    made = datetime.combine(stamp, time(), UTC)
    for group in grouped(tasks):
        file.add_component(_event(home_id, group, made))
    written: bytes = file.to_ical(sorted=True)
    return written


def _event(home_id: str, group: Group, made: datetime) -> Any:
    from icalendar import Event

    interval = group.interval
    tags = ", ".join(group.tags)
    title = interval.title if interval.who == "household" else say("{task} (technician)", task=interval.title)
    reasons = dict.fromkeys(task.because for task in group.tasks)
    event = Event()
    event.add("uid", _one_line(uid(home_id, group.tasks[0])))
    event.add("dtstamp", made)
    event.add("dtstart", group.due)
    event.add("summary", _one_line(f"{title}: {tags}" if tags else title))
    due = say("Due {reasons}.", reasons="; ".join(reasons))
    event.add("description", "\n".join(_one_line(part) for part in (interval.how, due)))
    event.add("transp", "TRANSPARENT")  # a day with a task on it is still a free day
    if rule := recurrence(group.tasks[0]):
        event.add("rrule", rule)
    return event


def recurrence(task: Task) -> dict[str, Any]:
    """Give the RRULE parts of a task that comes again, or nothing.

    RFC 5545, 3.3.10 skips a date that a month does not have: every six months from 31 August would lose
    every February and come once a year. So from the 29th on, the rule asks for the last of the days 28 to
    that day which the month has; yearly tasks are counted in months too, which settles 29 February.
    """
    if task.once:
        return {}
    if task.interval.weeks:
        return {"freq": "weekly", "interval": task.interval.weeks}
    rule: dict[str, Any] = {"freq": "monthly", "interval": task.interval.months}
    if task.month_day > 28:
        rule |= {"bymonthday": list(range(28, task.month_day + 1)), "bysetpos": -1}
    return rule


def _one_line(text: str) -> str:
    # The library escapes a line feed, but programs take other characters for the end of a line, too.
    return "".join(c for c in " ".join(text.split()) if c.isprintable())
