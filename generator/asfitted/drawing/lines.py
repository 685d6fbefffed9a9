"""Lines that say something: dimensions with ticks, arrows, and words along a line. All on paper, in mm."""

from collections.abc import Sequence
from itertools import product
from math import atan2, degrees, hypot

from asfitted.drawing.canvas import XY, Canvas, polyline
from asfitted.drawing.lettering import SIZES, Box, Taken, width_of


def arrow(canvas: Canvas, layer: str, start: XY, end: XY, line: str, head: str, /, **data: str) -> None:
    """Draw an arrow on paper; its head shrinks with a short shaft. ``data`` becomes data attributes of the head."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    long = hypot(dx, dy)
    if long < 0.05:
        return
    ux, uy = dx / long, dy / long
    size = min(2.0, long * 0.6)
    neck = end[0] - ux * size, end[1] - uy * size
    canvas.line(layer, [start, neck], line)
    wing = size * 0.36
    tip = [end, (neck[0] - uy * wing, neck[1] + ux * wing), (neck[0] + uy * wing, neck[1] - ux * wing)]
    canvas.path(layer, polyline(tip, closed=True), head, **data)


def label_along(
    canvas: Canvas,
    layer: str,
    start: XY,
    end: XY,
    words: str,
    kind: str,
    taken: Taken,
    *,
    gap: float,
    shares: Sequence[float] = (0.5, 0.25, 0.75, 0.15, 0.85, 0.35, 0.65),
    farther: Sequence[float] = (),
    weight: float = 1.0,
) -> Box:
    """Write words along a line, upright for the reader, on the side and share of it where they cover least.

    Args:
        canvas: what is drawn on.
        layer: where the words go.
        start: of the line, in mm.
        end: of the line.
        words: what is written.
        kind: the class of the words.
        taken: what else is on the paper; the words are added.
        gap: mm from the line to the words.
        shares: of the line at which the words may stand.
        farther: more gaps in mm, for where there is no room beside the line.
        weight: how much it matters that nothing covers the words.

    Returns:
        Where the words stand.
    """
    (ax, ay), (bx, by) = sorted((start, end))
    angle = degrees(atan2(by - ay, bx - ax))
    if angle > 89.0:
        ax, ay, bx, by, angle = bx, by, ax, ay, angle - 180.0
    long = hypot(bx - ax, by - ay) or 1.0
    ux, uy = (bx - ax) / long, (by - ay) / long
    size, wide = SIZES[kind], width_of(words, kind)
    boxes, spots, extra = [], [], []
    for away, share, side in product((gap, *farther), shares, (1.0, -1.0)):
        off = away if side > 0 else -(away + size * 0.72)
        x, y = ax + (bx - ax) * share + uy * off, ay + (by - ay) * share - ux * off
        spots.append((x, y))
        extra.append((away - gap) * 0.5)
        cx, cy = x + uy * size * 0.36, y - ux * size * 0.36
        half_w, half_h = abs(ux) * wide / 2 + abs(uy) * size / 2, abs(uy) * wide / 2 + abs(ux) * size / 2
        boxes.append(Box(cx - half_w, cy - half_h, cx + half_w, cy + half_h))
    index, _ = taken.best(boxes, extra)
    taken.take(boxes[index], weight)
    canvas.text(layer, spots[index], words, kind, anchor="middle", turn=angle)
    return boxes[index]


def dimension(
    canvas: Canvas,
    start: XY,
    end: XY,
    figure: str,
    taken: Taken,
    *,
    line: str = "d-dimension",
    tick: str = "d-tick",
    letters: str = "d-figure",
    shares: Sequence[float] = (0.5, 0.25, 0.75, 0.15, 0.85, 0.35, 0.65),
    **data: str,
) -> None:
    """Draw a dimension line with slanting ticks at its ends and its figure, where it has one, along it."""
    if hypot(end[0] - start[0], end[1] - start[1]) < 0.01:
        return
    ticked_line(canvas, "dimensions", start, end, line, tick, **data)
    if figure:
        label_along(canvas, "dimensions", start, end, figure, letters, taken, gap=0.8, shares=shares)
    taken.take(Box.over([start, end], 0.2), 0.5)


def ticked_line(canvas: Canvas, layer: str, start: XY, end: XY, line: str, tick: str, **data: str) -> None:
    """Draw a line with slanting ticks at its ends."""
    long = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    canvas.line(layer, [start, end], line, **data)
    slant = ((ux - uy) * 0.57, (uy + ux) * 0.57) if abs(ux) < abs(uy) else ((ux + uy) * 0.57, (uy - ux) * 0.57)
    ticks = "".join(polyline([(x - slant[0], y - slant[1]), (x + slant[0], y + slant[1])]) for x, y in (start, end))
    canvas.path(layer, ticks, tick)
