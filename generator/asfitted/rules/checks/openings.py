"""How an opening contact sits."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question


def gap(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the gap between sensor and magnet with the leaf closed; the last reading beats the device's own.

    Options: ``tolerance``, millimetres by which a gap read off a rule may be out.
    """
    assert limit.most is not None
    tolerance = float(rule.options["tolerance"])
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "gap"))
        reading = case.last_reading(placed.tag, "gap")
        metres = float(str(reading[1])) if reading else placed.device.gap
        if metres is None:
            says = f"The record gives no gap for {placed.words}."
            remedy = "With the leaf closed and latched, measure between sensor and magnet."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
            continue
        found = round(metres * 1000, 6)
        when = f", measured on {reading[0].date}" if reading else ""
        yield ask.measured(
            found,
            tolerance,
            f"{placed.words} has a gap of {found:g} mm{when}",
            remedy=f"Bring sensor and magnet {max(found - limit.most, 0.0) + tolerance:g} mm closer together.",
        )


def upper_part(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height of a contact as a share of the height of its opening."""
    assert limit.least is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        opening, height = placed.spot.opening, placed.spot.z
        if opening is None:
            says = f"{placed.words} is on no opening of the record."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record on which opening it is.")
        elif opening.opening.kind == "rooflight":
            says = f"{placed.words} is on a rooflight, which has no height of its own above the floor."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif placed.device.edge == "top" and height is None:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is at the top of the {opening.opening.called}.")
        elif height is None:
            says = f"The record gives no height for {placed.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure it from the floor.")
        elif opening.opening.height is None:
            says = f"The record gives no height for the {opening.opening.called}, which {placed.tag} is on."
            yield ask.answer(
                Verdict.NOT_VERIFIED, says, f"Measure the {opening.opening.called}, and record its height."
            )
        else:
            found = (height - opening.opening.sill) / opening.height * 100
            least = opening.opening.sill + opening.height * limit.least / 100
            yield ask.measured(
                found,
                placed.spot.tolerance / opening.height * 100,
                f"{placed.words} sits at {found:.0f} % of the height of the {opening.opening.called}",
                remedy=f"Move it up to {least + placed.spot.tolerance:.2f} m above the floor or more.",
            )
