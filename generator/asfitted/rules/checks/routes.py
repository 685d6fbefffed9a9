"""The way in and out: entry door, keypad, times, and what waits for them."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from asfitted.dwelling.paths import walk
from asfitted.dwelling.shapes import PlacedOpening
from asfitted.dwelling.ways import above_ground
from asfitted.model.base import Path
from asfitted.rules.access import in_service, openings
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.access import no_system, rooms_to
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.sight import seen_points

WHICH_DOOR = "Ask by which door they come home, and record “entry: yes” on it."


@dataclass(frozen=True, slots=True)
class WayIn:
    """A walk from an entry door to the nearest keypad, in metres and through which rooms."""

    keypad: Placed
    length: float
    rooms: tuple[str, ...]


def entries(case: Case) -> list[tuple[Path, PlacedOpening, Subject]]:
    """Give the entry doors: those recorded as such, or the only outer door of the home; none if it is not known."""
    doors = [entry for entry in openings(case) if entry[1].is_outer and entry[1].is_door]
    named = [entry for entry in doors if entry[1].opening.entry]
    return named or [entry for entry in doors if len(doors) == 1 and entry[1].opening.entry is None]


def entry_door(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that it is known by which door people come home."""
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("storeys",))
    doors = [f"the {opening.opening.called}" for _, opening, _ in entries(case)]
    if doors:
        yield ask.answer(Verdict.CONFORMS, f"People come home by {listed(doors)}.")
    else:
        yield ask.answer(Verdict.NOT_VERIFIED, "The record does not say by which door people come home.")


def way_in(case: Case, door: PlacedOpening) -> WayIn | None:
    """Give the walk from an entry door to the nearest keypad; None where no keypad has a place one can walk to."""
    start = (door.rooms[0], door.middle)
    found = [
        WayIn(keypad, way.length, way.rooms)
        for keypad in in_service(case, "keypad")
        if keypad.spot.point is not None and keypad.spot.fixed != "outside"
        for way in (walk(case.dwelling, start, (keypad.spot.room, keypad.spot.point)),)
        if way is not None
    ]
    return min(found, key=lambda way: way.length, default=None)


def _each_way_in(rule: Rule, limit: Limit, case: Case) -> Iterator[tuple[Question, PlacedOpening, WayIn] | Finding]:
    """Give each entry door with its way to the keypad, or the finding that says why there is none."""
    home = Question(rule, limit, Subject("home", "home", case.home.home.label), ("storeys",))
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    if not any(in_service(case, "keypad")):
        yield home.answer(Verdict.NOT_APPLICABLE, "The home has no keypad.")
        return
    doors = entries(case)
    if not doors:
        yield home.answer(Verdict.NOT_APPLICABLE, "By which door people come home is not known; another rule says so.")
    for path, door, subject in doors:
        ask, way = Question(rule, limit, subject, path), way_in(case, door)
        if way is None:
            says = f"No keypad has a place to which one can walk from the {door.opening.called}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record the wall of the keypad and the distance along it.")
        else:
            yield ask, door, way


