"""What the visits prove: when something was last done."""

from collections.abc import Sequence
from datetime import date

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
        and (visit.kind in interval.done_on or (tag in visit.tests and _counts(interval, visit.tests[tag])))
    ]
    return max(days, default=None)


def _counts(interval: Interval, test: Test) -> bool:
    # A failed reading still counts as tested: that it failed is for the rules to say, and a task that stayed
    # due would send the household to press a button the firm already knows is silent.
    tested = any(getattr(test, name) not in (None, {}) for name in interval.tested_by)
    return tested or any(getattr(test, name) is True for name in interval.done_by)
