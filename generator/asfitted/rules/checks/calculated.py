"""What is reckoned of motion detectors: the floor they cover, how far one gets unnoticed, the sun on them."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

from asfitted.dwelling.ways import open_plan
from asfitted.model.base import Path
from asfitted.reckon.working import Input
from asfitted.rules.access import in_service, openings
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.access import no_system
from asfitted.rules.checks.prediction import reckoned, to_measure
from asfitted.rules.finding import Finding, Mark, Subject, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.spaces import path_of, space_of, where_in

if TYPE_CHECKING:  # worked out, and loaded, only for homes with motion detectors
    from asfitted.reckon.coverage import Cover
    from asfitted.reckon.of_coverage import Detector
    from asfitted.reckon.undetected import Route


_WALK = "Walk through the blind spot with the walk light on, and record walk: that decides."


def covers_floor(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the share of the floor of each room with a motion detector that its detectors cover together, in per cent.

    A walk test that missed someone beats what is reckoned.
    """
    if not any(case.of_kinds(("motion detector",))):
        return
    from asfitted.reckon.of_coverage import rooms_covered

    covers = rooms_covered(case.dwelling, case.reckoned.coverage)
    without_place = case.reckoned.coverage.without_place
    for room in case.dwelling.rooms.values():
        here = [seen for seen in case.reckoned.coverage.placed if seen.room == room.id]
        lost = [tag for tag in without_place if tag in case.dwelling.spots and case.dwelling.spots[tag].room == room.id]
        subject = Subject("room", room.id, room.room.called, room.id, room.storey)
        ask = Question(rule, limit, subject, path_of(case, room.storey, room.id))
        missed = [seen.tag for seen in here if _last_walk(case, seen.tag) == "missed"]
        if lost:
            says = (
                f"The record does not say where in the {room.room.called} {listed(lost)} hangs, or which way it faces."
            )
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record its corner, or its wall and the distance along it.")
        elif missed:
            says = (
                f"{listed(missed)} missed someone on its last walk test; that beats any reckoning, and is judged there."
            )
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif here:
            yield _floor(ask, case, here, covers[room.id])


def _last_walk(case: Case, tag: str) -> object:
    reading = case.last_reading(tag, "walk")
    return reading[1] if reading else None


def _floor(ask: Question, case: Case, here: "list[Detector]", cover: "Cover") -> Finding:
    room, tags = case.dwelling.rooms[here[0].room], listed([seen.tag for seen in here])
    verb = "covers" if len(here) == 1 else "cover"
    says = f"By place, angle and reach {tags} {verb} {100 * cover.share:.0f} % of the floor of the {room.room.called}"
    mark = None
    if (blind := cover.blind) is not None:
        point, radius = blind
        where = where_in(space_of(case, room.id, joined=False), point)
        says += f"; the widest blind spot is {2 * radius:.1f} m across, {where}"
        mark = Mark(point, radius=radius)
    out = max(hypot(*(swing.size / 2 for swing in seen.swings)) for seen in here)
    inputs = [given for seen in here for given in seen.inputs.values()]
    return reckoned(ask, 100 * cover.share, out, says, inputs, decides=_WALK, mark=mark)


