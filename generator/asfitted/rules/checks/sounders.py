"""How loud sounders are, how long they sound, and where they hang."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question


def cut_off(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge after how many minutes each sounder stops by itself."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "cut-off"))
        seconds = placed.device.cut_off
        if not seconds:
            says = f"The record does not say after how long {placed.words} stops; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in the settings, and record cut-off.")
        else:
            yield ask.measured(seconds / 60, 0.0, f"{placed.words} stops after {seconds / 60:g} min")


def sounder_level(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the sound level at 1 m: as last measured, or else as the maker gives it.

    Options: ``tolerance``, decibels by which a measured level may be out.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "output"))
        reading = case.last_reading(placed.tag, "at_one_metre")
        if reading is not None:
            level = float(str(reading[1]))
            says = f"{placed.words} gave {level:g} dB(A) at 1 m on {reading[0].date}"
            yield ask.measured(level, rule.options["tolerance"], says)
        elif placed.device.output is not None:
            says = f"{placed.words} gives {placed.device.output:g} dB(A) at 1 m, its maker says"
            yield ask.measured(placed.device.output, 0.0, says)
        else:
            says = f"The record does not say how loud {placed.words} is; {ask.asks}."
            remedy = "With ear protection, measure at 1 m and record at-one-metre; or record output from its booklet."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)


def above_ground(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height above the ground outside: above its floor, and that of its storey."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "height"))
        if placed.spot.fixed != "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not outdoors.")
        elif placed.spot.z is None:
            says = f"The record gives no height for {placed.tag}."
            yield ask.answer(
                Verdict.NOT_VERIFIED, says, "Measure it from the finished floor inside, and record height."
            )
        else:
            found = placed.spot.z + case.dwelling.storey(placed.spot.storey).level
            says = f"{placed.words} hangs {found:.2f} m above the ground"
            yield ask.measured(found, placed.spot.tolerance, says)


def not_with(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that no device of the ``kinds`` in the options is in the room of each device."""
    others = list(case.of_kinds(tuple(rule.options["kinds"])))
    what = " or ".join(rule.options["kinds"])
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        same = [item.tag for item in others if item.spot.room == placed.spot.room]
        if not others:
            yield ask.answer(Verdict.NOT_VERIFIED, f"The record has no {what}.", f"Record where the {what} is.")
        elif same:
            yield ask.answer(Verdict.FAILS, f"{placed.words} is in one room with {same[0]} ({limit.by_whom}).")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is in another room than {others[0].words}.")
