"""How a motion detector hangs and what it looks at."""

from collections.abc import Iterator

from asfitted.dwelling.shapes import PlacedOpening, bearing
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.sight import clearing_turn, off_axis, seen_points


def at_height(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height of each device against the limit and its permitted deviation."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "height"))
        if placed.device.turned_over and case.pets_in(placed.spot.room):
            says = f"{placed.words} is turned over for the animals; its height is judged by the rule about them."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif placed.spot.z is None:
            says = f"The record gives no height for {placed.tag}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure it from the floor.")
        else:
            off = placed.spot.z - _target(limit)
            yield ask.measured(
                placed.spot.z,
                placed.spot.tolerance,
                f"{placed.words} hangs {placed.spot.z:.2f} m above the floor",
                remedy=f"{'Lower' if off > 0 else 'Raise'} it by {abs(off):.2f} m.",
            )


def _target(limit: Limit) -> float:
    """Give the height to hang it at: the middle of what is asked, or its one end."""
    ends = [end for end in (limit.least, limit.most) if end is not None]
    return sum(ends) / len(ends)


def indoors(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a device is inside the dwelling."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        outside = placed.spot.fixed == "outside"
        says = f"{placed.words} hangs {'outdoors' if outside else 'indoors'}."
        yield ask.answer(Verdict.FAILS if outside else Verdict.CONFORMS, says)


def facing_away(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the angle between the way a device faces and what it sees of each large outside pane of its room.

    Options: ``least-area``, square metres of opening from which a pane counts; ``edge-on``, the angle in degrees
    between the line of sight and straight through the pane from which it is seen too flat to count; ``tolerance``,
    degrees by which a direction may be out.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        panes = [pane for pane in case.dwelling.openings_of(placed.spot.room) if _is_pane(pane)]
        large = [pane for pane in panes if pane.opening.width * pane.height > rule.options["least-area"]]
        unknown = [pane for pane in panes if pane.opening.height is None and pane not in large]
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
        elif unknown:
            says = f"The record gives no height for the {unknown[0].opening.called}, in the room of {placed.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure the height of the glass, and record it.")
        elif not large:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} has no large outside pane in its room.")
        elif placed.spot.point is None or placed.spot.facing is None:
            says = f"The record does not say where {placed.tag} is and which way it faces."
            remedy = "Record its corner, or its wall and the distance along it, and facing."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
        else:
            yield _angle(ask, case, placed, large)


def _into(placed: Placed) -> float:
    """Give the bearing straight into the room from where a device hangs."""
    if placed.spot.wall is not None:
        return bearing(-placed.spot.wall.outward[0], -placed.spot.wall.outward[1])
    corners = {"north-east": 225.0, "south-east": 315.0, "south-west": 45.0, "north-west": 135.0}
    return corners.get(placed.device.corner or "", placed.spot.facing or 0.0)


def _is_pane(opening: PlacedOpening) -> bool:
    return opening.is_outer and opening.glazed and opening.opening.kind != "rooflight"


def _angle(ask: Question, case: Case, placed: Placed, panes: list[PlacedOpening]) -> Finding:
    point, facing, limit = placed.spot.point, placed.spot.facing, ask.limit.least
    assert point is not None
    assert facing is not None
    assert limit is not None
    tolerance = float(ask.rule.options["tolerance"])
    outline = case.dwelling.rooms[placed.spot.room].outline
    seen = {pane.id: seen_points(point, pane, outline, ask.rule.options["edge-on"]) for pane in panes}
    targets = [(off_axis(point, facing, target), pane, target) for pane in panes for target in seen[pane.id]]
    if not targets:
        names = listed([f"the {pane.opening.called}" for pane in panes])
        return ask.answer(Verdict.CONFORMS, f"{placed.words} does not see {names} from the front.")
    found, pane, target = min(targets, key=lambda item: item[0])
    turn = clearing_turn(point, facing, _into(placed), [item[2] for item in targets], limit + tolerance)
    if turn is None:
        remedy = "No turn on the spot clears the glass: hang it in the corner beside the window, looking inwards."
    else:
        remedy = f"Turn it {abs(turn):.0f} deg {'clockwise' if turn > 0 else 'anticlockwise'}, seen from above."
    return ask.measured(
        found,
        tolerance,
        f"{placed.words} faces {found:.0f} deg away from the {pane.opening.called}",
        remedy=remedy,
        mark=Mark(point, target),
    )


def over_pets(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a detector where animals roam is turned over, hangs low, and ignored them when tried."""
    assert limit.most is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        pets = case.pets_in(placed.spot.room)
        if not pets or placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No animal roams where {placed.words} is.")
            continue
        animals = listed([f"a {pet.kind} of {pet.mass:g} kg" for pet in pets])
        roam = f"where {animals} roam{'s' if len(pets) == 1 else ''}"
        asks = f"{ask.asks}, turned over."
        turned, height = placed.device.turned_over, placed.spot.z
        tried = case.last_reading(placed.tag, "pet")
        if tried and tried[1] == "detected":
            says = f"On {tried[0].date} an animal set off {placed.words}, {roam}."
            yield ask.answer(
                Verdict.FAILS, says, "Hang it as its maker says for animals, and try again; or take it away."
            )
        elif turned is False:
            yield ask.answer(Verdict.FAILS, f"{placed.words}, {roam}, is not turned over; {asks}")
        elif turned is None or height is None:
            lacks = "whether it is turned over" if turned is None else "how high it hangs"
            says = f"The record does not say {lacks}: {placed.words}, {roam}; {asks}"
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look and measure, and record it.")
        else:
            yield ask.measured(
                height,
                placed.spot.tolerance,
                f"{placed.words}, {roam}, is turned over and hangs {height:.2f} m above the floor",
                remedy=f"Hang it lower than {amount(limit.most - placed.spot.tolerance, 'm')}, as its maker says.",
            )
