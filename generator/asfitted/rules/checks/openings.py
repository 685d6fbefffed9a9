"""How an opening contact sits."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question

GAP_TOLERANCE = 1.0
"""Millimetres by which a gap read off a rule may be out (common practice, no source)."""


def gap(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the gap between sensor and magnet with the leaf closed; the last reading beats the record's own."""
    assert limit.value is not None
    for placed in case.of_kinds(rule.applies_to):
        reading = case.last_reading(placed.tag, "gap")
        metres = float(str(reading[1])) if reading else placed.device.gap
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "gap"))
        if metres is None:
            says = f"The record gives no gap for {placed.words}."
            remedy = "With the leaf closed and latched, measure between sensor and magnet."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
            continue
        found = metres * 1000
        when = f", measured on {reading[0].date}" if reading else ""
        yield ask.measured(
            found,
            limit.value - found,
            GAP_TOLERANCE,
            f"{placed.words} has a gap of {found:g} mm{when}",
            remedy=f"Bring sensor and magnet {max(found - limit.value, 0.0) + GAP_TOLERANCE:g} mm closer together.",
        )


def upper_part(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height of a contact as a share of the height of its opening."""
    assert limit.value is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        opening, height = placed.spot.opening, placed.spot.z
        if opening is None:
            says = f"{placed.words} is on no opening of the record."
            yield ask.answer(
                Verdict.NOT_VERIFIED,
                says,
                "Record on which opening it is.",
            )
        elif height is None and placed.device.edge == "top":
            says = f"{placed.words} is at the top of the {opening.opening.called}."
            yield ask.answer(Verdict.CONFORMS, says)
        elif height is None:
            says = f"The record gives no height for {placed.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure it from the floor.")
        else:
            found = (height - opening.opening.sill) / opening.height * 100
            least = opening.opening.sill + opening.height * limit.value / 100
            yield ask.measured(
                found,
                found - limit.value,
                placed.spot.tolerance / opening.height * 100,
                f"{placed.words} sits at {found:.0f} % of the height of the {opening.opening.called}",
                remedy=f"Move it up to {least + placed.spot.tolerance:.2f} m above the floor or more.",
            )
