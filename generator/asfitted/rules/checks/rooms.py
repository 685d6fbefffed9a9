"""Which rooms need what."""

from collections.abc import Iterator

from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question


def room_has(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each room the rule is about has a device of the kind it asks for.

    Options: ``uses`` of room; ``sleepers`` true for rooms where the record says someone sleeps; ``burning`` true for
    rooms with an appliance, other than a cooker, that burns fuel; ``kinds`` of device, any of which will do.
    """
    kinds = rule.options["kinds"]
    for index, storey in enumerate(case.home.storeys):
        for number, written in enumerate(storey.rooms):
            room = case.dwelling.rooms[written.id]
            because = _because(rule, case, room)
            if because is None:
                continue
            there = [
                p
                for p in case.devices
                if p.spot.room == room.id and p.device.kind in kinds and p.spot.fixed != "outside"
            ]
            subject = Subject("room", room.id, room.room.called, room.id, room.storey)
            ask = Question(rule, limit, subject, ("storeys", index, "rooms", number))
            if there:
                tags = " and ".join(p.tag for p in there)
                says = f"The {room.room.called} {because} and has {tags}."
                yield ask.answer(Verdict.CONFORMS, says)
            else:
                what = " or ".join(kinds)
                says = f"The {room.room.called} {because} and has no {what}; the rule asks for one ({limit.by_whom})."
                yield ask.answer(Verdict.FAILS, says)


def _because(rule: Rule, case: Case, room: RoomShape) -> str | None:
    """Say why the rule is about a room; None when it is not."""
    use = room.room.use
    if use in rule.options.get("uses", ()):
        return f"is a {use}" if use.endswith("room") else f"is a {use} room"
    sleepers = case.home.household.sleepers.get(room.id, 0)
    if rule.options.get("sleepers") and sleepers:
        return f"has {sleepers} sleeping in it"
    if rule.options.get("burning"):
        for placed in case.dwelling.fittings_of(room.id):
            if placed.fitting.burns and placed.fitting.kind != "cooker":
                return f"has a {placed.fitting.called} that burns {placed.fitting.burns}"
    return None
