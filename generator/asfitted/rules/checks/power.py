"""Batteries: how long they hold, how soon they are charged, how old they are."""

from collections.abc import Iterator
from datetime import date

from asfitted.reckon.power import DAYS_PER_YEAR, charge_drawn, recharge_hours, usual_alarm_hours
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.terms import eased, grade, graded
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question, listed

HOURS = "control-standby-hours"
"""The rule that says for how many hours a system runs without mains."""
_HOUR = 3600.0
_RECHARGEABLE = ("rechargeable", "lead", "agm", "vrla", "nimh", "accumulator")
"""Words in the type of a battery that the device itself charges."""


def standby(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how long a control unit runs without mains: as it was seen to, or as its maker says.

    A test that was ended before the battery was empty proves what it held and disproves nothing.

    Options: ``by-grade``, see :func:`asfitted.rules.checks.terms.graded`; ``halved-if-told``, grades at which half is
    enough where a receiving centre is told of a mains failure; ``doubt-from`` and ``doubt``, from which figure on it
    depends on who judges, and what to ask.
    """
    asked, at = graded(rule, limit, case)
    assert asked.least is not None
    doubt_from, doubt = rule.options.get("doubt-from", asked.least), rule.options.get("doubt", "")
    if grade(case) in rule.options.get("halved-if-told", ()) and case.home.system.tells == "receiving centre":
        doubt_from, doubt = (
            asked.least / 2,
            "Half is enough where the receiving centre is told of a mains failure: ask it.",
        )
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, asked, placed.subject, ("devices", placed.tag, "standby"))
        found = _standby_found(case, placed, asked.least)
        if found is None:
            says = f"The record does not say how long {placed.words} runs without mains{at}; {ask.asks}."
            remedy = "Read it in its data for the battery in it and record standby, or try it and record held-for."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
            continue
        hours, how = found
        says = f"{placed.words} {how} {amount(hours, 'h')}{at}"
        if doubt and doubt_from <= hours < asked.least:
            yield ask.answer(Verdict.NOT_VERIFIED, f"{says}; {ask.asks}.", doubt)
        else:
            yield ask.measured(hours, 0.0, says)


def _standby_found(case: Case, placed: Placed, least: float) -> tuple[float, str] | None:
    claimed = placed.device.standby
    for _, test in reversed(case.tests_of(placed.tag)):
        if test.held_for is None or test.mains_off is None:
            continue
        hours = test.held_for / _HOUR
        if test.mains_off == "lost":
            return hours, "stopped without mains after"
        if hours >= least:
            return hours, "was seen to run without mains for"
    return (claimed / _HOUR, "runs without mains, as recorded,") if claimed is not None else None


def battery_size(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the capacity of a standby battery against what the system draws in its standby time, in per cent.

    The standby time is what the rule set asks for, and where it asks for none, what the record gives.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "capacity"))
        device = placed.device
        hours = _hours_asked(case) or (device.standby / _HOUR if device.standby else None)
        if device.capacity is None or device.current is None or device.alarm_current is None or hours is None:
            given = {
                "capacity": device.capacity,
                "current": device.current,
                "alarm-current": device.alarm_current,
                "standby": hours,
            }
            lacks = listed([key for key, value in given.items() if value is None])
            says = f"The record does not give {lacks} for {placed.words}, so its battery cannot be reckoned."
            yield ask.answer(Verdict.NOT_VERIFIED, says, f"Read or measure {lacks}, and record it.")
            continue
        drawn = charge_drawn(device.current, device.alarm_current, hours)
        if drawn <= 0:
            says = f"{placed.words} draws no current, as the record has it."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure current and alarm-current, and record them.")
            continue
        sounding = min(hours, usual_alarm_hours()) * 60
        says = (
            f"{placed.words} has {device.capacity:.2f} Ah, which is {100 * device.capacity / drawn:.0f} % of the "
            f"{drawn:.2f} Ah that it draws in {amount(hours, 'h')}, {sounding:.0f} minutes of it sounding"
        )
        need = drawn * (limit.least or 0.0) / 100
        remedy = f"Fit a battery of {need:.2f} Ah or more, that its charger can charge."
        yield ask.measured(100 * device.capacity / drawn, 0.0, says, remedy=remedy)


def _hours_asked(case: Case) -> float | None:
    limit = case.rules.limits.get(HOURS)
    if limit is None or limit.nothing:
        return None
    return graded(case.rules.rules[HOURS], limit, case)[0].least


def recharge(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the hours in which a charger brings the battery back, by the current last measured or else recorded.

    Options: ``share`` of the capacity, from 0 to 1; ``by-grade``.
    """
    asked, at = graded(rule, limit, case)
    share = rule.options.get("share", 1.0)
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, asked, placed.subject, ("devices", placed.tag, "charging-current"))
        reading = case.last_reading(placed.tag, "charging")
        current = reading[1] if reading else placed.device.charging_current
        if not isinstance(current, float) or not placed.device.capacity:
            lacks = "charging-current" if placed.device.capacity else "capacity"
            says = f"The record does not give {lacks} for {placed.words}; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record capacity, and charging-current or charging.")
        elif current <= 0:
            yield ask.answer(Verdict.FAILS, f"No current flows into the battery of {placed.words}.")
        else:
            hours = recharge_hours(placed.device.capacity, current, share)
            says = (
                f"{placed.words} charges its {placed.device.capacity:.2f} Ah to {100 * share:.0f} % with "
                f"{1000 * current:.0f} mA in {hours:.0f} h{at}"
            )
            need = share * placed.device.capacity * 1.2 / (asked.most or 1.0)
            yield ask.measured(hours, 0.0, says, remedy=f"{rule.remedy} It takes {1000 * need:.0f} mA.")


