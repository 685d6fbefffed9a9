"""How a device is set, as the record says."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.home_terms import on_home_terms
from asfitted.rules.checks.terms import eased, has_any, left_out, unknown_term
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed


@on_home_terms
def setting(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge one setting of a device.

    Options: ``setting``, its key in the record; ``good``, the values that conform; ``measure``, what to do when the
    record does not say; ``unless-tells``, whom an alarm tells in homes that need none; the terms of
    :func:`asfitted.rules.checks.terms.left_out`, and those of
    :mod:`asfitted.rules.checks.home_terms` that say how severe it is.
    """
    key = rule.options["setting"]
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, key))
        value = getattr(placed.device, key.replace("-", "_"))
        word = {True: "yes", False: "no"}.get(value, value)
        asks = f"the rule asks for “{key}: {' or '.join(rule.options['good'])}” ({limit.by_whom})"
        if case.home.system.tells in rule.options.get("unless-tells", ()):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: an alarm tells {case.home.system.tells}.")
        elif why := left_out(rule.options, placed.device):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: {why}.")
        elif value is None:
            says = f"The record does not give {key} for {placed.words}; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, rule.options["measure"])
        else:
            verdict = Verdict.CONFORMS if word in rule.options["good"] else Verdict.FAILS
            yield ask.answer(verdict, f"{placed.words}: {key} is {word}; {asks}.")


def figure(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge a setting of a device that is a figure, in the unit of the limit.

    Options: ``setting``, its key in the record; ``found``, the words before the figure; ``band``, by how much it may
    fall short and only be close; ``measure``; and the terms of :func:`asfitted.rules.checks.terms.left_out`.
    """
    key = rule.options["setting"]
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, key))
        value = getattr(placed.device, key.replace("-", "_"))
        if why := left_out(rule.options, placed.device):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: {why}.")
        elif value is None:
            lacks = unknown_term(rule.options, placed.device) or key
            says = f"The record does not give {lacks} for {placed.words}; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, rule.options["measure"])
        else:
            says = f"{placed.words} {rule.options['found']} {amount(value, limit.unit)}"
            yield eased(ask.measured(value, 0.0, says), rule.options.get("band", 0.0))


def room_use(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a device is in no room of certain uses, and not outdoors.

    Options: ``not-in``, the uses.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        room = case.dwelling.rooms[placed.spot.room].room
        where = "outdoors" if placed.spot.fixed == "outside" else f"in a room used as {room.use}"
        bad = placed.spot.fixed == "outside" or room.use in rule.options["not-in"]
        if room.use == "garage" and room.heated:
            bad = placed.spot.fixed == "outside"
            where = "in a garage that is kept warm"
        yield ask.answer(Verdict.FAILS if bad else Verdict.CONFORMS, f"{placed.words} is {where}.")


def system_recorded(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the record gives settings of the system as a whole, in a home that has such devices.

    Options: ``keys``; ``for``, fire or intruder; ``measure``.
    """
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system",))
    system = case.home.system
    known = {key: getattr(system, key.replace("-", "_")) for key in rule.options["keys"]}
    lacks = [key for key, value in known.items() if value is None]
    if not has_any(case, rule.options["for"]):
        yield ask.answer(Verdict.NOT_APPLICABLE, f"The home has no devices for {rule.options['for']}.")
    elif lacks:
        says = f"The record does not give {listed(lacks)} of the system ({limit.by_whom})."
        yield ask.answer(Verdict.NOT_VERIFIED, says, rule.options["measure"])
    else:
        told = listed([f"{key} {value}" for key, value in known.items()])
        yield ask.answer(Verdict.CONFORMS, f"The record gives {told}.")
