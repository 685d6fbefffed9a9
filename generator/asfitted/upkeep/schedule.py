"""From a home and a day to what is to be done when.

Calendar arithmetic is that of ``dateutil.relativedelta``: a day that a month does not have becomes its last
day, and every date is counted from its anchor, because 31 January plus a month plus a month would otherwise
be 28 March.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from dateutil.relativedelta import relativedelta

from asfitted.language import say, to_say, written
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.model.visit import Visit
from asfitted.rules.rule_set import RuleSet
from asfitted.upkeep.conditions import as_conditions_ask
from asfitted.upkeep.done import fitting_days, last_done, read_low
from asfitted.upkeep.intervals import SYSTEM, intervals
from asfitted.upkeep.servicing import as_graded
from asfitted.upkeep.task import Interval, Task, Undated, span

_MONTH = 30.4375 * 86400  # seconds: the record's reader takes "10 years" for years of 365.25 days
_ANCHOR_KINDS = ("commissioning", "installation")
_RECORD = to_say("the battery life this home's record gives")


@dataclass(frozen=True, slots=True)
class _Anchor:
    """The day an interval is counted from when nothing was done yet, and where that day comes from."""

    day: date
    words: str
    known: bool = True


def schedule(home: Home, on: date, asked: RuleSet | None = None) -> tuple[Task, ...]:
    """Give every task of a home as known on a day, each with its next due day, sorted by due day, then id.

    A due day may lie before ``on``: the task is overdue. A task never done is counted from the day its device
    was fitted, else from the commissioning or installation, else it is due on ``on`` itself; a test never made
    is due from that day on. A device that is not yet in its place or not enrolled has an end of life, if its
    date of manufacture is known, and no other task. ``asked`` is the home's rule set, whose visits in a year the
    service follows; dust, cooking and the sea bring tasks forward as :mod:`asfitted.upkeep.conditions` says.
    """
    visits = standing(home.visits, on)
    anchor = _first_visit(visits, on)
    tasks = [*_of_the_system(home, on, visits, anchor, asked)]
    for tag, device in home.devices.items():
        tasks += _of_a_device(tag, device, home, on, visits, anchor)
    return tuple(sorted(tasks, key=lambda task: (task.due, task.id)))


def undated(home: Home) -> tuple[Undated, ...]:
    """Give the tasks that will come on a day the record cannot tell, sorted by tag and kind of task.

    They are the end of life of an alarm with no date of manufacture, and the battery of which nothing is
    recorded.
    """
    return tuple(
        Undated(interval, tag, why)
        for tag, device in sorted(home.devices.items())
        for interval in _intervals_for(device.kind)
        if (why := _lacks(interval, device))
    )


def _intervals_for(kind: str) -> Iterator[Interval]:
    return (interval for interval in intervals().values() if kind in interval.applies_to)


def _in_use(device: Device, on: date) -> bool:
    """Tell whether a device is in its place and part of the system: only then is there something to test."""
    return device.placed and device.enrolled is not False and (device.fitted is None or device.fitted <= on)


def _first_visit(visits: Sequence[Visit], on: date) -> _Anchor:
    for kind in _ANCHOR_KINDS:
        days = [visit.date for visit in visits if visit.kind == kind]
        if days:
            day = written(min(days))
            said = {
                "commissioning": say("the commissioning on {day}, never recorded as done", day=day),
                "installation": say("the installation on {day}, never recorded as done", day=day),
            }
            return _Anchor(min(days), said[kind])
    return _Anchor(on, "", known=False)


def _of_the_system(
    home: Home, on: date, visits: Sequence[Visit], anchor: _Anchor, asked: RuleSet | None
) -> Iterator[Task]:
    keyholders = home.household.keyholders
    for interval in as_graded(_intervals_for(SYSTEM), home, asked):
        if interval.counts_from == "confirmed":
            if keyholders and keyholders.named:
                yield _repeat(interval, None, _known(keyholders.confirmed, on), anchor)
        elif interval.counts_from == "fitting":
            days = fitting_days(home, on)
            if days and last_done(interval, None, visits) is None:
                because = say("since the first day of fitting, {day}, never recorded as done", day=written(days[0]))
                yield Task(interval, None, None, days[0], because, days[0])
        elif home.devices:
            yield _repeat(interval, None, last_done(interval, None, visits), anchor)


def _of_a_device(
    tag: str, device: Device, home: Home, on: date, visits: Sequence[Visit], anchor: _Anchor
) -> Iterator[Task]:
    if device.fitted:
        fitted = say("it was fitted on {day}, never recorded as done", day=written(device.fitted))
        anchor = _Anchor(device.fitted, fitted)
    elif not device.placed:
        anchor = _Anchor(on, "", known=False)
    for general in _intervals_for(device.kind):
        if general.counts_from == "made":
            if task := _end_of_life(general, tag, device, anchor):
                yield task
            continue
        interval = _for_its_battery(general, device) if general.counts_from == "battery" else general
        if interval is None or not _in_use(device, on):
            continue
        if "mains_off" in interval.tested_by and device.standby_battery is False:
            continue  # nothing would hold it: the rules ask for the battery first
        interval = as_conditions_ask(interval, home, device)
        last, start = last_done(interval, tag, visits, device.fitted), anchor
        if interval.counts_from == "battery" and device.battery:
            put_in = _known(device.battery.fitted, on)
            if put_in and (last is None or put_in > last):
                last, start = None, _Anchor(put_in, say("the battery was put in on {day}", day=written(put_in)))
        found = _repeat(interval, tag, last, start)
        low = read_low(tag, visits, device.fitted) if interval.counts_from == "battery" else None
        yield _at_once(found, low) if low and low < found.due and (found.last is None or found.last <= low) else found


def _at_once(task: Task, low: date) -> Task:
    return replace(task, due=low, because=say("its battery read low on {day}", day=written(low)))


def _for_its_battery(interval: Interval, device: Device) -> Interval | None:
    battery = device.battery
    if battery is None:
        return interval if device.standby_battery or (device.standby and device.standby_battery is None) else None
    if battery.sealed or _lacks(interval, device):
        return None
    if battery.life:
        return replace(
            interval,
            months=_months(battery.life),
            weeks=0,
            source=_RECORD,
            address="",
            status="read",
            note="",
        )
    return interval


def _known(day: date | None, on: date) -> date | None:
    return day if day and day <= on else None


def _repeat(interval: Interval, tag: str | None, last: date | None, anchor: _Anchor) -> Task:
    step = relativedelta(months=interval.months, weeks=interval.weeks)
    if last:
        given = {"every": interval.every, "done": say(interval.since), "day": written(last)}
        because = say("{every} since {done} on {day}", **given)
        return Task(interval, tag, last, last + step, because, last)
    if anchor.known and interval.tested_by and tag:
        because = say("since {begun}; a device is proven by its test alone", begun=anchor.words)
        return Task(interval, tag, None, anchor.day, because, anchor.day)
    if anchor.known:
        because = say("{every} since {begun}", every=interval.every, begun=anchor.words)
        return Task(interval, tag, None, anchor.day + step, because, anchor.day)
    because = say(
        "{every}; the record tells of no visit and no day of fitting, so it is due at once", every=interval.every
    )
    return Task(interval, tag, None, anchor.day, because, anchor.day)


def _end_of_life(interval: Interval, tag: str, device: Device, own: _Anchor) -> Task | None:
    if _lacks(interval, device):
        return None
    ends: list[tuple[date, date, str]] = []  # due, counted from, because
    if by := device.replace_by:
        ends.append((by, by, say("by the date printed on it, {month}", month=f"{by:%Y-%m}")))
    elif device.made and interval.life_months:
        due = device.made + relativedelta(months=interval.life_months)
        given = {"span": span(interval.life_months), "month": f"{device.made:%Y-%m}"}
        ends.append((due, device.made, say("{span} after it was made in {month}", **given)))
    battery = device.battery
    start = (battery and battery.fitted) or (own.day if own.known else None)
    if battery and battery.sealed and battery.life and start:  # it cannot be changed, so it ends the device
        months = _months(battery.life)
        due = start + relativedelta(months=months)
        given = {"span": span(months), "day": written(start)}
        ends.append((due, start, say("when its sealed battery ends, {span} from {day}", **given)))
    if not ends:
        return None
    due, starts, because = min(ends)
    return Task(interval, tag, None, due, because, starts)


def _lacks(interval: Interval, device: Device) -> str:
    """Say what the record lacks for a day to be known; empty where it lacks nothing."""
    if interval.counts_from == "made":
        missing = interval.life_months and not (device.made or device.replace_by)
        return "the record does not say when it was made" if missing else ""
    if interval.counts_from != "battery":
        return ""
    battery = device.battery
    if battery is None and (not interval.months or _has_standby(device)):
        return ""  # without a usual interval the device may well be wired, and nothing need be said
    if battery is None:
        return "the record does not say what battery it has"
    if battery.sealed or battery.life or interval.months:
        return ""
    return "the record does not say how long its battery lasts"


def _has_standby(device: Device) -> bool:
    return device.standby is not None or device.standby_battery is not None


def _months(seconds: float) -> int:
    return max(1, round(seconds / _MONTH))
