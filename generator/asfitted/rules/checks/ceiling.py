"""Heights: below the ceiling on a wall and on the ceiling itself, above doorways, and above the floor."""

from collections.abc import Iterator

from shapely.affinity import translate

from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question
from asfitted.rules.obstacles import top_of
from asfitted.rules.placing import Ban, Trial

_ON_WALL = ("wall", "corner")


def wall_mounted(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far below the ceiling the top of each alarm on a wall is.

    Options: ``ceiling-only``, where an alarm on a wall never conforms.
    """
    for ask, placed, room in _on_walls(rule, limit, case):
        height = _ceiling_at(placed, room)
        if rule.options.get("ceiling-only"):
            says = f"{placed.words} is on a wall; the rule asks for the ceiling ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says, "Move it to the ceiling.")
        elif placed.spot.z is None or height is None:
            says = f"The record does not say how high {placed.words} is on its wall."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure the height of its middle above the floor.")
        elif placed.device.across is None:
            says = f"The record does not say how large {placed.words} is, and the figure goes to its upper edge."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure how far it is across and record that.")
        else:
            found = height - placed.spot.z - placed.device.across / 2
            says = f"The upper edge of {placed.words} is {abs(found):.2f} m {_way(found)} the ceiling"
            yield ask.measured(found, placed.spot.tolerance, says)


def keep_wall_mounted(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the parts of a wall that are too close to the ceiling or too far below it, or all of it."""
    surface, reach = trial.surface, trial.candidate.reach
    if surface.wall is None:
        return
    whole = surface.whole.buffer(1.0)
    if rule.options.get("ceiling-only"):
        yield Ban(rule, limit, "not on the ceiling", whole)
        return
    allowed = surface.whole.buffer(0.0)
    if limit.least is not None:
        allowed = allowed.intersection(translate(surface.whole, 0.0, -(limit.least + reach + trial.spare)))
    if limit.most is not None:
        allowed = allowed.difference(translate(surface.whole, 0.0, -(limit.most + reach - trial.spare)))
    yield Ban(rule, limit, "its height below the ceiling", whole.difference(allowed))


def above_heads(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the lower edge of each alarm on a wall is above the heads of the doorways of its room."""
    for ask, placed, _ in _on_walls(rule, limit, case):
        head = _highest_head(case, placed.spot.room)
        if head is None:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The {placed.room} has no doorway.")
        elif placed.spot.z is None or placed.device.across is None:
            says = f"The record does not say how high and how large {placed.words} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure the height of its middle and how far it is across.")
        else:
            found = placed.spot.z - placed.device.across / 2 - head
            where = f"{abs(found):.2f} m {'above' if found >= 0 else 'below'}"
            says = f"The lower edge of {placed.words} is {where} the head of the highest doorway, {head:.2f} m up"
            yield ask.measured(found, placed.spot.tolerance, says)


def keep_above_heads(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the part of a wall that is below the heads of the doorways."""
    head = _highest_head(trial.case, trial.surface.room.id)
    if trial.surface.wall is not None and head is not None:
        low = head + (limit.least or 0.0) + trial.candidate.reach + trial.spare
        yield Ban(rule, limit, "the doorways", trial.surface.between(-1.0, low))


def sensor_below(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far an alarm on a ceiling hangs below it, where the record gives its height."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        height = _ceiling_at(placed, case.dwelling.rooms[placed.spot.room])
        if placed.spot.fixed != "ceiling" or placed.device.height is None:
            says = f"The record gives {placed.words} no height below a ceiling: it is taken to be right on it."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif height is None:
            says = f"The record does not say where under the sloping ceiling {placed.words} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls and record them.")
        else:
            found = height - placed.device.height
            says = f"{placed.words} hangs {abs(found):.2f} m {_way(found)} the ceiling"
            yield ask.measured(found, placed.spot.tolerance, says)


def no_higher(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how high above the floor each alarm hangs."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        ceiling = case.dwelling.rooms[placed.spot.room].ceiling
        if placed.spot.z is not None:
            says = f"{placed.words} hangs {placed.spot.z:.2f} m above the floor"
            yield ask.measured(placed.spot.z, placed.spot.tolerance, says)
        elif limit.most is not None and ceiling.high <= limit.most:
            says = f"The ceiling over {placed.words} is {ceiling.high:.2f} m high at most"
            yield ask.measured(ceiling.high, 0.0, says)
        else:
            says = f"The record does not say how high {placed.words} hangs, under a ceiling up to {ceiling.high:.2f} m."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure its height above the floor.")


def keep_no_higher(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what of a ceiling or wall is too high above the floor."""
    surface, room = trial.surface, trial.surface.room
    if limit.most is None or room.ceiling.high <= limit.most - trial.spare:
        return
    if surface.wall is not None:
        yield Ban(rule, limit, "its height", surface.between(limit.most - trial.spare, room.ceiling.high + 1.0))
        return
    top = top_of(room)
    over = room.ceiling.high - limit.most
    too_high = room.outline if top is None else top.shape.buffer(over / room.ceiling.gradient + trial.spare)
    yield Ban(rule, limit, "its height", too_high)


def _on_walls(rule: Rule, limit: Limit, case: Case) -> Iterator[tuple[Question, Placed, RoomShape]]:
    """Give the alarms that hang on a wall, each with its question and its room."""
    for placed in case.of_kinds(rule.applies_to):
        if placed.spot.fixed in _ON_WALL:
            ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
            yield ask, placed, case.dwelling.rooms[placed.spot.room]


def _way(found: float) -> str:
    """Say on which side of the ceiling a record has something: above it is a height written down wrongly."""
    return "below" if found >= 0 else "above"


def _ceiling_at(placed: Placed, room: RoomShape) -> float | None:
    """Give the height of the ceiling where a device is; None where it slopes and the record does not say where."""
    if placed.spot.point is not None:
        return room.ceiling.height_at(*placed.spot.point)
    return room.ceiling.high if room.ceiling.is_flat else None


def _highest_head(case: Case, room: str) -> float | None:
    doors = (placed for placed in case.dwelling.openings_of(room) if placed.is_door)
    return max((placed.opening.sill + placed.height for placed in doors), default=None)
