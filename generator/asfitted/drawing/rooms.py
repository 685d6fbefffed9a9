"""Room labels: name, use, area and ceiling height, where they cover least of the room."""

from collections.abc import Iterator, Sequence
from math import inf

from shapely import box, prepare

from asfitted.drawing.canvas import XY, Canvas, View
from asfitted.drawing.lettering import SIZES, Box, Taken, shortened, width_of
from asfitted.drawing.words import capital, room_words
from asfitted.dwelling.shapes import RoomShape
from asfitted.language import figure, say

Lines = tuple[tuple[str, str], ...]

_LEADING = 1.22
_CROWDED = 8.0
"""Weighed mm² that a name for orientation may cover."""


def draw_label(
    canvas: Canvas, view: View, room: RoomShape, taken: Taken, facts: Sequence[str] | None = None
) -> Box | None:
    """Write a room's label: the fullest that fits, and where none fits the smallest; give where it stands.

    ``facts`` stand below its name instead of use, area and ceiling. A name with no facts at all is there for
    orientation alone, and left out where it would cover something.
    """
    if room.room.use == "void":
        return None
    versions = _versions(room) if facts is None else _with(room, facts)
    found: tuple[float, Lines, Box, bool] | None = None
    for lines in versions:
        for upright in (False, True):
            place, cost = _place(view, room, lines, taken, upright=upright)
            if place and (found is None or cost < found[0] - 0.01):
                found = cost, lines, place, upright
            if place and cost < 0.6:
                break
        if found and found[0] < 0.6:
            break
    if facts == () and (found is None or found[0] > _CROWDED):
        return None
    if found is None:
        lines = versions[-1]
        found = 0.0, lines, Box.around(view.at(_middle(room)), *_size(lines)), False
    _, lines, place, upright = found
    taken.take(place, 4.0)
    _write(canvas, lines, place, upright=upright)
    return place


def _versions(room: RoomShape) -> list[Lines]:
    name = capital(room_words(room.room))
    use = say(room.room.use)
    known = any(word.lower() in name.lower() for word in (room.room.use, use))
    area = f"{figure(room.area, 1)} m²"
    use_area = area if known else f"{use} · {area}"
    ceiling, height = _ceiling(room)
    big, small, facts = "d-name", "d-name d-small", "d-facts"
    name = shortened(name, big, 46.0)
    less = shortened(name, small, 30.0)
    return [
        ((name, big), (use_area, facts), (ceiling, facts)),
        ((less, small), (use_area, facts), (ceiling, facts)),
        (
            (less, small),
            *(((use, facts),) if not known else ()),
            (area, facts),
            (height, facts),
        ),
        ((less, small), (f"{area} · {height}", facts)),
        ((less, small), (area, facts)),
        ((shortened(name, small, 14.0), small),),
    ]


def _ceiling(room: RoomShape) -> tuple[str, str]:
    """Give the height of a ceiling in words and in short."""
    low, high = figure(room.ceiling.low, 2), figure(room.ceiling.high, 2)
    if room.ceiling.is_flat:
        return say("ceiling {height} m", height=low), say("h {height} m", height=low)
    return say("ceiling {low} m to {high} m", low=low, high=high), say("h {low} m to {high} m", low=low, high=high)


def _with(room: RoomShape, facts: Sequence[str]) -> list[Lines]:
    """Give the versions of a label with facts of its own; they are the last to be left out."""
    name, below = capital(room_words(room.room)), tuple((words, "d-facts") for words in facts)
    big, small = "d-name", "d-name d-small"
    return [
        ((shortened(name, big, 46.0), big), *below),
        ((shortened(name, small, 30.0), small), *below),
        ((shortened(name, small, 14.0), small), *below),
    ]


def _size(lines: Lines) -> tuple[float, float]:
    return max(width_of(words, kind) for words, kind in lines), sum(SIZES[kind] * _LEADING for _, kind in lines)


def _middle(room: RoomShape) -> XY:
    centre = room.outline.centroid
    point = centre if room.outline.contains(centre) else room.outline.representative_point()
    return float(point.x), float(point.y)


def _place(view: View, room: RoomShape, lines: Lines, taken: Taken, *, upright: bool) -> tuple[Box | None, float]:
    wide, high = _size(lines)
    if upright:
        wide, high = high, wide
    inside = view.shape(room.outline.buffer(-0.6 * view.scale / 1000))
    prepare(inside)
    found, least = None, inf
    for point in _grid(view, room):
        place = Box.around(point, wide, high)
        if inside.contains(box(place.left, place.top, place.right, place.bottom)):
            cost = taken.cost(place, least)
            if cost < least - 1e-9:
                found, least = place, cost
                if cost <= 0.0:
                    break
    return (found, least + (0.3 if upright else 0.0)) if found else (None, 0.0)


def _grid(view: View, room: RoomShape) -> Iterator[XY]:
    """Give points over a room, the nearest to its middle first."""
    x, y = view.at(_middle(room))
    frame = Box.over([view.at((px, py)) for px, py in room.outline.exterior.coords])
    step = max(1.6, (frame.right - frame.left) / 16, (frame.bottom - frame.top) / 16)
    reach_x = int(max(x - frame.left, frame.right - x) / step)
    reach_y = int(max(y - frame.top, frame.bottom - y) / step)
    steps = [(i, j) for i in range(-reach_x, reach_x + 1) for j in range(-reach_y, reach_y + 1)]
    steps.sort(key=lambda ij: (ij[0] ** 2 + ij[1] ** 2, ij))
    return ((x + i * step, y + j * step) for i, j in steps)


def _write(canvas: Canvas, lines: Lines, place: Box, *, upright: bool) -> None:
    x, y = place.centre
    total = sum(SIZES[kind] * _LEADING for _, kind in lines)
    reached = -total / 2
    for words, kind in lines:
        baseline = reached + SIZES[kind] * 0.92
        reached += SIZES[kind] * _LEADING
        at = (x + baseline, y) if upright else (x, y + baseline)
        canvas.text("text", at, words, kind, anchor="middle", turn=-90.0 if upright else 0.0)
