"""What a storey is built of, on the plan: walls, openings, stairs, ridges and beams."""

from collections.abc import Iterable
from math import hypot

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.canvas import Canvas, View, polyline
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.lines import arrow, label_along
from asfitted.drawing.openings import draw_opening, draw_rooflight
from asfitted.dwelling.shapes import SIDE_VECTORS, Dwelling, Flight, PlacedOpening, RoomShape, StoreyShape
from asfitted.language import figure, say, to_say

GOING = 0.25
"""Metres from tread to tread where the record gives none: only how a flight is drawn (common practice, no source)."""


def draw_structure(
    canvas: Canvas,
    view: View,
    dwelling: Dwelling,
    storey: StoreyShape,
    rooms: Iterable[RoomShape],
    openings: Iterable[PlacedOpening],
    walls: BaseGeometry,
    taken: Taken,
) -> None:
    """Draw walls, openings and stairs of some rooms of a storey."""
    inside = storey.storey.walls.inside.thickness
    rooms = list(rooms)
    here = {room.id for room in rooms}
    for room in rooms:
        if room.room.use == "void":
            _void(canvas, view, room)
    for flight, word in flights_on(dwelling, storey):
        reached = flight.stair.in_ if word == "up" else flight.stair.to
        if reached in here:
            draw_flight(canvas, view, flight, word, taken)
    canvas.path("structure", view.path(walls), "d-wall")
    for opening in openings:
        if opening.outline is not None:
            draw_rooflight(canvas, view, opening, taken)
        else:
            draw_opening(canvas, view, opening, inside, taken)


def flights_on(dwelling: Dwelling, storey: StoreyShape) -> list[tuple[Flight, str]]:
    """Give the flights that start on a storey, and those that arrive on it from below, with *up* or *down*."""
    up = [(flight, to_say("up")) for flight in storey.flights]
    arriving = (flight for other in dwelling.storeys for flight in other.flights if flight.to_storey == storey.id)
    down = [(flight, to_say("down")) for flight in arriving]
    return up + down


def _void(canvas: Canvas, view: View, room: RoomShape) -> None:
    west, south, east, north = room.outline.bounds
    corners = [view.at(p) for p in ((west, south), (east, north), (west, north), (east, south))]
    canvas.path("structure", polyline(corners[:2]) + polyline(corners[2:]), "d-void")


def draw_flight(canvas: Canvas, view: View, flight: Flight, word: str, taken: Taken) -> None:
    """Draw a flight of stairs: treads, an arrow the way one goes, and the word *up* or *down*."""
    west, south, east, north = flight.outline.bounds
    ux, uy = SIDE_VECTORS[flight.stair.up]
    run = (east - west) if ux else (north - south)
    mid = (west + east) / 2, (south + north) / 2
    start = mid[0] - ux * run / 2, mid[1] - uy * run / 2
    half = ((north - south) if ux else (east - west)) / 2
    count = max(2, round(run / GOING))
    canvas.path("structure", view.path(flight.outline), "d-flight")
    treads = ""
    for step in range(1, count):
        x, y = start[0] + ux * run * step / count, start[1] + uy * run * step / count
        treads += polyline([view.at((x - uy * half, y + ux * half)), view.at((x + uy * half, y - ux * half))])
    canvas.path("structure", treads, "d-tread")
    foot, top = 0.5 * run / count, run - 0.5 * run / count
    ends = [view.at((start[0] + ux * d, start[1] + uy * d)) for d in (foot, top)]
    if word == "down":
        ends.reverse()
    arrow(canvas, "structure", ends[0], ends[1], "d-arrow", "d-arrow-head")
    canvas.circle("structure", ends[0], 0.5, "d-arrow-head")
    dx, dy = ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]
    long = hypot(dx, dy) or 1.0
    spot = ends[0][0] + dx / long * 4.5, ends[0][1] + dy / long * 4.5
    upright = abs(dy) > abs(dx)
    words = (spot[0] + (-0.9 if upright else 0), spot[1] + (0 if upright else -0.9))
    canvas.text("structure", words, say(word), "d-word", anchor="middle", turn=-90.0 if upright else 0.0)
    taken.take(Box.over([view.at((west, south)), view.at((east, north))]), 0.08)


def draw_ridge(canvas: Canvas, view: View, room: RoomShape, taken: Taken) -> None:
    """Draw the ridge, or the upper edge of a slope, with its height."""
    line = room.ceiling.top_line(room.outline)
    if line is None:
        west, south, east, north = room.outline.bounds
        if room.ceiling.axis is None or room.ceiling.ridged:
            return
        ax, ay = room.ceiling.axis
        edge = {
            (0, 1): [(west, north), (east, north)],
            (0, -1): [(west, south), (east, south)],
            (1, 0): [(east, south), (east, north)],
        }
        line = LineString(edge.get((round(ax), round(ay)), [(west, south), (west, north)]))
    points = [view.at((x, y)) for x, y in line.coords]
    if not room.ceiling.ridged and room.ceiling.axis:  # an upper edge lies on the wall: draw it just inside
        dx, dy = room.ceiling.axis
        points = [(x - dx, y + dy) for x, y in points]
    canvas.line("structure", points, "d-ridge")
    height = figure(room.ceiling.high, 2)
    words = (
        say("ridge {height} m", height=height) if room.ceiling.ridged else say("upper edge {height} m", height=height)
    )
    label_along(canvas, "text", points[0], points[-1], words, "d-word", taken, gap=0.9)
    taken.take(Box.over(points, 0.4), 0.3)
