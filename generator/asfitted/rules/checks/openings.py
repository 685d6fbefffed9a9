"""How an opening contact sits."""

from collections.abc import Iterator

from asfitted.dwelling.shapes import PlacedOpening
from asfitted.reckon.contact import opening_at_lock_edge, spread_at_lock_edge
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question, listed


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


def signals_at(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far an opening is open at its edge when its contact signals.

    What was measured at a visit beats what the device says, and that beats what its two distances give.

    Options: ``kinds`` of opening; ``tolerance``, millimetres by which the edge read at a visit may be out;
    ``part-tolerance``, the same for each distance between sensor and magnet.
    """
    for placed in case.of_kinds(rule.applies_to):
        opening = placed.spot.opening
        if opening is None or opening.opening.kind not in rule.options["kinds"]:
            continue
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        name = f"{placed.words}, on the {opening.opening.called},"
        reading = case.last_reading(placed.tag, "at")
        if reading is not None:
            found = float(str(reading[1])) * 1000
            says = f"{name} signalled on {reading[0].date} when it was open by {found:.0f} mm"
            yield ask.measured(found, rule.options["tolerance"], says)
        elif placed.device.signals_at is not None:
            found = placed.device.signals_at * 1000
            yield ask.measured(found, rule.options["tolerance"], f"{name} signals when it is open by {found:.0f} mm")
        else:
            yield _computed(ask, case, placed, opening)


def _computed(ask: Question, case: Case, placed: Placed, opening: PlacedOpening) -> Finding:
    device, width = placed.device, opening.opening.width
    reading = case.last_reading(placed.tag, "gap")
    gap = float(str(reading[1])) if reading else device.gap
    arm = _from_hinge(placed, opening)
    needs = {"gap": gap, "parts-at": device.parts_at, "from-hinge": arm}
    lacks = [key for key, value in needs.items() if not value]
    if gap is None or device.parts_at is None or not arm:
        says = f"The record does not tell how far the {opening.opening.called} is open when {placed.words} signals"
        remedy = f"Open it slowly and measure as it signals, and record at; or record {listed(lacks)}."
        return ask.answer(Verdict.NOT_VERIFIED, f"{says}; {ask.asks}.", remedy)
    found = opening_at_lock_edge(width, gap, device.parts_at, arm) * 1000
    spread = spread_at_lock_edge(width, arm, ask.rule.options["part-tolerance"])
    says = f"By its distances {placed.words} signals when the {opening.opening.called} is open by {found:.1f} mm"
    return ask.measured(found, spread, says)


def _from_hinge(placed: Placed, opening: PlacedOpening) -> float | None:
    """Give the distance from hinge to contact; the whole width at the lock side, and for a leaf that slides."""
    if placed.device.from_hinge is not None:
        return placed.device.from_hinge
    slides = opening.opening.kind == "sliding-door"
    return opening.opening.width if slides or placed.device.edge == "lock side" else None


def airing(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far a window stands open that is set to stand ajar. Options: ``tolerance``, millimetres."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "quiet-up-to"))
        quiet = placed.device.quiet_up_to
        if quiet is None:
            says = f"No position for airing is recorded for {placed.words}."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        else:
            says = f"{placed.words} stays quiet until it is open by {quiet * 1000:.0f} mm"
            yield ask.measured(quiet * 1000, rule.options["tolerance"], says)


def from_hinge(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far from the hinge a contact sits, in per cent of the width. Options: ``tolerance``, per cent."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "from-hinge"))
        opening = placed.spot.opening
        if opening is None or opening.opening.kind in ("sliding-door", "archway"):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is on no leaf that turns on a hinge.")
        elif placed.device.edge == "hinge side" and placed.device.from_hinge is None:
            yield ask.answer(Verdict.FAILS, f"{placed.words} sits at the hinge; {ask.asks}.")
        elif (arm := _from_hinge(placed, opening)) is None:
            says = f"The record does not say how far from the hinge {placed.words} is; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure along the leaf, and record edge or from-hinge.")
        else:
            found = arm / opening.opening.width * 100
            says = f"{placed.words} sits at {found:.0f} % of the width of the {opening.opening.called} from its hinge"
            yield ask.measured(found, rule.options["tolerance"], says)


def in_from_frame(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far in from the lock edge a contact on the head of a door sits."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "from-hinge"))
        opening, edge = placed.spot.opening, placed.device.edge
        if opening is None or opening.opening.kind != "door" or edge not in ("top", None):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not on the head of a door.")
        elif edge is None or placed.device.from_hinge is None:
            says = f"The record does not say where on the {opening.opening.called} {placed.words} sits; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure from the hinge, and record edge and from-hinge.")
        else:
            found = opening.opening.width - placed.device.from_hinge
            says = f"{placed.words} sits {found:.2f} m in from the lock edge of the {opening.opening.called}"
            yield ask.measured(found, placed.spot.tolerance, says)


def off_steel(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a contact on a steel leaf has a spacer, or is made for steel."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "spacer"))
        opening, spacer = placed.spot.opening, placed.device.spacer
        leaf = opening.opening.leaf if opening else None
        if opening is None or (leaf is None and not opening.is_door) or leaf not in (None, "steel"):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is on no steel leaf.")
        elif leaf is None:
            says = f"The record does not say what the {opening.opening.called} is made of, which {placed.tag} is on."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Try it with a magnet, and record leaf.")
        elif spacer is None:
            says = f"{placed.words} is on a steel leaf; the record does not say whether it has a spacer."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look, and record spacer.")
        else:
            says = f"{placed.words} is on a steel leaf {'with' if spacer else 'without'} a spacer ({limit.by_whom})."
            yield ask.answer(Verdict.CONFORMS if spacer else Verdict.FAILS, says)
