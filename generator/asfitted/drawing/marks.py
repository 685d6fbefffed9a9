"""What pictures of a calculation are made of: kinds of line and area, each with a look of its own, and marks of points.

None is told from another by colour alone: lines differ in dashes and weight, areas in their filling, points in shape.
"""

from collections.abc import Callable
from itertools import pairwise
from math import hypot

from asfitted.drawing.canvas import XY, Canvas, polyline
from asfitted.drawing.lines import arrow

LINES = {
    "contour": "d-contour",
    "walked": "d-walk",
    "walked on": "d-walk d-walk-on",
    "way": "d-way",
    "other way": "d-way d-way-other",
    "link": "d-link",
    "weak link": "d-link d-link-weak",
}
"""Kinds of line, and their classes."""

AREAS = {"covered": "d-coverage", "not covered": "d-mark-hatch", "creeping": "d-dots"}
"""Kinds of area, and the class of their outline or filling."""
_DOT = "M1 1h.01"


def spread(canvas: Canvas, layer: str, d: str, kind: str, /, **data: str) -> None:
    """Draw an area of a kind."""
    if not d:
        return
    if kind == "covered":
        canvas.path(layer, d, AREAS[kind], **data)
    elif kind == "creeping":
        canvas.hatched(layer, d, AREAS[kind], tile=_DOT, **data)
    else:
        canvas.hatched(layer, d, AREAS[kind], **data)


def _noticed(canvas: Canvas, layer: str, at: XY) -> None:
    """Draw an eight-pointed burst."""
    x, y = at
    rays = ((1, 0), (0.7, 0.7), (0, 1), (-0.7, 0.7))
    canvas.path(
        layer, "".join(polyline([(x - 2 * dx, y - 2 * dy), (x + 2 * dx, y + 2 * dy)]) for dx, dy in rays), "d-burst"
    )
    canvas.circle(layer, at, 0.9, "d-spot", spot="noticed")


def _unnoticed(canvas: Canvas, layer: str, at: XY) -> None:
    canvas.circle(layer, at, 1.5, "d-spot", spot="unnoticed")
    canvas.circle(layer, at, 0.6, "d-mark-head")


def _furthest(canvas: Canvas, layer: str, at: XY) -> None:
    x, y = at
    diamond = [(x, y - 1.7), (x + 1.7, y), (x, y + 1.7), (x - 1.7, y)]
    canvas.path(layer, polyline(diamond, closed=True), "d-spot", spot="furthest")


def _far(canvas: Canvas, layer: str, at: XY) -> None:
    x, y = at
    cross = polyline([(x - 0.9, y - 0.9), (x + 0.9, y + 0.9)]) + polyline([(x - 0.9, y + 0.9), (x + 0.9, y - 0.9)])
    canvas.path(layer, cross, "d-mark", spot="far")


def _key(canvas: Canvas, layer: str, at: XY) -> None:
    """Draw a key: its bow, its shaft and two teeth."""
    x, y = at
    canvas.circle(layer, at, 2.5, "d-plate")
    canvas.circle(layer, (x - 1.0, y), 0.75, "d-key", spot="key")
    canvas.path(layer, f"M{x - 0.25:.2f} {y:.2f}h1.95M{x + 0.8:.2f} {y:.2f}v.8M{x + 1.5:.2f} {y:.2f}v.8", "d-key")


def _window(canvas: Canvas, layer: str, at: XY) -> None:
    _pane(canvas, layer, at)
    x, y = at
    canvas.path(layer, polyline([(x - 1.0, y + 0.1), (x - 0.25, y + 0.9), (x + 1.0, y - 0.8)]), "d-key", spot="window")


def _window_unknown(canvas: Canvas, layer: str, at: XY) -> None:
    _pane(canvas, layer, at)
    canvas.text(layer, (at[0], at[1] + 0.85), "?", "d-ban-number", anchor="middle", spot="window not known")


def _pane(canvas: Canvas, layer: str, at: XY) -> None:
    x, y = at
    corners = [(x - 1.8, y - 1.8), (x + 1.8, y - 1.8), (x + 1.8, y + 1.8), (x - 1.8, y + 1.8)]
    canvas.path(layer, polyline(corners, closed=True), "d-plate")


def _exit(canvas: Canvas, layer: str, at: XY) -> None:
    exit_arrow(canvas, layer, (at[0] - 3.0, at[1]), (at[0] + 3.0, at[1]))


def exit_arrow(canvas: Canvas, layer: str, start: XY, end: XY) -> None:
    """Draw the arrow that leads out of the home."""
    arrow(canvas, layer, start, end, "d-way", "d-way-head")


def _bed(canvas: Canvas, layer: str, at: XY) -> None:
    plate(canvas, layer, at, "1")


def plate(canvas: Canvas, layer: str, at: XY, number: str) -> None:
    """Draw a number in a disc: the bed that a table names."""
    canvas.circle(layer, at, 2.2, "d-plate", bed=number)
    canvas.text(layer, (at[0], at[1] + 1.05), number, "d-tag", anchor="middle")


def _ear(canvas: Canvas, layer: str, at: XY) -> None:
    """Draw a disc with two waves: what is heard there."""
    x, y = at
    canvas.circle(layer, at, 1.9, "d-plate")
    waves = "".join(f"M{x - 1.0 + step:.2f} {y - 0.8:.2f}a1.4 1.4 0 0 1 0 1.6" for step in (0.0, 1.0))
    canvas.path(layer, waves, "d-key", spot="ear")


def _source(canvas: Canvas, layer: str, at: XY) -> None:
    canvas.circle(layer, at, 1.2, "d-plate", spot="elsewhere")


POINTS: dict[str, Callable[[Canvas, str, XY], None]] = {
    "noticed": _noticed,
    "unnoticed": _unnoticed,
    "furthest": _furthest,
    "far": _far,
    "key": _key,
    "second way": _window,
    "second way?": _window_unknown,
    "exit": _exit,
    "sleeper": _bed,
    "ear": _ear,
    "elsewhere": _source,
}
"""Kinds of point, and how each is drawn."""


def heads_along(canvas: Canvas, layer: str, points: list[XY], kind: str) -> None:
    """Draw an arrow head in the middle of each longer piece of a path, the way it goes."""
    for (ax, ay), (bx, by) in pairwise(points):
        long = hypot(bx - ax, by - ay)
        if long < 6.0:
            continue
        ux, uy = (bx - ax) / long, (by - ay) / long
        x, y = (ax + bx) / 2 + ux * 1.1, (ay + by) / 2 + uy * 1.1
        back = x - ux * 2.2, y - uy * 2.2
        wing = 0.85
        tip = [(x, y), (back[0] - uy * wing, back[1] + ux * wing), (back[0] + uy * wing, back[1] - ux * wing)]
        canvas.path(layer, polyline(tip, closed=True), kind)
