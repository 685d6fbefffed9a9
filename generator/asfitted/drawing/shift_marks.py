"""Marks of what changed: added, removed, replaced, re-aimed and moved, each told by its shape. All on paper, in mm."""

from collections.abc import Callable
from math import cos, hypot, radians, sin

from asfitted.drawing.canvas import XY, Canvas, num, polyline
from asfitted.drawing.lettering import Box
from asfitted.drawing.lines import arrow

ROOM = 1.3
"""How far a frame reaches beyond its symbol on every side."""
AIM = 8.5
"""Length of an arrow that shows where a device looks."""


def brackets(canvas: Canvas, layer: str, box: Box, /, plus: XY | None = None, **data: str) -> None:
    """Frame what was added: the four corners of a rectangle, and a plus, at the upper right one unless given."""
    arm = min(1.5, (box.right - box.left) / 3, (box.bottom - box.top) / 3)
    d = ""
    for x, y in box.corners:
        dx, dy = (arm if x == box.left else -arm), (arm if y == box.top else -arm)
        d += polyline([(x + dx, y), (x, y), (x, y + dy)])
    x, y = plus or plus_places(box)[0]
    d += polyline([(x - 0.9, y), (x + 0.9, y)]) + polyline([(x, y - 0.9), (x, y + 0.9)])
    _path(canvas, layer, d, **data)


def plus_places(box: Box) -> list[XY]:
    """Give where the plus of a frame may stand: beside its corners."""
    return [(x, y) for y in (box.top, box.bottom) for x in (box.right + 1.5, box.left - 1.5)]


def struck(canvas: Canvas, layer: str, box: Box, /, **data: str) -> None:
    """Frame what was removed: a ring, and a line through it from edge to edge and beyond."""
    x, y = box.centre
    r = max(box.right - box.left, box.bottom - box.top) / 2
    reach = (r + 1.0) * 0.7071
    ring = f"M{num(x - r)} {num(y)}a{num(r)} {num(r)} 0 1 0 {num(2 * r)} 0a{num(r)} {num(r)} 0 1 0 {num(-2 * r)} 0Z"
    canvas.path(layer, ring + polyline([(x - reach, y + reach), (x + reach, y - reach)]), "d-shift", **data)


def exchanged(canvas: Canvas, layer: str, box: Box, /, **data: str) -> None:
    """Frame what was replaced: an arrow above it one way, and one below it the other way."""
    for start, end in (((box.left, box.top), (box.right, box.top)), ((box.right, box.bottom), (box.left, box.bottom))):
        way(canvas, layer, start, end, **data)


def way(canvas: Canvas, layer: str, start: XY, end: XY, /, **data: str) -> None:
    """Draw an arrow that shows over walls, too."""
    canvas.line(layer, [start, end], "d-shift-halo")
    arrow(canvas, layer, start, end, "d-shift", "d-mark-head", **data)


def _path(canvas: Canvas, layer: str, d: str, /, **data: str) -> None:
    canvas.path(layer, d, "d-shift-halo")
    canvas.path(layer, d, "d-shift", **data)


def aims(canvas: Canvas, layer: str, at: XY, was: float | None, now: float | None, /, **data: str) -> list[XY]:
    """Show where a device looked, dashed with an open head, and where it looks now, full.

    Args:
        canvas: what is drawn on.
        layer: of the arrows.
        at: the device.
        was: the earlier bearing in degrees from the upper edge of the plan; None where it is not known.
        now: the later one.
        data: data attributes.

    Returns:
        The tips of the arrows.
    """
    tips = []
    if was is not None:
        tips.append(tip := _ahead(at, was, AIM))
        wings = [_ahead(tip, was + turn, 1.6) for turn in (155.0, 205.0)]
        shaft = [_ahead(at, was, 0.6), tip]
        canvas.line(layer, shaft, "d-shift-halo")
        canvas.line(layer, shaft, "d-shift-was", **data, part="was")
        _path(canvas, layer, polyline([wings[0], tip, wings[1]]))
    if now is not None:
        tips.append(tip := _ahead(at, now, AIM))
        way(canvas, layer, _ahead(at, now, 0.6), tip, **data, part="now")
    return tips


