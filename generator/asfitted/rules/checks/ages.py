"""How old alarms are, and when they were last tested and inspected."""

from calendar import monthrange
from collections.abc import Iterator
from datetime import date

from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.home_terms import not_put, on_home_terms
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question

INSPECTIONS = ("installation", "commissioning", "service", "alteration")
"""Kinds of visit on which a competent person looks at every device tested."""


def later(day: date, months: float) -> date:
    """Give the day some calendar months later; a day that the month does not have becomes its last."""
    from dateutil.relativedelta import relativedelta

    whole = round(months)
    return day + relativedelta(months=whole)


def within_life(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that an alarm is not past its life, in years; a replace-by date of its maker beats the usual life.

    A month of manufacture counts to its last day. Options: ``from``, what the life is counted from: made, fitted or
    commissioning; ``doubt-from``, years from which it is in the window in which it is to be replaced.
    """
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        yield _life(ask, item, case)


def _life(ask: Question, item: Placed, case: Case) -> Finding:
    assert ask.limit.most is not None
    start = rule_from = ask.rule.options["from"]
    remedy = "Replace the alarm, and record the new one."
    if until := item.device.replace_by:
        past = case.on > _end(until)
        says = f"Its maker gives {item.words} until {until:%Y-%m}."
        return ask.answer(Verdict.FAILS if past else Verdict.CONFORMS, says, remedy)
    start, exact = _start(item, case, rule_from)
    if start is None:
        says = f"The record does not say when {item.words} was {_WORDS[rule_from]}, from which its life counts."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Read the label, and record made, replace-by or fitted.")
    last = later(start, ask.limit.most * 12)
    told = f"{item.words} was {_WORDS[rule_from] if exact else 'fitted'} on {start:%Y-%m-%d}"
    if rule_from == "made" and exact:
        told = f"{item.words} was made in {start:%Y-%m}"
    told += f"; its life of {amount(ask.limit.most, ask.limit.unit)} ends on {last} ({ask.limit.by_whom})."
    if case.on > last:
        return ask.answer(Verdict.FAILS, told, remedy)
    if not exact:
        says = f"{told} It was made before that, and the record does not say when."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Read the label, and record made or replace-by.")
    doubt = ask.rule.options.get("doubt-from")
    if doubt is not None and case.on > (since := later(start, doubt * 12)):
        says = f"{told} Since {since} it is old enough to be replaced."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Ask its maker how long it lasts, or replace it.")
    return ask.answer(Verdict.CONFORMS, told)


_WORDS = {"made": "made", "fitted": "fitted", "commissioning": "commissioned"}


def _end(month: date) -> date:
    return month.replace(day=monthrange(month.year, month.month)[1])


def _start(item: Placed, case: Case, rule_from: str) -> tuple[date | None, bool]:
    """Give the day from which a life counts, and whether it is the very day asked for."""
    device = item.device
    if rule_from == "made":
        return (_end(device.made), True) if device.made else (device.fitted, False)
    days = [visit.date for visit in case.visits if visit.kind == "commissioning"]
    since = [day for day in days if device.fitted is None or day >= device.fitted]
    if rule_from == "commissioning" and since:
        return since[0], True
    return device.fitted, device.fitted is not None


@on_home_terms
def tested_in_time(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge, in days, how long ago the button of each alarm was last pressed, by anyone.

    Options: ``by-grade``, the days for a grade of fire system that asks for others; and the terms of
    :mod:`asfitted.rules.checks.home_terms` that say how severe it is.
    """
    assert limit.most is not None
    days = rule.options.get("by-grade", {}).get(case.home.system.fire_grade or "", limit.most)
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        pressed = [visit.date for visit, test in case.tests_of(item.tag) if test.button is not None]
        asks = f"the rule asks for one every {days:.0f} days ({limit.by_whom})"
        if not pressed:
            says = f"The record holds no press of the button of {item.words}; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Press the button, and record the household test.")
            continue
        ago = (case.on - pressed[-1]).days
        says = f"The button of {item.words} was last pressed on {pressed[-1]}, {ago} days ago; {asks}"
        if ago > days:
            says = f"{says}, so it is {ago - days:.0f} days overdue."
            yield ask.answer(Verdict.FAILS, says, "Press the button, and record the household test.")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{says}.")


@on_home_terms
def inspected_in_time(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge, in calendar months, how long ago each alarm was last looked at by a competent person.

    Options: ``by-grade``, the months for a grade of fire system that asks for others; ``remote`` true where a check
    over the line counts; and the terms of :mod:`asfitted.rules.checks.home_terms`.
    """
    assert limit.most is not None
    months = rule.options.get("by-grade", {}).get(case.home.system.fire_grade or "", limit.most)
    why_not = not_put(rule.options, case)
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        looked = [
            visit.date
            for visit, _ in case.tests_of(item.tag)
            if visit.kind in INSPECTIONS and (not visit.remote or rule.options.get("remote"))
        ]
        asks = f"the rule asks for one within {amount(months, 'months')} ({limit.by_whom})"
        if why_not:
            yield ask.answer(Verdict.NOT_APPLICABLE, why_not)
        elif not looked:
            says = f"The record holds no inspection of {item.words}; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Inspect and test it, and record the visit.")
        else:
            due = later(looked[-1], months)
            late = case.on > due
            says = f"{item.words} was last inspected on {looked[-1]}; {asks}, "
            says += f"so it {'was' if late else 'is'} due by {due}."
            yield ask.answer(Verdict.FAILS if late else Verdict.CONFORMS, says, "Inspect and test it.")
