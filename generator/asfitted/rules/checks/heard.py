"""Whether alarms are heard where people sleep, and what wakes those who do not hear."""

from collections.abc import Iterator

from asfitted.dwelling.paths import Walk, walk
from asfitted.dwelling.shapes import XY, RoomShape
from asfitted.model.visit import Test, Visit
from asfitted.reckon.sound import level_at
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.home_terms import not_put, on_home_terms
from asfitted.rules.checks.rooms import serves
from asfitted.rules.checks.wanting import sleeps
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed

NEAREST = 0.5
"""Metres below which a distance is taken as this: at the alarm itself the formula has no meaning."""
_FIRE = ("smoke alarm", "heat alarm")


def _rooms(rule: Rule, limit: Limit, case: Case) -> Iterator[tuple[Question, RoomShape]]:
    uses = rule.options.get("uses", ())
    for index, storey in enumerate(case.home.storeys):
        for number, written in enumerate(storey.rooms):
            room = case.dwelling.rooms[written.id]
            if sleeps(case, room.id) or written.use in uses:
                subject = Subject("room", room.id, room.room.called, room.id, room.storey)
                yield Question(rule, limit, subject, ("storeys", index, "rooms", number)), room


@on_home_terms
def heard_in_bed(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the level of the loudest alarm in each room where people sleep, with doors closed, in dB(A).

    A measured level counts; without one a level is worked out and told, and nothing is verified. Options: ``uses``,
    rooms that count besides; ``meter``, dB by which a reading may be out; ``output`` and ``given-at``, the dB(A) and
    metres taken for an alarm whose output is not recorded; ``door``, dB that a closed door takes off; and the terms of
    :mod:`asfitted.rules.checks.home_terms`.
    """
    why_not = not_put(rule.options, case)
    for ask, room in _rooms(rule, limit, case):
        name = f"the {room.room.called}"
        readings = _readings(case, rule.applies_to, room.id)
        closed = [reading for reading in readings if reading[2].doors == "closed"]
        if why_not:
            yield ask.answer(Verdict.NOT_APPLICABLE, why_not)
        elif closed:
            tag, visit, test = max(closed, key=lambda reading: reading[2].level[room.id])
            says = f"{tag} was measured on {visit.date} at {test.level[room.id]:.1f} dB(A) in {name}, doors closed"
            yield ask.measured(test.level[room.id], rule.options["meter"], says)
        elif readings:
            tag, visit, test = max(readings, key=lambda reading: reading[2].level[room.id])
            says = f"{tag} was measured on {visit.date} at {test.level[room.id]:.1f} dB(A) in {name}, but not with "
            says += f"doors closed, as far as the record says; {ask.asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, _MEASURE)
        else:
            says = f"No sound level is recorded in {name}; {ask.asks}.{_expected(rule, case, room)}"
            yield ask.answer(Verdict.NOT_VERIFIED, says, _MEASURE)


_MEASURE = "Close the doors, sound the alarm, measure at the bed, and record level and doors."


def _readings(case: Case, kinds: tuple[str, ...], room: str) -> list[tuple[str, Visit, Test]]:
    """Give the last reading that each alarm has in a room."""
    found = []
    for item in case.of_kinds(kinds):
        tests = [(item.tag, visit, test) for visit, test in case.tests_of(item.tag) if room in test.level]
        found += tests[-1:]
    return found


def _expected(rule: Rule, case: Case, room: RoomShape) -> str:
    """Say what level the formula gives for the alarm that comes out loudest."""
    options, best = rule.options, None
    for item in case.of_kinds(rule.applies_to):
        way = _way(case, item, room)
        if way is None or not serves(item, case):
            continue
        doors = [name for name in way.passed if _is_leaf(case, name)]
        distance = max(way.length, NEAREST)
        output = item.device.output or options["output"]
        level = level_at(output, options["given-at"], distance, options["door"] * len(doors))
        if best is None or level > best[0]:
            stated = "stated" if item.device.output else "taken"
            shut = f" and {len(doors)} closed door{'s' if len(doors) > 1 else ''}" if doors else ""
            best = level, f"{item.tag}, {distance:.1f} m of way{shut}, {output:.0f} dB(A) {stated}"
    if best is None:
        return ""
    return f" By the formula about {best[0]:.1f} dB(A) would arrive ({best[1]}); that is no proof."


def _way(case: Case, item: Placed, room: RoomShape) -> Walk | None:
    if item.spot.point is None or item.spot.fixed == "outside":
        return None
    return walk(case.dwelling, (item.spot.room, item.spot.point), (room.id, _bed(case, room)))


def _bed(case: Case, room: RoomShape) -> XY:
    beds = [placed.spot.point for placed in case.dwelling.fittings_of(room.id, "bed") if placed.spot.point]
    middle = room.outline.representative_point()
    return beds[0] if beds else (float(middle.x), float(middle.y))


def _is_leaf(case: Case, name: str) -> bool:
    opening = case.dwelling.openings.get(name)
    return opening is not None and opening.opening.kind != "archway"


def woken_otherwise(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a room of people who may not hear an alarm has one that wakes them by another means.

    Options: ``means``, those that serve.
    """
    means, deaf = rule.options["means"], case.home.household.hard_of_hearing
    for index, storey in enumerate(case.home.storeys):
        for number, room in enumerate(storey.rooms):
            if not deaf.get(room.id):
                continue
            subject = Subject("room", room.id, room.called, room.id, storey.id)
            ask = Question(rule, limit, subject, ("storeys", index, "rooms", number))
            here = [item for item in case.of_kinds(_FIRE) if item.spot.room == room.id and serves(item, case)]
            good = [item.tag for item in here if set(item.device.wakes_by) & set(means)]
            silent = [item.tag for item in here if "wakes_by" not in item.device.model_fields_set]
            who = f"{deaf[room.id]} in the {room.called} may not hear an alarm"
            if good:
                yield ask.answer(Verdict.CONFORMS, f"{who}; {listed(good)} wakes by other means too.")
            elif silent:
                says = f"{who}, and the record does not say how {listed(silent)} wakes people."
                yield ask.answer(Verdict.NOT_VERIFIED, says, "Look at the alarm, and record wakes-by.")
            else:
                says = f"{who}; the rule asks for another means there: {' or '.join(means)} ({limit.by_whom})."
                yield ask.answer(Verdict.FAILS, says)
