"""Things that are not as they were, drawn: their places, marks, ways and words."""

from math import hypot

from shapely import LineString, Point

from asfitted.drawing.canvas import XY
from asfitted.drawing.ground import Ground
from asfitted.drawing.lettering import SIZES, Box, width_of
from asfitted.drawing.lines import label_along
from asfitted.drawing.shift_marks import (
    AIM,
    aims,
    beside,
    brackets,
    exchanged,
    plus_places,
    raised,
    struck,
    to_edge,
    way,
)
from asfitted.drawing.shift_things import FREE, Set
from asfitted.drawing.standing import draw_leader, tag_places
from asfitted.drawing.symbols import DEVICES, put

_SHORTEST = 2.6
"""Millimetres below which no arrow can be read."""
_FRAMES = {"removed": struck, "replaced": exchanged}


def draw(on: Ground, placed: Set) -> None:
    """Draw a thing: its places, its mark and its way."""
    thing, canvas = placed.thing, on.canvas
    _draw_places(on, placed)
    if "added" in thing.marks:
        places = plus_places(placed.main)
        index, _ = on.taken.best([Box.around(at, 2.0, 2.0) for at in places])
        brackets(canvas, "devices", placed.main, places[index], shift="added", tag=thing.tag)
        on.taken.take(Box.around(places[index], 2.2, 2.2), 12.0)
    for mark, frame in _FRAMES.items():
        if mark in thing.marks:
            box = placed.main if placed.was or placed.now else Box.around(placed.main.centre, 5.2, 5.2)
            frame(canvas, "devices", box, shift=mark, tag=thing.tag)
            on.taken.take(Box.over(box.corners, 0.6), 12.0)
    if "re-aimed" in thing.marks:
        at = placed.now.middle if placed.now else placed.main.centre
        was, now = (place.spot.facing if place else None for place in (thing.was, thing.now))
        for tip in aims(canvas, "clearances", at, was, now, shift="re-aimed", tag=thing.tag):
            on.taken.take(Box.around(((at[0] + tip[0]) / 2, (at[1] + tip[1]) / 2), AIM / 3, AIM / 3), 2.0)
            on.taken.take(Box.around(tip, 2.4, 2.4), 4.0)


def _draw_places(on: Ground, placed: Set) -> None:
    """Draw the earlier place dashed and the later one full."""
    thing, canvas, view = placed.thing, on.canvas, on.view
    if placed.was and thing.was:
        draw_leader(canvas, "fittings", thing.kind, placed.was)
        put(canvas, "fittings", thing.kind, placed.was.middle, placed.was.turn, shift="was", tag=thing.tag)
        on.taken.take(placed.was.box, 8.0)
    elif thing.was and thing.was.shape is not None and placed.box_was:
        shape, kind = thing.was.shape, "d-shift-was"
        if thing.in_wall:  # the wall is whole again where it was open, except where the new opening is
            shape, kind = shape.difference(thing.now.shape) if thing.now and thing.now.shape else shape, "d-shift-hole"
        canvas.path("fittings", view.path(shape), kind, shift="was", tag=thing.tag)
        on.taken.take(placed.box_was, 1.0 if thing.in_wall else 0.1)
    if placed.now:
        layer = "devices" if thing.kind in DEVICES else "fittings"
        draw_leader(canvas, layer, thing.kind, placed.now)
        put(canvas, layer, thing.kind, placed.now.middle, placed.now.turn, shift="now", tag=thing.tag)
    elif thing.now and thing.now.shape is not None:
        canvas.path("fittings", view.path(thing.now.shape), "d-shift", shift="now", tag=thing.tag)
        on.taken.take(placed.main, 1.0 if thing.in_wall else 0.1)


