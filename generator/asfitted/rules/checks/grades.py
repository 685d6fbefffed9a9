"""Grades and classes of a system and its parts."""

from collections.abc import Iterator

from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.access import no_system
from asfitted.rules.checks.terms import grade, graded
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed

CLASSES = ("I", "II", "III", "IV")
"""Environmental classes, mildest first."""


def lowest_grade(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the grade of the system is no higher than the lowest grade of its parts."""
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system", "intruder-grade"))
    said = case.home.system.intruder_grade
    words = {item.tag: item.words for item in case.devices}
    parts = {words.get(tag, tag): device.grade for tag, device in case.home.devices.items() if not device.is_fire}
    low = [f"{name} of grade {has}" for name, has in parts.items() if said and (has or said) < said]
    unknown = [name for name, has in parts.items() if has is None]
    if said is None:
        says = "The record gives no grade of the system."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in the design, and record intruder-grade.")
    elif low:
        says = f"The system is said to be of grade {said}, but has {listed(low)} ({limit.by_whom})."
        yield ask.answer(Verdict.FAILS, says)
    elif unknown:
        says = f"The system is said to be of grade {said}, but the record gives no grade of {listed(unknown)}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Read the grade printed on each, and record it.")
    else:
        yield ask.answer(Verdict.CONFORMS, f"The system is of grade {said}, and no part of it is of a lower one.")


def parts(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a system has a control unit, a detector, and a sounder or someone it tells.

    Options: ``detectors`` and ``sounders``, kinds of device.
    """
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("devices",))
    kinds = {device.kind for device in case.home.devices.values()}
    lacks = []
    if "control unit" not in kinds:
        lacks.append("control unit")
    if kinds.isdisjoint(rule.options["detectors"]):
        lacks.append("detector")
    silent = kinds.isdisjoint(rule.options["sounders"])
    tells = case.home.system.tells
    if silent and tells == "nobody":
        lacks.append("sounder, nor anyone it tells")
    if lacks:
        yield ask.answer(Verdict.FAILS, f"The system has no {' and no '.join(lacks)} ({limit.by_whom}).")
    elif silent and tells is None:
        says = "The system has no sounder, and the record does not say whom it tells."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Send a test alarm, see who is told, and record tells.")
    else:
        yield ask.answer(
            Verdict.CONFORMS, "The system has a control unit, a detector, and a sounder or someone it tells."
        )


def climate(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the environmental class of each device against its place.

    Options: the classes asked for: ``outside``; ``rooms``, by use, of which a ``heated`` one asks for less; ``else``
    in any other room, or ``unheated`` where the record says so; ``on-outer`` on an opening that leads out.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "climate"))
        need = _class_for(rule, case, placed)
        has = placed.device.climate
        asks = f"its place asks for class {need} ({limit.by_whom})"
        if need is None:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not outdoors.")
        elif has is None:
            says = f"The record gives no environmental class of {placed.words}; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Read the class printed on it, and record climate.")
        else:
            verdict = Verdict.CONFORMS if CLASSES.index(has) >= CLASSES.index(need) else Verdict.FAILS
            yield ask.answer(verdict, f"{placed.words} is of class {has}; {asks}.")


def _class_for(rule: Rule, case: Case, placed: Placed) -> str | None:
    options, room = rule.options, case.dwelling.rooms[placed.spot.room].room
    if placed.spot.fixed == "outside":
        return str(options["outside"])
    usual = options.get("rooms", {}).get(room.use)
    if usual is not None:
        return min(usual, options["heated"], key=CLASSES.index) if room.heated else str(usual)
    needs = [options["unheated"] if room.heated is False else options["else"]] if "else" in options else []
    if needs and placed.spot.opening is not None and placed.spot.opening.is_outer:
        needs.append(options["on-outer"])
    return max(needs, key=CLASSES.index, default=None)


def tamper(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge what each device signals when it is opened or taken down, by the grade of the system.

    Options: ``free``, grades at which ``detectors`` need not notice it; ``back-from``, the grade from which being taken
    down is to be noticed, ``radio-back-from`` and ``outside-back-from`` of radio devices and outdoor sounders.
    """
    at, options = grade(case), rule.options
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "tamper"))
        device = placed.device
        radio = device.joined_by == "radio" and at >= options["radio-back-from"]
        outside = device.kind == "outdoor sounder" and at >= options["outside-back-from"]
        back = at >= options["back-from"] or radio or outside
        open_question = not back and device.joined_by is None and at >= options["radio-back-from"]
        asks = f"grade {at} asks for {'cover and back' if back else 'cover'} ({limit.by_whom})"
        if device.kind in options["detectors"] and at in options["free"]:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: grade {at} asks nothing of a detector.")
        elif device.tamper is None:
            says = f"The record does not say what {placed.words} signals when it is opened or taken down; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Open it and take it down on test, and record tamper.")
        elif device.tamper == "cover" and open_question:
            says = f"{placed.words} signals the opening of its cover; a radio device is to signal being taken down too"
            yield ask.answer(Verdict.NOT_VERIFIED, f"{says} ({limit.by_whom}).", "Record joined-by, radio or cable.")
        else:
            good = device.tamper == "cover and back" or (device.tamper == "cover" and not back)
            yield ask.answer(Verdict.CONFORMS if good else Verdict.FAILS, f"{placed.words}: {device.tamper}; {asks}.")


def reports_every(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how often each radio device reports. Options: ``by-grade``, minutes at grades other than the limit's."""
    limit, words = graded(rule, limit, case)
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "reports-every"))
        every = placed.device.reports_every or None
        if placed.device.joined_by == "cable":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is wired.")
        elif every is None:
            says = f"The record does not say how often {placed.words} reports; {ask.asks}."
            yield ask.answer(
                Verdict.NOT_VERIFIED, says, "Look in its settings, and record reports-every and joined-by."
            )
        else:
            yield ask.measured(every / 60, 0.0, f"{placed.words} reports every {_words(every)}{words}")


def _words(seconds: float) -> str:
    return f"{seconds / 60:g} min" if seconds >= 60 else f"{seconds:g} s"


def events(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many events are kept. Options: ``by-grade``, the count at grades other than the limit's."""
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    limit, words = graded(rule, limit, case)
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system", "events-kept"))
    kept = case.home.system.events_kept
    if not limit.least:
        yield ask.answer(Verdict.NOT_APPLICABLE, f"Grade {grade(case)} asks for no record of events.")
    elif kept is None:
        says = f"The record does not say how many events the control unit keeps; {ask.asks}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in its booklet, and record events-kept.")
    else:
        yield ask.measured(kept, 0.0, f"The control unit keeps {kept} events{words}")
