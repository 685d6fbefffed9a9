"""Ways out of the home from where people sleep: past the kitchen, or by a window, and without a search for a key."""

from collections.abc import Iterator

from asfitted.dwelling.shapes import Dwelling
from asfitted.reckon.of_walks import beds_of
from asfitted.reckon.ways_out import SecondWay, WayOut
from asfitted.rules.access import openings
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.spaces import path_of


def past_kitchen(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each room people sleep in has a way out past the kitchen, or a window that serves as one."""
    for name in dict.fromkeys(room for room, _ in beds_of(case.home, case.dwelling)):
        room = case.dwelling.rooms[name]
        subject = Subject("room", name, room.room.called, name, room.storey)
        ask = Question(rule, limit, subject, path_of(case, room.storey, name))
        ways = [way for way in case.reckoned.ways if way.bed[0] == name]
        windows = [window for window in case.reckoned.second_ways if window.room == name]
        yield _way_out(ask, case.dwelling, ways, windows)


def _way_out(ask: Question, dwelling: Dwelling, ways: list[WayOut], windows: list[SecondWay]) -> Finding:
    bed = f"the bed in the {ask.subject.name}"
    clear = sorted((way.round_kitchens.length, way.exit) for way in ways if way.round_kitchens is not None)
    serve = [f"the {dwelling.openings[one.opening].opening.called}" for one in windows if one.serves]
    window = f" By the record {listed(serve)} may serve as a second way." if serve else ""
    if clear:
        length, door = clear[0]
        says = f"From {bed} it is {length:.1f} m to the {dwelling.openings[door].opening.called}, past no kitchen."
        return ask.answer(Verdict.CONFORMS, says + window)
    if ways:
        length, door = min((way.walk.length, way.exit) for way in ways)
        says = f"Every way from {bed} to an outer door leads through a kitchen, the shortest {length:.1f} m to the "
        says += dwelling.openings[door].opening.called
    else:
        says = f"The record shows no way from {bed} to an outer door"
    if serve:
        return ask.answer(Verdict.CONFORMS, f"{says}.{window}")
    unknown = [one for one in windows if one.serves is None]
    if unknown:
        called = f"the {dwelling.openings[unknown[0].opening].opening.called}"
        words = f"{says}; whether {called} serves is not known without {listed(list(unknown[0].unknown))}."
        return ask.answer(Verdict.NOT_VERIFIED, words, f"Measure {called}, and record its height.")
    if not ways:
        return ask.answer(
            Verdict.NOT_VERIFIED, f"{says}.", "Record the doors and stairs on the way, and the outer door."
        )
    lacks = [f"the {dwelling.openings[one.opening].opening.called} does not serve: {one.lacks[0]}" for one in windows]
    words = f"; {listed(lacks)}" if lacks else "; it has no window"
    return ask.answer(Verdict.FAILS, f"{says}{words} ({ask.limit.by_whom}).")


def without_key(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that no door on the shortest way out from a bed needs a key from inside."""
    nearest: dict[tuple[str, tuple[float, float]], WayOut] = {}
    for way in case.reckoned.ways:
        nearest.setdefault(way.bed, way)
    shown = {name: (path, subject) for path, opening, subject in openings(case) if (name := opening.id)}
    doors: dict[str, list[str]] = {}
    for way in nearest.values():
        for name in (*way.walk.passed, way.exit):
            if name in shown and case.dwelling.openings[name].opening.kind != "archway":
                doors.setdefault(name, []).append(f"the {case.dwelling.rooms[way.bed[0]].room.called}")
    for name, rooms in doors.items():
        path, subject = shown[name]
        ask, written = Question(rule, limit, subject, path), case.dwelling.openings[name].opening
        beds = listed(list(dict.fromkeys(rooms)))
        if written.key_needed:
            says = f"The {written.called} needs a key from inside, on the shortest way out from {beds}"
            yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).")
        else:
            says = f"The {written.called}, on the shortest way out from {beds}, needs no key from inside, as recorded."
            yield ask.answer(Verdict.CONFORMS, says)