def before_signal(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many metres one walks from the weakest opening that can be reached before something signals.

    Where nothing signals on the way to something worth reaching, the rule is not met, however short the way is.
    """
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    from asfitted.reckon.undetected import weakest

    worst, home = weakest(case.reckoned.walks), Subject("home", "home", case.home.home.label)
    ask = Question(rule, limit, home, ("storeys",))
    if worst is None:
        says = "No walk leads from an opening that can be reached to a control unit, a keypad, a bed or a valued room."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record where the beds, the control unit and the keypad are.")
        return
    ask, lost = replace(ask, path=_path(case, worst.opening)), case.reckoned.coverage.without_place
    finding = _unnoticed(ask, case, worst) if worst.signal is None else _noticed(ask, case, worst)
    if lost and finding.verdict in (Verdict.FAILS, Verdict.BORDERLINE):
        says = f"{finding.says} But the record does not say where {listed(list(lost))} hangs or looks."
        remedy = "Record its corner, or its wall and the distance along it, and facing."
        finding = replace(finding, verdict=Verdict.NOT_VERIFIED, says=says, remedy=remedy)
    yield finding


def _inputs(case: Case, route: "Route") -> dict[str, Input]:
    from asfitted.reckon.of_walks import route_inputs

    return route_inputs(case.home, route, case.on)


def _path(case: Case, opening: str) -> Path:
    return next(path for path, placed, _ in openings(case) if placed.id == opening)


def _named(case: Case, opening: str) -> str:
    return f"the {case.dwelling.openings[opening].opening.called}"


def _goal(called: str) -> str:
    if called.startswith("bed, "):
        return called.replace("bed, ", "the bed in the ", 1)
    return called if called.startswith(("control unit ", "keypad ")) else f"the {called}"


def _goals(called: Iterable[str]) -> str:
    return listed([_goal(one) for one in dict.fromkeys(called)])


def _unnoticed(ask: Question, case: Case, route: "Route") -> Finding:
    """Say by which openings one gets to what without a signal, the one with the longest such walk first."""
    blind = [one for one in case.reckoned.walks if one.signal is None]
    others = [name for name in dict.fromkeys(one.opening for one in blind) if name != route.opening]
    goals = _goals(one.goal for one in blind if one.opening == route.opening)
    says = f"The weakest opening is {_named(case, route.opening)}: from there one gets to {goals}, up to "
    says += f"{route.walk.length:.1f} m, and nothing signals; the rule asks for a signal before ({ask.limit.by_whom})."
    if others:
        says += f" Likewise from {listed([_named(case, name) for name in others])}."
    says += _heard(case, route.opening)
    remedy = f"Fit a contact on {_named(case, route.opening)}, or a detector that sees the way from it."
    return ask.answer(Verdict.FAILS, says, remedy)


def _heard(case: Case, opening: str) -> str:
    """Say that breaking its glass may be heard, which is not counted."""
    behind = open_plan(case.dwelling, case.dwelling.openings[opening].rooms[0])
    ears = [item.tag for item in case.of_kinds(("glass-break detector",)) if item.spot.room in behind]
    return f" {listed(ears)} would hear its glass break, not a window that is forced." if ears else ""


def _noticed(ask: Question, case: Case, route: "Route") -> Finding:
    from asfitted.reckon.of_walks import route_working

    assert route.signal is not None
    steps = {step.symbol: step.value for step in route_working(case.home, case.dwelling, route, case.on).steps}
    inputs, whole = _inputs(case, route), steps["D"]
    says = f"The weakest opening is {_named(case, route.opening)}: on the way to {_goal(route.goal)} one walks "
    says += f"{whole:.1f} m, about {steps['t']:.0f} s, before {route.signal.by} signals"
    if not whole:
        says = "Every opening that can be reached signals as it is opened"
    remedy = f"Fit a contact on {_named(case, route.opening)}, or a detector that sees the way from it sooner."
    finding = reckoned(ask, whole, inputs["d"].spread, says, inputs.values(), remedy=remedy)
    around = [f"from {_named(case, name)} to {_goals(goals)}" for name, goals in case.reckoned.unseen.items()]
    if around:
        words = f" But who knows where the detectors look gets round them unnoticed {listed(around)}."
        finding = replace(finding, says=finding.says + words)
    return finding


def sun_hours(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the hours a year in which direct sun can fall on each motion detector through panes.

    Options: ``tolerance``, hours by which the reckoning may be out.
    """
    for placed in in_service(case, *rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        rooms = open_plan(case.dwelling, placed.spot.room)
        panes = [
            opening
            for opening in case.dwelling.openings.values()
            if opening.rooms[0] in rooms and opening.is_outer and opening.glazed
        ]
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is outside.")
        elif not panes:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No outside pane lets sun into the room of {placed.words}.")
        elif placed.spot.point is None:
            says = f"The record does not say where {placed.words} hangs."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record its corner, or its wall and the distance along it.")
        elif case.reckoned.sun.ask:
            says = f"Whether the sun reaches {placed.words} cannot be reckoned without the place of the home."
            yield ask.answer(Verdict.NOT_VERIFIED, says, case.reckoned.sun.ask)
        else:
            yield _sun(ask, case, placed.tag, placed.words)


def _sun(ask: Question, case: Case, tag: str, words: str) -> Finding:
    sun = next(one for one in case.reckoned.sun.detectors if one.tag == tag)
    hours, measure, day = sun.total.hours, to_measure(sun.working.inputs), sun.total.worst
    if day is None:
        says = f"By place, bearing and panes the sun never falls on {words}"
    else:
        panes = sorted(sun.panes, key=lambda name: -sun.panes[name].hours)
        through = listed([_named(case, name) for name in panes])
        says = f"In a clear year the sun can fall on {words} for {hours:.0f} h, through {through}, longest around "
        says += f"{day.day.day} {day.day:%B}, {_clock(day.first)} to {_clock(day.last)} standard time"
    if measure:
        taken = [f"the {given.meaning}" for given in sun.working.inputs if given.known == "assumed"]
        words = f"{says}; {ask.asks}. But {listed(taken)} {'are' if len(taken) > 1 else 'is'} not recorded."
        return ask.answer(Verdict.NOT_VERIFIED, words, measure)
    return reckoned(ask, hours, ask.rule.options["tolerance"], says)


def _clock(minutes: float) -> str:
    return f"{int(minutes) // 60:02d}:{int(minutes) % 60:02d}"
