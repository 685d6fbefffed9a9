"""What a test showed: single readings, their figures and their age."""

from collections.abc import Iterator, Mapping
from datetime import date

from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.evidence import is_good, last_readings, word
from asfitted.rules.checks.terms import eased, grade, left_out, unknown_term
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed


def shown(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that something of a device has been shown by a reading since it was fitted, and that the last was good.

    Options: ``needs``, groups of readings of which one each is enough, or ``needs-by-kind`` of device; ``how`` to take
    them; ``first``, a setting of which another rule asks before; ``free-grades`` of system at which ``free-kinds`` of
    device need none; and the terms of
    :func:`asfitted.rules.checks.terms.left_out`.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        needs = rule.options.get("needs") or rule.options["needs-by-kind"][placed.device.kind]
        last = last_readings(case, placed.tag, {name for group in needs for name in group})
        missing = [" or ".join(group) for group in needs if not any(_is_told(last, name) for name in group)]
        told = listed([f"{word(name, value)} on {day}" for name, (day, value) in last.items()])
        free = placed.device.kind in rule.options.get("free-kinds", ())
        if why := left_out(rule.options, placed.device):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: {why}.")
        elif free and case.home.system.intruder_grade in rule.options["free-grades"]:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: grade {grade(case)} does not ask for it.")
        elif any(not is_good(value) for _, value in last.values()):
            yield ask.answer(Verdict.FAILS, f"{placed.words} failed when last tried: {told}.")
        elif missing and not last and "first" in rule.options and _unset(placed, rule.options["first"]):
            says = f"{placed.words}: {rule.options['first']} is not recorded; another rule asks for that first."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif missing:
            lacks = unknown_term(rule.options, placed.device)
            also = f", nor {lacks}" if lacks else ""
            says = f"{placed.words} has no reading of {' and none of '.join(missing)}{also} in the record."
            yield ask.answer(Verdict.NOT_VERIFIED, says, rule.options["how"])
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words}: {told}.")


def _is_told(last: Mapping[str, tuple[date, object]], name: str) -> bool:
    """Whether a reading was taken; a time of nothing is none."""
    return name in last and (last[name][1] != 0 or isinstance(last[name][1], bool))


def _unset(placed: Placed, key: str) -> bool:
    return getattr(placed.device, key.replace("-", "_")) is None


def last_figure(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the last reading of a figure, in the unit of the limit.

    Options: ``reading``, its key; ``found``, the words before the figure; ``band``, by how much it may fall short and
    only be close; ``measure``; and the terms of :func:`asfitted.rules.checks.terms.left_out`.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        reading = case.last_reading(placed.tag, rule.options["reading"].replace("-", "_"))
        if reading is None:
            yield _never_taken(ask, case, placed)
            continue
        visit, value = reading
        assert isinstance(value, int | float)
        says = f"{placed.words} {rule.options['found']} {amount(value, limit.unit)} on {visit.date}"
        yield eased(ask.measured(float(value), 0.0, says), rule.options.get("band", 0.0))


def reading_age(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many days ago a reading was last taken; of all devices that have one, the oldest counts.

    Options: ``reading``; ``what``, the words for it.
    """
    assert limit.most is not None
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("visits",))
    name, what = rule.options["reading"].replace("-", "_"), rule.options["what"]
    days = {
        placed.tag: (case.on - reading[0].date).days
        for placed in case.devices
        if (reading := case.last_reading(placed.tag, name)) is not None
    }
    if not days:
        yield ask.answer(Verdict.NOT_APPLICABLE, f"The record has no {what}; another rule says so where one is needed.")
        return
    late = [tag for tag, age in days.items() if age > limit.most]
    oldest = max(days.values())
    says = f"The oldest {what} was taken {oldest} days ago" + (f" (too old: {listed(late)})" if late else "")
    yield ask.measured(oldest, 0.0, says)


def _never_taken(ask: Question, case: Case, placed: Placed) -> Finding:
    options = ask.rule.options
    by_radio = not placed.device.is_fire and placed.device.kind != "control unit"
    if why := left_out(options, placed.device):
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words}: {why}.")
    if options["reading"] == "signal" and not by_radio:
        return ask.answer(Verdict.NOT_APPLICABLE, f"No radio link of {placed.words} to a control unit is recorded.")
    says = f"The record has no reading of {options['reading']} for {placed.words}."
    expected = _margin_expected(case, placed.tag, ask.limit) if options["reading"] == "signal" else ""
    return ask.answer(Verdict.NOT_VERIFIED, f"{says}{expected}", options["measure"])


def _margin_expected(case: Case, tag: str, limit: Limit) -> str:
    """Say what margin is reckoned for a radio link: before fading, and in how many places that much is left."""
    link = next((link for link in case.reckoned.radio.links if link.tag == tag), None)
    if link is None:
        return ""
    left, share = link.working.result.value, link.inputs["p"].value
    weak = " Measure this one first." if limit.margin(left) < 0 else ""
    says = f" By distance and walls about {link.predicted:.0f} dB are to be expected on the way to {link.to}, and "
    return f"{says}{left:.0f} dB or more in {100 * share:.0f} of 100 such places; that is no proof.{weak}"


def level_measured(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a sound level has been measured in each room where people sleep, whatever it was that sounded."""
    measured = {
        room: (visit.date, tag)
        for tag in case.home.devices
        for visit, test in case.tests_of(tag)
        for room in test.level
    }
    for index, storey in enumerate(case.home.storeys):
        for number, room in enumerate(storey.rooms):
            if room.use != "bedroom" and not case.home.household.sleepers.get(room.id):
                continue
            subject = Subject("room", room.id, room.called, room.id, storey.id)
            ask = Question(rule, limit, subject, ("storeys", index, "rooms", number))
            if room.id in measured:
                day, tag = measured[room.id]
                yield ask.answer(Verdict.CONFORMS, f"In the {room.called} the level of {tag} was measured on {day}.")
            elif not any(item.device.is_fire or "sounder" in item.device.kind for item in case.devices):
                yield ask.answer(Verdict.NOT_APPLICABLE, "The home has nothing that sounds.")
            else:
                says = f"No sound level has been measured in the {room.called}."
                yield ask.answer(Verdict.NOT_VERIFIED, says)


def times_clocked(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge by how many per cent the times last clocked differ from those recorded; the worse of the two counts."""
    system = case.home.system
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system",))
    found: list[tuple[float, str]] = []
    lacks: list[str] = []
    for key, meant in (("entry-time", system.entry_time), ("exit-time", system.exit_time)):
        clocked = [(v.date, t) for v in case.visits if (t := getattr(v, key.replace("-", "_"))) is not None]
        if clocked and meant:
            day, took = clocked[-1]
            says = f"{key} was clocked at {took:g} s on {day} and is recorded as {meant:g} s"
            found.append((100 * abs(took - meant) / meant, says))
        else:
            lacks.append(f"{key} by the clock" if meant else f"{key} of the system")
    worst = max(found, default=None)
    if not case.has_intruder_system:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the home is set and unset.")
    elif worst is not None and limit.margin(worst[0]) < 0:
        yield ask.measured(worst[0], 0.0, f"The {worst[1]}, {worst[0]:.0f} % apart")
    elif worst is None or lacks:
        says = f"The record does not give {listed(lacks)}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Clock both, and record entry-time and exit-time at the visit.")
    else:
        yield ask.measured(worst[0], 0.0, f"The {worst[1]}, {worst[0]:.0f} % apart")