def keypad_walk(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the seconds of the walk from each entry door to the nearest keypad.

    Options: ``pace``, metres a second; ``tolerance``, seconds.
    """
    for each in _each_way_in(rule, limit, case):
        if isinstance(each, Finding):
            yield each
            continue
        ask, door, way = each
        took = way.length / rule.options["pace"]
        says = f"From the {door.opening.called} to {way.keypad.words} one walks {way.length:.1f} m, {took:.0f} s"
        yield ask.measured(took, rule.options["tolerance"], says)


def entry_slack(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge what the entry time leaves beyond the walk to the keypad and the code.

    Options: ``pace``, metres a second; ``code``, seconds; ``tolerance``, seconds.
    """
    for each in _each_way_in(rule, limit, case):
        if isinstance(each, Finding):
            unknown = each.verdict is Verdict.NOT_VERIFIED
            says = "The way to a keypad is not known; another rule says so."
            yield replace(each, verdict=Verdict.NOT_APPLICABLE, says=says, remedy="") if unknown else each
            continue
        ask, door, way = each
        given = _time(case, "entry-time")
        needs = way.length / rule.options["pace"] + rule.options["code"]
        what = (
            f"from the {door.opening.called} to {way.keypad.words}, {way.length:.1f} m, and the code take {needs:.0f} s"
        )
        if given is None:
            says = f"The walk {what}, but the record gives no entry-time."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Clock the entry time, and record it.")
        else:
            says = f"The walk {what}; the entry time is {given[0]:g} s{given[1]}"
            yield ask.measured(given[0] - needs, rule.options["tolerance"], says)


def _time(case: Case, key: str) -> tuple[float, str] | None:
    """Give a time of the system in seconds: by the clock where a visit read it, otherwise as set."""
    name = key.replace("-", "_")
    clocked = [(visit.date, took) for visit in case.visits if (took := getattr(visit, name)) is not None]
    if clocked:
        return clocked[-1][1], f", clocked on {clocked[-1][0]}"
    meant = getattr(case.home.system, name)
    return None if meant is None else (meant, "")


def time_set(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the entry or exit time.

    Options: ``time``, its key; ``tolerance``, seconds by which a clocked time may be out.
    """
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    key = rule.options["time"]
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system", key))
    given = _time(case, key)
    if given is None:
        says = f"The record gives no {key}; {ask.asks}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, f"Clock it, and record {key}.")
    else:
        tolerance = rule.options["tolerance"] if given[1] else 0.0
        yield ask.measured(given[0], tolerance, f"The {key.replace('-', ' ')} is {given[0]:g} s{given[1]}")


def entry_and_abort(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the sum of entry time and abort time of a system that tells someone."""
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system", "abort-time"))
    given, abort = _time(case, "entry-time"), case.home.system.abort_time
    if case.home.system.tells == "nobody":
        yield ask.answer(Verdict.NOT_APPLICABLE, "The system tells nobody, so nothing is held back.")
    elif given is None or abort is None:
        says = f"The record gives no {'entry-time' if given is None else 'abort-time'}; {ask.asks}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in the settings, and record both.")
    else:
        says = f"Entry time {given[0]:g} s and abort time {abort:g} s are together {given[0] + abort:g} s"
        yield ask.measured(given[0] + abort, 0.0, says)


def delays(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that only what one passes between entry door and keypad waits for the entry time."""
    doors = [door for _, door, _ in entries(case)]
    ways = [way for door in doors if (way := way_in(case, door)) is not None]
    passed = {room for way in ways for room in way.rooms}
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "mode"))
        mode, kind, on = placed.device.mode, placed.device.kind, placed.spot.opening
        if mode is None:
            says = f"The record does not say whether {placed.words} alarms at once or waits for the entry time."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in the settings, and record mode.")
        elif mode != "delayed":
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} alarms at once.")
        elif not doors or (kind == "motion detector" and not ways):
            says = f"{placed.words} waits, and the record does not tell the way from the entry door to a keypad."
            yield ask.answer(Verdict.NOT_VERIFIED, says, f"{WHICH_DOOR} Record where the keypad is.")
        elif (kind == "motion detector" and placed.spot.room in passed) or (
            on and on.id in {door.id for door in doors}
        ):
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} waits, and is passed on the way to the keypad.")
        else:
            says = f"{placed.words} waits for the entry time, but is not passed on the way to the keypad"
            yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).")


def watched_at_once(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that who walks from an entry door to a device passes a motion detector that does not wait."""
    doors = [door for _, door, _ in entries(case)]
    motion = list(in_service(case, "motion detector"))
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        passed = {room for door in doors for room in rooms_to(case, door, placed)} | {placed.spot.room}
        on_way = [item for item in motion if item.spot.room in passed]
        at_once = [item.words for item in on_way if item.device.mode in ("instant", "always")]
        unknown = [item.words for item in on_way if item.device.mode is None]
        if at_once:
            yield ask.answer(
                Verdict.CONFORMS, f"Before {placed.words} one passes {listed(at_once)}, which does not wait."
            )
        elif unknown:
            says = (
                f"The record does not say whether {listed(unknown)}, before {placed.words}, waits for the entry time."
            )
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in the settings, and record mode.")
        elif not doors:
            says = f"The record does not say by which door people come home, so the way to {placed.words} is not known."
            yield ask.answer(Verdict.NOT_VERIFIED, says, WHICH_DOOR)
        else:
            says = f"Who walks from the entry door to {placed.words} passes no motion detector that alarms at once"
            yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).")


def out_of_sight(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a device is not seen, in a straight line through its room, from an outer door or pane.

    Options: ``hidden-uses`` of rooms in which nobody looks for it; ``most``, metres above ground up to which the lower
    edge of an opening lets people look in.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        outline = case.dwelling.rooms[placed.spot.room].outline
        use = case.dwelling.rooms[placed.spot.room].room.use
        looks_in = [
            opening
            for opening in case.dwelling.openings_of(placed.spot.room)
            if opening.is_outer and (opening.is_door or opening.glazed) and use not in rule.options["hidden-uses"]
            if opening.opening.to == "shared" or above_ground(case.dwelling, opening) <= rule.options["most"]
        ]
        point = placed.spot.point
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.FAILS, f"{placed.words} is outdoors.")
        elif not any(case.dwelling.openings_of(placed.spot.room)):
            says = f"The record gives no door or window of the {placed.room}, where {placed.tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record its doors and windows.")
        elif not looks_in:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is in a room into which nobody looks.")
        elif point is None:
            says = f"The record does not say where in the {placed.room} {placed.tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record its wall and the distance along it.")
        elif seen := [f"the {o.opening.called}" for o in looks_in if seen_points(point, o, outline, 89.0)]:
            yield ask.answer(Verdict.FAILS, f"{placed.words} is seen from {listed(seen)} ({limit.by_whom}).")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} is not seen from an outer door or window.")
