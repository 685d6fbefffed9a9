"""Fittings on the plan: their outline where the record gives a size, otherwise their symbol."""

from collections.abc import Iterable

from shapely import LineString, Polygon

from asfitted.drawing.canvas import Canvas, View, polyline
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.lines import label_along
from asfitted.drawing.standing import draw_leader, stand
from asfitted.drawing.symbols import FITTINGS, put
from asfitted.dwelling.shapes import Dwelling, PlacedFitting
from asfitted.language import figure, say


def draw_fittings(
    canvas: Canvas, view: View, fittings: Iterable[PlacedFitting], dwelling: Dwelling, taken: Taken
) -> None:
    """Draw fittings: first what has an outline, then beams and symbols on top."""
    placed = [fitting for fitting in fittings if fitting.shape is not None]
    for fitting in placed:
        if isinstance(fitting.shape, Polygon):
            _outlined(canvas, view, fitting, fitting.shape, taken)
    for fitting in placed:
        if isinstance(fitting.shape, LineString):
            _beam(canvas, view, fitting, fitting.shape, taken)
        elif not isinstance(fitting.shape, Polygon):
            room = dwelling.rooms[fitting.spot.room]
            stood = stand(view, FITTINGS[fitting.fitting.kind], fitting.spot, fitting.fitting.corner, room, taken)
            draw_leader(canvas, "fittings", fitting.fitting.kind, stood)
            put(canvas, "fittings", fitting.fitting.kind, stood.middle, stood.turn)


def _outlined(canvas: Canvas, view: View, fitting: PlacedFitting, shape: Polygon, taken: Taken) -> None:
    kind = fitting.fitting.kind
    corners = [view.at((x, y)) for x, y in shape.exterior.coords[:-1]]
    box = Box.over(corners)
    canvas.path("fittings", polyline(corners, closed=True), "d-outline", fitting=kind)
    taken.take(box, 0.1)
    if kind == "tall-furniture":
        canvas.line("fittings", [(box.left, box.bottom), (box.right, box.top)], "d-fitting-line")
    elif kind == "bed":
        _bedding(canvas, fitting, box)
    else:
        symbol = FITTINGS[kind]
        if symbol.width < box.right - box.left and symbol.height < box.bottom - box.top:
            put(canvas, "fittings", kind, box.centre)


def _bedding(canvas: Canvas, fitting: PlacedFitting, box: Box) -> None:
    """Draw the fold of the cover across a bed, a quarter of its length from the head, which stands to the wall."""
    wide, high = box.right - box.left, box.bottom - box.top
    side = fitting.spot.wall.side if fitting.spot.wall else ("north" if high >= wide else "west")
    if side in ("north", "south"):
        y = box.top + high * (0.28 if side == "north" else 0.72)
        canvas.line("fittings", [(box.left, y), (box.right, y)], "d-fitting-line")
    else:
        x = box.left + wide * (0.28 if side == "west" else 0.72)
        canvas.line("fittings", [(x, box.top), (x, box.bottom)], "d-fitting-line")


def _beam(canvas: Canvas, view: View, fitting: PlacedFitting, shape: LineString, taken: Taken) -> None:
    start, end = view.at(shape.coords[0]), view.at(shape.coords[-1])
    canvas.line("fittings", [start, end], "d-beam", fitting="beam")
    depth = fitting.fitting.depth
    words = say("beam, {depth} m deep", depth=figure(depth, 2)) if depth else say("beam")
    label_along(canvas, "fittings", start, end, words, "d-word", taken, gap=0.9, shares=(0.25, 0.75, 0.5, 0.15, 0.85))
    taken.take(Box.over([start, end], 0.4), 0.4)
