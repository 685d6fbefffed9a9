"""What every device needs: to be known, named, in its place, dated and proven."""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date

from asfitted.model.device import Device
from asfitted.model.visit import GOOD
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed

PROVES = "device-tested"
"""The rule that says whether a device is proven, and by which readings."""


def enrolled(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the control unit knows each device; an alarm linked with others may stand without one."""
    has_unit = any(placed.device.kind == "control unit" for placed in case.devices)
    for placed in case.devices:
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "enrolled"))
        known = placed.device.enrolled
        if placed.device.kind == "control unit":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is the control unit itself.")
        elif known is not None:
            says = f"{placed.words} is {'' if known else 'not '}enrolled."
            yield ask.answer(Verdict.CONFORMS if known else Verdict.FAILS, says)
        elif placed.device.is_fire and placed.device.linked:
            says = f"{placed.words} is linked with {listed(list(placed.device.linked))} and needs no control unit."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif placed.device.is_fire and not has_unit:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} stands on its own; there is no control unit.")
        else:
            lacks = f"whether {placed.words} is enrolled" if has_unit else f"what {placed.words} reports to"
            remedy = "Look in the list of the control unit, and record enrolled."
            remedy = remedy if has_unit else "Record the control unit, then whether each device is enrolled."
            yield ask.answer(Verdict.NOT_VERIFIED, f"The record does not say {lacks}.", remedy)


_NUMBER_ONLY = re.compile(
    r"(zone|sensor|detector|device|contact|input|alarm|circuit|no\.?|#)?[\s#-]*[0-9]+", re.IGNORECASE
)
"""A name that tells no place."""


def named(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each device has a name that no other device has, and that is more than a number."""
    names = Counter((placed.device.name or "").casefold() for placed in case.devices)
    for placed in case.devices:
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "name"))
        name = placed.device.name
        if not name:
            yield ask.answer(Verdict.FAILS, f"{placed.words} has no name.")
        elif names[name.casefold()] > 1:
            yield ask.answer(Verdict.FAILS, f"{placed.words} shares the name “{name}” with another device.")
        elif _NUMBER_ONLY.fullmatch(name.strip()):
            yield ask.answer(Verdict.FAILS, f"{placed.words} is called “{name}”, which tells no place.")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is called “{name}”.")


