"""Which rooms need what."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from asfitted.dwelling.shapes import RoomShape
from asfitted.dwelling.ways import open_plan
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.doorways import way_to_door
from asfitted.rules.checks.home_terms import not_put, on_home_terms
from asfitted.rules.checks.wanting import because, beside, burns_somewhere, unknown_burner, unknown_fuel
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed


@dataclass(frozen=True)
class _Asked:
    """A room that a rule is about, and why."""

    ask: Question
    room: RoomShape
    why: str

    @property
    def name(self) -> str:
        """The room for a sentence, with the reason unless its own name tells it."""
        reason = "" if self.why in self.room.room.called.lower() else f" ({self.why})"
        return f"The {self.room.room.called}{reason}"


@on_home_terms
def room_has(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each room the rule is about has a device of the kind it asks for, fitted by the day.

    Options: which rooms, see :func:`asfitted.rules.checks.wanting.because`; ``kinds`` of device, any of which will do;
    ``unsure``, kinds of which the source does not say whether they do; ``instead``, ``kinds`` that do in a room
    ``with`` a fitting; ``joined`` true where one in a room joined by archways serves; ``covers``, metres to the
    farthest point within which a heat alarm of such joined rooms serves too; ``any-one`` true where only the room most
    used is asked; ``next-to`` true, or uses of room, where one behind a door of the room serves; ``borrows-within``,
    metres of walk from the door within which one serves in a home that is not new; and the terms of
    :mod:`asfitted.rules.checks.home_terms`.
    """
    asked = list(_asked(rule, limit, case))
    if why_not := not_put(rule.options, case):
        yield from (item.ask.answer(Verdict.NOT_APPLICABLE, f"{item.name}: {why_not}") for item in asked if item.why)
        return
    about = [item for item in asked if item.why]
    if rule.options.get("any-one"):
        about = [item for item in about if item.room.room.most_used] or about
    served = {item.room.id: _there(rule, item.room, case) for item in asked}
    one_of_several = rule.options.get("any-one") and len(about) > 1 and any(served[item.room.id] for item in about)
    for item in asked:
        there = served[item.room.id]
        if item in about and one_of_several and not there and not item.room.room.most_used:
            says = f"{item.name} has no {_what(rule)}, and the record does not say which such room is most used."
            yield item.ask.answer(Verdict.NOT_VERIFIED, says, "Ask the household, and record most-used.")
        elif item in about:
            yield _judged(item, there, case)
        elif item.why:
            says = f"The rule asks for one in the room most used, and that is not the {item.room.room.called}."
            yield item.ask.answer(Verdict.NOT_APPLICABLE, says)
        elif (unknown := unknown_burner(rule, case, item.room)) and not there:
            says = f"The record does not say what the {unknown} in the {item.room.room.called} burns."
            yield item.ask.answer(Verdict.NOT_VERIFIED, says, "Record burns, and fit an alarm if it burns anything.")


def _asked(rule: Rule, limit: Limit, case: Case) -> Iterator[_Asked]:
    for index, storey in enumerate(case.home.storeys):
        for number, written in enumerate(storey.rooms):
            room = case.dwelling.rooms[written.id]
            subject = Subject("room", room.id, room.room.called, room.id, room.storey)
            ask = Question(rule, limit, subject, ("storeys", index, "rooms", number))
            yield _Asked(ask, room, because(rule, case, room) or "")


def _what(rule: Rule) -> str:
    return " or ".join([*rule.options["kinds"], *rule.options.get("unsure", ())])


def _judged(item: _Asked, there: list[Placed], case: Case) -> Finding:
    rule, ask = item.ask.rule, item.ask
    sure = [placed for placed in there if placed.device.kind not in rule.options.get("unsure", ())]
    if sure:
        return ask.answer(Verdict.CONFORMS, f"{item.name} has {_told(sure, item.room, case)}.")
    if there:
        says = (
            f"{item.name} has {_told(there, item.room, case)}, but whether a {there[0].device.kind} counts is not said "
        )
        return ask.answer(Verdict.NOT_VERIFIED, f"{says}({ask.limit.by_whom}).", "Ask the authority.")
    lacks = f"{item.name} has no {_what(rule)}; the rule asks for one ({ask.limit.by_whom})."
    if within := rule.options.get("borrows-within"):
        return _borrowed(item, within, lacks, case)
    return ask.answer(Verdict.FAILS, lacks)


