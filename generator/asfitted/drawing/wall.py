"""The elevation of one wall of a room, seen from inside: where on it a device may go, to scale."""

from collections.abc import Mapping

from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.canvas import XY, Canvas, View
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.lettering import SIZES, Box, Taken, shortened, width_of
from asfitted.drawing.lines import dimension
from asfitted.drawing.plan import kinds_used
from asfitted.drawing.samples import best_mark
from asfitted.drawing.sheet import Margins, draw_sheet, lay_out
from asfitted.drawing.standing import tag_places
from asfitted.drawing.symbols import DEVICES, put
from asfitted.drawing.words import capital, ceiling_words, device_sentence, room_words, sentences
from asfitted.drawing.zones import (
    bans_by_number,
    draw_area,
    draw_bans,
    figure_along,
    zone_entries,
    zone_note,
    zone_sentences,
)
from asfitted.dwelling.shapes import Dwelling, Wall
from asfitted.dwelling.walls import starts_at
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.words import Side
from asfitted.rules.placing import Zone
from asfitted.rules.where import Place, best_place

SHELL = 0.15
"""Metres drawn for the floor, the ceiling and the walls at either end: only how they are drawn."""
_NEAR = 0.02
"""Metres from a wall within which a device is on it."""


def wall_elevation(dwelling: Dwelling, home: Home, block: TitleBlock, zone: Zone, kind: str) -> Drawing:
    """Draw a wall as it is seen from inside the room, with its openings and devices, and where a device may go.

    Args:
        dwelling: the home as laid out.
        home: the record, for its devices.
        block: what stands in the title block.
        zone: where on the wall a device may go.
        kind: the kind of that device.

    Raises:
        ValueError: when the zone is that of a ceiling.
    """
    wall, room = zone.surface.wall, zone.surface.room
    if wall is None:
        raise ValueError("a ceiling has no elevation")
    devices = devices_on(dwelling, home, wall)
    outline = _seen(wall, zone.surface.whole)
    west, _, east, top = outline.bounds
    sheet = lay_out(
        (west - SHELL, -SHELL, east + SHELL, top + SHELL),
        Margins(11.0, 5.0, 11.0, 17.0),
        [*kinds_used(devices, dwelling, ()), *zone_entries([zone], [zone])],
        zone_note([zone], kind),
    )
    view = sheet.view
    title = f"The {wall.name} wall of the {room_words(room.room)}, {block.home}"
    description = sentences(
        [
            f"The {wall.name} wall at 1:{view.scale}, seen from inside: {wall.length:.2f} m long.",
            f"{capital(ceiling_words(room))}.",
            *(device_sentence(tag, device, dwelling.spots[tag], dwelling) for tag, device in devices.items()),
            *zone_sentences([zone], kind),
        ]
    )
    canvas = Canvas(f"wall-{room.id}-{wall.name}", sheet.width, sheet.height, title, description)
    taken = Taken(Box(*sheet.drawn))
    _draw_shell(canvas, view, zone, wall, taken)
    draw_area(canvas, view, _seen(wall, zone.shape))
    _draw_holes(canvas, view, dwelling, zone, taken)
    if place := best_place(zone):
        _draw_best(canvas, view, wall, place, taken)
    _draw_devices(canvas, view, dwelling, wall, devices, taken)
    bans = {number: _seen(wall, shape) for number, shape in bans_by_number(zone).items()}
    draw_bans(canvas, view, _seen(wall, zone.surface.outline), bans, taken)
    draw_sheet(canvas, sheet, block, None)
    return Drawing(canvas.name, canvas.svg(), sheet.width, sheet.height, view.scale, title, description)


def devices_on(dwelling: Dwelling, home: Home, wall: Wall) -> dict[str, Device]:
    """Give the devices on the inside of a wall, those in its corners among them, whose place and height are known."""
    return {
        tag: home.devices[tag]
        for tag, spot in dwelling.spots.items()
        if spot.room == wall.room and spot.point is not None and spot.z is not None
        if spot.fixed in ("wall", "corner", "opening") and abs(_off(wall, spot.point)) < _NEAR
    }


def _off(wall: Wall, point: XY) -> float:
    """Give how far a point is off a wall, or beyond its ends, in metres."""
    dx, dy = point[0] - wall.a[0], point[1] - wall.a[1]
    along = dx * wall.along[0] + dy * wall.along[1]
    return max(abs(dx * wall.outward[0] + dy * wall.outward[1]), -along, along - wall.length)


def _seen(wall: Wall, shape: BaseGeometry) -> BaseGeometry:
    """Turn a shape of the surface round: from inside the room, the end ``a`` of a wall is on the right."""
    return affine_transform(shape, [-1.0, 0.0, 0.0, 1.0, wall.length, 0.0])


def _at(view: View, wall: Wall, point: XY) -> XY:
    return view.at((wall.length - point[0], point[1]))


