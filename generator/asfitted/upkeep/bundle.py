"""The technician's visits to one home over the coming years: as few as meet every window.

The model. A task is done within its window, from ``earliest`` to ``latest``; done, it comes again counted from the day
it was done. What is overdue is wanted within a few days, by ``data/planning.toml``. What is checked over the line
needs no visit, and where nothing is fitted yet nobody comes to keep it up. How few the visits are, and how that is
known, says :mod:`asfitted.upkeep.stabbing`. Among plans with that many visits each day, from the first on, falls as
near as it can to the day of the year on which the home is usually visited. Which visit does a task is then settled for
each task alone: as seldom as its windows allow, and as late; what falls short is put right at the first visit instead.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache, partial, reduce

from dateutil.relativedelta import relativedelta

from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.upkeep.done import begun
from asfitted.upkeep.due import by_tag
from asfitted.upkeep.parts import Part, PartKind, part_of
from asfitted.upkeep.put_right import is_put_right, planning
from asfitted.upkeep.servicing import REMOTE
from asfitted.upkeep.stabbing import Duty, State, Window, chosen, completed, deadline, fewest, on_day, start
from asfitted.upkeep.task import Leeway, Task

_Turn = tuple[int, int, Leeway, Leeway]
_LOOKED_AT = 62
"""Days tried for one visit: those within a month or so of the usual one, or of the nearest to it."""
_BEYOND = relativedelta(years=2)
"""How far beyond its end a plan looks for the next visit: what would not last until then is done at the one before."""
VISITS = ("service", "commissioning", "installation")


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """A visit of the technician: the day, the days between which it may be moved for its own tasks, and what is done.

    ``tasks`` carry the due day they have by then; ``parts`` are what they use up, one entry for each type.
    """

    day: date
    not_before: date
    not_after: date
    tasks: tuple[Task, ...]
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The visits to a home up to a day. No plan has fewer than ``least``."""

    visits: tuple[PlannedVisit, ...]
    least: int

    @property
    def proven(self) -> bool:
        """Whether no plan has fewer visits."""
        return len(self.visits) == self.least


def plan_visits(home: Home, tasks: Sequence[Task], on: date, until: date) -> Plan:
    """Bundle the technician's tasks into the fewest visits.

    Args:
        home: the record, for the usual day of the visit and what a task uses up.
        tasks: those of :func:`asfitted.upkeep.schedule.schedule`, and of
            :func:`asfitted.upkeep.put_right.put_right`.
        on: the day the plan is made: no visit is sooner.
        until: the last day of the plan; what may wait longer is left to the next plan.
    """
    fitted = begun(home, on)
    own = sorted(
        (task for task in tasks if _needs_a_visit(task) and fitted),
        key=lambda task: (is_put_right(task), bool(task.tag), task.interval.id, by_tag(task.tag or "")),
    )
    stop = until.toordinal()
    duties = [_duty(task, on) for task in own]
    alike = list({(duty.first, _turn(task)): duty for task, duty in zip(own, duties, strict=True)}.values())
    found = fewest(alike, stop)
    days = _near(alike, found.days, stop, usual_day(home, on))
    far = (until + _BEYOND).toordinal()
    later = completed(alike, reduce(partial(on_day, alike), days, start(alike)), far)
    done: dict[int, list[tuple[Task, Window]]] = {day: [] for day in (*days, *later)}
    for task, duty in zip(own, duties, strict=True):
        coming, window = task, duty.first
        for day in chosen(duty, (*days, *later), far, soon=is_put_right(task)):
            done[day].append((coming, window))
            if duty.after:
                last, window = date.fromordinal(day), duty.after(day)
                coming = replace(task, last=last, starts=last, due=last + task.interval.step, because="")
    return Plan(tuple(_visit(home, day, done[day]) for day in days), found.least)


def _needs_a_visit(task: Task) -> bool:
    return task.interval.who == "technician" and task.interval.id != REMOTE


def usual_day(home: Home, on: date) -> date | None:
    """Give the day of the last service made at the home, else of its commissioning or installation."""
    made = [visit for visit in standing(home.visits, on) if not visit.remote]
    for kind in VISITS:
        if days := [visit.date for visit in made if visit.kind == kind]:
            return max(days)
    return None


def _duty(task: Task, on: date) -> Duty:
    wanted = on + timedelta(days=int(planning()["overdue"]["days"]))
    latest = wanted if task.latest <= on else task.latest
    first = max(task.earliest, on).toordinal(), latest.toordinal()
    return Duty(first, None if task.once else partial(_again, _turn(task)))


def _turn(task: Task) -> _Turn:
    """Give what tells how a task comes again: months and weeks, how early, how late."""
    return task.interval.months, task.interval.weeks, task.interval.early, task.interval.late


@lru_cache(maxsize=65536)
def _again(turn: _Turn, day: int) -> Window:
    months, weeks, early, late = turn
    due = date.fromordinal(day) + relativedelta(months=months, weeks=weeks)
    return max((due - early.step).toordinal(), day + 1), (due + late.step).toordinal()


def _near(duties: Sequence[Duty], days: Sequence[int], until: int, usual: date | None) -> tuple[int, ...]:
    """Move each visit, the first first, as near to the usual day of the year as leaves the number of visits alone."""
    state, rest, moved = start(duties), tuple(days), list[int]()
    while rest:
        day, more = rest[0], rest[1:]
        for wish in _wishes(state, usual, moved[-1] + 1 if moved else 0):
            left = completed(duties, on_day(duties, state, wish), until)
            if len(left) < len(rest):
                day, more = wish, left
                break
        moved.append(day)
        state, rest = on_day(duties, state, day), more
    return tuple(moved)


def _wishes(state: State, usual: date | None, begin: int) -> list[int]:
    """Give the days from ``begin`` on which the next visit could be, nearest to a usual day among them first."""
    last = deadline(state)
    if usual is None or last is None:
        return []
    opens = max(begin, min(first for windows in state for first, _ in windows))
    year = date.fromordinal(last).year
    yearly = [(usual + relativedelta(years=y - usual.year)).toordinal() for y in (year - 1, year)]
    wanted = [day for day in yearly if opens <= day <= last]
    if not wanted:
        return []
    near = sorted(range(opens, last + 1), key=lambda day: (min(abs(day - want) for want in wanted), -day))
    return near[:_LOOKED_AT]


def _visit(home: Home, day: int, done: Sequence[tuple[Task, Window]]) -> PlannedVisit:
    needed = Counter[tuple[PartKind, str]]()
    for task, _ in done:
        if part := part_of(task, home.devices.get(task.tag or "")):
            needed[part.kind, part.name] += part.count
    return PlannedVisit(
        day=date.fromordinal(day),
        not_before=date.fromordinal(max(opens for _, (opens, _) in done)),
        not_after=date.fromordinal(min(closes for _, (_, closes) in done)),
        tasks=tuple(task for task, _ in done),
        parts=tuple(sorted(Part(kind, name, count) for (kind, name), count in needed.items())),
    )
