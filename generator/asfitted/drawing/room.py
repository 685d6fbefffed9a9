"""The diagram of one room: what a technician drills from."""

from collections.abc import Mapping, Sequence

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.canvas import XY, Canvas, View
from asfitted.drawing.chains import FIRST, Bounds, extend
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.fittings import draw_fittings
from asfitted.drawing.lettering import SIZES, Box, Taken, shortened, width_of
from asfitted.drawing.lines import dimension
from asfitted.drawing.openings import swing_of
from asfitted.drawing.overlay import draw_findings, legend_of, shown_here
from asfitted.drawing.plan import kinds_used
from asfitted.drawing.rooms import draw_label
from asfitted.drawing.sheet import Margins, draw_sheet, lay_out
from asfitted.drawing.standing import draw_devices, stand_devices
from asfitted.drawing.structure import draw_ridge, draw_structure
from asfitted.drawing.tapes import draw_tapes, tapes_of
from asfitted.drawing.walls import jambs, wall_shape
from asfitted.drawing.words import device_sentence, named, room_sentence, room_words, sentences, unplaced_note
from asfitted.drawing.zones import (
    best_of,
    draw_best,
    draw_ceiling,
    draw_wall_strip,
    zone_entries,
    zone_note,
    zone_sentences,
)
from asfitted.dwelling.shapes import SIDE_VECTORS, Dwelling, PlacedOpening, RoomShape, StoreyShape
from asfitted.language import figure, say
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.words import Side
from asfitted.rules.finding import Finding
from asfitted.rules.placing import Zone

OUTSIDE = 11.0
"""Millimetres that dimensions give way to symbols on the outer face of a wall."""
_SIDES: tuple[Side, ...] = ("west", "south", "east", "north")
STUB = 0.12
"""Metres that are shown of what is beyond the walls."""


def room_diagram(
    dwelling: Dwelling,
    room_id: str,
    home: Home,
    block: TitleBlock,
    findings: Sequence[Finding] = (),
    *,
    zones: Sequence[Zone] = (),
    kind: str = "",
) -> Drawing:
    """Draw one room with its devices, the distances the tape showed, and their heights.

    Args:
        dwelling: the home as laid out.
        room_id: which room.
        home: the record, for devices and the bearing of the plan.
        block: what stands in the title block.
        findings: of which those about the room that do not conform or are borderline are marked.
        zones: where on its ceiling and walls a device may go, if that is to be shown; it takes the place of the
            distances and heights of the devices that are there.
        kind: the kind of that device.
    """
    room = dwelling.rooms[room_id]
    storey = dwelling.storey(room.storey)
    devices = {tag: home.devices[tag] for tag, spot in dwelling.spots.items() if spot.room == room_id}
    openings = [opening for opening in storey.openings if room_id in opening.rooms]
    fittings = [fitting for fitting in storey.fittings if fitting.spot.room == room_id]
    shown = shown_here(findings, dwelling, room=room_id)
    ceiling = [zone for zone in zones if zone.surface.wall is None]
    walls = _own_walls(room, storey, openings)
    beyond = [opening for opening in openings if opening.is_door]
    reach = _reach(walls, openings, storey.storey.walls.inside.thickness)
    over = {side for side, more in zip(_SIDES, _beyond(reach, walls.bounds), strict=True) if more > 0.5}
    sheet = lay_out(
        reach,
        _margins(room, beyond, _sides_outside(devices, dwelling), over),
        [*kinds_used(devices, dwelling, fittings), *legend_of(shown), *zone_entries(zones, ceiling)],
        [*unplaced_note(devices, dwelling.spots), *zone_note(zones, kind)],
    )
    view = sheet.view
    title = named(say("Diagram of the {room}", room=room_words(room.room)), block)
    description = sentences(
        [
            say("Diagram at 1:{scale}.", scale=view.scale),
            room_sentence(room),
            *(device_sentence(tag, device, dwelling.spots[tag], dwelling) for tag, device in devices.items()),
            *(finding.says for finding in shown),
            *zone_sentences(zones, kind),
        ]
    )
    canvas = Canvas(f"room-{room_id}", sheet.width, sheet.height, title, description)
    canvas.clip("clearances", sheet.drawn)
    canvas.clip("structure", sheet.drawn)
    taken = Taken(Box(*sheet.drawn))
    taken.take_shape(view.shape(walls), 2.0)
    stands = stand_devices(view, devices, dwelling, taken)
    draw_structure(canvas, view, dwelling, storey, [room], openings, walls, taken)
    draw_fittings(canvas, view, fittings, dwelling, taken)
    _draw_neighbours(canvas, view, dwelling, room, storey, taken)
    tapes = [] if zones else tapes_of(view, devices, dwelling, stands)
    for tape in tapes:
        taken.take(Box.over([tape.start, tape.end], 0.2), 0.4)
    _draw_zones(canvas, view, zones, taken)
    told = draw_findings(canvas, view, shown, view.path(room.outline), taken, beside=3.4)
    draw_ridge(canvas, view, room, taken)
    _draw_sizes(canvas, view, room, walls.bounds, _sides_outside(devices, dwelling), taken)
    draw_devices(canvas, view, dwelling, devices, stands, taken, heights=not zones)
    draw_tapes(canvas, tapes, told, taken)
    draw_label(canvas, view, room, taken)
    draw_sheet(canvas, sheet, block, home.home.plan_north)
    return Drawing(canvas.name, canvas.svg(), sheet.width, sheet.height, view.scale, title, description)


