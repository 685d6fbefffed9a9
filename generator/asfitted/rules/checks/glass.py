"""What a glass-break detector hears."""

from collections.abc import Iterator
from math import dist

from shapely import LineString

from asfitted.dwelling.shapes import PlacedOpening
from asfitted.rules.access import in_service, openings, watchers
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.access import no_system
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question, listed


def _panes(case: Case, room: str) -> list[PlacedOpening]:
    return [opening for opening in case.dwelling.openings_of(room) if opening.is_outer and opening.glazed]


def hears_panes(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the distance to the farthest part of each pane of the room, and that each is in plain sight.

    What the maker gives as its reach counts where it is less than the limit.
    """
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        panes, point = _panes(case, placed.spot.room), placed.spot.point
        if not panes:
            yield ask.answer(Verdict.FAILS, f"{placed.words} is in a room without an outside pane.")
        elif point is None:
            says = f"The record does not say where in the {placed.room} {placed.tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure its place, and record it.")
        elif hidden := [pane for pane in panes if not _in_sight(case, placed, pane)]:
            says = f"{placed.words} does not see the {hidden[0].opening.called}"
            yield ask.answer(Verdict.FAILS, f"{says}, which is round a corner ({limit.by_whom}).")
        else:
            yield _heard(ask, placed, panes)


def _in_sight(case: Case, placed: Placed, pane: PlacedOpening) -> bool:
    assert placed.spot.point is not None
    inside = case.dwelling.rooms[placed.spot.room].outline.buffer(0.005)
    return all(inside.covers(LineString([placed.spot.point, end])) for end in (pane.a, pane.b))


def _heard(ask: Question, placed: Placed, panes: list[PlacedOpening]) -> Finding:
    point, reach, most = placed.spot.point, placed.device.range, ask.limit.most
    assert point is not None
    assert most is not None
    found, end, pane = max(
        ((dist(point, end), end, pane) for pane in panes for end in (pane.a, pane.b)), key=lambda f: f[0]
    )
    says = f"{placed.words} is {found:.2f} m from the farthest part of the {pane.opening.called}"
    if reach is not None and reach < min(found, most):
        return ask.answer(Verdict.FAILS, f"{says}, but its maker gives it a reach of {reach:g} m.")
    return ask.measured(found, placed.spot.tolerance, says, mark=Mark(point, end))


def pane_has_contact(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each pane that opens, in a room with a glass-break detector, has a contact of its own."""
    rooms = {placed.spot.room for placed in in_service(case, "glass-break detector")}
    if not rooms:
        yield from no_system(rule, limit, case, words="The home has no glass-break detector.")
        return
    for path, opening, subject in openings(case):
        if not (opening.is_outer and opening.glazed) or opening.rooms[0] not in rooms:
            continue
        ask, name = Question(rule, limit, subject, path), f"The {opening.opening.called}"
        if not opening.opening.opening_part:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{name} does not open.")
        elif tags := watchers(case, opening, "opening contact"):
            yield ask.answer(Verdict.CONFORMS, f"{name} has {listed(tags)}.")
        else:
            says = f"{name} opens, and has a glass-break detector but no contact; the rule asks for one"
            yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).")


def glass_of_panes(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the glass of the panes of each detector's room. Options: ``good``, the kinds that any detector hears."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        panes = _panes(case, placed.spot.room)
        odd = [
            f"the {p.opening.called} ({p.opening.glass})"
            for p in panes
            if p.opening.glass not in (*rule.options["good"], None)
        ]
        unknown = [f"the {pane.opening.called}" for pane in panes if pane.opening.glass is None]
        if not panes:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} is in a room without an outside pane.")
        elif odd:
            yield ask.answer(Verdict.NOT_VERIFIED, f"{placed.words} listens to {listed(odd)} ({limit.by_whom}).")
        elif unknown:
            says = f"The record does not say what glass {listed(unknown)} has, beside {placed.words}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Read the mark in the corner of the pane, and record glass.")
        else:
            yield ask.answer(Verdict.CONFORMS, f"The panes of {placed.words} are of glass that it hears.")


def room_also_has(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a device of the ``kinds`` in the options is in the room of each device."""
    what = " or ".join(rule.options["kinds"])
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        tags = [item.tag for item in in_service(case, *rule.options["kinds"]) if item.spot.room == placed.spot.room]
        if tags:
            yield ask.answer(Verdict.CONFORMS, f"Beside {placed.words} there is {listed(tags)}.")
        else:
            says = f"The {placed.room} has no {what} beside {placed.tag}; the rule asks for one"
            yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).")
