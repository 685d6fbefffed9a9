"""How far from the doors of bedrooms a carbon monoxide alarm is."""

from collections.abc import Iterator, Sequence

from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.doorways import way_to_door
from asfitted.rules.checks.home_terms import not_put, on_home_terms
from asfitted.rules.checks.rooms import serves
from asfitted.rules.checks.wanting import burns_somewhere, sleeps, unknown_fuel
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question


@on_home_terms
def near_bedrooms(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the walk from each bedroom door to the nearest alarm, where something in the home burns fuel.

    Options: ``cookers`` true where they count; ``garage`` true where one that opens into the home counts;
    ``flues-left-out``; and the terms of :mod:`asfitted.rules.checks.home_terms`.
    """
    assert limit.most is not None
    why_not = not_put(rule.options, case)
    unsaid = None
    if not burns_somewhere(rule, case):
        unsaid = unknown_fuel(case)
        why_not = "" if unsaid else "Nothing in the record burns fuel in a way that the rule counts."
    alarms = [item for item in case.of_kinds(("carbon monoxide alarm",)) if serves(item, case)]
    for index, storey in enumerate(case.home.storeys):
        for number, written in enumerate(storey.rooms):
            if not sleeps(case, written.id):
                continue
            room = case.dwelling.rooms[written.id]
            subject = Subject("room", room.id, written.called, room.id, room.storey)
            ask = Question(rule, limit, subject, ("storeys", index, "rooms", number))
            finding = _near_bedroom(ask, room, alarms, case, why_not)
            yield _in_doubt(ask, finding, unsaid) if unsaid else finding


def _in_doubt(ask: Question, finding: Finding, unsaid: str) -> Finding:
    """Let nothing fail while the record does not say whether anything in the home burns fuel."""
    if finding.verdict is not Verdict.FAILS:
        return finding
    says = f"{finding.says} The record does not say what the {unsaid} burns."
    return ask.answer(Verdict.NOT_VERIFIED, says, f"Record burns. If it burns anything: {finding.remedy}")


def _near_bedroom(ask: Question, room: RoomShape, alarms: Sequence[Placed], case: Case, why_not: str) -> Finding:
    name = f"the {room.room.called}"
    if why_not:
        return ask.answer(Verdict.NOT_APPLICABLE, why_not)
    near = way_to_door(case, room, alarms)
    lost = [item.words for item in alarms if item.spot.point is None and item.spot.room != room.id]
    if near is not None and near.placed.spot.room == room.id:
        return ask.answer(Verdict.CONFORMS, f"{near.placed.words} is in the room.")
    if near is not None:
        says = f"From the door of {name} to {near.placed.words} it is {near.length:.2f} m on foot"
        finding = ask.measured(near.length, near.placed.spot.tolerance, says)
        if not lost or finding.verdict is Verdict.CONFORMS:
            return finding
    if lost:
        says = f"The record does not say where {lost[0]} is, so the way from {name} is not known."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls and record them.")
    says = f"No carbon monoxide alarm on record is in {name} or on a way to it; {ask.asks}."
    return ask.answer(Verdict.FAILS, says)
