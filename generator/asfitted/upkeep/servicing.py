"""How often the system as a whole is serviced: by its grade or by whom it tells, as the home's rule set asks.

The figures are those of the rule on visits in a year, so that a plan and a verdict cannot disagree.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from asfitted.model.home import Home
from asfitted.rules.rule_set import RuleSet
from asfitted.upkeep.task import Interval

SERVICE = "service"
REMOTE = "check-remotely"
_RULE = "service-visits-in-a-year"
_CENTRE = "receiving centre"


def as_graded(intervals: Iterable[Interval], home: Home, asked: RuleSet | None) -> Iterator[Interval]:
    """Give the intervals of the system as they hold for a home.

    Where the rule set asks for two visits a year, lets one of them be made over the line, and the system tells a
    receiving centre, the service stays yearly and a check over the line comes between; otherwise the service comes as
    often as visits are asked for. Without a rule set, or where it asks nothing, the service stays as the data has it.

    Args:
        intervals: those of the system.
        home: the record.
        asked: the home's rule set, settled.
    """
    visits, over_line = visits_asked(home, asked)
    for interval in intervals:
        if interval.id == REMOTE:
            if over_line:
                yield interval
        elif interval.id == SERVICE and visits > 1 and not over_line:
            yield _oftener(interval, 12 // visits, asked)
        else:
            yield interval


def visits_asked(home: Home, asked: RuleSet | None) -> tuple[int, bool]:
    """Give how many service visits a year are asked for, and whether one of them may be made over the line.

    A grade or a receiver that the record does not name asks for one.
    """
    limit = asked.limits.get(_RULE) if asked else None
    if asked is None or limit is None or limit.nothing or not any(not d.is_fire for d in home.devices.values()):
        return 1, False
    options, system = asked.rules[_RULE].options, home.system
    visits = int(options.get("by-grade", {}).get(system.intruder_grade, limit.least or 1))
    visits = max(visits, int(options.get("by-told", {}).get(system.tells, 1)))
    may = system.tells == _CENTRE and system.intruder_grade not in options.get("on-site", ())
    return visits, visits > 1 and may


def _oftener(interval: Interval, months: int, asked: RuleSet | None) -> Interval:
    limit = asked.limits[_RULE] if asked else None
    if limit is None or months >= interval.months:
        return interval
    return replace(interval, months=months, note=" ".join(filter(None, (interval.note, limit.by_whom, limit.note))))
