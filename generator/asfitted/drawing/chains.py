"""Chains of dimensions outside the walls of a plan: room by room, and overall."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shapely import box, union_all

from asfitted.drawing.canvas import XY, Canvas, View, polyline
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.lines import dimension
from asfitted.drawing.sheet import Margins
from asfitted.dwelling.shapes import RoomShape, Spot
from asfitted.language import figure
from asfitted.model.words import Side

Bounds = tuple[float, float, float, float]

FIRST, SECOND = 5.0, 10.5
"""Millimetres from the outer face to the chain of rooms and to the overall dimension."""
OUTSIDE_DEVICE = 7.5
"""Millimetres that dimensions give way to symbols outside the walls."""


@dataclass(frozen=True)
class Chain:
    """The inside widths of rooms seen from one side: room, start and end in metres along that side."""

    side: Side
    spans: tuple[tuple[str, float, float], ...]


@dataclass(frozen=True)
class Dimensions:
    """The dimensions of a storey: chains outside the walls, how many mm each side gives way, what stands inside."""

    chains: tuple[Chain, ...]
    offs: Mapping[Side, float]
    inside: tuple[tuple[RoomShape, str], ...]

    @property
    def margins(self) -> Margins:
        """The paper that they take round the walls."""
        chained = {chain.side for chain in self.chains}
        return Margins(
            left=SECOND + 5.0 + self.offs["west"],
            top=(FIRST + 4.5 if "north" in chained else 3.0) + self.offs["north"],
            right=(FIRST + 4.0 if "east" in chained else 3.0) + self.offs["east"],
            bottom=SECOND + 3.0 + self.offs["south"],
        )


def dimensions_of(rooms: Sequence[RoomShape], spots: Iterable[Spot]) -> Dimensions:
    """Choose the dimensions of a storey, clear of the devices that are fixed outside its walls."""
    chains, hidden = chains_of(rooms)
    outside = {spot.wall.side for spot in spots if spot.fixed == "outside" and spot.wall and spot.point}
    sides: tuple[Side, ...] = ("north", "east", "south", "west")
    offs = {side: OUTSIDE_DEVICE if side in outside else 0.0 for side in sides}
    return Dimensions(tuple(chains), offs, tuple(hidden))


def draw_outside(canvas: Canvas, view: View, bounds: Bounds, dimensions: Dimensions, taken: Taken) -> None:
    """Draw the chains of a storey, and its overall dimensions."""
    for chain in dimensions.chains:
        draw_chain(canvas, view, bounds, chain, FIRST + dimensions.offs[chain.side], taken)
    draw_overall(canvas, view, bounds, "south", SECOND + dimensions.offs["south"], taken)
    draw_overall(canvas, view, bounds, "west", SECOND + dimensions.offs["west"], taken)


def draw_inside(canvas: Canvas, view: View, dimensions: Dimensions, taken: Taken) -> None:
    """Draw inside the rooms what shows in no chain."""
    for room, measure in dimensions.inside:
        draw_across(canvas, view, room, measure, taken)


def chains_of(rooms: Sequence[RoomShape]) -> tuple[list[Chain], list[tuple[RoomShape, str]]]:
    """Choose for each room a side from which its width and its depth show.

    Returns:
        The chains, and the rooms whose width or depth shows from no side and in no chain, each with *width* or *depth*.
    """
    spans: dict[Side, list[tuple[str, float, float]]] = {}
    hidden: list[tuple[RoomShape, str, float, float]] = []
    sides: tuple[tuple[str, tuple[Side, Side]], ...] = (("width", ("south", "north")), ("depth", ("west", "east")))
    for measure, choice in sides:
        for room in rooms:
            if room.room.use == "void":
                continue
            west, south, east, north = room.outline.bounds
            start, end = (west, east) if measure == "width" else (south, north)
            if _given(spans, choice, start, end):
                continue
            for side in choice:
                free = all(e <= start + 1e-6 or s >= end - 1e-6 for _, s, e in spans.get(side, []))
                if free and _shows(room, side, rooms):
                    spans.setdefault(side, []).append((room.id, start, end))
                    break
            else:
                hidden.append((room, measure, start, end))
    chains = [Chain(side, tuple(sorted(found, key=lambda span: span[1]))) for side, found in spans.items()]
    pairs = dict(sides)
    left = [(room, measure) for room, measure, start, end in hidden if not _given(spans, pairs[measure], start, end)]
    return chains, left


def _given(
    spans: Mapping[Side, Sequence[tuple[str, float, float]]], sides: tuple[Side, Side], start: float, end: float
) -> bool:
    """Tell whether a chain gives the same stretch already."""
    return any(abs(s - start) < 0.005 and abs(e - end) < 0.005 for side in sides for _, s, e in spans.get(side, []))


def _shows(room: RoomShape, side: Side, rooms: Sequence[RoomShape]) -> bool:
    west, south, east, north = room.outline.bounds
    far = 1000.0
    strip = {
        "south": box(west, south - far, east, south),
        "north": box(west, north, east, north + far),
        "west": box(west - far, south, west, north),
        "east": box(east, south, east + far, north),
    }[side]
    others = union_all([other.outline for other in rooms if other.id != room.id])
    return bool(others.intersection(strip).area < 0.01)


def place(bounds: Bounds, view: View, side: Side, off: float) -> tuple[XY, XY]:
    """Give two corners on paper between which a dimension line of a side runs, ``off`` mm outside the bounds."""
    west, south, east, north = bounds
    (left, bottom), (right, top) = view.at((west, south)), view.at((east, north))
    return {
        "south": ((left, bottom + off), (right, bottom + off)),
        "north": ((left, top - off), (right, top - off)),
        "west": ((left - off, bottom), (left - off, top)),
        "east": ((right + off, bottom), (right + off, top)),
    }[side]


def draw_chain(canvas: Canvas, view: View, bounds: Bounds, chain: Chain, off: float, taken: Taken) -> None:
    """Draw one chain ``off`` mm outside the outer walls."""
    for room, start, end in chain.spans:
        (ax, ay), (bx, by) = place(bounds, view, chain.side, off)
        if chain.side in ("south", "north"):
            p, q = (view.at((start, 0))[0], ay), (view.at((end, 0))[0], by)
        else:
            p, q = (ax, view.at((0, start))[1]), (bx, view.at((0, end))[1])
        extend(canvas, chain.side, (p, q), off)
        dimension(canvas, p, q, figure(end - start, 2), taken, shares=(0.5,), room=room)


def draw_overall(canvas: Canvas, view: View, bounds: Bounds, side: Side, off: float, taken: Taken) -> None:
    """Draw the whole length over the outer walls."""
    west, south, east, north = bounds
    p, q = place(bounds, view, side, off)
    whole = east - west if side in ("south", "north") else north - south
    extend(canvas, side, (p, q), off)
    dimension(canvas, p, q, figure(whole, 2), taken, shares=(0.5,), overall=side)


def extend(canvas: Canvas, side: Side, ends: tuple[XY, XY], off: float) -> None:
    """Draw the short lines that lead from a dimension towards the wall."""
    dx, dy = {"south": (0, -1), "north": (0, 1), "west": (1, 0), "east": (-1, 0)}[side]
    long = min(off - 1.5, 4.0)
    d = "".join(polyline([(x - dx * 1.0, y - dy * 1.0), (x + dx * long, y + dy * long)]) for x, y in ends)
    canvas.path("dimensions", d, "d-extension")


def draw_across(canvas: Canvas, view: View, room: RoomShape, measure: str, taken: Taken) -> None:
    """Draw a room's width or depth inside it, where it covers least."""
    west, south, east, north = room.outline.bounds
    boxes, lines = [], []
    for share in (0.2, 0.8, 0.35, 0.65, 0.12, 0.88, 0.5):
        if measure == "width":
            y = south + (north - south) * share
            line = view.at((west, y)), view.at((east, y))
        else:
            x = west + (east - west) * share
            line = view.at((x, south)), view.at((x, north))
        lines.append(line)
        boxes.append(Box.over(line, 1.6))
    index, _ = taken.best(boxes)
    value = east - west if measure == "width" else north - south
    dimension(canvas, *lines[index], figure(value, 2), taken, room=room.id)
