"""What is due: by a day, together, and again."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import count

from dateutil.relativedelta import relativedelta

from asfitted.upkeep.task import Interval, Task


@dataclass(frozen=True, slots=True)
class Group:
    """One kind of task due on one day for one device or several: the tasks in the order of their tags."""

    tasks: tuple[Task, ...]

    @property
    def interval(self) -> Interval:
        """The kind of task."""
        return self.tasks[0].interval

    @property
    def due(self) -> date:
        """The day they are due."""
        return self.tasks[0].due

    @property
    def tags(self) -> tuple[str, ...]:
        """The devices; none for a task of the system."""
        return tuple(task.tag for task in self.tasks if task.tag)


def grouped(tasks: Iterable[Task]) -> tuple[Group, ...]:
    """Put together what is done in one go: the same kind of task, due the same day, and again the same days.

    Two tasks due on 28 February stay apart when one of them is counted from the 31st: they part in March.
    Groups are sorted by due day, then by the id of their first task.
    """
    groups: dict[tuple[Interval, date, int], list[Task]] = {}
    for task in tasks:
        groups.setdefault((task.interval, task.due, 0 if task.once else task.month_day), []).append(task)
    found = (Group(tuple(sorted(group, key=lambda task: by_tag(task.tag or "")))) for group in groups.values())
    return tuple(sorted(found, key=lambda group: (group.due, group.tasks[0].id)))


def due_by(tasks: Iterable[Task], day: date) -> tuple[Task, ...]:
    """Give the tasks due on or before a day, in the order given."""
    return tuple(task for task in tasks if task.due <= day)


def coming(task: Task, until: date) -> Iterator[date]:
    """Give the due day and every later one up to ``until``, each counted from the day the interval starts."""
    if task.once:
        yield from [task.due] if task.due <= until else []
        return
    starts = task.starts or task.due
    for n in count():
        day = starts + relativedelta(months=n * task.interval.months, weeks=n * task.interval.weeks)
        if day > until:
            return
        if day >= task.due:
            yield day


def by_tag(tag: str) -> tuple[str, int, str]:
    """Give what sorts tags the way people count: SA2 before SA10."""
    letters, digits, rest = re.fullmatch(r"(\D*)(\d*)(.*)", tag, re.DOTALL).groups()  # type: ignore[union-attr]
    return letters, int(digits or 0), rest
