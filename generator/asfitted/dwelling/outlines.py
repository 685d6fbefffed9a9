"""Room outlines from sizes, places beside other rooms and walks; overlaps and gaps between them."""

import re
from itertools import combinations

from shapely import MultiPolygon, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import Closing
from asfitted.dwelling.traverse import close_traverse, turns_left
from asfitted.model.base import Path, Problem, Unusable, shown
from asfitted.model.building import Room, Storey
from asfitted.model.quantity import read_quantity
from asfitted.model.words import LEG_TOLERANCE

THICKEST_WALL = 0.60
"""Metres between two rooms up to which the space between them is taken for a wall."""
NEAR = 1e-6
"""Metres; less is dust of the arithmetic."""
ON_ONE_LINE = 0.02
"""Metres by which faces may differ and still be one line: what a tape does not resolve."""

_SIDE = "(north|east|south|west)"
_BESIDE = re.compile(rf"{_SIDE} of ([a-z0-9-]+), (?:flush {_SIDE}|([0-9].*) from {_SIDE})")

Outlines = dict[str, tuple[Polygon, Closing | None]]


def walk_outline(room: Room) -> tuple[Polygon, Closing]:
    """Close a walked room.

    Raises:
        Unusable: when the error of closure is more than the instrument explains, or walls cross.
    """
    assert room.walk is not None
    walk = room.walk
    corners, closing = close_traverse(walk.from_, [(leg.bearing, leg.length) for leg in walk.legs])
    allowed = LEG_TOLERANCE[walk.by] * len(walk.legs)
    if closing.error > allowed:
        raise Unusable(
            f"the walk of {room.called} ending {closing.error:.3f} m from where it began (1 in {closing.one_in:.0f})",
            f"at most {allowed:.2f} m for {len(walk.legs)} walls by {walk.by}",
            "Measure again the wall that is out, most often one whose length nearly equals the error in its direction.",
        )
    corners = [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in corners]  # no dust from sines, and no minus nought
    outline = Polygon(corners if turns_left(corners) else corners[::-1])
    if not outline.is_valid:
        raise Unusable(f"walls of {room.called} that cross each other", "a walk round the room in one direction")
    if outline.area < 0.04:
        raise Unusable(f"a walk round {outline.area:.3f} m² of floor", "a room of 0.04 m² or more")
    return outline, closing


def _sized_outline(room: Room, placed: Outlines, storey: Storey) -> Polygon | None:
    """Give the outline of a room with a size, or None while the room beside it has no outline yet."""
    assert room.size is not None
    width, depth = room.size
    if room.corner:
        return box(*room.corner, room.corner[0] + width, room.corner[1] + depth, ccw=True)
    match = _BESIDE.fullmatch(room.beside or "")
    if not match:
        raise Unusable(shown(room.beside), "for example “north of hall, flush west” or “north of hall, 0.40 from west”")
    side, other, flush, offset, origin = match.groups()
    names = [neighbour.id for neighbour in storey.rooms if neighbour.id != room.id]
    if other not in names:
        raise Unusable(f"“{other}”, which is no other room of this storey", "one of " + ", ".join(names))
    end = flush or origin
    ends = ("east", "west") if side in ("north", "south") else ("north", "south")
    if end not in ends:
        raise Unusable(shown(room.beside), f"{' or '.join(ends)}, an end of the {side} wall of {other}, not {end}")
    shift = read_quantity(offset, "metre") if offset else 0.0
    if other not in placed:
        return None
    west, south, east, north = placed[other][0].bounds
    gap = storey.walls.inside.thickness
    x = {"east": east + gap, "west": west - gap - width}.get(side)
    y = {"north": north + gap, "south": south - gap - depth}.get(side)
    if x is None:
        x = west + shift if end == "west" else east - shift - width
    if y is None:
        y = south + shift if end == "south" else north - shift - depth
    return box(x, y, x + width, y + depth, ccw=True)


