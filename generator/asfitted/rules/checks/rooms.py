"""Which rooms need what."""

from collections.abc import Iterator

from asfitted.dwelling.shapes import RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed

BURNERS = ("boiler", "stove")
"""Fittings that burn fuel unless the record says what they run on; a cooker is left out by the rule."""


def room_has(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each room the rule is about has a device of the kind it asks for, fitted by the day.

    Options: ``uses`` of room; ``sleepers`` true for rooms where the record says someone sleeps; ``burning`` true for
    rooms with an appliance, other than a cooker, that burns fuel; ``kinds`` of device, any of which will do.
    """
    what = " or ".join(rule.options["kinds"])
    for index, storey in enumerate(case.home.storeys):
        for number, written in enumerate(storey.rooms):
            room = case.dwelling.rooms[written.id]
            ask = Question(
                rule,
                limit,
                Subject("room", room.id, room.room.called, room.id, room.storey),
                ("storeys", index, "rooms", number),
            )
            because = _because(rule, case, room)
            there = [
                placed.tag
                for placed in case.of_kinds(tuple(rule.options["kinds"]))
                if placed.spot.room == room.id and _serves(placed, room.storey, case)
            ]
            reason = "" if because is None or because in room.room.called.lower() else f" ({because})"
            name = f"The {room.room.called}{reason}"
            if because is not None and there:
                yield ask.answer(Verdict.CONFORMS, f"{name} has {listed(there)}.")
            elif because is not None:
                says = f"{name} has no {what}; the rule asks for one ({limit.by_whom})."
                yield ask.answer(Verdict.FAILS, says)
            elif rule.options.get("burning") and (unknown := _unknown_burner(case, room)) and not there:
                says = f"The record does not say what the {unknown} in the {room.room.called} burns."
                yield ask.answer(Verdict.NOT_VERIFIED, says, "Record burns, and fit an alarm if it burns anything.")


def storey_has(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each storey with a room that people enter has a device of the kind the rule asks for.

    Options: ``kinds`` of device, any of which will do.
    """
    what = " or ".join(rule.options["kinds"])
    for index, storey in enumerate(case.dwelling.storeys):
        name = storey.storey.called
        ask = Question(rule, limit, Subject("storey", storey.id, name, None, storey.id), ("storeys", index))
        there = [
            placed.tag for placed in case.of_kinds(tuple(rule.options["kinds"])) if _serves(placed, storey.id, case)
        ]
        if there:
            yield ask.answer(Verdict.CONFORMS, f"The {name} has {listed(there)}.")
        elif any(room.room.use != "void" for room in storey.rooms):
            says = f"The {name} has no {what}; the rule asks for one ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says)


def _serves(placed: Placed, storey: str, case: Case) -> bool:
    fitted = placed.device.fitted
    return placed.spot.storey == storey and placed.spot.fixed != "outside" and (fitted is None or fitted <= case.on)


def _because(rule: Rule, case: Case, room: RoomShape) -> str | None:
    """Say why the rule is about a room; None when it is not."""
    use = room.room.use
    sleepers = case.home.household.sleepers.get(room.id, 0)
    if use in rule.options.get("uses", ()):
        return use
    if rule.options.get("sleepers") and sleepers:
        return f"{sleepers} sleep here"
    if rule.options.get("burning"):
        for placed in case.dwelling.fittings_of(room.id):
            if placed.fitting.burns and placed.fitting.kind != "cooker":
                return f"{placed.fitting.called}, burns {placed.fitting.burns}"
    return None


def _unknown_burner(case: Case, room: RoomShape) -> str | None:
    burners = case.dwelling.fittings_of(room.id, *BURNERS)
    return next((placed.fitting.called for placed in burners if not placed.fitting.burns), None)
