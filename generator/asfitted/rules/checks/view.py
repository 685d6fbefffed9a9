"""How a motion detector hangs and what it looks at."""

from collections.abc import Iterator

from shapely import Polygon, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import PlacedOpening, bearing
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.placing import Ban, Surface, Trial
from asfitted.rules.sight import clearing_turn, off_axis, seen_points

_FAR = 100.0
"""Metres beyond which nothing of a home lies."""
_SLACK = 1e-9
_FIXED = {
    "ceiling": "on the ceiling",
    "wall": "on a wall",
    "corner": "in a corner",
    "outside": "outdoors",
    "opening": "on an opening",
    "floor": "on the floor",
    "unknown": "at a place that is not recorded",
}


def at_height(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height of each device against the limit and its permitted deviation.

    Options: ``not-on``, what a device the rule is not about is fixed to.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "height"))
        if placed.spot.fixed in rule.options.get("not-on", ()):
            says = f"{placed.words} is {_FIXED[placed.spot.fixed]}."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif placed.device.turned_over and case.pets_in(placed.spot.room):
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


def band(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what is lower or higher on a wall, or under a ceiling, than the limit."""
    surface, spare = trial.surface, trial.spare
    placed = next((p for p in trial.case.devices if p.tag == trial.candidate.tag), None)
    over_pets = placed is not None and placed.device.turned_over and trial.case.pets_in(surface.room.id)
    if over_pets or ("ceiling" if surface.wall is None else "wall") in rule.options.get("not-on", ()):
        return
    low = -_FAR if limit.least is None else limit.least + spare
    high = _FAR if limit.most is None else limit.most - spare
    if surface.wall is not None:
        shape = surface.between(-_FAR, low).union(surface.between(max(high, low), _FAR))
    else:
        shape = surface.whole.difference(_under(surface, low, high))
    yield Ban(rule, limit, "its height", shape)


def _under(surface: Surface, low: float, high: float) -> BaseGeometry:
    """Give the part of a ceiling between two heights above the floor."""
    ceiling = surface.room.ceiling
    if ceiling.axis is None or ceiling.is_flat:
        return surface.whole if low - _SLACK <= ceiling.high <= high + _SLACK else Polygon()
    (ax, ay), strips = ceiling.axis, []
    near, far = (max((ceiling.high - height) / ceiling.gradient, 0.0) for height in (high, low))
    for way in (-1, 1):
        ends = [ceiling.top + way * near, ceiling.top + way * far]
        corners = [
            (ax * t - ay * u, ay * t + ax * u)
            for t, u in zip((*ends, *reversed(ends)), (-_FAR, -_FAR, _FAR, _FAR), strict=True)
        ]
        strips.append(Polygon(corners))
    return surface.whole.intersection(union_all(strips)) if low <= ceiling.high else Polygon()


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


def not_in_rooms(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that no device is in a room of the ``uses`` in the options."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        use = case.dwelling.rooms[placed.spot.room].room.use
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
        elif use in rule.options["uses"]:
            yield ask.answer(Verdict.FAILS, f"{placed.words} is in a {use} ({limit.by_whom}).")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is in no {' or '.join(rule.options['uses'])}.")
