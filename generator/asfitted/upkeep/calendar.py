"""The tasks of a home as a calendar, by entries that stay the same from file to file.

A **round**, such as the monthly press of every button, is one entry for all devices due on one day, known by its kind
alone; where some are due on another day, they are the second round, and so on. A device that joins or leaves a round
changes the title of the entry, not its name. What is done to one device once or every few years, such as a change of
battery, is an entry of its own, known by kind and tag.
"""

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from asfitted.language import say
from asfitted.model.home import Home
from asfitted.upkeep.calendar_file import DOMAIN, Entry, begin, calendar_file
from asfitted.upkeep.due import Group, grouped
from asfitted.upkeep.task import Task


def calendar(home_id: str, name: str, tasks: Sequence[Task], revised: datetime) -> bytes:
    """Write the tasks of a home as an iCalendar file.

    Args:
        home_id: the home's folder name, part of every entry's name.
        name: what a calendar program shows as the calendar's name.
        tasks: as :func:`asfitted.upkeep.schedule.schedule` gives them.
        revised: when they last changed, as :func:`last_change` gives it.
    """
    return calendar_file(name, entries(home_id, tasks, revised))


def last_change(
    home: Home, tasks: Sequence[Task], on: date, committed: datetime | None = None, *, changed: bool = False
) -> datetime:
    """Give the moment of the last change that may have moved a task.

    A task moves when the record is committed, and when a day comes on which something recorded begins to count: a
    visit, a fitting, a battery, a word with the keyholders. A task that is due at once moves with every day. Where
    the moment of the commit is not known, the day itself counts. So of two files of one home, made one after the
    other, the later one never has the earlier moment, and has a later one wherever a task moved. Not seen are a second
    change on one day that is not committed, and a new version of the program or of a rule set.

    Args:
        home: the record.
        tasks: those of the home.
        on: the day the tasks are planned for.
        committed: when the record was committed; None where that is not known.
        changed: whether the record is not the one that was committed.
    """
    days = [day for day in _days_of(home) if day <= on]
    if committed is None or changed or any(task.starts == on for task in tasks):
        days.append(on)
    moments = [begin(day, committed) for day in days]
    return max([*moments, committed] if committed else moments)


def _days_of(home: Home) -> Iterator[date]:
    """Give the days from which on something that the record holds counts."""
    yield from (visit.date for visit in home.visits)
    for device in home.devices.values():
        yield from filter(None, (device.fitted, device.battery and device.battery.fitted))
    if home.household.keyholders and home.household.keyholders.confirmed:
        yield home.household.keyholders.confirmed


def entries(home_id: str, tasks: Sequence[Task], revised: datetime) -> tuple[Entry, ...]:
    """Give the entries of a home, sorted by day, then name."""
    made: list[Entry] = []
    number: dict[str, int] = {}
    in_order = sorted(grouped(filter(is_round, tasks)), key=_place)
    for group in in_order:
        kind = group.interval.id
        number[kind] = number.get(kind, 0) + 1
        name = kind if number[kind] == 1 else f"{kind}-{number[kind]}"
        made.append(_entry(uid(home_id, name), group, revised))
    made += [_entry(uid(home_id, task.id), Group((task,)), revised) for task in tasks if not is_round(task)]
    return tuple(sorted(made, key=lambda entry: (entry.day, entry.uid)))


def uid(home_id: str, name: str) -> str:
    """Give the name by which a calendar knows an entry again: nothing personal, and no other home's."""
    return f"{name}@{home_id}.{DOMAIN}"


def is_round(task: Task) -> bool:
    """Tell what is done to all devices of a kind in one go, again and again, from what one device needs."""
    return task.tag is not None and not task.once and task.interval.counts_from == "done"


def _place(group: Group) -> tuple[date, int, int, int]:
    """Give what tells the rounds of one kind apart, and their order."""
    return group.due, group.interval.months, group.interval.weeks, group.tasks[0].month_day


def _entry(name: str, group: Group, revised: datetime) -> Entry:
    interval = group.interval
    tags = ", ".join(group.tags)
    title = interval.title if interval.who == "household" else say("{task} (technician)", task=interval.title)
    reasons = "; ".join(dict.fromkeys(task.because for task in group.tasks))
    return Entry(
        uid=name,
        day=group.due,
        summary=f"{title}: {tags}" if tags else title,
        description=(interval.how, say("Due {reasons}.", reasons=reasons)),
        revised=revised,
        rule=recurrence(group.tasks[0]),
    )


def recurrence(task: Task) -> str:
    """Give the RRULE of a task that comes again, or nothing.

    RFC 5545, 3.3.10 skips a date that a month does not have: every six months from 31 August would lose
    every February and come once a year. So from the 29th on, the rule asks for the last of the days 28 to
    that day which the month has; yearly tasks are counted in months too, which settles 29 February.
    """
    if task.once:
        return ""
    if task.interval.weeks:
        return f"FREQ=WEEKLY;INTERVAL={task.interval.weeks}"
    rule = f"FREQ=MONTHLY;INTERVAL={task.interval.months}"
    if task.month_day > 28:
        rule += f";BYMONTHDAY={','.join(map(str, range(28, task.month_day + 1)))};BYSETPOS=-1"
    return rule
