"""What alarms are fed by, and that they sound together."""

from collections.abc import Iterator

from asfitted.model.device import Device
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.home_terms import not_put, on_home_terms
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question, listed

HOUR, YEAR = 3600.0, 365.25 * 86_400.0
"""Seconds, as the record holds lengths of time."""


@on_home_terms
def linked(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each alarm of several sounds all others; a record that says nothing of it proves nothing.

    A link counts both ways, and through other devices. Options: the terms of
    :mod:`asfitted.rules.checks.home_terms`.
    """
    why_not = not_put(rule.options, case)
    alarms = list(case.of_kinds(rule.applies_to))
    for item in alarms:
        ask = Question(rule, limit, item.subject, ("devices", item.tag, "linked"))
        reached = _reached(case, item.tag)
        deaf = [other.tag for other in alarms if other.tag not in reached]
        if why_not:
            yield ask.answer(Verdict.NOT_APPLICABLE, why_not)
        elif len(alarms) < 2:
            kinds = listed([kind.removesuffix(" alarm") for kind in rule.applies_to]).replace(" and ", " or ")
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{item.words} is the only {kinds} alarm of the home.")
        elif item.device.linked and not deaf:
            yield ask.answer(Verdict.CONFORMS, f"{item.words} sounds with {listed(list(item.device.linked))}.")
        elif item.device.linked:
            yield _partly(ask, item, deaf, case)
        elif "linked" in item.device.model_fields_set:
            says = f"{item.words} sounds alone; the rule asks for a link ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says)
        else:
            says = f"The record does not say which alarms sound with {item.words}."
            how = "Press its button, hear which others sound, and record linked."
            yield ask.answer(Verdict.NOT_VERIFIED, says, how)


def _partly(ask: Question, item: Placed, deaf: list[str], case: Case) -> Finding:
    """Judge an alarm that sounds with some: the others are known to be left out only where they say so themselves."""
    says = f"{item.words} sounds with {listed(list(item.device.linked))}"
    known = [tag for tag in deaf if "linked" in case.home.devices[tag].model_fields_set]
    if known:
        says += f", but not with {listed(known)}; the rule asks for a link with all ({ask.limit.by_whom})."
        return ask.answer(Verdict.FAILS, says)
    says += f"; the record does not say whether {listed(deaf)} {'sound' if len(deaf) > 1 else 'sounds'} with it too."
    return ask.answer(
        Verdict.NOT_VERIFIED, says, "Press its button, hear which others sound, and record linked of each."
    )


def _reached(case: Case, tag: str) -> set[str]:
    """Give the devices that sound with one, directly or through others, and the device itself."""
    pairs = [{one, other} for one, device in case.home.devices.items() for other in device.linked]
    reached = {tag}
    while more := {name for pair in pairs if pair & reached for name in pair} - reached:
        reached |= more
    return reached


def feed(device: Device) -> str | None:
    """Say what feeds an alarm: mains, with or without standby, or a battery, sealed or not; None when not known.

    A mains alarm of which no standby is recorded may still have one: that is not known either.
    """
    battery = device.battery
    if device.power == "mains":
        if battery is not None:
            return "mains with sealed standby" if battery.sealed else "mains with standby"
        return None if device.standby is None else "mains with standby" if device.standby else "mains alone"
    if device.power == "battery" and battery is not None:
        return "sealed battery" if battery.sealed else "battery"
    return None


@on_home_terms
def powered(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge what feeds each alarm.

    Options: ``good``, the feeds that conform; ``if-new``, those that do in a home that the record calls new;
    ``by-grade``, those of each grade of fire system; and the terms of :mod:`asfitted.rules.checks.home_terms`.
    """
    grade = case.home.system.fire_grade
    if "by-grade" in rule.options:
        good, asker = rule.options["by-grade"].get(grade or "", ()), f"grade {grade}"
    else:
        new = case.home.home.new and "if-new" in rule.options
        good, asker = rule.options["if-new" if new else "good"], "the rule"
    why_not = not_put(rule.options, case)
    if "by-grade" in rule.options and not good:
        why_not = f"Grade {grade} is about a whole system." if grade else "The record gives the fire system no grade."
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag, "power"))
        yield _fed(ask, item, good, asker, why_not)


def _fed(ask: Question, item: Placed, good: list[str], asker: str, why_not: str) -> Finding:
    device, has = item.device, feed(item.device)
    asks = f"{asker} asks for {listed(list(good)).replace(' and ', ' or ')} ({ask.limit.by_whom})"
    if why_not:
        return ask.answer(Verdict.NOT_APPLICABLE, why_not)
    if has is not None:
        verdict = Verdict.CONFORMS if has in good else Verdict.FAILS
        return ask.answer(verdict, f"{item.words} is fed by {has}; {asks}.")
    possible = [name for name in FEEDS if ("battery" in name) == (device.power == "battery")]
    if device.power and all(name in good for name in possible):
        return ask.answer(Verdict.CONFORMS, f"{item.words} is fed by {device.power}; {asks}.")
    if device.power and not any(name in good for name in possible):
        return ask.answer(Verdict.FAILS, f"{item.words} is fed by {device.power}; {asks}.")
    lacks = "what standby it has" if device.power == "mains" else "what battery it has" if device.power else "its feed"
    says = f"The record does not say of {item.words} {lacks}; {asks}."
    return ask.answer(Verdict.NOT_VERIFIED, says, "Look at the alarm, and record power and battery.")


FEEDS = ("mains with sealed standby", "mains with standby", "mains alone", "sealed battery", "battery")
"""What an alarm can be fed by."""


def alarm_standby(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how long each mains alarm runs without mains, in hours."""
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag, "standby"))
        if item.device.power == "battery":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{item.words} is fed by a battery.")
        elif item.device.standby is None:
            says = f"The record does not say how long {item.words} runs without mains; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look it up in its instructions, and record standby.")
        else:
            hours = item.device.standby / HOUR
            yield ask.measured(hours, 0.0, f"{item.words} runs {hours:.0f} h without mains")


@on_home_terms
def battery_life(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how long the battery of each battery alarm is said to last, in years.

    Options: the terms of :mod:`asfitted.rules.checks.home_terms`.
    """
    why_not = not_put(rule.options, case)
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag, "battery"))
        battery = item.device.battery
        if why_not:
            yield ask.answer(Verdict.NOT_APPLICABLE, why_not)
        elif item.device.power == "mains":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{item.words} is fed by the mains.")
        elif battery is None or battery.life is None or item.device.power is None:
            says = f"The record does not say how long the battery of {item.words} lasts; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Read it on the alarm, and record power and battery.")
        else:
            years = battery.life / YEAR
            yield ask.measured(years, 0.0, f"The battery of {item.words} is said to last {amount(years, limit.unit)}")


def circuit(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the circuit that feeds each mains alarm. Options: ``good``, the circuits that conform."""
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag, "circuit"))
        asks = f"the rule asks for {' or '.join(rule.options['good'])} ({limit.by_whom})"
        if item.device.power == "battery":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{item.words} is fed by a battery.")
        elif item.device.circuit is None:
            says = f"The record does not say which circuit feeds {item.words}; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Have an electrician find the circuit, and record circuit.")
        else:
            verdict = Verdict.CONFORMS if item.device.circuit in rule.options["good"] else Verdict.FAILS
            yield ask.answer(verdict, f"{item.words} is on the {item.device.circuit} circuit; {asks}.")
