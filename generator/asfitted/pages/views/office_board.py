"""The technician's visits ahead over all homes, month by month, and what they use up by quarter."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_homes import folder
from asfitted.upkeep.board import BoardMonth, BoardVisit, HomePlan, Purchase, board, forecast, plan_home
from asfitted.upkeep.put_right import is_put_right

YEARS = 2
"""How far ahead the board goes."""


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One visit: where to read on, what is done on how many devices, how many findings are put right, what to bring."""

    folder: str
    entry: BoardVisit
    tasks: tuple[str, ...]
    findings: int
    bring: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MonthView:
    """One month of the board."""

    month: BoardMonth
    lines: tuple[VisitLine, ...]

    @property
    def anchor(self) -> str:
        """The id of its section."""
        return f"{self.month.first:month-%Y-%m}"


@dataclass(frozen=True, slots=True)
class AheadView:
    """The board and the purchases; ``unproven`` names homes whose visits might be fewer than planned.

    ``plans`` are those of the homes, in the order in which they were given.
    """

    until: date
    months: tuple[MonthView, ...]
    purchases: tuple[Purchase, ...]
    unproven: tuple[str, ...]
    plans: tuple[HomePlan, ...] = ()


def visits_ahead(dossiers: Sequence[Dossier], on: date) -> AheadView:
    """Plan the visits of every home and put them side by side."""
    until = on + relativedelta(years=YEARS)
    plans = tuple(plan_home(each.id, each.home, each.tasks, each.findings, on, until) for each in dossiers)
    return AheadView(
        until,
        tuple(MonthView(month, tuple(map(_line, month.visits))) for month in board(plans)),
        forecast(plans),
        tuple(sorted(plan.label for plan in plans if not plan.plan.proven)),
        plans,
    )


def _line(entry: BoardVisit) -> VisitLine:
    counted = Counter(task.interval.title for task in entry.visit.tasks if not is_put_right(task))
    findings = len(entry.visit.tasks) - counted.total()
    tasks = tuple(f"{title} ({number} times)" if number > 1 else title for title, number in counted.items())
    bring = tuple(f"{part.count} × {part.name}" for part in entry.visit.parts)
    return VisitLine(folder(entry.id), entry, tasks, findings, bring)
