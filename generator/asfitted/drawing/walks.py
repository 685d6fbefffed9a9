"""Walks on the plan: how far somebody gets before the home notices, and the way from the entry door to the keypad."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import dist

from asfitted.drawing.canvas import XY
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.ground import Ground, Telling, area_of, ground
from asfitted.drawing.marks import LINES, POINTS, heads_along, spread
from asfitted.drawing.sheet import Entry
from asfitted.dwelling.paths import Leg, Spot, Walk
from asfitted.dwelling.shapes import Dwelling
from asfitted.model.home import Home
from asfitted.reckon.of_coverage import Detectors
from asfitted.reckon.of_walks import WayIn
from asfitted.reckon.undetected import Route

_AIM = 0.001


@dataclass(frozen=True)
class _Path:
    """A walk to be drawn: what comes before it is noticed and after, its ends in words, and what the mark says."""

    before: tuple[Leg, ...]
    after: tuple[Leg, ...]
    start: str
    end: str
    mark: str
    told: str

    @property
    def turn(self) -> Spot:
        """Where it is noticed, or reached unnoticed."""
        return self.before[-1].end if self.before else self.after[0].start


def pieces(dwelling: Dwelling, legs: Sequence[Leg], storey_id: str) -> list[list[XY]]:
    """Give what of a walk is on the plan of a storey, as lines; a flight of stairs is on both storeys it joins."""
    lines: list[list[XY]] = []
    for leg in legs:
        storeys = {dwelling.rooms[leg.start[0]].storey, dwelling.rooms[leg.end[0]].storey}
        if storey_id not in storeys:
            continue
        if lines and lines[-1][-1] == leg.start[1]:
            lines[-1].append(leg.end[1])
        else:
            lines.append([leg.start[1], leg.end[1]])
    return lines


def storeys_of(dwelling: Dwelling, walk: Walk) -> list[str]:
    """Give the storeys through which a walk goes, in its order."""
    return list(dict.fromkeys(dwelling.rooms[room].storey for room, _ in walk.points))


def cut(walk: Walk, metres: float) -> tuple[tuple[Leg, ...], tuple[Leg, ...]]:
    """Cut a walk at so many metres from its start."""
    before: list[Leg] = []
    left = metres
    for number, leg in enumerate(walk.legs):
        if left < leg.length - _AIM:
            share = left / leg.length
            (ax, ay), (bx, by) = leg.start[1], leg.end[1]
            spot = leg.start[0], (ax + (bx - ax) * share, ay + (by - ay) * share)
            if left > _AIM:
                before.append(replace(leg, end=spot, length=left))
            return tuple(before), (replace(leg, start=spot, length=leg.length - left), *walk.legs[number + 1 :])
        before.append(leg)
        left -= leg.length
    return tuple(before), ()


def undetected_walk(
    dwelling: Dwelling, home: Home, block: TitleBlock, route: Route, seconds: float, detectors: Detectors
) -> list[Drawing]:
    """Draw a walk through a home until something notices it, a plan for each storey it goes through.

    Args:
        dwelling: the home as laid out.
        home: the record.
        block: what stands in the title block.
        route: the walk and what notices it first.
        seconds: that pass before it is noticed.
        detectors: the motion detectors of the home.
    """
    opening = dwelling.openings[route.opening].opening.called
    signal = route.signal
    before, after = cut(route.walk, route.unseen)
    if signal is None:
        mark, told = "unnoticed", f"not noticed: {route.unseen:.1f} m, {seconds:.0f} s"
        says = (
            f"Nothing notices the walk from the {opening} to the {route.goal}: {route.unseen:.1f} m, {seconds:.0f} s."
        )
    else:
        mark, told = "noticed", f"{signal.by}: {route.unseen:.1f} m, {seconds:.0f} s"
        says = (
            f"From the {opening} to the {route.goal}, {route.walk.length:.1f} m in all: {signal.by} notices after "
            f"{route.unseen:.1f} m and has signalled after {seconds:.0f} s."
        )
    reached = [tag for tag, device in home.devices.items() if route.goal == f"{device.kind} {tag}"]
    path = _Path(before, after, opening, "" if reached else route.goal, mark, told)
    tags = [seen.tag for seen in detectors.placed]
    tags += [tag for tag, device in home.devices.items() if device.kind == "opening contact"]
    notes = ["The shortest walk; who knows where the detectors look may go another way."]
    drawings = []
    for storey in storeys_of(dwelling, route.walk):
        views = detectors.on_storey(storey)
        legend = [
            *([Entry("walked", "walked, not noticed")] if pieces(dwelling, before, storey) else []),
            *([Entry("walked on", "the rest of the walk")] if pieces(dwelling, after, storey) else []),
        ]
        if dwelling.rooms[path.turn[0]].storey == storey:
            legend.append(Entry(mark, "where it is noticed" if signal else "reached, not noticed"))
        telling = Telling(
            f"walk-{storey}",
            f"Walk from the {opening} to the {route.goal}, {dwelling.storey(storey).storey.called}, {block.home}",
            [says, *notes],
            [*legend, *([Entry("covered", "seen by a motion detector")] if views else [])],
            notes,
        )
        on = ground(dwelling, storey, home, telling, [*tags, *reached])
        for seen in views:
            shape = area_of(seen.covered)
            spread(on.canvas, "coverage", on.view.path(shape), "covered", covered=seen.tag)
        _draw(on, path)
        drawings.append(on.finished(block))
    return drawings


def entry_route(dwelling: Dwelling, home: Home, block: TitleBlock, way: WayIn) -> list[Drawing]:
    """Draw the walk from an entry door to the keypad nearest to it, a plan for each storey it goes through."""
    door, length = dwelling.openings[way.door].opening.called, way.walk.length
    suits = way.working.result.value
    set_to = "" if way.set_to is None else f", {way.set_to.value:.0f} s as it is"
    walked = next(step.value for step in way.working.steps if step.symbol == "t_w")
    told = f"{length:.1f} m, {walked:.0f} s"
    says = (
        f"From the {door} to {way.keypad}: {length:.1f} m, {walked:.0f} s. "
        f"An entry time of {suits:.0f} s suits{set_to}."
    )
    path = _Path(way.walk.legs, (), door, "", "", told)
    drawings = []
    for storey in storeys_of(dwelling, way.walk):
        telling = Telling(
            f"entry-{way.door}-{storey}",
            f"Way from the {door} to {way.keypad}, {dwelling.storey(storey).storey.called}, {block.home}",
            [says],
            [Entry("walked", "way to the keypad")],
            [f"An entry time of {suits:.0f} s suits this way{set_to}."],
        )
        on = ground(dwelling, storey, home, telling, [way.keypad])
        _draw(on, path)
        drawings.append(on.finished(block))
    return drawings


def _draw(on: Ground, path: _Path) -> None:
    """Draw a walk: its marks first, since words give way to them, then what the marks say, then its ends."""
    storey = on.storey.id
    lines = [(kind, piece) for kind, legs in _kinds(path) for piece in pieces(on.dwelling, legs, storey)]
    for kind, piece in lines:
        head = "d-mark-head"
        heads_along(on.canvas, "clearances", on.path(piece, LINES[kind], walk=kind), head)
    legs = (*path.before, *path.after)
    middle = path.turn
    if path.mark and on.dwelling.rooms[middle[0]].storey == storey:
        at = on.view.at(middle[1])
        POINTS[path.mark](on.canvas, "clearances", at)
        on.keep(at, 4.2)
        on.label(at, path.told, "d-mark-figure")
    elif not path.mark and on.dwelling.rooms[legs[-1].end[0]].storey == storey:
        on.label(_halfway(on, legs), path.told, "d-mark-figure", clear=1.6)
    for spot, words in ((legs[0].start, path.start), (legs[-1].end, path.end)):
        if words and on.dwelling.rooms[spot[0]].storey == storey:
            on.label(on.view.at(spot[1]), words, "d-figure", clear=4.4 if spot == middle else 1.6)


def _kinds(path: _Path) -> Iterator[tuple[str, tuple[Leg, ...]]]:
    yield "walked", path.before
    yield "walked on", path.after


def _halfway(on: Ground, legs: Sequence[Leg]) -> XY:
    """Give the middle of the longest leg on paper."""
    here = [leg for leg in legs if on.dwelling.rooms[leg.start[0]].storey == on.storey.id]
    leg = max(here or legs, key=lambda leg: dist(leg.start[1], leg.end[1]))
    (ax, ay), (bx, by) = leg.start[1], leg.end[1]
    return on.view.at(((ax + bx) / 2, (ay + by) / 2))