def _draw_zones(canvas: Canvas, view: View, zones: Sequence[Zone], taken: Taken) -> None:
    """Draw where a device may go: the best place first, since its figures matter most."""
    if place := best_of(zones):
        draw_best(canvas, view, place, taken)
    for zone in zones:
        if zone.surface.wall is None:
            draw_ceiling(canvas, view, zone, taken)
        else:
            draw_wall_strip(canvas, view, zone, taken)


def _own_walls(room: RoomShape, storey: StoreyShape, openings: Sequence[PlacedOpening]) -> BaseGeometry:
    """Give the walls round a room, with a stub of those that go on beyond."""
    thickest = max((face.thickness for wall in room.walls for face in wall.faces), default=0.0)
    window = room.outline.buffer(thickest + STUB, join_style="mitre")
    return wall_shape(storey, openings).intersection(window).normalize()


def _reach(walls: BaseGeometry, openings: Sequence[PlacedOpening], inside: float) -> Bounds:
    """Give the bounds of the walls and of the doors as they stand open."""
    swings = [swing_of(opening, inside) for opening in openings if opening.opening.kind == "door" and opening.wall]
    tips = MultiPoint([point for swing in swings for point in (swing.tip, swing.shut)])
    whole = walls.union(tips) if swings else walls
    west, south, east, north = whole.bounds
    return west, south, east, north


def _beyond(reach: Bounds, walls: Bounds) -> tuple[float, float, float, float]:
    """Give how far one box of bounds goes beyond another to west, south, east and north, in metres."""
    return walls[0] - reach[0], walls[1] - reach[1], reach[2] - walls[2], reach[3] - walls[3]


def _margins(room: RoomShape, doors: Sequence[PlacedOpening], outside: set[Side], over: set[Side]) -> Margins:
    """Keep paper free where a neighbour is named, where a device is outside, and for the dimensions.

    Where a door stands open beyond the walls, on the sides ``over``, it has made room for the dimensions already.
    """
    more: dict[Side, float] = {"north": 4.0, "east": 4.0, "south": FIRST + 4.0, "west": FIRST + 4.5}
    if not _is_rectangle(room):
        more = dict.fromkeys(more, FIRST + 5.5)
    for opening in doors:
        if opening.wall:
            side = _outward_side(opening, room.id)
            more[side] = max(more[side], 6.0)
    more |= dict.fromkeys(over, 6.0)
    for side in outside:
        more[side] = max(more[side], FIRST + OUTSIDE + 4.5)
    return Margins(more["west"], more["north"], more["east"], more["south"])


def _sides_outside(devices: Mapping[str, Device], dwelling: Dwelling) -> set[Side]:
    """Give the sides of a room on whose outer face something is fixed."""
    spots = [dwelling.spots[tag] for tag in devices]
    return {spot.wall.side for spot in spots if spot.fixed == "outside" and spot.wall and spot.point}


def _outward_side(opening: PlacedOpening, room: str) -> Side:
    """Give the side of a room on which an opening lies."""
    assert opening.wall is not None
    ox, oy = opening.wall.outward
    way = 1.0 if opening.rooms[0] == room else -1.0
    return max(SIDE_VECTORS, key=lambda side: (SIDE_VECTORS[side][0] * ox + SIDE_VECTORS[side][1] * oy) * way)