def _ahead(at: XY, bearing: float, distance: float) -> XY:
    return at[0] + sin(radians(bearing)) * distance, at[1] - cos(radians(bearing)) * distance


def raised(canvas: Canvas, layer: str, at: XY, *, up: bool, **data: str) -> None:
    """Mark what hangs higher or lower than before: a triangle on a bar, or a bar on a triangle."""
    x, y = at
    way = -1.0 if up else 1.0
    tip = [(x - 1.1, y - 0.6 * way), (x, y + 1.2 * way), (x + 1.1, y - 0.6 * way)]
    canvas.path(layer, polyline(tip, closed=True), "d-mark-head", **data)
    canvas.line(layer, [(x - 1.3, y - 1.2 * way), (x + 1.3, y - 1.2 * way)], "d-shift", **data)


def beside(start: XY, end: XY, off: float, least: float) -> tuple[XY, XY]:
    """Give an arrow moved sideways by ``off`` mm, of at least a length about its middle."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    x, y = (start[0] + end[0]) / 2 - uy * off, (start[1] + end[1]) / 2 + ux * off
    half = max(long, least) / 2
    return (x - ux * half, y - uy * half), (x + ux * half, y + uy * half)


def to_edge(box: Box, towards: XY) -> XY:
    """Give where a line from the middle of a box to a point leaves the box."""
    x, y = box.centre
    dx, dy = towards[0] - x, towards[1] - y
    reach = min(
        (box.right - x) / abs(dx) if dx else float("inf"),
        (box.bottom - y) / abs(dy) if dy else float("inf"),
        1.0,
    )
    return x + dx * reach, y + dy * reach


def _sample(mark: Callable[..., object], half: float) -> Callable[[Canvas, str, XY], None]:
    def draw(canvas: Canvas, layer: str, at: XY) -> None:
        mark(canvas, layer, Box.around(at, 2 * half, 2 * half))

    return draw


def _moved(canvas: Canvas, layer: str, at: XY) -> None:
    x, y = at
    canvas.path(layer, polyline(Box.around((x - 2.3, y), 2.0, 2.0).corners, closed=True), "d-shift-was")
    arrow(canvas, layer, (x - 1.0, y), (x + 3.3, y), "d-shift", "d-mark-head")


def _aimed(canvas: Canvas, layer: str, at: XY) -> None:
    x, y = at
    canvas.line(layer, [(x - 3.0, y + 1.8), (x + 1.2, y - 1.6)], "d-shift-was")
    canvas.line(layer, [(x - 0.4, y - 1.5), (x + 1.2, y - 1.6), (x + 0.6, y - 0.1)], "d-shift")
    arrow(canvas, layer, (x - 3.0, y + 1.8), (x + 3.3, y + 1.8), "d-shift", "d-mark-head")


def _raised(canvas: Canvas, layer: str, at: XY) -> None:
    raised(canvas, layer, (at[0] - 1.8, at[1]), up=True)
    raised(canvas, layer, (at[0] + 1.8, at[1]), up=False)


def _earlier_wall(canvas: Canvas, layer: str, at: XY) -> None:
    canvas.line(layer, [(at[0] - 3.3, at[1]), (at[0] + 3.3, at[1])], "d-earlier-wall")


SHIFTS: dict[str, Callable[[Canvas, str, XY], None]] = {
    "shift added": _sample(brackets, 1.7),
    "shift removed": _sample(struck, 1.7),
    "shift replaced": _sample(exchanged, 1.9),
    "shift moved": _moved,
    "shift higher": _raised,
    "shift re-aimed": _aimed,
    "earlier wall": _earlier_wall,
}
"""Kinds of sample for the legend, and how each is drawn."""
