"""The drilling sheets: for every room with devices each place by two tapes, its zone, and what to keep clear of."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely import Point

from asfitted.drawing.zones import zone_sentences
from asfitted.dwelling.shapes import RoomShape, Spot
from asfitted.model.device import Device
from asfitted.model.words import READING_TOLERANCE
from asfitted.pages.dossier import Dossier
from asfitted.pages.figures import Figure, block_of
from asfitted.pages.views.office_rooms import storeys
from asfitted.pages.views.sheet_words import Known
from asfitted.pages.wording import sentence
from asfitted.rules.case import Case
from asfitted.rules.checks import PLACINGS
from asfitted.rules.placing import Candidate, Surface, Trial, Zone, surfaces, zone
from asfitted.rules.where import ELSEWHERE, best_place, conflict_words, not_placed, rules_bearing

SPARE = READING_TOLERANCE["tape"]
"""Metres beyond every limit that the zones keep, for what the tape may be out."""
_MEETS = 0.05
"""Metres from a corner within which a wall ends in it."""


@dataclass(frozen=True, slots=True)
class KeepClear:
    """A rule that takes something from the surface: its id, title, figure with its source, and whether that is weak."""

    rule: str
    title: str
    figure: str
    by_whom: str
    weak: bool


@dataclass(frozen=True, slots=True)
class Place:
    """Where one device goes.

    Attributes:
        tag: of the device.
        kind: of the device.
        name: as enrolled, empty where none is recorded.
        on: what it goes on, in words.
        tapes: each distance the record gives, by what it is taken from, with its figure.
        height: above the floor, empty where it is not known; ``height_from`` tells where it comes from.
        by: what it was measured with; empty where nothing is measured.
        best: where the rules leave most room, for a device without a place; empty otherwise.
        clear: the rules that bear on its surface.
        zone: what the zone of its surface comes to, in words.
        fitted: whether the record says that it hangs there already.
    """

    tag: str
    kind: str
    name: str
    on: str
    tapes: tuple[Known, ...]
    height: str
    height_from: str
    by: str
    best: str
    clear: tuple[KeepClear, ...]
    zone: tuple[str, ...]
    fitted: bool


@dataclass(frozen=True, slots=True)
class RoomSheet:
    """The drilling sheet of one room; ``unknown`` names what bears on it but has no place in the record."""

    id: str
    name: str
    storey: str
    size: str
    ceiling: str
    places: tuple[Place, ...]
    zones: tuple[Figure, ...]
    unknown: tuple[str, ...]


def drilling(dossier: Dossier) -> tuple[RoomSheet, ...]:
    """Give the sheet of every room that has a device, storey by storey."""
    case = Case(dossier.home, dossier.dwelling, dossier.on, dossier.rules, dossier.known)
    return tuple(
        _room(dossier, case, dossier.dwelling.rooms[room.id], storey.name, room.ceiling)
        for storey in storeys(dossier)
        for room in storey.rooms
        if room.devices
    )


def _room(dossier: Dossier, case: Case, room: RoomShape, storey: str, ceiling: str) -> RoomSheet:
    there = {tag: device for tag, device in dossier.home.devices.items() if _is_in(dossier, tag, room.id)}
    spots = dossier.dwelling.spots
    zones = {tag: _zones(case, tag, device, spots[tag], room) for tag, device in there.items()}
    unknown = dict.fromkeys(thing for device in there.values() for thing in not_placed(case, device.kind, room))
    west, south, east, north = room.outline.bounds
    return RoomSheet(
        room.id,
        sentence(room.room.called),
        storey,
        f"{east - west:.2f} m west to east, {north - south:.2f} m south to north",
        ceiling,
        tuple(_place(tag, device, spots[tag], zones[tag]) for tag, device in there.items()),
        tuple(_figures(dossier, room, there, zones)),
        tuple(unknown),
    )


def _is_in(dossier: Dossier, tag: str, room: str) -> bool:
    spot = dossier.dwelling.spots.get(tag)
    return spot is not None and spot.room == room


def _zones(case: Case, tag: str, device: Device, spot: Spot, room: RoomShape) -> tuple[Zone, ...]:
    """Give the zone of the surface a device is on, of both in a corner; of all where the record does not say which."""
    if device.kind in ELSEWHERE:
        return ()
    candidate = Candidate(device.kind, tag, device.across or 0.0)
    return tuple(
        zone(Trial(case, candidate, surface, SPARE), PLACINGS)
        for surface in surfaces(case.dwelling, room)
        if _may_be_on(spot, surface)
    )


def _may_be_on(spot: Spot, surface: Surface) -> bool:
    """Tell whether a device is on a surface, or may be where the record does not say which it is on."""
    if spot.fixed == "ceiling":
        return surface.wall is None
    if spot.fixed == "wall" and spot.wall:
        return surface.wall is not None and surface.wall.name == spot.wall.name
    if spot.fixed == "corner" and spot.point is not None:
        return surface.wall is not None and surface.wall.line.distance(Point(spot.point)) < _MEETS
    return True


def _place(tag: str, device: Device, spot: Spot, zones: tuple[Zone, ...]) -> Place:
    wall = spot.wall
    end = f"end of the {wall.name} wall" if wall and spot.fixed in ("wall", "outside") else "wall"
    return Place(
        tag,
        device.kind,
        sentence(device.name or ""),
        _on(device, spot),
        tuple(Known(f"{side} {end}", f"{metres:.2f} m") for side, metres in _across_first(device)),
        f"{spot.z:.2f} m" if spot.z is not None else "",
        "as recorded" if device.height is not None else "the ceiling there" if spot.fixed == "ceiling" else "reckoned",
        device.by if device.tapes or device.height is not None else "",
        _best(zones) if spot.point is None else "",
        tuple(_keep_clear(zones)),
        tuple(zone_sentences(zones, device.kind)[: len(zones)]),
        device.fitted is not None,
    )


def _across_first(device: Device) -> list[tuple[str, float]]:
    return sorted(device.tapes.items(), key=lambda tape: tape[0] in ("north", "south"))


def _on(device: Device, spot: Spot) -> str:
    if spot.fixed == "opening" and spot.opening:
        edge = f", {device.edge}" if device.edge else ""
        return f"on the {spot.opening.opening.called}{edge}"
    if spot.fixed == "corner":
        return f"in the {device.corner} corner"
    if spot.fixed == "outside" and spot.wall:
        return f"outside, on the {spot.wall.name} wall"
    if spot.fixed == "wall" and spot.wall:
        return f"on the {spot.wall.name} wall"
    return {"ceiling": "on the ceiling", "floor": "on the floor"}.get(spot.fixed, "surface not recorded")


def _best(zones: Iterable[Zone]) -> str:
    """Say where the rules leave most room: on the ceiling if there is a place on it; which rules leave none if not."""
    zones = tuple(zones)
    places = [place for place in map(best_place, zones) if place is not None]
    if not places:
        return ". ".join(filter(None, map(conflict_words, zones)))
    ceiling = [place for place in places if place.surface.wall is None]
    best = max(ceiling or places, key=lambda place: place.clear)
    return f"{best.says}, {best.clear:.2f} m clear of every limit"


def _keep_clear(zones: Iterable[Zone]) -> Iterator[KeepClear]:
    for ban in rules_bearing(zones).values():
        figure = ban.limit.figure or "no place there"
        yield KeepClear(ban.rule.id, ban.rule.title, figure, ban.limit.by_whom, ban.limit.weak)


def _figures(
    dossier: Dossier, room: RoomShape, there: dict[str, Device], zones: dict[str, tuple[Zone, ...]]
) -> Iterator[Figure]:
    """Draw the zone once for all devices of one kind on one surface: a wall as it is seen, the rest from above.

    Where a single rule bears on walls, it is about the height, and the words beside the device say it all.
    """
    from asfitted.drawing.room import room_diagram
    from asfitted.drawing.wall import wall_elevation

    drawn: dict[str, list[str]] = {}
    for tag, device in there.items():
        if any(found.surface.wall is None for found in zones[tag]) or len(rules_bearing(zones[tag])) > 1:
            surface = zones[tag][0].surface.called if len(zones[tag]) == 1 else "walls"
            drawn.setdefault(f"{room.id}-{device.kind}-{surface}".replace(" ", "-"), []).append(tag)
    for name, tags in drawn.items():
        kind, mine = there[tags[0]].kind, zones[tags[0]]
        block = block_of(dossier, f"{sentence(room.room.called)}: {kind}")
        if len(mine) == 1 and mine[0].surface.wall is not None:
            drawing = wall_elevation(dossier.dwelling, dossier.home, block, mine[0], kind)
            seen = f"the {mine[0].surface.called} seen from inside"
        else:
            drawing = room_diagram(dossier.dwelling, room.id, dossier.home, block, zones=mine, kind=kind)
            seen = "from above"
        yield Figure(drawing, f"Where a {kind} may go ({', '.join(tags)}), {seen}", f"../drawings/zone-{name}.svg")