def draw_way(on: Ground, placed: Set) -> None:
    """Draw the arrow from the earlier place to the later one, with the metres on the plan."""
    thing = placed.thing
    if not thing.apart or placed.box_was is None or placed.box_now is None:
        return
    start, end = (
        (placed.was.middle, placed.now.middle)
        if placed.was and placed.now
        else (placed.box_was.centre, placed.box_now.centre)
    )
    leave, reach = (start, end) if thing.in_wall else (to_edge(placed.box_was, end), to_edge(placed.box_now, start))
    free = hypot(end[0] - start[0], end[1] - start[1]) - sum(
        hypot(a[0] - b[0], a[1] - b[1]) for a, b in ((start, leave), (end, reach))
    )
    if free < FREE or thing.in_wall:
        inside = not thing.has_symbol and not thing.in_wall
        off = 0.0 if inside else _half_across(placed.box_now, start, end) + 1.5
        sides = [beside(start, end, way * off, _SHORTEST) for way in (1.0, -1.0)]
        index, _ = on.taken.best([Box.over(side, 1.5) for side in sides])
        leave, reach = sides[index]
    way(on.canvas, "devices", leave, reach, shift="moved", tag=thing.tag)
    on.taken.take_shape(LineString([leave, reach]).buffer(0.7), 6.0)
    label_along(
        on.canvas, "text", leave, reach, figure(thing.step), "d-mark-figure", on.taken,
        gap=1.0, farther=(2.2, 3.6, 5.2, 7.0), weight=9.0,
    )  # fmt: skip


def _half_across(box: Box, start: XY, end: XY) -> float:
    """Give half the width of a box across the way from one point to another."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = abs(end[0] - start[0]) / long, abs(end[1] - start[1]) / long
    return ((box.right - box.left) * uy + (box.bottom - box.top) * ux) / 2


def draw_words(on: Ground, placed: Set) -> None:
    """Write a thing's tag or name, and below it what no arrow tells."""
    thing, canvas = placed.thing, on.canvas
    first = "d-tag" if thing.kind in DEVICES else "d-figure"
    lines = [(thing.tag, first), *((words, "d-mark-figure") for words in thing.words)]
    if thing.rise:
        lines.append((f"{figure(abs(thing.rise))} {'higher' if thing.rise > 0 else 'lower'}", "d-mark-figure"))
    if "re-aimed" in thing.marks and thing.turn:
        lines.append((f"turned {thing.turn:.0f}°", "d-mark-figure"))
    wide = max(width_of(words, kind) for words, kind in lines) + (3.4 if thing.rise else 0.0)
    heights = [SIZES[kind] * 1.12 for _, kind in lines]
    room = Box.over(placed.main.corners, 0.8)
    places, extra = tag_places(room, wide, sum(heights))
    if (shown := thing.now or thing.was) and shown.spot.fixed != "outside" and not thing.in_wall:
        home = on.view.shape(shown.room.outline)
        extra = [
            cost + (0.0 if home.contains(Point(place.centre)) else 12.0)
            for place, cost in zip(places, extra, strict=True)
        ]
    index, _ = on.taken.best(places, extra)
    place = places[index]
    on.taken.take(place, 11.0)
    if room.gap(place) > 2.0:
        near = (min(max(place.centre[0], room.left), room.right), min(max(place.centre[1], room.top), room.bottom))
        canvas.line("devices", [near, to_edge(place, near)], "d-mark-thin")
    middle = place.centre[0] + (1.7 if thing.rise else 0.0)
    if thing.rise:
        at = (place.left + 1.5, place.centre[1])
        raised(canvas, "devices", at, up=thing.rise > 0, shift="higher", tag=thing.tag)
    y = place.top
    for (words, kind), high in zip(lines, heights, strict=True):
        canvas.text("text", (middle, y + SIZES[kind] * 0.85), words, kind, anchor="middle", tag=thing.tag)
        y += high


def figure(metres: float) -> str:
    """Write metres to the centimetre, and what is less than that in millimetres."""
    return f"{metres:.2f} m" if metres >= 0.01 else f"{metres * 1000:.0f} mm"