def _is_rectangle(room: RoomShape) -> bool:
    west, south, east, north = room.outline.bounds
    return bool(abs(room.area - (east - west) * (north - south)) < 1e-6)


def _draw_sizes(
    canvas: Canvas,
    view: View,
    room: RoomShape,
    bounds: Bounds,
    outside: set[Side],
    taken: Taken,
) -> None:
    """Draw the length of each wall of an odd room along its outside; width and depth of a rectangle."""
    if _is_rectangle(room):
        for side in ("south", "west"):
            _rectangle_size(canvas, view, room, bounds, side, FIRST + (OUTSIDE if side in outside else 0.0), taken)
        return
    for wall in room.walls:
        if wall.length >= 0.25:
            thick = max((face.thickness for face in wall.faces), default=0.1)
            mm = view.scale / 1000
            off = thick + (FIRST + 1.0 + (OUTSIDE if wall.side in outside else 0.0)) * mm
            ends = [view.at(wall.at(along, off)) for along in (0.0, wall.length)]
            for along in (0.0, wall.length):
                leads = [view.at(wall.at(along, out)) for out in (thick + mm, off + mm)]
                canvas.line("dimensions", leads, "d-extension")
            dimension(canvas, ends[0], ends[1], figure(wall.length, 2), taken, wall=wall.name)


def _rectangle_size(
    canvas: Canvas,
    view: View,
    room: RoomShape,
    bounds: Bounds,
    side: Side,
    off: float,
    taken: Taken,
) -> None:
    west, south, east, north = room.outline.bounds
    left, bottom = view.at(bounds[:2])
    if side == "south":
        ends = (view.at((west, 0.0))[0], bottom + off), (view.at((east, 0.0))[0], bottom + off)
    else:
        ends = (left - off, view.at((0.0, south))[1]), (left - off, view.at((0.0, north))[1])
    extend(canvas, side, ends, 5.5)
    value = east - west if side == "south" else north - south
    dimension(canvas, *ends, figure(value, 2), taken, room=room.id, side=side)


def _draw_neighbours(
    canvas: Canvas, view: View, dwelling: Dwelling, room: RoomShape, storey: StoreyShape, taken: Taken
) -> None:
    """Name what is beyond each door, in small italics, beyond its leaf as it stands open."""
    inside = storey.storey.walls.inside.thickness
    for opening in storey.openings:
        if not opening.is_door or room.id not in opening.rooms or opening.wall is None:
            continue
        first = opening.rooms[0] == room.id
        other = opening.rooms[1] if first else opening.rooms[0]
        name = room_words(dwelling.rooms[other].room) if other else (opening.opening.to or say("outside"))
        beyond = {"shared": say("shared way"), "outside": say("outside")}
        words = shortened(beyond.get(name, name), "d-neighbour", 30.0)
        hole = jambs(opening, inside)
        face = hole.across(1.0 if first else 0.0)
        middle = view.at(((face[0][0] + face[1][0]) / 2, (face[0][1] + face[1][1]) / 2))
        vx, vy = SIDE_VECTORS[_outward_side(opening, room.id)]
        upright = bool(vx)
        wide, high = width_of(words, "d-neighbour"), SIZES["d-neighbour"]
        clear = 1.2 + high / 2 + view.length(_opens_out(opening, inside, (vx, vy)))
        steps = [clear + more for more in (0.0, 2.0, 4.0, 6.0)]
        spots = [(middle[0] + vx * step, middle[1] - vy * step) for step in steps]
        boxes = [Box.around(spot, high if upright else wide, wide if upright else high) for spot in spots]
        index, _ = taken.best(boxes)
        taken.take(boxes[index], 4.0)
        x, y = spots[index]
        at = (x + high * 0.3, y) if upright else (x, y + high * 0.3)
        canvas.text("text", at, words, "d-neighbour", anchor="middle", turn=-90.0 if upright else 0.0)


def _opens_out(opening: PlacedOpening, inside: float, way: XY) -> float:
    """Give how far in metres the leaf of an opening stands out in a direction."""
    if opening.opening.kind != "door":
        return 0.0
    swing = swing_of(opening, inside)
    return max(0.0, (swing.tip[0] - swing.hinge[0]) * way[0] + (swing.tip[1] - swing.hinge[1]) * way[1])
