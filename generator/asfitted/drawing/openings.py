"""Doors with their swing, windows, sliding doors, archways and rooflights on the plan."""

from dataclasses import dataclass
from math import hypot

from asfitted.drawing.canvas import Canvas, View, num, polyline
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.lines import label_along
from asfitted.drawing.walls import Jambs, between, jambs
from asfitted.dwelling.shapes import XY, PlacedOpening
from asfitted.language import say


@dataclass(frozen=True)
class Swing:
    """A door leaf standing open at a right angle: its hinge, the tip of the leaf, and where the tip shuts."""

    hinge: XY
    tip: XY
    shut: XY

    @property
    def radius(self) -> float:
        """The width of the leaf in metres."""
        return hypot(self.tip[0] - self.hinge[0], self.tip[1] - self.hinge[1])


def swing_of(opening: PlacedOpening, inside: float) -> Swing:
    """Give how a door stands open: into the first room named, or out of it, on the side it hangs.

    Where the record does not say on which side it hangs, the first end is drawn.
    """
    assert opening.wall is not None
    hole = jambs(opening, inside)
    into_first = opening.opening.opens == "in"
    first, last = (hole.a, hole.b) if into_first else (hole.d, hole.c)
    hinge_end = opening.end_towards(opening.opening.hinge) if opening.opening.hinge else opening.a
    hinge, shut = (first, last) if hinge_end == opening.a else (last, first)
    nx, ny = opening.wall.outward
    way = -1.0 if into_first else 1.0
    width = hypot(shut[0] - hinge[0], shut[1] - hinge[1])
    return Swing(hinge, (hinge[0] + nx * way * width, hinge[1] + ny * way * width), shut)


def draw_opening(canvas: Canvas, view: View, opening: PlacedOpening, inside: float, taken: Taken) -> None:
    """Draw one opening in the wall it is cut from."""
    if opening.wall is None:
        return
    hole = jambs(opening, inside)
    if opening.opening.kind == "door":
        _door(canvas, view, opening, swing_of(opening, inside), hole, taken)
    elif opening.opening.kind == "archway":
        for share in (0.0, 1.0):
            canvas.line("structure", [view.at(p) for p in hole.across(share)], "d-archway")
    elif opening.opening.kind == "sliding-door":
        _sliding(canvas, view, hole)
    else:
        edge = polyline([view.at(p) for p in (hole.a, hole.b, hole.c, hole.d)], closed=True)
        glass = "".join(polyline([view.at(p) for p in hole.across(share)]) for share in (0.38, 0.62))
        canvas.path("structure", edge + glass, "d-pane", opening=opening.id)


def _door(canvas: Canvas, view: View, opening: PlacedOpening, swing: Swing, hole: Jambs, taken: Taken) -> None:
    for share in (0.0, 1.0):
        canvas.line("structure", [view.at(p) for p in hole.across(share)], "d-threshold")
    hinge, tip, shut = view.at(swing.hinge), view.at(swing.tip), view.at(swing.shut)
    turn = (tip[0] - hinge[0]) * (shut[1] - hinge[1]) - (tip[1] - hinge[1]) * (shut[0] - hinge[0])
    radius = num(view.length(swing.radius))
    arc = f"M{num(tip[0])} {num(tip[1])}A{radius} {radius} 0 0 {int(turn > 0)} {num(shut[0])} {num(shut[1])}"
    canvas.path("structure", arc, "d-swing", opening=opening.id)
    thick = min(view.length(0.04), 1.0) / view.length(swing.radius)
    off = (shut[0] - hinge[0]) * thick, (shut[1] - hinge[1]) * thick
    leaf = [hinge, tip, (tip[0] + off[0], tip[1] + off[1]), (hinge[0] + off[0], hinge[1] + off[1])]
    canvas.path("structure", polyline(leaf, closed=True), "d-leaf", opening=opening.id)
    taken.take(Box.over([hinge, tip, shut]), 0.03)
    taken.take(Box.over(leaf, 0.3), 0.5)


def _sliding(canvas: Canvas, view: View, hole: Jambs) -> None:
    edge = polyline([view.at(p) for p in (hole.a, hole.b, hole.c, hole.d)], closed=True)
    canvas.path("structure", edge, "d-threshold")
    for near, far, start, end in ((0.25, 0.5, 0.0, 0.55), (0.5, 0.75, 0.45, 1.0)):
        (p, q), (r, s) = hole.across(near), hole.across(far)
        panel = [between(p, q, start), between(p, q, end), between(r, s, end), between(r, s, start)]
        canvas.path("structure", polyline([view.at(x) for x in panel], closed=True), "d-pane")


def draw_rooflight(canvas: Canvas, view: View, opening: PlacedOpening, taken: Taken) -> None:
    """Draw a rooflight as seen from above: dashed, with a cross."""
    assert opening.outline is not None
    corners = [view.at((x, y)) for x, y in opening.outline.exterior.coords[:-1]]
    cross = polyline([corners[0], corners[2]]) + polyline([corners[1], corners[3]])
    canvas.path("structure", polyline(corners, closed=True) + cross, "d-rooflight", opening=opening.id)
    box_ = Box.over(corners)
    taken.take(box_, 0.05)
    label_along(
        canvas, "text", (box_.left, box_.bottom), (box_.right, box_.bottom), say("rooflight"), "d-word", taken, gap=0.8
    )
