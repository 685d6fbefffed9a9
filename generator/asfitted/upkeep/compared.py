"""Two calendars of a home compared: what is new, gone, due earlier or later, and how much stayed as it was."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from asfitted.upkeep.due import by_tag
from asfitted.upkeep.task import Interval, Task

Turn = Literal["new", "gone", "earlier", "later", "at another interval"]

TURNS: tuple[Turn, ...] = ("new", "gone", "earlier", "later", "at another interval")
"""What can have become of a task, in the order in which it is told."""


@dataclass(frozen=True, slots=True)
class Dated:
    """A kind of task as one calendar has it: the day it is due, and the day it was last done, if it ever was."""

    interval: Interval
    due: date
    last: date | None


@dataclass(frozen=True, slots=True)
class TaskChange:
    """One kind of task whose days changed alike for one device or several.

    Attributes:
        turn: what became of it.
        tags: the devices in the order of their tags, by their later tag where they have one; none for the system.
        was: how the earlier calendar has it; None for a new task.
        now: how the later one has it; None for a task that is gone.
    """

    turn: Turn
    tags: tuple[str, ...]
    was: Dated | None
    now: Dated | None

    @property
    def interval(self) -> Interval:
        """The kind of task, as the later calendar has it where that does."""
        side = self.now or self.was
        assert side is not None
        return side.interval

    @property
    def days(self) -> int:
        """By how many days it is due later; below 0 for earlier, 0 for what is new or gone."""
        return (self.now.due - self.was.due).days if self.now and self.was else 0

    @property
    def says(self) -> str:
        """The change as a sentence: what, on what, due when, when it was due before, and when it was done since."""
        tags = f", {', '.join(self.tags)}" if self.tags else ""
        return f"{self.interval.title}{tags}: {self._dates}{self._often}{self._done}."

    @property
    def _dates(self) -> str:
        if self.was is None or self.now is None:
            due = f"due {self.now.due}" if self.now else f"was due {self.was.due}" if self.was else ""
            return f"{self.turn}, {due}"
        return f"due {self.now.due}" + (f", was {self.was.due}" if self.days else " as before")

    @property
    def _often(self) -> str:
        if self.was is None or self.now is None or self.was.interval.every == self.now.interval.every:
            return ""
        return f"; {self.now.interval.every or 'once'}, was {self.was.interval.every or 'once'}"

    @property
    def _done(self) -> str:
        done = self.now.last if self.now else None
        return f"; done {done}" if done and self.was and done != self.was.last else ""


@dataclass(frozen=True, slots=True)
class Compared:
    """Two calendars compared: what changed, in the order of :data:`TURNS`, then of days; and how many tasks did not."""

    changes: tuple[TaskChange, ...]
    unchanged: int


def compare_tasks(old: Iterable[Task], new: Iterable[Task], tags: Mapping[str, str] | None = None) -> Compared:
    """Compare two calendars of one home, as :func:`asfitted.upkeep.schedule.schedule` gives them.

    A task is the same by its kind and its device. What was done on the same days and is due on the same days
    is told together.

    Args:
        old: the earlier calendar.
        new: the later one.
        tags: the later tag of every earlier device that is still there or has another in its place; without it a
            tag is the same device.
    """
    before = {_key(task, tags): task for task in old}
    after = {(task.interval.id, task.tag, True): task for task in new}
    groups: dict[tuple[Turn, Dated | None, Dated | None, bool], list[str | None]] = {}
    unchanged = 0
    for key in dict.fromkeys((*before, *after)):
        was, now = (_dated(side.get(key)) for side in (before, after))
        turn = _turn(was, now)
        if turn is None:
            unchanged += 1
        else:
            groups.setdefault((turn, was, now, key[1] is None), []).append(key[1])
    changes = (
        TaskChange(turn, tuple(sorted(filter(None, found), key=by_tag)), was, now)
        for (turn, was, now, _), found in groups.items()
    )
    return Compared(tuple(sorted(changes, key=_order)), unchanged)


def _key(task: Task, tags: Mapping[str, str] | None) -> tuple[str, str | None, bool]:
    """Give the kind of an earlier task, its device by its later tag, and whether that device is still there."""
    if task.tag is None or tags is None:
        return task.interval.id, task.tag, True
    return task.interval.id, tags.get(task.tag, task.tag), task.tag in tags


def _dated(task: Task | None) -> Dated | None:
    return Dated(task.interval, task.due, task.last) if task else None


def _turn(was: Dated | None, now: Dated | None) -> Turn | None:
    if was is None or now is None:
        return "new" if was is None else "gone"
    if was.due != now.due:
        return "later" if now.due > was.due else "earlier"
    return None if was.interval.every == now.interval.every else "at another interval"


def _order(change: TaskChange) -> tuple[int, date, date, str, tuple[str, ...]]:
    days = [side.due for side in (change.now, change.was) if side]
    return TURNS.index(change.turn), days[0], days[-1], change.interval.id, change.tags
