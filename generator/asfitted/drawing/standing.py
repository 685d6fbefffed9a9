"""Where the symbols of devices and fittings stand on the paper, and where their tags go."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from shapely import Point, Polygon

from asfitted.drawing.canvas import XY, Canvas, Link, View, polyline
from asfitted.drawing.lettering import SIZES, Box, Taken, width_of
from asfitted.drawing.symbols import DEVICES, Symbol, put
from asfitted.dwelling.shapes import SIDE_VECTORS, Dwelling, RoomShape, Spot
from asfitted.language import figure, say
from asfitted.model.device import Device

_RING = ((1, 0), (-1, 0), (0, 1), (0, -1), (0.8, 0.8), (-0.8, 0.8), (0.8, -0.8), (-0.8, -0.8))
_SOLID = 12.0
_TOUCH, _LEAST_TOUCH = 0.0202, 3.2
"""Radius of what a finger may touch to follow a link: a share of the sheet's width, and mm.

A page shows a sheet no narrower than 620 px (31 rem), so that the circle is 25 px across; WCAG 2.2 asks for 24.
"""


@dataclass(frozen=True)
class Stand:
    """A symbol on paper: its true point, its middle, and its turn in degrees clockwise."""

    symbol: Symbol
    point: XY
    middle: XY
    turn: float
    box: Box
    moved: bool = False


def stand(view: View, symbol: Symbol, spot: Spot, corner: str | None, room: RoomShape, taken: Taken) -> Stand:
    """Find where the symbol of something stands: on its point, or with its back to its wall.

    Where it would cover another symbol it gives way, but stays on its side of the wall.
    """
    assert spot.point is not None
    point = view.at(spot.point)
    turn = spot.facing if symbol.turns and spot.facing is not None else 0.0
    away = _away(spot, corner)
    middle = point
    if away:
        dx, dy = away[0], -away[1]
        off = symbol.stand if symbol.stand is not None else _half(symbol, dx, dy) + 0.5
        middle = point[0] + dx * off, point[1] + dy * off
    box = _box(symbol, middle, turn)
    if not _hits(box, taken):
        taken.take(box, _SOLID)
        return Stand(symbol, point, middle, turn, box)
    spots = [
        (middle[0] + x * step, middle[1] + y * step)
        for step in (symbol.width * 0.6 + 3.2, symbol.width + 4.5, symbol.width + 7.5)
        for x, y in _RING
    ]
    boxes = [_box(symbol, spot_, turn) for spot_ in spots]
    home = view.shape(room.outline)
    astray = [home.contains(Point(spot_)) == (spot.fixed == "outside") for spot_ in spots]
    index, _ = taken.best(boxes, [0.02 * i + 100.0 * wrong for i, wrong in enumerate(astray)])
    taken.take(boxes[index], _SOLID)
    return Stand(symbol, point, spots[index], turn, boxes[index], moved=True)


def _hits(box: Box, taken: Taken) -> bool:
    return any(weight >= _SOLID and box.overlap(other) > 0.2 for other, weight in taken.boxes)


def _away(spot: Spot, corner: str | None) -> XY | None:
    """Give the unit vector, on the plan, from the wall behind a thing towards the side on which it is fixed."""
    if spot.fixed == "corner" and corner:
        north_south, east_west = corner.split("-")
        return -SIDE_VECTORS[east_west][0] * 0.7071, -SIDE_VECTORS[north_south][1] * 0.7071  # type: ignore[index]
    if spot.wall is None or spot.fixed not in ("wall", "opening", "outside"):
        return None
    way = 1.0 if spot.fixed == "outside" else -1.0
    return spot.wall.outward[0] * way, spot.wall.outward[1] * way


def _half(symbol: Symbol, dx: float, dy: float) -> float:
    if symbol.turns:
        return symbol.height / 2
    diagonal = min(symbol.width / 2 / abs(dx) if dx else 99.0, symbol.height / 2 / abs(dy) if dy else 99.0)
    return diagonal if abs(dx) > 0.01 and abs(dy) > 0.01 else abs(dx) * symbol.width / 2 + abs(dy) * symbol.height / 2


def _box(symbol: Symbol, middle: XY, turn: float) -> Box:
    angle = radians(turn)
    if symbol.stand == 0.0:  # stands on its tip: a quarter disc ahead of it
        rim = [angle + radians(step) for step in range(-45, 46, 15)]
        reach = symbol.width * 0.82
        return Box.over([middle, *((middle[0] + sin(a) * reach, middle[1] - cos(a) * reach) for a in rim)])
    wide = abs(cos(angle)) * symbol.width + abs(sin(angle)) * symbol.height
    high = abs(sin(angle)) * symbol.width + abs(cos(angle)) * symbol.height
    return Box.around(middle, wide, high)


def stand_devices(view: View, devices: Mapping[str, Device], dwelling: Dwelling, taken: Taken) -> dict[str, Stand]:
    """Find where the symbols of all devices with a known point stand."""
    return {
        tag: stand(view, DEVICES[device.kind], spot, device.corner, dwelling.rooms[spot.room], taken)
        for tag, device in devices.items()
        if (spot := dwelling.spots[tag]).point is not None
    }


def draw_devices(
    canvas: Canvas,
    view: View,
    dwelling: Dwelling,
    devices: Mapping[str, Device],
    stands: Mapping[str, Stand],
    taken: Taken,
    *,
    heights: bool = False,
    views: bool = True,
    links: Mapping[str, Link] | None = None,
) -> None:
    """Draw symbols and tags; with ``views`` also coverage, with ``heights`` also how high each device is fixed.

    ``links`` says where the symbol and the tag of a device lead to.
    """
    links = links or {}
    for tag, stood in stands.items():
        if views and (field := coverage(devices[tag], dwelling.spots[tag], dwelling)):
            canvas.path("coverage", view.path(field), "d-coverage", tag=tag)
        with canvas.link(links.get(tag)):
            if tag in links:
                canvas.circle("devices", stood.box.centre, max(_LEAST_TOUCH, _TOUCH * canvas.width), "d-touch")
            draw_leader(canvas, "devices", devices[tag].kind, stood)
    for tag, stood in stands.items():
        with canvas.link(links.get(tag)):
            put(canvas, "devices", devices[tag].kind, stood.middle, stood.turn, tag=tag)
    for tag, stood in stands.items():
        spot = dwelling.spots[tag]
        height = say("h {height} m", height=figure(spot.z, 2)) if heights and spot.z is not None else ""
        home = view.shape(dwelling.rooms[spot.room].outline) if spot.fixed != "outside" else None
        others = [other.box for name, other in stands.items() if name != tag]
        with canvas.link(links.get(tag)):
            _tag(canvas, tag, height, stood, home, others, taken)


def draw_leader(canvas: Canvas, layer: str, kind: str, stood: Stand) -> None:
    """Draw a line from a symbol that had to give way to its true point; the symbols themselves are drawn over it."""
    if stood.moved:
        soft = "" if kind in DEVICES else " d-soft"
        canvas.line(layer, [stood.point, stood.middle], f"d-leader{soft}")
        canvas.circle(layer, stood.point, 0.4 if soft else 0.55, f"d-point{soft}")


def coverage(device: Device, spot: Spot, dwelling: Dwelling) -> Polygon | None:
    """Give the part of its room that a detector looks over: its recorded field and range, cut at the room's walls.

    None where the record does not give both, or does not say where it looks. What stands in the way is not considered.
    """
    if device.kind != "motion detector" or spot.point is None or spot.facing is None:
        return None
    if device.field is None or device.range is None:
        return None
    steps = max(2, round(device.field / 3))
    turns = [radians(spot.facing - device.field / 2 + device.field * i / steps) for i in range(steps + 1)]
    x, y = spot.point
    arc = [(x + sin(turn) * device.range, y + cos(turn) * device.range) for turn in turns]
    sector = Polygon(arc if device.field >= 360 else [(x, y), *arc]).intersection(dwelling.rooms[spot.room].outline)
    parts = [part for part in getattr(sector, "geoms", [sector]) if isinstance(part, Polygon) and not part.is_empty]
    return min(parts, key=lambda part: float(part.distance(Point(x, y)))).normalize() if parts else None


def _tag(
    canvas: Canvas, tag: str, height: str, stood: Stand, home: Polygon | None, others: Sequence[Box], taken: Taken
) -> None:
    size = SIZES["d-tag"]
    wide = max(width_of(tag, "d-tag"), width_of(height, "d-height") if height else 0.0)
    high = size * 0.8 + (SIZES["d-height"] * 1.05 if height else 0.0)
    places, extra = tag_places(stood.box, wide, high)
    if home is not None:
        extra = [
            cost + (0.0 if home.contains(Point(place.centre)) else 30.0)
            for place, cost in zip(places, extra, strict=True)
        ]
    extra = [
        cost + (2.0 if _nearer(others, place, stood.box) else 0.0) for place, cost in zip(places, extra, strict=True)
    ]
    index, _ = taken.best(places, extra)
    place = places[index]
    taken.take(place, _SOLID - 1)
    middle = place.centre[0]
    if index >= 2 * len(_RING):
        near = _nearest(stood.box, place.centre)
        canvas.path("devices", polyline([near, _nearest(place, near)]), "d-leader")
    canvas.text("devices", (middle, place.top + size * 0.76), tag, "d-tag", anchor="middle", tag=tag)
    if height:
        canvas.text("devices", (middle, place.bottom - 0.2), height, "d-height", anchor="middle")


def tag_places(box: Box, wide: float, high: float) -> tuple[list[Box], list[float]]:
    """Give the places round a symbol where its tag may stand, best first, and what each costs."""
    x, y = box.centre
    places, extra = [], []
    for ring, gap in enumerate((0.8, 1.8, 4.0, 7.5, 12.0)):
        reach_x = (box.right - box.left) / 2 + wide / 2 + gap
        reach_y = (box.bottom - box.top) / 2 + high / 2 + gap * 0.8
        for index, (dx, dy) in enumerate(((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1))):
            places.append(Box.around((x + dx * reach_x, y + dy * reach_y), wide, high))
            extra.append(0.03 * index + 1.2 * ring)
    return places, extra


def _nearer(others: Sequence[Box], place: Box, own: Box) -> bool:
    """Tell whether a tag would stand nearer to another symbol than to its own."""
    return any(place.gap(other) < place.gap(own) + 0.3 for other in others)


def _nearest(box: Box, point: XY) -> XY:
    return min(max(point[0], box.left), box.right), min(max(point[1], box.top), box.bottom)
