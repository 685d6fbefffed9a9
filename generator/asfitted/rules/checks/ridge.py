"""The place of an alarm below the top of a sloping ceiling, in the reading each rule set gives, or in all of them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from asfitted.dwelling.shapes import RoomShape
from asfitted.reckon.slope import READINGS, Reading, from_top, stretch
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, listed, verdict_of
from asfitted.rules.obstacles import SIDES, Obstacle, top_of
from asfitted.rules.placing import Ban, Trial

HOW: Mapping[Reading, str] = {"vertical": "straight down", "horizontal": "on the plan", "slope": "down the slope"}
"""How a reading is said in a sentence."""


@dataclass(frozen=True, slots=True)
class _Part:
    """A limit in one reading, or, with several, in each of those that a source leaves open."""

    limit: Limit
    readings: tuple[Reading, ...]


def below_top(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far down a sloping ceiling each alarm hangs.

    Options: ``reading``, in which way the figure is meant: ``vertical``, ``horizontal``, ``slope``, or ``any`` where
    the source does not say; ``also``, a second figure with its reading; ``shed``, whether a ceiling that rises one way
    counts too, or ``weak`` where that is not certain; ``flat-to``, the slope in degrees up to which a ceiling is flat.
    A limit without a figure asks for the highest point.
    """
    for placed in case.of_kinds(rule.applies_to):
        yield _below_top(Question(rule, limit, placed.subject, ("devices", placed.tag)), case, placed)


def _below_top(ask: Question, case: Case, placed: Placed) -> Finding:
    room = case.dwelling.rooms[placed.spot.room]
    if placed.spot.fixed not in ("ceiling", "unknown"):
        return ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is not on a ceiling.")
    top = _top(ask.rule, room)
    if top is None:
        says = f"The ceiling of the {placed.room} is flat, or counts as flat here."
        return ask.answer(Verdict.NOT_APPLICABLE, says)
    if placed.spot.point is None:
        says = f"The record does not say where in the {placed.room} {placed.tag} is."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls and record them.")
    parts = list(_parts(ask.rule, _limit(ask.rule, ask.limit, room)))
    if not parts:
        says = f"{_three(placed, room, top)}. The source asks for the highest point and does not say how far below it."
        remedy = "Ask the authority, or hang it where the figures of other rule sets agree as well."
        return ask.answer(Verdict.NOT_VERIFIED, says, remedy)
    found = [_judged(replace(ask, limit=part.limit), placed, room, top, part) for part in parts]
    return min(found, key=lambda finding: finding.verdict.rank)


def _judged(ask: Question, placed: Placed, room: RoomShape, top: Obstacle, part: _Part) -> Finding:
    gradient = room.ceiling.gradient
    figures = _figures(placed, room, part.limit)
    tolerances = {reading: placed.spot.tolerance * stretch(gradient, reading) for reading in READINGS}
    if len(part.readings) > 1:
        verdicts = {verdict_of(part.limit.margin(figures[r]), tolerances[r]) for r in part.readings}
        if len(verdicts) > 1:
            says = f"{_three(placed, room, top)}; {ask.asks}. The source does not say which way that is measured, "
            says += "and they do not agree."
            remedy = "Hang it where all three conform, or ask the authority which is meant."
            return ask.answer(Verdict.NOT_VERIFIED, says, remedy)
    worst = min(part.readings, key=lambda reading: part.limit.margin(figures[reading]))
    point = placed.spot.point
    assert point is not None
    says = f"{placed.words} is {figures[worst]:.2f} m {HOW[worst]} from {top.name}"
    bound = part.limit.least if part.limit.least is not None and figures[worst] < part.limit.least else part.limit.most
    radius = bound / stretch(gradient, worst) if bound else None
    return ask.measured(figures[worst], tolerances[worst], says, mark=Mark(point, top.nearest(point), radius))


def _figures(placed: Placed, room: RoomShape, limit: Limit) -> dict[Reading, float]:
    """Give the three distances: from the edge of the alarm for what is to be kept, else from its middle."""
    assert placed.spot.point is not None
    edge = (placed.device.across or 0.0) / 2 if limit.most is None else 0.0
    gradient = room.ceiling.gradient
    run = room.ceiling.run_from_top(*placed.spot.point) - edge / stretch(gradient, "slope")
    return from_top(run, gradient)


def _three(placed: Placed, room: RoomShape, top: Obstacle) -> str:
    assert placed.spot.point is not None
    figures = from_top(room.ceiling.run_from_top(*placed.spot.point), room.ceiling.gradient)
    return f"{placed.words} is {listed([f'{figures[r]:.2f} m {HOW[r]}' for r in READINGS])} from {top.name}"


def _top(rule: Rule, room: RoomShape) -> Obstacle | None:
    """Give the top of a ceiling that counts as sloping under a rule."""
    ceiling, options = room.ceiling, rule.options
    if ceiling.is_flat or ceiling.pitch <= options.get("flat-to", 0.0):
        return None
    return top_of(room) if ceiling.ridged or options.get("shed") else None


def _limit(rule: Rule, limit: Limit, room: RoomShape) -> Limit:
    """Give the limit as it stands for a ceiling: one that rises one way may be less certain."""
    if not room.ceiling.ridged and rule.options.get("shed") == "weak":
        return replace(limit, confidence="medium", status="from memory")
    return limit


def _parts(rule: Rule, limit: Limit) -> Iterator[_Part]:
    if limit.figure:
        yield _Part(limit, _readings(rule.options["reading"]))
    also: Mapping[str, Any] = rule.options.get("also", {})
    if also:
        second = replace(limit, least=also.get("least"), most=also.get("most"), printed=also.get("printed", ""))
        yield _Part(second, _readings(also["reading"]))


def _readings(name: str) -> tuple[Reading, ...]:
    return READINGS if name == "any" else tuple(reading for reading in READINGS if reading == name)


def _between(part: _Part, gradient: float) -> tuple[float, float | None]:
    """Give how far from the top, on the plan, an alarm may be: where all readings agree, or else most of them."""
    least, most = part.limit.least or 0.0, part.limit.most
    lows = [least / stretch(gradient, reading) for reading in part.readings]
    if most is None:
        return max(lows), None
    highs = [most / stretch(gradient, reading) for reading in part.readings]
    for count in range(len(lows), 0, -1):
        for chosen in combinations(range(len(lows)), count):
            low, high = max(lows[i] for i in chosen), min(highs[i] for i in chosen)
            if low <= high:
                return low, high
    return max(lows), max(highs)


def keep_below_top(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what is too close to the top of a ceiling, and too far down it.

    Where the source does not say which reading is meant, what does not conform in all of them is forbidden; on a
    ceiling where they leave nothing together, what does not conform in two.
    """
    room = trial.surface.room
    top = _top(rule, room)
    if top is None or trial.surface.wall is not None:
        return
    gradient, whole = room.ceiling.gradient, room.outline.buffer(1.0)
    for part in _parts(rule, limit):
        reach = trial.candidate.reach / stretch(gradient, "slope") if part.limit.most is None else 0.0
        low, high = _between(part, gradient)
        if part.limit.least is not None:
            near = top.shape.buffer(low + reach + trial.spare, quad_segs=SIDES)
            yield Ban(rule, part.limit, top.name, near, replace(top, stretch=stretch(gradient, part.readings[-1])))
        if high is not None:
            far = whole.difference(top.shape.buffer(max(high - trial.spare, 0.0), quad_segs=SIDES))
            yield Ban(rule, part.limit, f"too far from {top.name}", far)
