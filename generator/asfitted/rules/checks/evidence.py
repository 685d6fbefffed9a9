"""What every device needs: to be known, named, in its place, and proven."""

from collections import Counter
from collections.abc import Iterator

from asfitted.model.visit import GOOD
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question


def enrolled(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the control unit knows each device; an alarm linked with others may stand without one."""
    has_unit = any(placed.device.kind == "control unit" for placed in case.devices)
    for placed in case.devices:
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "enrolled"))
        known = placed.device.enrolled
        if placed.device.kind == "control unit" or (known is None and not has_unit):
            says = f"{placed.words} has no control unit to be enrolled in."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif known is None and placed.device.is_fire and placed.device.linked:
            says = f"{placed.words} is linked with {', '.join(placed.device.linked)} and needs no control unit."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif known is None:
            says = f"The record does not say whether {placed.words} is enrolled."
            remedy = "Look in the list of the control unit, and record enrolled."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
        else:
            says = f"{placed.words} is {'' if known else 'not '}enrolled."
            yield ask.answer(Verdict.CONFORMS if known else Verdict.FAILS, says)


def named(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each device has a name that no other device has."""
    names = Counter((placed.device.name or "").casefold() for placed in case.devices)
    for placed in case.devices:
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "name"))
        name = placed.device.name
        if not name:
            yield ask.answer(Verdict.FAILS, f"{placed.words} has no name.")
        elif names[name.casefold()] > 1:
            says = f"{placed.words} shares the name “{name}” with another device."
            yield ask.answer(Verdict.FAILS, says)
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is called “{name}”.")


def placed(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the place of each device in its room is measured."""
    for item in case.devices:
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        if item.spot.point is None:
            says = f"{item.tag} is in the {item.spot.room.replace('-', ' ')}, but the record does not say where."
            yield ask.answer(Verdict.NOT_VERIFIED, says, _what_to_measure(item))
        else:
            says = f"The place of {item.words} is measured."
            yield ask.answer(Verdict.CONFORMS, says)


def _what_to_measure(item: Placed) -> str:
    return {
        "ceiling": "Measure its distance from two walls.",
        "wall": "Measure its distance from one end of the wall, and its height.",
        "outside": "Measure its distance from one end of the wall, and its height.",
    }.get(item.spot.fixed, "Record ceiling, wall or corner, and measure its distances.")


def tested(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the last test of each device, of the kind that proves it, was good and came after it was fitted.

    Options: ``tests``, by kind of device: the readings that prove it, and how to take them.
    """
    for item in case.devices:
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        proof = rule.options["tests"][item.device.kind]
        tests = [
            (
                visit,
                {name: getattr(test, name) for name in proof["readings"] if getattr(test, name) is not None},
            )
            for visit, test in case.tests_of(item.tag)
            if item.device.fitted is None or visit.date >= item.device.fitted
        ]
        tests = [(visit, readings) for visit, readings in tests if readings]
        if not tests:
            since = f" since it was fitted on {item.device.fitted}" if item.device.fitted else ""
            says = f"{item.words} has no test in the record{since}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, proof["how"])
            continue
        visit, readings = tests[-1]
        bad = [name for name, value in readings.items() if not _is_good(value)]
        told = ", ".join(f"{name.replace('_', '-')} {_word(value)}" for name, value in readings.items())
        says = f"{item.words} was tested on {visit.date}: {told}."
        if bad:
            remedy = "Find out why, mend or replace it, and test again."
            yield ask.answer(Verdict.FAILS, says, remedy)
        else:
            yield ask.answer(Verdict.CONFORMS, says)


def _is_good(value: object) -> bool:
    if isinstance(value, str):
        return value in GOOD
    return value is not False


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"after {value:g} s" if isinstance(value, float) else str(value)
