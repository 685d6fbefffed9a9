"""How a motion detector hangs and what it looks at."""

from collections.abc import Iterator

from asfitted.dwelling.shapes import PlacedOpening, bearing
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, amount

BEARING_TOLERANCE = 5.0
"""Degrees by which a direction judged by eye may be out (common practice, no source)."""


def at_height(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height of each device against the limit and its permitted deviation."""
    assert limit.value is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "height"))
        if placed.device.turned_over:
            says = f"{placed.words} is turned over; its height is judged with the animals in mind."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif placed.spot.z is None:
            says = f"The record gives no height for {placed.tag}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure it from the floor.")
        else:
            found = placed.spot.z
            off = found - limit.value
            wrong = f"{'Lower' if off > 0 else 'Raise'} it by {abs(off):.2f} m."
            yield ask.measured(
                found,
                limit.deviation - abs(off),
                # The deviation is the play that is allowed; a tape's error is a part of it.
                0.0,
                f"{placed.words} hangs {found:.2f} m above the floor",
                remedy=wrong,
            )


def indoors(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a device is inside the dwelling."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        outside = placed.spot.fixed == "outside"
        says = f"{placed.words} hangs {'outdoors' if outside else 'indoors'}."
        verdict = Verdict.FAILS if outside else Verdict.CONFORMS
        yield ask.answer(verdict, says)


def facing_away(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the angle between the way a device faces and each large outside pane of its room.

    Options: ``least-area``, square metres of opening from which a pane counts.
    """
    assert limit.value is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        panes = [
            p for p in case.dwelling.openings_of(placed.spot.room) if _is_large_pane(p, rule.options["least-area"])
        ]
        if placed.spot.fixed == "outside" or not panes:
            says = f"{placed.words} has no large outside pane in its room."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif placed.spot.point is None or placed.spot.facing is None:
            says = f"The record does not say where {placed.tag} is and which way it faces."
            remedy = "Record its corner, or its wall and the distance along it, and facing."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
        else:
            yield _angle(rule, limit, placed, panes)


def _is_large_pane(opening: PlacedOpening, least: float) -> bool:
    size = opening.opening.width * opening.height
    return opening.is_outer and opening.glazed and opening.opening.kind != "rooflight" and size > least


def _angle(rule: Rule, limit: Limit, placed: Placed, panes: list[PlacedOpening]) -> Finding:
    assert limit.value is not None
    assert placed.spot.point is not None
    x, y = placed.spot.point

    def off_axis(pane: PlacedOpening) -> float:
        turn = bearing(pane.middle[0] - x, pane.middle[1] - y) - (placed.spot.facing or 0.0)
        return abs((turn + 180.0) % 360.0 - 180.0)

    pane = min(panes, key=off_axis)
    found = off_axis(pane)
    margin = found - limit.value
    ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
    return ask.measured(
        found,
        margin,
        BEARING_TOLERANCE,
        f"{placed.words} faces {found:.0f} deg away from the middle of the {pane.opening.called}",
        remedy=f"{rule.remedy} Turning it on the spot would take {max(-margin, 0.0) + BEARING_TOLERANCE:.0f} deg.",
        mark=Mark((x, y), pane.middle),
    )


def over_pets(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a detector where animals roam is turned over and hangs lower than usual."""
    assert limit.value is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        room = placed.spot.room
        pets = [pet for pet in case.home.household.pets if not pet.roams or room in pet.roams]
        if not pets or placed.spot.fixed == "outside":
            says = f"No animal roams where {placed.words} is."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
            continue
        animals = " and ".join(f"a {pet.kind} of {pet.mass:g} kg" for pet in pets)
        asks = f"Where {animals} roams the rule asks for a detector turned over, lower than {amount(limit.value, 'm')}"
        asks += f" ({limit.by_whom})."
        turned, height = placed.device.turned_over, placed.spot.z
        if turned is None or height is None:
            lacks = "whether it is turned over" if turned is None else "its height"
            says = f"The record does not say of {placed.words} {lacks}. {asks}"
            yield ask.answer(
                Verdict.NOT_VERIFIED,
                says,
                "Look and measure, and record it.",
            )
        elif not turned:
            yield ask.answer(Verdict.FAILS, f"{placed.words} is not turned over. {asks}")
        else:
            says = f"{placed.words} is turned over and hangs {height:.2f} m above the floor where {animals} roams"
            tolerance = placed.spot.tolerance
            yield ask.measured(height, limit.value - height, tolerance, says)
