"""The distances that the tape showed, as dimension lines from the true point of a device to the wall."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot

from asfitted.drawing.canvas import XY, Canvas, View
from asfitted.drawing.lettering import Taken
from asfitted.drawing.lines import dimension
from asfitted.drawing.overlay import Told
from asfitted.drawing.standing import Stand
from asfitted.dwelling.shapes import SIDE_VECTORS, Dwelling, Wall
from asfitted.language import figure
from asfitted.model.device import Device
from asfitted.model.words import Side

LANE = 4.2
"""Millimetres between the distances of two devices on one wall."""


@dataclass(frozen=True)
class Tape:
    """One distance of the record on paper: from ``start``, level with the device at ``point``, to ``end``."""

    tag: str
    side: Side
    metres: float
    point: XY
    start: XY
    end: XY


def tapes_of(view: View, devices: Mapping[str, Device], dwelling: Dwelling, stands: Mapping[str, Stand]) -> list[Tape]:
    """Give the distances exactly as the record gives them; those along a wall a little off it, side by side."""
    lanes = _lanes(devices, dwelling, stands)
    tapes = []
    for tag in stands:
        spot = dwelling.spots[tag]
        if spot.point is None or spot.fixed == "opening":
            continue
        for side, metres in devices[tag].tapes.items():
            start, way = spot.point, SIDE_VECTORS[side]
            if spot.wall is not None:
                way = _along(spot.wall, side)
                out = lanes[tag] * view.scale / 1000 * (1.0 if spot.fixed == "outside" else -1.0)
                nx, ny = spot.wall.outward
                start = start[0] + nx * out, start[1] + ny * out
            end = start[0] + way[0] * metres, start[1] + way[1] * metres
            tapes.append(Tape(tag, side, metres, view.at(spot.point), view.at(start), view.at(end)))
    return tapes


def draw_tapes(canvas: Canvas, tapes: Sequence[Tape], told: Sequence[Told], taken: Taken) -> None:
    """Draw the distances with their figures; one that two devices share, once, and no figure ``told`` by a mark."""
    drawn: set[tuple[XY, XY]] = set()
    for tape in tapes:
        if (tape.start, tape.end) in drawn:
            continue
        drawn.add((tape.start, tape.end))
        if tape.start != tape.point:
            canvas.line("dimensions", [tape.point, tape.start], "d-extension")
        long = hypot(tape.end[0] - tape.start[0], tape.end[1] - tape.start[1])
        dimension(
            canvas,
            tape.start,
            tape.end,
            "" if any(_is_told(tape, other) for other in told) else figure(tape.metres, 2),
            taken,
            line="d-tape",
            tick="d-tape-tick",
            letters="d-figure d-tape-figure",
            shares=(0.5, 0.65, 0.35, 0.8, 0.2) if long > 12 else (0.5, 0.72, 0.28),
            tape=tape.tag,
            side=tape.side,
        )


def _is_told(tape: Tape, told: Told) -> bool:
    """Tell whether a mark gives the same figure of the same distance."""
    ends = zip((tape.start, tape.end), (told.start, told.end), strict=True)
    same = all(hypot(a[0] - b[0], a[1] - b[1]) < 0.5 for a, b in ends)
    return same and told.figure == f"{tape.metres:.2f}"


def _along(wall: Wall, side: Side) -> XY:
    """Give the unit vector along a wall towards its end on a side."""
    ux, uy = wall.along
    vx, vy = SIDE_VECTORS[side]
    towards = 1.0 if ux * vx + uy * vy > 0 else -1.0
    return ux * towards, uy * towards


def _lanes(devices: Mapping[str, Device], dwelling: Dwelling, stands: Mapping[str, Stand]) -> dict[str, float]:
    """Give how far off its wall, in mm, each distance is drawn: the longest outermost."""
    groups: dict[tuple[str, str], list[str]] = {}
    for tag in stands:
        spot = dwelling.spots[tag]
        if spot.wall is not None and devices[tag].tapes:
            groups.setdefault((spot.wall.name, spot.fixed), []).append(tag)
    lanes = {}
    for tags in groups.values():
        clear = max(stands[tag].symbol.off + stands[tag].symbol.height / 2 for tag in tags) + 2.0
        for lane, tag in enumerate(sorted(tags, key=lambda tag: (sum(devices[tag].tapes.values()), tag))):
            lanes[tag] = clear + LANE * lane
    return lanes
