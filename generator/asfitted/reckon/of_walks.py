"""The walks of a home: from openings that can be reached to what is worth reaching, and from entry door to keypad."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from asfitted.dwelling.paths import Spot, Walk, walks
from asfitted.dwelling.shapes import Dwelling, PlacedOpening
from asfitted.dwelling.ways import above_ground
from asfitted.model.home import Home
from asfitted.model.standing import standing, tests_of
from asfitted.reckon.of_coverage import Detectors
from asfitted.reckon.standard import standard
from asfitted.reckon.undetected import Route, Watch, entry_time, first_signal, working
from asfitted.reckon.unseen import reached_by, unseen_of
from asfitted.reckon.working import Input, Working

_SPREAD = 0.10
"""Metres by which a walk may be out: what is measured in a room, from door to door (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Goal:
    """Something worth reaching: what it is called, and where one walks to."""

    called: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class WayIn:
    """The walk from an entry door to the nearest keypad, and the entry time as it is; None where it is not known."""

    door: str
    keypad: str
    walk: Walk
    set_to: Input | None
    working: Working


def routes_of(home: Home, dwelling: Dwelling, on: date, detectors: Detectors) -> tuple[Route, ...]:
    """Give the walk from each opening that can be reached to each goal, with what notices it first.

    Args:
        home: the record.
        dwelling: its shapes.
        on: the day.
        detectors: the motion detectors of that day.
    """
    watches = (*contacts_of(home, dwelling, on), *looking(home, detectors))
    goals = goals_of(home, dwelling, on)
    storeys = {room.id: room.storey for room in dwelling.rooms.values()}
    found = []
    for opening in accessible(dwelling):
        start = (opening.rooms[0], opening.middle)
        for goal, walk in zip(goals, walks(dwelling, start, [goal.spot for goal in goals]), strict=True):
            if walk is not None:
                found.append(Route(opening.id, goal.called, walk, first_signal(walk, opening.id, storeys, watches)))
    return tuple(found)


def unnoticed(home: Home, dwelling: Dwelling, on: date, detectors: Detectors) -> dict[str, tuple[str, ...]]:
    """Give, of each opening that can be reached, what is reached from it without anything noticing, by any way.

    Openings from which nothing is reached unnoticed are left out.
    """
    watches = (*contacts_of(home, dwelling, on), *looking(home, detectors))
    shut, unseen = {watch.opening for watch in watches if watch.opening}, unseen_of(dwelling, watches)
    goals, arm = goals_of(home, dwelling, on), standard("walks", "arm").value
    found = {}
    for opening in accessible(dwelling):
        parts = unseen.behind(opening) if opening.id not in shut else frozenset()
        reached = tuple(dict.fromkeys(goal.called for goal in goals if reached_by(parts, goal.spot, arm)))
        if reached:
            found[opening.id] = reached
    return found


def route_inputs(home: Home, route: Route, on: date) -> dict[str, Input]:
    """Give what the time of a route is worked out from."""
    far = Input("d", "walked before that", route.unseen, "m", "measured", "the rooms as surveyed", _SPREAD)
    inputs = [far, standard("walks", "v")]
    if route.signal is not None and route.signal.kind == "detector":
        inputs += [_steps(home, route.signal.by, on), standard("walks", "l")]
    return {given.symbol: given for given in inputs}


def route_working(home: Home, dwelling: Dwelling, route: Route, on: date) -> Working:
    """Give the seconds before a route is noticed, with the working."""
    called = f"{dwelling.openings[route.opening].opening.called} to {route.goal}"
    return working(route, called, route_inputs(home, route, on))


def goals_of(home: Home, dwelling: Dwelling, on: date) -> tuple[Goal, ...]:
    """Give the control unit, the keypads, each sleeping place and each valued room, as far as they have a place."""
    goals = [
        Goal(f"{home.devices[tag].kind} {tag}", (spot.room, spot.point))
        for kind in ("control unit", "keypad")
        for tag, spot in dwelling.spots.items()
        if home.devices[tag].kind == kind and home.devices[tag].fitted_by(on) and spot.fixed != "outside" and spot.point
    ]
    goals += [
        Goal(f"bed, {dwelling.rooms[room].room.called}", (room, point)) for room, point in beds_of(home, dwelling)
    ]
    goals += [
        Goal(dwelling.rooms[room].room.called, (room, middle_of(dwelling, room)))
        for room in home.household.valued_rooms
        if room in dwelling.rooms
    ]
    return tuple(goals)


def beds_of(home: Home, dwelling: Dwelling) -> Iterator[Spot]:
    """Give the middle of each bed, and of each room in which people sleep without one that is recorded."""
    for room in dwelling.rooms.values():
        beds = [placed for placed in dwelling.fittings_of(room.id, "bed") if placed.shape is not None]
        for bed in beds:
            assert bed.shape is not None
            yield room.id, (float(bed.shape.centroid.x), float(bed.shape.centroid.y))
        if not beds and home.household.sleepers.get(room.id):
            yield room.id, middle_of(dwelling, room.id)


def middle_of(dwelling: Dwelling, room: str) -> tuple[float, float]:
    """Give the middle of a room, or a point within it where its middle is not."""
    outline = dwelling.rooms[room].outline
    point = outline.centroid if outline.contains(outline.centroid) else outline.representative_point()
    return float(point.x), float(point.y)


def contacts_of(home: Home, dwelling: Dwelling, on: date) -> tuple[Watch, ...]:
    """Give the opening contacts that are fitted by a day."""
    return tuple(
        Watch(tag, opening=spot.opening.id, waits=home.devices[tag].mode == "delayed")
        for tag, spot in dwelling.spots.items()
        if home.devices[tag].kind == "opening contact" and spot.opening is not None and home.devices[tag].fitted_by(on)
    )


def looking(home: Home, detectors: Detectors) -> tuple[Watch, ...]:
    """Give the motion detectors as what notices somebody upright."""
    return tuple(
        Watch(seen.tag, seen.covered, seen.storey, seen.view.point, waits=home.devices[seen.tag].mode == "delayed")
        for seen in detectors.placed
    )


def accessible(dwelling: Dwelling) -> tuple[PlacedOpening, ...]:
    """Give the outer openings that somebody gets to and through from outside, in the order of the record.

    Their lower edge is near the ground or near something one can stand on, or they lead to a space shared with others.
    A pane that does not open can be broken, and counts.
    """
    return tuple(opening for opening in dwelling.openings.values() if opening.is_outer and _reached(dwelling, opening))


def _reached(dwelling: Dwelling, opening: PlacedOpening) -> bool:
    limit = {
        name: standard("walks", name).value for name in ("above-ground", "drop", "wide", "least-area", "least-side")
    }
    written, climb = opening.opening, opening.opening.climb
    if (
        min(written.width, opening.height) <= limit["least-side"]
        or written.width * opening.height <= limit["least-area"]
    ):
        return False
    if written.to == "shared" or above_ground(dwelling, opening) <= limit["above-ground"]:
        return True
    return climb is not None and climb.reached and climb.drop <= limit["drop"] and (climb.wide or 0.0) >= limit["wide"]


def ways_in(home: Home, dwelling: Dwelling, on: date) -> tuple[WayIn, ...]:
    """Give the walk from each entry door to the keypad nearest to it, with the entry time that suits it.

    The entry doors are those recorded as such, or the only outer door of the home.
    """
    keypads = {
        tag: (spot.room, spot.point)
        for tag, spot in dwelling.spots.items()
        if home.devices[tag].kind == "keypad"
        and spot.fixed != "outside"
        and spot.point
        and home.devices[tag].fitted_by(on)
    }
    found = []
    for door in _entries(dwelling):
        ways = walks(dwelling, (door.rooms[0], door.middle), list(keypads.values()))
        near = min(((way.length, tag, way) for tag, way in zip(keypads, ways, strict=True) if way), default=None)
        if near is not None:
            _, tag, way = near
            far = Input(
                "d", "walk from the door to the keypad", way.length, "m", "measured", "the rooms as surveyed", _SPREAD
            )
            inputs: Mapping[str, Input] = {"d": far, **{key: standard("walks", key) for key in ("v", "t_c", "f")}}
            called = f"{door.opening.called} to {tag}"
            found.append(WayIn(door.id, tag, way, _set_to(home, on), entry_time(inputs, called)))
    return tuple(found)


def _entries(dwelling: Dwelling) -> list[PlacedOpening]:
    doors = [opening for opening in dwelling.openings.values() if opening.is_outer and opening.is_door]
    named = [door for door in doors if door.opening.entry]
    return named or [door for door in doors if len(doors) == 1 and door.opening.entry is None]


def _set_to(home: Home, on: date) -> Input | None:
    """Give the entry time by the clock where a visit took it, otherwise as it is said to be set."""
    for visit in reversed(standing(home.visits, on)):
        if visit.entry_time is not None:
            return Input("t_e", "entry time", visit.entry_time, "s", "measured", f"visit of {visit.date}", 1.0)
    meant = home.system.entry_time
    return None if meant is None else Input("t_e", "entry time", meant, "s", "stated", "system.entry-time")


def _steps(home: Home, tag: str, on: date) -> Input:
    """Give the steps until a detector signalled on the last walk test, or what is asked of one."""
    usual = standard("walks", "n")
    for visit, test in reversed(tests_of(tag, home.devices[tag], standing(home.visits, on))):
        if test.walk == "detected" and test.steps is not None:
            return replace(usual, value=float(test.steps), known="measured", origin=f"{tag}, visit of {visit.date}")
    return usual