def _told(there: list[Placed], room: RoomShape, case: Case) -> str:
    here = [placed.tag for placed in there if placed.spot.room == room.id]
    return listed(here or [f"{there[0].tag} in the {case.dwelling.rooms[there[0].spot.room].room.called}"])


def _there(rule: Rule, room: RoomShape, case: Case) -> list[Placed]:
    """Give the devices that serve a room: in it, in one joined with it, or next to it, as the set allows."""
    options = rule.options
    joined = open_plan(case.dwelling, room.id)
    rooms = set(joined) if options.get("joined") else {room.id}
    near = options.get("next-to")
    if near is True or (near and room.room.use in near):
        rooms |= beside(case, room)
    kinds = [*options["kinds"], *options.get("unsure", ())]
    instead = options.get("instead", {})
    if instead and any(case.dwelling.fittings_of(room.id, *instead["with"])):
        kinds += instead["kinds"]
    found = [item for item in case.of_kinds(tuple(kinds)) if item.spot.room in rooms and serves(item, case)]
    if not found and "covers" in options:
        found = [
            item
            for item in case.of_kinds(("heat alarm",))
            if len(joined) > 1 and item.spot.room in joined and serves(item, case)
            if _farthest(item, joined, case) <= options["covers"]
        ]
    return found


def _farthest(item: Placed, rooms: frozenset[str], case: Case) -> float:
    """Give the distance on the plan from a device to the farthest corner of some rooms; endless without a place."""
    if item.spot.point is None:
        return float("inf")
    x, y = item.spot.point
    corners = [corner for room in rooms for corner in case.dwelling.rooms[room].outline.exterior.coords]
    return max(hypot(corner[0] - x, corner[1] - y) for corner in corners)


def _borrowed(item: _Asked, within: float, lacks: str, case: Case) -> Finding:
    """Judge a room that may borrow from an alarm near its door, where the home is not new."""
    alarms = case.of_kinds(tuple(item.ask.rule.options["kinds"]))
    near = way_to_door(case, item.room, [alarm for alarm in alarms if serves(alarm, case)])
    home = case.home.home
    if near is None or near.length > within or home.new:
        return item.ask.answer(Verdict.FAILS, lacks)
    says = f"{item.name} has none of its own; {near.placed.words} is {near.length:.2f} m from its door, at most "
    says += f"{within:.2f} m being enough in a home that is not new ({item.ask.limit.by_whom})"
    if home.new is None:
        return item.ask.answer(Verdict.NOT_VERIFIED, f"{says}, and the record does not say so.", "Record new.")
    return item.ask.answer(Verdict.CONFORMS, f"{says}.")


@on_home_terms
def storey_has(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each storey with a room that people enter has a device of the kind the rule asks for.

    Options: ``kinds`` of device, any of which will do; ``left-out``, uses of room that make no storey to be asked
    about; ``if-burning`` true where only a home that burns fuel, or has a garage joined with it, is asked; and the
    terms of :mod:`asfitted.rules.checks.home_terms`.
    """
    left_out = ("void", *rule.options.get("left-out", ()))
    what = _what(rule)
    why_not = not_put(rule.options, case)
    unsaid = unknown_fuel(case)
    if rule.options.get("if-burning") and not burns_somewhere(rule, case) and not unsaid:
        why_not = "Nothing in the record burns fuel."
    in_doubt = rule.options.get("if-burning") and not burns_somewhere(rule, case)
    for index, storey in enumerate(case.dwelling.storeys):
        name = storey.storey.called
        ask = Question(rule, limit, Subject("storey", storey.id, name, None, storey.id), ("storeys", index))
        there = [
            item.tag
            for item in case.of_kinds(tuple(rule.options["kinds"]))
            if item.spot.storey == storey.id and serves(item, case)
        ]
        if why_not:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The {name}: {why_not}")
        elif there:
            yield ask.answer(Verdict.CONFORMS, f"The {name} has {listed(there)}.")
        elif in_doubt and any(room.room.use not in left_out for room in storey.rooms):
            says = f"The {name} has no {what}, and the record does not say what the {unsaid} burns."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record burns, and fit an alarm if it burns anything.")
        elif any(room.room.use not in left_out for room in storey.rooms):
            says = f"The {name} has no {what}; the rule asks for one ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says)


def serves(placed: Placed, case: Case) -> bool:
    """Whether a device is indoors, and up by the day of the case."""
    fitted = placed.device.fitted
    return placed.spot.fixed != "outside" and (fitted is None or fitted <= case.on)