def outlines_of(storey: Storey, path: Path) -> tuple[Outlines, list[Problem]]:
    """Give every room's outline, and what is wrong with those that have none."""
    placed: Outlines = {}
    problems: list[Problem] = []
    thickness = storey.walls.inside.thickness
    if thickness > THICKEST_WALL:
        found, most = f"an inside wall {thickness:.2f} m thick", f"at most {THICKEST_WALL:.2f} m"
        problems.append(Problem((*path, "walls", "inside"), found, most))
    waiting = list(enumerate(storey.rooms))
    while waiting:
        later = []
        for index, room in waiting:
            try:
                if room.walk:
                    placed[room.id] = walk_outline(room)
                elif (outline := _sized_outline(room, placed, storey)) is not None:
                    placed[room.id] = outline, None
                else:
                    later.append((index, room))
            except Unusable as trouble:
                problems.append(trouble.at((*path, "rooms", index, "walk" if room.walk else "beside")))
        if len(later) == len(waiting):
            problems += [] if problems else [_waits_in_circle(later, path)]
            break
        waiting = later
    return placed, problems


def _waits_in_circle(waiting: list[tuple[int, Room]], path: Path) -> Problem:
    names = ", ".join(room.id for _, room in waiting)
    return Problem(
        (*path, "rooms", waiting[0][0], "beside"),
        f"rooms that each stand beside another without a place ({names})",
        "one of them to have a corner or a walk",
        "Give the first room of the storey a corner, such as [0, 0].",
    )


def overlaps(storey: Storey, outlines: Outlines, path: Path) -> list[Problem]:
    """Find rooms that lie over one another by more than a tape's error."""
    problems = []
    index = {room.id: i for i, room in enumerate(storey.rooms)}
    for (one, (a, _)), (other, (b, _)) in combinations(outlines.items(), 2):
        common = a.intersection(b)
        if not common.buffer(-ON_ONE_LINE / 2).is_empty:
            west, south, east, north = common.bounds
            problems.append(
                Problem(
                    (*path, "rooms", index[other]),
                    f"an overlap of {other} and {one} by {common.area:.2f} m² "
                    f"({east - west:.2f} m by {north - south:.2f} m)",
                    "rooms side by side",
                    f"Move {other} or correct its size.",
                )
            )
    return problems


def gaps(storey: Storey, outlines: Outlines, path: Path) -> list[Problem]:
    """Find rooms that stand apart, and enclosed spaces that belong to no room."""
    shapes = {name: shape for name, (shape, _) in outlines.items()}
    reach = THICKEST_WALL / 2 + NEAR
    grown: BaseGeometry = union_all([shape.buffer(reach, join_style="mitre") for shape in shapes.values()])
    problems = []
    if isinstance(grown, MultiPolygon):
        biggest = max(grown.geoms, key=lambda part: float(part.area))
        index = {room.id: i for i, room in enumerate(storey.rooms)}
        here = [name for name, shape in shapes.items() if biggest.contains(shape)]
        for name, shape in shapes.items():
            if name not in here:
                near = min(here, key=lambda other: shape.distance(shapes[other]))
                problems.append(
                    Problem(
                        (*path, "rooms", index[name]),
                        f"{name} {shape.distance(shapes[near]):.2f} m from the nearest room, {near}",
                        f"a wall of at most {THICKEST_WALL:.2f} m between neighbours",
                        "Check its corner and size, or add the room between them.",
                    )
                )
    for part in grown.geoms if isinstance(grown, MultiPolygon) else [grown]:
        for hole in part.interiors if isinstance(part, Polygon) else []:
            void = Polygon(hole).buffer(reach, join_style="mitre")
            around = sorted(name for name, shape in shapes.items() if shape.distance(void) < reach + NEAR)
            problems.append(
                Problem(
                    (*path, "rooms"),
                    f"{void.area:.2f} m² enclosed by {', '.join(around)} that belong to no room",
                    "every enclosed space to be a room",
                    "Add it; a chimney breast, duct or shaft is a room whose use is void.",
                )
            )
    return problems
