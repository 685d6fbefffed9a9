"""Findings that somebody has to put right, as tasks of the technician."""

import tomllib
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.rules.finding import Finding, Verdict
from asfitted.upkeep.done import begun
from asfitted.upkeep.task import Interval, Leeway, Task

PUT_RIGHT = "put-right"
_PRACTICE = "common practice"


@cache
def planning() -> Mapping[str, Any]:
    """Give the figures by which visits are planned, from the data."""
    return tomllib.loads((files("asfitted.upkeep") / "data" / "planning.toml").read_text(encoding="utf-8"))


def put_right(home: Home, findings: Iterable[Finding], on: date) -> tuple[Task, ...]:
    """Give a task for every finding that does not conform, sorted by the day by which it is wanted, then id.

    It may be done at once. By when depends on what its limit is: law, code or advice; the days are counted from the
    last visit to the home, when it could have been seen, so that a plan made tomorrow asks for the same day. What is a
    task of its own already, such as a battery that is too old, is left out, and so is a system of which nothing is
    fitted yet: that is for whoever plans it.
    """
    figures = planning()[PUT_RIGHT]
    made = [visit.date for visit in standing(home.visits, on) if not visit.remote and visit.kind != "household test"]
    since = max(made, default=on)
    if not begun(home, on):
        return ()
    tasks = [
        _task(finding, since, int(figures[finding.limit.severity]))
        for finding in findings
        if finding.verdict is Verdict.FAILS and finding.rule.check not in figures["covered"]
    ]
    return tuple(sorted(tasks, key=lambda task: (task.due, task.id)))


def _task(finding: Finding, since: date, days: int) -> Task:
    subject, rule = finding.subject, finding.rule
    of_device = subject.kind == "device"
    name = f"{PUT_RIGHT}-{rule.id}" + ("" if of_device or subject.kind == "home" else f"-{subject.id}")
    interval = Interval(
        id=name,
        title=f"Put right: {rule.title}",
        how=finding.remedy or rule.remedy,
        who="technician",
        applies_to=rule.applies_to,
        months=0,
        weeks=0,
        source=finding.limit.by_whom,
        status=finding.limit.status,
        early=Leeway(days=days),
        window_source=f"{_PRACTICE}, no source",
        window_status=_PRACTICE,
    )
    because = f"{finding.limit.severity}: {days} days from {since}"
    return Task(interval, subject.id if of_device else None, None, since + timedelta(days=days), because, since)


def is_put_right(task: Task) -> bool:
    """Tell a task made from a finding from one of the calendar."""
    return task.interval.id.startswith(f"{PUT_RIGHT}-")
