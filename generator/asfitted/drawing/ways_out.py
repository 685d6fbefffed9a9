"""Ways out on the plan, for the household: from each bed to the doors that lead out, keys, windows that may serve."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from asfitted.drawing.canvas import XY
from asfitted.drawing.ground import Ground, Layer, Telling
from asfitted.drawing.marks import LINES, POINTS, exit_arrow, heads_along, plate
from asfitted.drawing.sheet import Entry, Margins
from asfitted.drawing.walks import pieces
from asfitted.drawing.words import capital, room_words
from asfitted.dwelling.paths import Spot
from asfitted.dwelling.shapes import Dwelling, PlacedOpening
from asfitted.language import figure, say
from asfitted.model.home import Home
from asfitted.model.words import FittingKind
from asfitted.reckon.ways_out import CAUTION, SecondWay, WayOut

BEDS: tuple[FittingKind, ...] = ("bed",)
_OUTSIDE = Margins(14.0, 9.0, 14.0, 9.0)
"""Paper round the walls for the names of doors that lead out."""
_Piece = tuple[XY, XY]


@dataclass(frozen=True)
class BedWays:
    """A bed, its number on the plan, what it is called, and the ways from it, the nearest exit first."""

    number: int
    spot: Spot
    called: str
    ways: tuple[WayOut, ...]


def beds(dwelling: Dwelling, ways: Sequence[WayOut]) -> tuple[BedWays, ...]:
    """Number the beds from which there is a way out, and name them after their rooms."""
    by_bed: dict[Spot, list[WayOut]] = {}
    for way in ways:
        by_bed.setdefault(way.bed, []).append(way)
    return tuple(
        BedWays(number, spot, capital(room_words(dwelling.rooms[spot[0]].room)), tuple(found))
        for number, (spot, found) in enumerate(by_bed.items(), start=1)
    )


def ways_out_layer(
    dwelling: Dwelling, storey_id: str, home: Home, ways: Sequence[WayOut], windows: Sequence[SecondWay]
) -> Layer | None:
    """Show the ways out of the home on a storey.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        ways: from each bed to each door that leads out, of one bed the nearest first.
        windows: of the rooms people sleep in; those that do not serve are left out.

    Returns:
        The layer; None where no way passes the storey.
    """
    if not any(dwelling.rooms[room].storey == storey_id for way in ways for room in way.walk.rooms):
        return None
    numbered = beds(dwelling, ways)
    ways = [way for bed in numbered for way in bed.ways]
    first = _edges(dwelling, [bed.ways[0] for bed in numbered], storey_id)
    other = [edge for edge in _edges(dwelling, ways, storey_id) if not _among(edge, first)]
    here = [bed for bed in numbered if dwelling.rooms[bed.spot[0]].storey == storey_id]
    exits = _openings(dwelling, (way.exit for way in ways), storey_id)
    keys = _openings(dwelling, (door for way in ways for door in way.keys), storey_id)
    serving = [
        window for window in windows if window.serves is not False and dwelling.rooms[window.room].storey == storey_id
    ]
    legend = [
        *([Entry("sleeper", say("bed"))] if here else []),
        *([Entry("way", say("shortest way out"))] if first else []),
        *([Entry("other way", say("another way"))] if other else []),
        *([Entry("exit", say("door to the outside"))] if exits else []),
        *([Entry("key", say("needs a key from inside"))] if keys else []),
        *([Entry("second way", say("window as a second way"))] if any(w.serves for w in serving) else []),
        *([Entry("second way?", say("window to be measured"))] if any(not w.serves for w in serving) else []),
    ]
    notes = [*(_distances(dwelling, bed) for bed in here), say(CAUTION)]
    called = dwelling.storey(storey_id).storey.called
    says = [
        *notes[:-1],
        *(say("The {opening} needs a key from inside.", opening=opening.opening.called) for opening in keys),
        *(_window_words(dwelling, window) for window in serving),
        say(CAUTION),
    ]
    title = say("Ways out, {storey}", storey=called)
    telling = Telling(f"ways-out-{storey_id}", f"{title}, {home.home.label}", says, legend, notes)

    def paint(on: Ground) -> None:
        for kind, edges in (("way", first), ("other way", other)):
            for edge in edges:
                heads_along(on.canvas, "clearances", on.path(edge, LINES[kind], way=kind), "d-way-head")
        for bed in here:
            at = on.view.at(bed.spot[1])
            plate(on.canvas, "devices", at, str(bed.number))
            on.keep(at, 4.8)
        for opening in exits:
            _exit(on, opening)
        for opening in keys:
            _beside(on, opening, "key")
        for window in serving:
            _beside(on, dwelling.openings[window.opening], "second way" if window.serves else "second way?")

    return Layer(telling, paint, fittings=BEDS, margins=_OUTSIDE)


def _edges(dwelling: Dwelling, ways: Sequence[WayOut], storey_id: str) -> list[_Piece]:
    """Give the straight pieces of ways on a storey, each once."""
    found: dict[frozenset[XY], _Piece] = {}
    for way in ways:
        for line in pieces(dwelling, way.walk.legs, storey_id):
            for edge in pairwise(line):
                found.setdefault(_ends(edge), edge)
    return list(found.values())


def _ends(edge: _Piece) -> frozenset[XY]:
    return frozenset((round(x, 3), round(y, 3)) for x, y in edge)


def _among(edge: _Piece, others: Sequence[_Piece]) -> bool:
    return any(_ends(edge) == _ends(other) for other in others)


def _openings(dwelling: Dwelling, names: Iterator[str], storey_id: str) -> list[PlacedOpening]:
    wanted = dict.fromkeys(names)
    return [dwelling.openings[name] for name in wanted if dwelling.openings[name].storey == storey_id]


def _distances(dwelling: Dwelling, bed: BedWays) -> str:
    far = "; ".join(f"{dwelling.openings[way.exit].opening.called} {figure(way.walk.length, 0)} m" for way in bed.ways)
    return f"{bed.number} {bed.called}: {far}."


def _window_words(dwelling: Dwelling, window: SecondWay) -> str:
    name, room = dwelling.openings[window.opening].opening.called, room_words(dwelling.rooms[window.room].room)
    if window.serves:
        return say("The {window} of the {room} may serve as a second way out.", window=name, room=room)
    return say(
        "Whether the {window} of the {room} may serve as a second way out is not known yet.", window=name, room=room
    )


def _exit(on: Ground, opening: PlacedOpening) -> None:
    """Draw the arrow that leads out by a door, and name the door."""
    assert opening.wall is not None
    (x, y), (nx, ny) = opening.middle, opening.wall.outward
    start = on.view.at((x, y))
    far = on.view.length(opening.thickness) + 5.0
    end = start[0] + nx * far, start[1] - ny * far
    exit_arrow(on.canvas, "clearances", start, end)
    on.keep(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), far * 0.8)
    on.label(end, capital(opening.opening.called), "d-zone-figure", clear=1.2)


def _beside(on: Ground, opening: PlacedOpening, mark: str) -> None:
    """Put a mark at an opening: beside the middle of a door, on the outer face of a window."""
    x, y = opening.middle
    if opening.wall is None:
        at = on.view.at((x, y))
    else:
        nx, ny = opening.wall.outward
        (ax, ay), (bx, by) = opening.a, opening.b
        long = hypot(bx - ax, by - ay) or 1.0
        out = 3.0 + on.view.length(opening.thickness) if mark != "key" else -3.0
        aside = on.view.length(long / 2) + 0.6 if mark == "key" else 0.0
        px, py = on.view.at((x, y))
        at = px + nx * out + (bx - ax) / long * aside, py - ny * out - (by - ay) / long * aside
    POINTS[mark](on.canvas, "devices", at)
    on.keep(at, 5.0)
