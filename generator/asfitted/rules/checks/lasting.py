"""Whether the batteries of wire-free devices last until after the next service."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from dateutil.relativedelta import relativedelta

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.prediction import surer
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed, verdict_of

if TYPE_CHECKING:  # worked out, and loaded, only for homes with such batteries
    from asfitted.reckon.of_cells import CellLife


@dataclass(frozen=True, slots=True)
class _End:
    """When a battery ends.

    Attributes:
        cell: the battery.
        between: the first and the last day on which it may.
        by: what tells so, in words.
        drawn: whether it is reckoned from what is drawn.
        middle: days from the next service to the middle of the two.
        out: days by which that may be out.
        verdict: how that compares with what is asked.
    """

    cell: "CellLife"
    between: tuple[date, date]
    by: str
    drawn: bool
    middle: float
    out: float
    verdict: Verdict


def lasts(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many days beyond the next service the batteries that are changed last; the first to end counts.

    What its readings fall to counts before its life; a life that its maker states counts unless the currents leave no
    room for it. One that is to be changed already is for other rules.

    Options: ``devices``, kinds of device; ``visits``, kinds of visit that are a service; ``months`` between two.
    """
    items = list(case.of_kinds(tuple(rule.options["devices"])))
    changed = {item.tag for item in items if item.device.battery is not None and not item.device.battery.sealed}
    if not changed:
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("devices",))
    services = [visit.date for visit in case.visits if visit.kind in rule.options["visits"]]
    months = relativedelta(months=rule.options["months"])
    planned = max(case.on, max(services) + months) if services else case.on
    ends, unknown = [], []
    for cell in case.reckoned.power.cells:
        if cell.tag not in changed:
            continue
        end = _end(limit, cell, planned)
        if end is None:
            unknown.append(cell.tag)
        elif not _due_already(cell, case.on):
            ends.append(end)
    unknown += [tag for tag in case.reckoned.power.unknown if tag in changed]
    yield _first_to_end(ask, ends, unknown, planned)


def _due_already(cell: "CellLife", on: date) -> bool:
    """Whether a battery read low, or has used up what may be used of the life its maker states."""
    aged = cell.life is not None and cell.between is not None and cell.between[0] <= on
    return cell.reads_low or aged


def _end(limit: Limit, cell: "CellLife", planned: date) -> _End | None:
    """Give when a battery ends; None where nothing tells."""
    if cell.put_in is None or (cell.life is None and not cell.inputs):
        return None
    short = cell.falls_short
    between, by = cell.between, "by what it draws" if cell.life is None else "by the life its maker states"
    if short:
        between, by = replace(cell, life=None).between, "by what it draws, which leaves no room for its maker's figure"
    if between is None:
        return None
    if (falls := cell.falls_to_low) is not None and falls < between[1]:
        between, by = (min(between[0], falls), falls), "by its readings"
    first, last = ((day - planned).days for day in between)
    middle, out = (first + last) / 2, (last - first) / 2
    return _End(cell, between, by, short or cell.life is None, middle, out, verdict_of(limit.margin(middle), out))


def _first_to_end(ask: Question, ends: list[_End], unknown: list[str], planned: date) -> Finding:
    worst = min(ends, key=lambda end: (end.verdict.rank, end.between, end.cell.tag), default=None)
    none = f"Of the batteries of {listed(unknown)} no end can be reckoned" if unknown else ""
    remedy = "Date each battery by its label, and record its type, the life its maker states, and fitted."
    if worst is None:
        if unknown:
            return ask.answer(Verdict.NOT_VERIFIED, f"{none}.", remedy)
        return ask.answer(Verdict.NOT_APPLICABLE, "Every battery is to be changed now; other rules say so.")
    first, last = worst.between
    says = f"The battery of {worst.cell.tag} ends between {first} and {last}, {worst.by}; the next service is due by "
    says += f"{planned}, and the rule asks for {ask.limit.figure} beyond it ({ask.limit.by_whom})."
    others = [end for end in ends if end is not worst]
    also = [end.cell.tag for end in others if end.verdict is Verdict.FAILS]
    may = [end.cell.tag for end in others if end.verdict is Verdict.BORDERLINE]
    if worst.verdict is Verdict.BORDERLINE:
        says += " It may last that long, or not."
    if also:
        says += f" So {'do those' if len(also) > 1 else 'does that'} of {listed(also)}."
    if may:
        says += f" {'Those' if len(may) > 1 else 'That'} of {listed(may)} may end before it too."
    if worst.verdict is Verdict.CONFORMS and unknown:
        return ask.answer(Verdict.NOT_VERIFIED, f"{says} {none}.", remedy)
    finding = replace(ask.measured(worst.middle, worst.out, says), says=says)
    if worst.verdict is Verdict.CONFORMS:
        return finding
    measure = surer(worst.cell.inputs.values()) if worst.drawn else ""
    return replace(finding, remedy=" ".join(filter(None, (ask.rule.remedy, measure))))
