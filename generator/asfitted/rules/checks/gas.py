"""Where a carbon monoxide alarm goes, by the appliance, the ceiling and the openings of its room."""

from collections.abc import Iterator
from math import hypot

from shapely import Point, Polygon, box, union_all
from shapely.affinity import translate

from asfitted.dwelling.shapes import PlacedFitting, RoomShape
from asfitted.model.words import READING_TOLERANCE
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.wanting import burners, sleeps, unknown_fuel
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question
from asfitted.rules.placing import Ban, Trial

_FAR = 100.0
"""Metres beyond which nothing of a home lies."""
_SIDES = 64
"""Sides of a quarter of a circle."""


def _lit(rule: Rule, case: Case, room: RoomShape) -> list[PlacedFitting]:
    return [lit for lit in burners(rule, case, room) if lit.spot.room == room.id]


def _alarms(rule: Rule, limit: Limit, case: Case) -> Iterator[tuple[Question, Placed, list[PlacedFitting]]]:
    for item in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, item.subject, ("devices", item.tag))
        yield ask, item, _lit(rule, case, case.dwelling.rooms[item.spot.room])


def _no_appliance(ask: Question, item: Placed, case: Case) -> Finding:
    if unsaid := unknown_fuel(case, item.spot.room):
        says = f"The record does not say what the {unsaid} in the {item.room} burns."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Look at its plate, and record burns.")
    says = f"The {item.room} has no appliance on record that burns fuel, other than one for cooking."
    return ask.answer(Verdict.NOT_APPLICABLE, says)


def _no_place(ask: Question, item: Placed) -> Finding:
    says = f"The record does not say where in the {item.room} {item.tag} is."
    return ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls, and on a wall its height.")


