"""How far alarms are from the doors of rooms, along the way that people and sound take."""

from collections.abc import Iterator

from shapely import Point

from asfitted.dwelling.paths import walk
from asfitted.dwelling.shapes import PlacedOpening, RoomShape
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.rooms import serves
from asfitted.rules.finding import Finding, Mark, Subject, Verdict
from asfitted.rules.judgement import Question
from asfitted.rules.obstacles import SIDES
from asfitted.rules.placing import Ban, Trial
from asfitted.rules.spaces import path_of


def near_door(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each room of some uses has a door within reach of an alarm outside it, along the shortest walk.

    The walk goes from the middle of the alarm to the middle of the doorway; a room with several doors needs one of
    them near. Options: ``kinds`` of alarm; ``uses`` of the rooms, and ``sleepers`` for those people sleep in; ``from``,
    the uses of the rooms whose alarms count; ``unless-inside``, where an alarm in the room itself is enough.
    """
    for room in _rooms(rule, case):
        subject = Subject("room", room.id, room.room.called, room.id, room.storey)
        ask = Question(rule, limit, subject, path_of(case, room.storey, room.id))
        alarms, doors = _alarms(rule, case, room), _doors(case, room)
        if rule.options.get("unless-inside") and _inside(rule, case, room):
            yield ask.answer(Verdict.NOT_APPLICABLE, f"The {room.room.called} has an alarm of its own.")
        elif not doors:
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No door of the {room.room.called} leads into the home.")
        elif not _any_from(rule, case):
            yield ask.answer(Verdict.NOT_APPLICABLE, "The home has no hall or landing on record.")
        else:
            yield _near_door(ask, case, room, alarms, doors)


def _near_door(
    ask: Question, case: Case, room: RoomShape, alarms: list[Placed], doors: list[tuple[str, PlacedOpening]]
) -> Finding:
    lost = [placed.tag for placed in alarms if placed.spot.point is None]
    found = [
        (way.length, placed, door)
        for placed in alarms
        for outer, door in doors
        if placed.spot.point is not None
        and (way := walk(case.dwelling, (placed.spot.room, placed.spot.point), (outer, _middle(door, outer))))
    ]
    if not found and not lost:
        where = "in a hall or landing" if ask.rule.options.get("from") else "outside it"
        says = f"From the {room.room.called} no {ask.rule.options['kinds'][0]} {where} can be walked to"
        return ask.answer(Verdict.FAILS, f"{says} ({ask.limit.by_whom}).")
    finding = None
    if found:
        length, placed, door = min(found, key=lambda way: way[0])
        says = f"The {door.opening.called} of the {room.room.called} is {length:.2f} m of walking from {placed.words}"
        mark = Mark(door.middle, placed.spot.point, ask.limit.most)
        finding = ask.measured(length, placed.spot.tolerance, says, mark=mark)
    if finding is None or (lost and finding.verdict is not Verdict.CONFORMS):
        says = f"The record does not say where {lost[0]} is."
        return ask.answer(Verdict.NOT_VERIFIED, says, "Measure its distance from two walls and record them.")
    return finding


def _any_from(rule: Rule, case: Case) -> bool:
    """Whether the home has any room whose alarms count."""
    uses = rule.options.get("from")
    return uses is None or any(room.room.use in uses for room in case.dwelling.rooms.values())


def _rooms(rule: Rule, case: Case) -> list[RoomShape]:
    uses, slept_in = rule.options["uses"], case.home.household.sleepers if rule.options.get("sleepers") else {}
    return [room for room in case.dwelling.rooms.values() if room.room.use in uses or slept_in.get(room.id)]


def _alarms(rule: Rule, case: Case, room: RoomShape) -> list[Placed]:
    """Give the alarms outside a room that count."""
    uses, rooms = rule.options.get("from"), case.dwelling.rooms
    return [
        placed
        for placed in case.of_kinds(tuple(rule.options["kinds"]))
        if placed.spot.room != room.id
        and serves(placed, case)
        and (uses is None or rooms[placed.spot.room].room.use in uses)
    ]


def _inside(rule: Rule, case: Case, room: RoomShape) -> bool:
    alarms = case.of_kinds(tuple(rule.options["kinds"]))
    return any(placed.spot.room == room.id and serves(placed, case) for placed in alarms)


def _doors(case: Case, room: RoomShape) -> list[tuple[str, PlacedOpening]]:
    """Give the doors of a room that lead to other rooms, each with the room beyond."""
    return [
        (beyond, opening)
        for opening in case.dwelling.openings_of(room.id)
        if opening.is_door
        for beyond in opening.rooms
        if beyond not in (room.id, None)
    ]


def _middle(door: PlacedOpening, room: str) -> tuple[float, float]:
    middle = door.line_in(room).centroid
    return float(middle.x), float(middle.y)


def keep_near_doors(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the places from which the last missing alarm would be too far from a door that opens into its room.

    The reach is drawn straight: round a corner that juts in the walk is longer, and the check then says so. Where no
    place is near enough to all such doors, nothing is forbidden.
    """
    here, case = trial.surface.room, trial.case
    uses = rule.options.get("from")
    if limit.most is None or (uses is not None and here.room.use not in uses):
        return
    place = here.outline
    for room in _rooms(rule, case):
        doors = [door for beyond, door in _doors(case, room) if beyond == here.id]
        rest = [placed for placed in _alarms(rule, case, room) if placed.tag != trial.candidate.tag]
        own = rule.options.get("unless-inside") and _inside(rule, case, room)
        if room is here or own or not doors or _served(case, room, rest, limit.most - trial.spare):
            continue
        middle = Point(_middle(doors[0], here.id))
        place = place.intersection(middle.buffer(limit.most - trial.spare, quad_segs=SIDES))
    if not place.is_empty and place.area < here.area - 1e-4:
        left = here.outline.buffer(0.5).difference(place)
        yield Ban(rule, limit, "its distance from the doors", trial.surface.under(left))


def _served(case: Case, room: RoomShape, alarms: list[Placed], most: float) -> bool:
    return any(
        way.length <= most
        for placed in alarms
        for outer, door in _doors(case, room)
        if placed.spot.point is not None
        and (way := walk(case.dwelling, (placed.spot.room, placed.spot.point), (outer, _middle(door, outer))))
    )