def battery_age(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the age of a rechargeable battery on the day.

    Options: ``band``, years beyond the limit that are late but not yet too late.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "battery"))
        battery, since = placed.device.battery, put_in(case, placed)
        charged = placed.device.kind in ("control unit", "repeater")
        if battery is None and (not charged or placed.device.standby_battery is False):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No rechargeable battery is recorded in {placed.words}.")
        elif battery is not None and not charged and not _rechargeable(battery.type):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The battery of {placed.words} is not a rechargeable one.")
        elif since is None:
            yield _without_day(ask, placed)
        else:
            years = (case.on - since).days / DAYS_PER_YEAR
            says = f"The battery of {placed.words} was put in on {since}, {years:.1f} years ago"
            yield eased(ask.measured(years, 0.0, says), rule.options["band"])


def cell_age(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how much of the life its maker gives a cell has gone by on the day, in per cent.

    Options: ``unknown-years``, the life of a cell of which none is given, all of which may be used.
    """
    assert limit.most is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "battery"))
        battery, since = placed.device.battery, put_in(case, placed)
        if placed.device.joined_by == "cable" and battery is None:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is fed by its cable.")
        elif battery is not None and (battery.sealed or _rechargeable(battery.type)):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} has no cell that is changed.")
        elif battery is None:
            says = f"The record does not say what battery {placed.words} has."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Open it, and record battery: its type, life and day.")
        elif since is None:
            yield _without_day(ask, placed)
        else:
            years = (case.on - since).days / DAYS_PER_YEAR
            usable = rule.options["unknown-years"] * 100 / limit.most
            life = battery.life / 86_400 / DAYS_PER_YEAR if battery.life else usable
            whose = "the life its maker gives" if battery.life else f"{life:g} years, for want of its maker's figure"
            share = 100 * years / life if life else 100.0
            says = f"The cell of {placed.words} was put in on {since}; {share:.0f} % of {whose} is gone"
            yield ask.measured(share, 0.0, says)


def battery_low(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many days a battery that read low waits, or waited, for its change."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "battery"))
        low: date | None = None
        last: object = None
        for visit, test in case.tests_of(placed.tag):
            if test.battery is not None:
                last = test.battery
                low = (low or visit.date) if test.battery == "low" else None
            if test.battery_changed:
                low, last = None, "changed"
        if low is not None:
            days = (case.on - low).days
            says = f"The battery of {placed.words} read low on {low}, {amount(days, 'days')} ago"
            yield ask.measured(days or 0.5, 0.0, f"{says}, and no change is recorded")
        elif last is not None:
            yield ask.answer(Verdict.CONFORMS, f"The battery of {placed.words} did not read low when last looked at.")
        elif placed.device.battery is None or placed.device.battery.sealed:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} has no battery that is changed.")
        else:
            says = f"The record has no reading of the battery of {placed.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Read its voltage or what its display says; record battery.")


def battery_dated(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the day is known on which a battery that is changed one day was put in."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "battery"))
        battery, since = placed.device.battery, put_in(case, placed)
        if battery is None or battery.sealed:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} has no battery that is changed.")
        elif since is None:
            yield ask.answer(Verdict.NOT_VERIFIED, *_undated(placed))
        else:
            yield ask.answer(Verdict.CONFORMS, f"The battery of {placed.words} was put in on {since}.")


def put_in(case: Case, placed: Placed) -> date | None:
    """Give the day the present battery was put in: its own, that of a recorded change, or the day of the device."""
    battery = placed.device.battery
    days = [visit.date for visit, test in case.tests_of(placed.tag) if test.battery_changed]
    if battery is not None and battery.fitted is not None and battery.fitted <= case.on:
        days.append(battery.fitted)
    if not days and placed.device.fitted is not None and placed.device.fitted <= case.on:
        days.append(placed.device.fitted)
    return max(days, default=None)


def _rechargeable(kind: str) -> bool:
    return any(word in kind.casefold() for word in _RECHARGEABLE)


def _without_day(ask: Question, placed: Placed) -> Finding:
    """Give the finding about the age of a battery whose day is not known, of which another rule tells."""
    battery = placed.device.battery
    if battery is not None and not battery.sealed:
        says = f"Since when {placed.words} has its battery is not known; another rule says so."
        return ask.answer(Verdict.NOT_APPLICABLE, says)
    return ask.answer(Verdict.NOT_VERIFIED, *_undated(placed))


def _undated(placed: Placed) -> tuple[str, str]:
    says = f"The record does not say since when {placed.words} has its battery."
    return says, "Date it by its label, or change it; record battery with fitted."