def _draw_shell(canvas: Canvas, view: View, zone: Zone, wall: Wall, taken: Taken) -> None:
    """Draw floor, ceiling and the ends of the wall as cut, with their heights, the length, and which end is which."""
    outline = _seen(wall, zone.surface.whole)
    shell = outline.buffer(SHELL, join_style="mitre").difference(outline)
    canvas.path("structure", view.path(shell), "d-wall")
    taken.take_shape(view.shape(shell), 2.0)
    height_at = zone.surface.room.ceiling.height_at
    for end, height in ((0.0, height_at(*wall.b)), (wall.length, height_at(*wall.a))):
        out = -1.0 if end == 0.0 else 1.0
        x = view.at((end + out * SHELL, 0.0))[0] + out * 5.0
        ends = (x, view.at((0.0, 0.0))[1]), (x, view.at((0.0, height))[1])
        dimension(canvas, *ends, f"{height:.2f}", taken, shares=(0.5,), height="edge")
        side: Side = _side(wall, first=end > 0.0)
        foot = view.at((end, -SHELL))
        canvas.text("text", (foot[0], foot[1] + 14.5), f"{side} end", "d-word", anchor="start" if end == 0.0 else "end")
    base = view.at((0.0, -SHELL))[1] + 11.0
    ends = (view.at((0.0, 0.0))[0], base), (view.at((wall.length, 0.0))[0], base)
    dimension(canvas, *ends, f"{wall.length:.2f}", taken, shares=(0.5,), overall="width")


def _side(wall: Wall, *, first: bool) -> Side:
    """Give the side of the plan on which the end ``a`` of a wall lies, or the other end."""
    sides: tuple[Side, Side] = ("west", "east") if abs(wall.along[0]) > abs(wall.along[1]) else ("south", "north")
    return sides[0] if starts_at(wall, sides[0]) == first else sides[1]


def _draw_holes(canvas: Canvas, view: View, dwelling: Dwelling, zone: Zone, taken: Taken) -> None:
    """Draw the openings of the wall, each with what it is called."""
    wall = zone.surface.wall
    assert wall is not None
    for hole, opening in zip(zone.surface.holes, zone.surface.openings, strict=True):
        seen = _seen(wall, hole).intersection(_seen(wall, zone.surface.whole))
        canvas.path("structure", view.path(seen), "d-hole", opening=opening)
        west, south, east, north = seen.bounds
        (left, bottom), (right, top) = view.at((west, south)), view.at((east, north))
        words = shortened(dwelling.openings[opening].opening.called, "d-word", right - left - 1.0)
        middle = (left + right) / 2, (top + bottom) / 2
        canvas.text("text", (middle[0], middle[1] + 0.8), words, "d-word", anchor="middle")
        taken.take(Box.around(middle, width_of(words, "d-word"), SIZES["d-word"]), 8.0)


def _draw_best(canvas: Canvas, view: View, wall: Wall, place: Place, taken: Taken) -> None:
    """Mark the best place, with how far it is from the end of the wall and how high above the floor."""
    along, height = place.point
    ((_, metres),) = place.tapes
    end = 0.0 if abs(along - metres) < 1e-6 else wall.length
    at, foot = _at(view, wall, place.point), _at(view, wall, (along, 0.0))
    level = view.at((0.0, -SHELL))[1] + 5.0
    ends = (foot[0], level), (_at(view, wall, (end, 0.0))[0], level)
    for x, y in ends:
        canvas.line("dimensions", [(x, y - 4.0), (x, y + 1.0)], "d-extension")
    figure_along(canvas, *ends, metres, taken)
    figure_along(canvas, at, foot, height, taken)
    best_mark(canvas, "devices", at)
    taken.take(Box.around(at, 4.6, 4.6), 9.0)


def _draw_devices(
    canvas: Canvas, view: View, dwelling: Dwelling, wall: Wall, devices: Mapping[str, Device], taken: Taken
) -> None:
    """Draw the devices on the wall at their heights."""
    for tag, device in devices.items():
        spot, symbol = dwelling.spots[tag], DEVICES[device.kind]
        assert spot.point is not None
        assert spot.z is not None
        along = (spot.point[0] - wall.a[0]) * wall.along[0] + (spot.point[1] - wall.a[1]) * wall.along[1]
        at = _at(view, wall, (along, spot.z))
        put(canvas, "devices", device.kind, at, tag=tag)
        around = Box.around(at, symbol.width, symbol.height)
        taken.take(around, 12.0)
        height = f"h {spot.z:.2f} m"
        wide, size = max(width_of(tag, "d-tag"), width_of(height, "d-height")), SIZES["d-tag"]
        places, extra = tag_places(around, wide, size * 0.8 + SIZES["d-height"] * 1.05)
        index, _ = taken.best(places, extra)
        taken.take(places[index], 11.0)
        middle = places[index].centre[0]
        canvas.text("devices", (middle, places[index].top + size * 0.76), tag, "d-tag", anchor="middle", tag=tag)
        canvas.text("devices", (middle, places[index].bottom - 0.2), height, "d-height", anchor="middle")