def placed(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each device has a room, and that its place in it is measured."""
    there = {item.tag: item for item in case.devices}
    for tag, device in case.home.devices.items():
        path = ("devices", tag)
        if tag not in there:
            ask = Question(rule, limit, Subject("device", tag, tag), path)
            says = f"The record gives no room for {tag}, {'an' if device.kind[0] in 'aeiou' else 'a'} {device.kind}."
            yield ask.answer(Verdict.FAILS, says, "Record where it hangs: on, in, or outside.")
            continue
        item = there[tag]
        ask = Question(rule, limit, item.subject, path)
        lacks = _lacks(item)
        if lacks:
            says = f"{tag} is in the {item.room}, but the record does not give {listed(lacks)}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure and record what is missing.")
        else:
            yield ask.answer(Verdict.CONFORMS, f"The place of {item.words} is measured.")


def _lacks(item: Placed) -> list[str]:
    """Say what of a device's place is not measured."""
    spot = item.spot
    if spot.fixed == "unknown":
        return ["ceiling, wall or corner, and the distances"]
    lacks = []
    if spot.point is None:
        lacks.append(
            "its distance from two walls" if spot.fixed == "ceiling" else "its distance from an end of the wall"
        )
    if spot.fixed == "opening" and item.device.edge is None:
        lacks.append("its edge of the opening")
    top = spot.fixed == "opening" and item.device.edge == "top"
    if spot.z is None and spot.fixed in ("wall", "corner", "outside", "opening") and not top:
        lacks.append("its height")
    return lacks


def dated(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the record tells how old an alarm is."""
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        made, until = item.device.made, item.device.replace_by
        if made is None and until is None:
            yield ask.answer(Verdict.NOT_VERIFIED, f"The record does not say how old {item.words} is.")
        else:
            told = f"is to be replaced by {until:%Y-%m}" if until else f"was made in {made:%Y-%m}"
            yield ask.answer(Verdict.CONFORMS, f"{item.words} {told}.")


def recorded(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the record gives facts about each device.

    Options: ``keys``, groups of keys of which one each is enough; ``measure``, where to find them.
    """
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        known = {key: getattr(item.device, key.replace("-", "_")) for group in rule.options["keys"] for key in group}
        lacks = [" or ".join(group) for group in rule.options["keys"] if all(known[key] is None for key in group)]
        if lacks:
            says = f"The record does not give {listed(lacks)} of {item.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, rule.options["measure"])
        else:
            given = listed([key for key, value in known.items() if value is not None])
            yield ask.answer(Verdict.CONFORMS, f"The record gives {given} of {item.words}.")


def needed_readings(rule: Rule, device: Device) -> list[list[str]]:
    """Give the readings that prove a device, in groups of which one each is enough, by their keys in the record."""
    proof = rule.options["tests"][device.kind]
    settings = {key: getattr(device, key.replace("-", "_")) for key in proof.get("if", {})}
    extra = [proof["if"][key] for key, value in settings.items() if value not in (None, (), "none", "nothing")]
    return [*proof["needs"], *([name] for names in extra for name in names)]


def tested(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that every reading that proves a device has been taken since it was fitted, and that the last was good.

    Options: ``tests``, by kind of device: ``needs``, groups of readings of which one each is enough; ``if``, what is
    needed besides when the device has a setting; ``how`` to take them.
    """
    for item in case.devices:
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        proof = rule.options["tests"][item.device.kind]
        needs = needed_readings(rule, item.device)
        last = last_readings(case, item.tag, {name for group in needs for name in group})
        bad = sorted(name for name, (_, value) in last.items() if not is_good(value))
        missing = [" or ".join(group) for group in needs if not any(name in last for name in group)]
        told = listed([f"{word(name, value)} on {day}" for name, (day, value) in last.items()])
        if bad:
            says = f"{item.words} failed when last tested: {told}."
            yield ask.answer(Verdict.FAILS, says, "Find out why, mend or replace it, and test again.")
        elif missing:
            since = f" since it was fitted on {item.device.fitted}" if item.device.fitted else ""
            says = f"{item.words} has no reading of {' and none of '.join(missing)} in the record{since}"
            says += f"; it has {told}." if told else "."
            yield ask.answer(Verdict.NOT_VERIFIED, says, proof["how"])
        else:
            yield ask.answer(Verdict.CONFORMS, f"{item.words} was tested: {told}.")


def last_readings(case: Case, tag: str, names: set[str]) -> dict[str, tuple[date, object]]:
    """Give the last of each reading of a device since it was fitted, with its day, by their keys in the record."""
    last = {}
    for name in sorted(names):
        reading = case.last_reading(tag, name.replace("-", "_"))
        if reading is not None:
            last[name] = reading[0].date, reading[1]
    return last


def is_good(value: object) -> bool:
    """Say whether a reading proves that something works; a figure always does."""
    return value in GOOD if isinstance(value, str) else value is not False


def word(name: str, value: object) -> str:
    """Write a reading for a sentence, by its key: ``walk detected``, ``smoke after 9 s``, ``held-for 30 min``."""
    if isinstance(value, bool):
        value = "yes" if value else "no"
    if not isinstance(value, float):
        return f"{name} {value}"
    if name == "held-for":
        return f"{name} {value / 60:g} min"
    return f"{name} after {value:g} s" if name in ("smoke", "heat", "gas") else f"{name} {value:g} {_UNITS[name]}"


_UNITS = {"at-one-metre": "dB(A)", "signal": "dB", "battery": "V", "charging": "A", "at": "m", "gap": "m"}
"""Units of the readings that are figures, other than durations."""
