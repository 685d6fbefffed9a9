"""Samples for the legend of what is no symbol: the lines, areas and figures of findings and of a detector's view."""

from asfitted.drawing.canvas import Canvas, polyline
from asfitted.drawing.lines import arrow, ticked_line

SAMPLES = frozenset({"fails", "borderline", "ring", "found", "sight", "move", "zone", "view"})
"""What a sample can be drawn of."""


def draw_sample(canvas: Canvas, kind: str, x: float, y: float, line: str) -> None:
    """Draw a sample about 6 mm wide from ``x``, in the middle of a row at ``y``, with the line of a verdict."""
    start, end = (x, y), (x + 6.6, y)
    if kind in ("fails", "borderline"):
        canvas.line("frame", [start, end], f"d-mark d-mark-{kind}", legend=kind)
    elif kind == "sight":
        canvas.line("frame", [start, end], "d-mark d-mark-sight", legend=kind)
    elif kind == "ring":
        canvas.circle("frame", (x + 3.3, y), 2.2, f"d-mark d-mark-{line}", legend=kind)
    elif kind == "move":
        arrow(canvas, "frame", (x, y), (x + 5.7, y), "d-mark", "d-mark-head")
        canvas.circle("frame", (x + 5.7, y), 0.9, "d-mark", legend=kind)
    elif kind == "found":
        ticked_line(canvas, "frame", (x, y + 1.3), (x + 6.6, y + 1.3), "d-mark", "d-mark", legend=kind)
        canvas.text("frame", (x + 3.3, y + 0.5), "0.00", "d-mark-figure", anchor="middle")
    else:
        corners = [(x, y - 1.9), (x + 6.6, y - 1.9), (x + 6.6, y + 1.9), (x, y + 1.9)]
        outline = polyline(corners, closed=True)
        if kind == "zone":
            canvas.hatched("frame", outline, "d-mark-hatch")
        canvas.path("frame", outline, f"d-mark d-mark-{line}" if kind == "zone" else "d-coverage", legend=kind)
