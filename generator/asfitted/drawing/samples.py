"""Samples for the legend of what is no symbol: the lines, areas and figures of findings and of a detector's view."""

from asfitted.drawing.canvas import XY, Canvas, polyline
from asfitted.drawing.lines import arrow, ticked_line
from asfitted.drawing.marks import AREAS, LINES, POINTS, spread
from asfitted.drawing.shift_marks import SHIFTS

SAMPLES = frozenset(
    {
        *LINES,
        *AREAS,
        *POINTS,
        *SHIFTS,
        "fails",
        "borderline",
        "ring",
        "found",
        "sight",
        "move",
        "zone",
        "view",
        "ceiling zone",
        "wall zone",
        "ban",
        "best",
    }
)
"""What a sample can be drawn of."""


HATCHES = {"zone": "d-mark-hatch", "ceiling zone": "d-zone-hatch"}
"""Areas that are hatched, and the class of their lines."""
DISC = 1.55
"""Radius in mm of the disc that holds the number of a rule."""


def draw_sample(canvas: Canvas, kind: str, x: float, y: float, line: str) -> None:
    """Draw a sample about 6 mm wide from ``x``, in the middle of a row at ``y``.

    ``line`` is the line of a verdict, or the number of a rule.
    """
    start, end = (x, y), (x + 6.6, y)
    if kind in LINES:
        canvas.line("frame", [start, end], LINES[kind], legend=kind)
    elif kind in POINTS:
        POINTS[kind](canvas, "frame", (x + 3.3, y))
    elif kind in SHIFTS:
        SHIFTS[kind](canvas, "frame", (x + 3.3, y))
    elif kind in AREAS:
        corners = [(x, y - 1.9), (x + 6.6, y - 1.9), (x + 6.6, y + 1.9), (x, y + 1.9)]
        spread(canvas, "frame", polyline(corners, closed=True), kind, legend=kind)
    else:
        _of_finding(canvas, kind, x, y, line)


def _of_finding(canvas: Canvas, kind: str, x: float, y: float, line: str) -> None:
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
    elif kind == "ban":
        canvas.line("frame", [start, end], "d-ban", legend=kind)
        number_disc(canvas, "frame", (x + 3.3, y), line)
    elif kind == "best":
        best_mark(canvas, "frame", (x + 3.3, y))
    else:
        corners = [(x, y - 1.9), (x + 6.6, y - 1.9), (x + 6.6, y + 1.9), (x, y + 1.9)]
        outline = polyline(corners, closed=True)
        if kind in HATCHES:
            canvas.hatched("frame", outline, HATCHES[kind])
        outlines = {"zone": f"d-mark d-mark-{line}", "ceiling zone": "d-zone", "wall zone": "d-zone-strip"}
        canvas.path("frame", outline, outlines.get(kind, "d-coverage"), legend=kind)


def number_disc(canvas: Canvas, layer: str, at: XY, number: str) -> None:
    """Draw the number of a rule in a small disc."""
    canvas.circle(layer, at, DISC, "d-ban-disc")
    canvas.text(layer, (at[0], at[1] + 0.75), number, "d-ban-number", anchor="middle", ban=number)


def best_mark(canvas: Canvas, layer: str, at: XY) -> None:
    """Draw the mark of the best place: a ring with a cross through it."""
    x, y = at
    canvas.circle(layer, at, 1.5, "d-best", best="best")
    canvas.path(layer, polyline([(x - 2.3, y), (x + 2.3, y)]) + polyline([(x, y - 2.3), (x, y + 2.3)]), "d-best-line")
