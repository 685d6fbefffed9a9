"""What the visits prove: when something was last done."""

from collections.abc import Sequence
from datetime import date

from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.model.visit import Test, Visit
from asfitted.upkeep.task import Interval


def last_done(interval: Interval, tag: str | None, visits: Sequence[Visit], since: date | None = None) -> date | None:
    """Give the day a task was last done, or None.

    Args:
        interval: the kind of task.
        tag: the device, or None for the system.
        visits: as :func:`asfitted.model.standing.standing` gives them.
        since: the day the device was fitted; what was done before was done to another under the same tag.
    """
    days = [
        visit.date
        for visit in visits
        if (since is None or visit.date >= since)
        and (
            (visit.kind in interval.done_on and not (interval.on_site and visit.remote))
            or (tag in visit.tests and _counts(interval, visit.tests[tag]))
        )
    ]
    return max(days, default=None)


def fitting_days(home: Home, on: date) -> list[date]:
    """Give the days up to ``on`` on which something was fitted, the earliest first."""
    days = [device.fitted for device in home.devices.values() if device.fitted and device.fitted <= on]
    return sorted([*days, *(visit.date for visit in standing(home.visits, on) if visit.kind == "installation")])


def begun(home: Home, on: date) -> bool:
    """Tell whether anything is fitted: what is only surveyed and planned has nothing to keep up yet."""
    visits = standing(home.visits, on)
    return bool(fitting_days(home, on)) or any(visit.kind != "survey" for visit in visits)


def read_low(tag: str, visits: Sequence[Visit], since: date | None = None) -> date | None:
    """Give the day a device's battery first read low and was neither changed nor read well since, or None.

    Args:
        tag: the device.
        visits: as :func:`asfitted.model.standing.standing` gives them.
        since: the day the device was fitted.
    """
    low: date | None = None
    for visit in visits:
        if tag in visit.tests and (since is None or visit.date >= since):
            test = visit.tests[tag]
            if test.battery is not None:
                low = (low or visit.date) if test.battery == "low" else None
            if test.battery_changed:
                low = None
    return low


def _counts(interval: Interval, test: Test) -> bool:
    # A failed reading still counts as tested: that it failed is for the rules to say, and a task that stayed
    # due would send the household to press a button the firm already knows is silent.
    tested = any(getattr(test, name) not in (None, {}) for name in interval.tested_by)
    return tested or any(getattr(test, name) is True for name in interval.done_by)