def from_appliance(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how far, on the plan, an alarm is from the nearest appliance of its room."""
    for ask, item, lit in _alarms(rule, limit, case):
        points = [one for one in lit if one.shape is not None]
        if not lit:
            yield _no_appliance(ask, item, case)
        elif item.spot.point is None:
            yield _no_place(ask, item)
        elif not points:
            says = f"The record does not say where the {lit[0].fitting.called} in the {item.room} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure it from two walls, and record it.")
        else:
            here = Point(item.spot.point)
            near = min(points, key=lambda one: here.distance(one.shape))
            found = float(here.distance(near.shape))
            spread = hypot(item.spot.tolerance, READING_TOLERANCE[near.fitting.by])
            says = f"{item.words} is {found:.2f} m from the {near.fitting.called}"
            yield ask.measured(found, spread, says, mark=Mark(item.spot.point, near.spot.point))


def by_appliance(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid what is too close to an appliance of the room, or too far from all of them."""
    lit = [
        (one.shape, READING_TOLERANCE[one.fitting.by], f"the {one.fitting.called}")
        for one in _lit(rule, trial.case, trial.surface.room)
        if one.shape is not None
    ]
    if not lit or limit.least is None or limit.most is None:
        return
    reached = []
    for shape, spread, name in lit:
        more = hypot(trial.spare, spread) if trial.spare else 0.0
        reached.append(shape.buffer(limit.most - more, quad_segs=_SIDES))
        yield Ban(rule, limit, name, trial.surface.under(shape.buffer(limit.least + more, quad_segs=_SIDES)))
    far = trial.surface.room.outline.buffer(1.0, join_style="mitre").difference(union_all(reached))
    yield Ban(rule, limit, lit[0][2], trial.surface.under(far))


def gap_to_ceiling(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge, on a wall in a room with an appliance, the gap between the top of an alarm and the ceiling above it."""
    for ask, item, lit in _alarms(rule, limit, case):
        half = (item.device.across or 0.0) / 2
        if not lit:
            yield _no_appliance(ask, item, case)
        elif item.spot.fixed not in ("wall", "corner", "unknown"):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{item.words} is not on a wall.")
        elif item.spot.point is None or item.spot.z is None:
            yield _no_place(ask, item)
        else:
            ceiling = case.dwelling.rooms[item.spot.room].ceiling.height_at(*item.spot.point)
            found = ceiling - item.spot.z - half
            part = "top" if half else "middle"
            way = "below" if found >= 0 else "above"
            says = f"The {part} of {item.words} is {abs(found):.2f} m {way} the ceiling"
            yield ask.measured(found, item.spot.tolerance, says)


def off_ceiling(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the strip of a wall along the ceiling, in a room with an appliance."""
    surface = trial.surface
    if surface.wall is None or limit.least is None or not _lit(rule, trial.case, surface.room):
        return
    lower = translate(surface.whole, 0.0, -(limit.least + trial.candidate.reach + trial.spare))
    strip = surface.whole.difference(lower.union(box(-_FAR, -_FAR, _FAR, 0.0)))
    yield Ban(rule, limit, "the ceiling", strip)


def _heads(case: Case, room: RoomShape) -> list[tuple[str, float | None]]:
    """Give the openings in the walls of a room and how high their heads are; None where a window's is not known."""
    return [
        (
            opening.opening.called,
            None if opening.opening.height is None and not opening.is_door else opening.opening.sill + opening.height,
        )
        for opening in case.dwelling.openings_of(room.id)
        if opening.wall is not None and opening.opening.kind != "archway" and opening.opening.opening_part
    ]


def above_openings(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge, on a wall in a room with an appliance, that an alarm is above the head of every door and window."""
    for ask, item, lit in _alarms(rule, limit, case):
        half = (item.device.across or 0.0) / 2
        heads = _heads(case, case.dwelling.rooms[item.spot.room])
        known = [(name, head) for name, head in heads if head is not None]
        if not lit:
            yield _no_appliance(ask, item, case)
        elif item.spot.fixed not in ("wall", "corner", "unknown"):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{item.words} is not on a wall.")
        elif item.spot.z is None:
            yield _no_place(ask, item)
        elif not heads:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The {item.room} has no door or window on record.")
        else:
            name, head = max(known, key=lambda one: one[1], default=("", 0.0))
            found = item.spot.z - half - head
            part = "bottom" if half else "middle"
            way = "above" if found >= 0 else "below"
            says = f"The {part} of {item.words} is {abs(found):.2f} m {way} the head of the {name}"
            finding = ask.measured(found, item.spot.tolerance, says)
            lost = [name for name, head in heads if head is None]
            if lost and finding.verdict is not Verdict.FAILS:
                says = f"The record does not say how high the {lost[0]} in the {item.room} is."
                yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure sill and height, and record them.")
            else:
                yield finding


def over_openings(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid a wall up to the head of the highest door or window, in a room with an appliance."""
    surface = trial.surface
    heads = [(head, name) for name, head in _heads(trial.case, surface.room) if head is not None]
    if surface.wall is None or not heads or not _lit(rule, trial.case, surface.room):
        return
    head, name = max(heads)
    top = head + (limit.least or 0.0) + trial.candidate.reach + trial.spare
    yield Ban(rule, limit, f"the {name}", surface.between(-1.0, top))


def _low_half(room: RoomShape) -> Polygon:
    """Give the part of the plan under the lower half of a sloping ceiling."""
    ceiling = room.ceiling
    assert ceiling.axis is not None
    (ax, ay), top = ceiling.axis, ceiling.top
    run = abs(ceiling.end - ceiling.start) / (4 if ceiling.ridged else 2)
    x, y, sides = ax * top, ay * top, ((-ay, ax), (ay, -ax))
    high = Polygon(
        [
            (x + ax * run * way + sx * _FAR, y + ay * run * way + sy * _FAR)
            for way, (sx, sy) in ((-1, sides[0]), (-1, sides[1]), (1, sides[1]), (1, sides[0]))
        ]
    )
    return room.outline.buffer(1.0, join_style="mitre").difference(high)


def on_high_side(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that an alarm under a sloping ceiling, in a room with an appliance, is on the higher half of the room."""
    for ask, item, lit in _alarms(rule, limit, case):
        room = case.dwelling.rooms[item.spot.room]
        if not lit:
            yield _no_appliance(ask, item, case)
        elif room.ceiling.is_flat:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The ceiling of the {item.room} is level.")
        elif item.spot.point is None:
            yield _no_place(ask, item)
        else:
            height = room.ceiling.height_at(*item.spot.point)
            middle = (room.ceiling.low + room.ceiling.high) / 2
            low = _low_half(room).covers(Point(item.spot.point)) and height < middle
            says = f"The ceiling is {height:.2f} m high at {item.words}, {room.ceiling.high:.2f} m at its highest"
            yield ask.answer(Verdict.FAILS if low else Verdict.CONFORMS, f"{says} ({limit.by_whom}).")


def high_side(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the lower half under a sloping ceiling, in a room with an appliance."""
    room = trial.surface.room
    if not room.ceiling.is_flat and _lit(rule, trial.case, room):
        yield Ban(rule, limit, "the low side of the ceiling", trial.surface.under(_low_half(room)))


def fixed_up(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that an alarm in a room with an appliance is fixed in its place."""
    for ask, item, lit in _alarms(rule, limit, case):
        if not lit:
            yield _no_appliance(ask, item, case)
        elif item.spot.fixed in ("ceiling", "wall", "corner"):
            yield ask.answer(Verdict.CONFORMS, f"{item.words} is fixed to the {item.spot.fixed}.")
        elif item.spot.fixed == "unknown":
            says = f"The record does not say what {item.words} is fixed to."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record on: ceiling of the room, or in: with wall and height.")
        else:
            where = "is outside" if item.spot.fixed == "outside" else f"stands on the {item.spot.fixed}"
            yield ask.answer(Verdict.FAILS, f"{item.words} {where} ({limit.by_whom}).")


def breathing_height(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the height of an alarm in a room where people sleep and nothing burns."""
    for ask, item, lit in _alarms(rule, limit, case):
        if lit or not sleeps(case, item.spot.room):
            says = f"The {item.room} has an appliance." if lit else f"Nobody sleeps in the {item.room} on record."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif item.spot.z is None:
            says = f"The record gives no height for {item.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure it from the floor to its middle.")
        else:
            says = f"{item.words} is {item.spot.z:.2f} m above the floor"
            yield ask.measured(item.spot.z, item.spot.tolerance, says)
