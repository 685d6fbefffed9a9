"""Where a device may go in a room, asked before anything is drilled: zones, best places, and what leaves none."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import floor, hypot

from shapely import Point, maximum_inscribed_circle

from asfitted.dwelling.shapes import SIDE_VECTORS, XY, RoomShape, Wall
from asfitted.dwelling.tapes import ceiling_point, reach
from asfitted.dwelling.walls import distance_from_end, starts_at
from asfitted.model.base import Unusable
from asfitted.model.words import Side
from asfitted.rules.case import Case
from asfitted.rules.checks import PLACINGS
from asfitted.rules.judgement import listed
from asfitted.rules.obstacles import unplaced
from asfitted.rules.placing import Ban, Candidate, Surface, Trial, Zone, left_by, surfaces, zone

ELSEWHERE: Mapping[str, str] = {
    "opening contact": "on the door or window it watches",
    "flood detector": "on the floor, where water would run to first",
    "outdoor sounder": "outside, on an outer wall",
}
"""Kinds that hang on no ceiling or inside wall, and where they go instead (common practice, no source)."""
_EXACT = 0.001
"""Metres within which the best place is looked for."""
_FEW = 3
"""Rules up to which the fewest that conflict are looked for; beyond, a set from which none can be left out."""
_LEVEL: tuple[Side, ...] = ("west", "east")
_UPRIGHT: tuple[Side, ...] = ("south", "north")


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a surface, as a tape shows it.

    Attributes:
        point: in the surface's own coordinates.
        plan: the same on the plan.
        height: metres above finished floor.
        tapes: metres from two walls, or on a wall from one of its ends.
        clear: metres on the surface to the nearest place that will not do.
    """

    surface: Surface
    point: XY
    plan: XY
    height: float
    tapes: tuple[tuple[Side, float], ...]
    clear: float

    @property
    def says(self) -> str:
        """The place in words: from which walls, or from which end of the wall, and how high."""
        wall = self.surface.wall
        if wall is None:
            return listed([f"{metres:.2f} m from the {side} wall" for side, metres in self.tapes])
        ((side, metres),) = self.tapes
        return f"{metres:.2f} m from the {side} end of the {wall.name} wall, {self.height:.2f} m above the floor"


def where(case: Case, candidate: Candidate, room: RoomShape, spare: float = 0.0) -> list[Zone]:
    """Give, for the ceiling and each wall of a room, where a device may go.

    Args:
        case: the home and the rule set.
        candidate: what is to hang there.
        room: in which room.
        spare: metres beyond every limit, so that what the tape is out does not matter.
    """
    return [zone(Trial(case, candidate, surface, spare), PLACINGS) for surface in surfaces(case.dwelling, room)]


def best_place(found: Zone) -> Place | None:
    """Give the place of a zone that is farthest from all that will not do; None where there is no place.

    It is the pole of inaccessibility of the largest part, moved onto whole centimetres of the tape.
    """
    if not found.has_place:
        return None
    circle = maximum_inscribed_circle(found.shape, tolerance=_EXACT)
    return on_tape(found, circle.coords[0])


def on_tape(found: Zone, near: XY, sides: Sequence[Side] = (), towards: XY | None = None) -> Place:
    """Give the place in a zone nearest to a point at which the tape shows whole centimetres.

    Where the zone is too narrow to hold one, it is the point itself.

    Args:
        found: the zone.
        near: the point, in the surface's coordinates, within a centimetre of which it is looked for.
        sides: the walls or the end of the wall from which the tape is taken; the nearer ones unless given.
        towards: to which point the place shall be nearest instead of ``near``.
    """
    surface, (x, y) = found.surface, towards or near
    taped = _on_wall(surface.wall, near, sides) if surface.wall else _on_ceiling(surface.room, near, sides)
    inside = [place for place in taped if found.shape.covers(Point(place[0]))]
    for point, tapes in sorted(inside, key=lambda place: (round(hypot(place[0][0] - x, place[0][1] - y), 9), place)):
        exact = point if surface.wall else _taped_point(surface.room, dict(tapes))
        if exact is not None and found.shape.covers(Point(exact)):
            return _place(found, exact, tapes)
    return _place(found, near, _tapes(surface, near, sides))


def _place(found: Zone, point: XY, tapes: tuple[tuple[Side, float], ...]) -> Place:
    surface = found.surface
    clear = float(found.shape.boundary.distance(Point(point)))
    return Place(surface, point, surface.on_plan(point), surface.height(point), tapes, clear)


_Taped = tuple[XY, tuple[tuple[Side, float], ...]]


def _on_ceiling(room: RoomShape, near: XY, sides: Sequence[Side]) -> list[_Taped]:
    """Give the points round one at which the tapes to two walls show whole centimetres, were the walls square."""
    (level, wide), (upright, deep) = _tapes(Surface(room), near, sides)
    ux, uy = -SIDE_VECTORS[level][0], -SIDE_VECTORS[upright][1]
    return [
        ((near[0] + ux * (across - wide), near[1] + uy * (up - deep)), ((level, across), (upright, up)))
        for across, up in product(_centimetres(wide), _centimetres(deep))
    ]


def _on_wall(wall: Wall, near: XY, sides: Sequence[Side]) -> list[_Taped]:
    """Give the points round one of a wall that are whole centimetres from an end of it and above the floor."""
    side = _end_of(wall, near[0], sides)
    along = distance_from_end(wall, side, near[0])  # its own inverse
    return [
        ((distance_from_end(wall, side, off), up), ((side, off),))
        for off, up in product(_centimetres(along), _centimetres(near[1]))
    ]


def _centimetres(metres: float) -> list[float]:
    first = floor(metres * 100 + 1e-6)
    return [step / 100 for step in range(first - 1, first + 3)]


def _tapes(surface: Surface, point: XY, sides: Sequence[Side]) -> tuple[tuple[Side, float], ...]:
    """Give what the tape shows at a point, from the walls or the end of the wall named, or from the nearer ones."""
    if surface.wall is not None:
        side = _end_of(surface.wall, point[0], sides)
        return ((side, distance_from_end(surface.wall, side, point[0])),)
    reaches = {side: reach(surface.room, point, side) for side in SIDE_VECTORS}
    chosen = [
        next((side for side in sides if side in pair), min(pair, key=lambda side: round(reaches[side], 2)))
        for pair in (_LEVEL, _UPRIGHT)
    ]
    return tuple((side, reaches[side]) for side in chosen)


def _end_of(wall: Wall, along: float, sides: Sequence[Side]) -> Side:
    """Give the side on which the end of a wall lies from which the tape is taken: the one named, or the nearer."""
    ux, uy = wall.along
    pair: tuple[Side, ...] = _LEVEL if abs(ux) > abs(uy) else _UPRIGHT
    named = next((side for side in sides if abs(ux * SIDE_VECTORS[side][0] + uy * SIDE_VECTORS[side][1]) >= 0.3), None)
    first, second = pair if starts_at(wall, pair[0]) else pair[::-1]
    return named or (first if along <= wall.length / 2 + _EXACT else second)


def _taped_point(room: RoomShape, tapes: dict[Side, float]) -> XY | None:
    """Give the point of a room at two distances as the record would be read; None where they fit none or several."""
    try:
        return ceiling_point(room, tapes)
    except Unusable:
        return None


def conflict(found: Zone) -> tuple[Ban, ...]:
    """Give, for a zone without a place, the fewest rules that leave none, by one ban of each; nothing if it has one."""
    by_rule: dict[str, list[Ban]] = {}
    for ban in found.bans:
        by_rule.setdefault(ban.rule.id, []).append(ban)

    def blocked(rules: Iterable[str]) -> bool:
        return not Zone(
            found.surface, left_by(found.surface, [b for rule in rules for b in by_rule[rule]]), ()
        ).has_place

    if not blocked(by_rule):
        return ()
    for size in range(1, min(_FEW, len(by_rule)) + 1):
        for some in combinations(by_rule, size):
            if blocked(some):
                return tuple(by_rule[rule][0] for rule in some)
    kept = list(by_rule)
    for rule in by_rule:
        if blocked(other for other in kept if other != rule):
            kept.remove(rule)
    return tuple(by_rule[rule][0] for rule in kept)


def conflict_words(found: Zone) -> str:
    """Name the fewest rules that leave no place on a surface, as a sentence; empty where a place is left."""
    bans = conflict(found)
    if not bans:
        return ""
    names = [f"“{ban.rule.title}”" + (f" ({_figure(ban)})" if ban.limit.figure else "") for ban in bans]
    together = "cannot be met" if len(bans) == 1 else "cannot be met together"
    return f"On the {found.surface.called} of the {found.surface.room.room.called} {listed(names)} {together}"


def _figure(ban: Ban) -> str:
    """Give the figure a rule asks for, fit to stand in brackets."""
    return ban.limit.figure.replace(" (", ", ").replace(")", "")


def rules_bearing(zones: Iterable[Zone]) -> dict[str, Ban]:
    """Give each rule that takes something from a surface, by its id, with the first of its bans."""
    found: dict[str, Ban] = {}
    for ban in (ban for each in zones for ban in each.bans):
        found.setdefault(ban.rule.id, ban)
    return found


def not_placed(case: Case, kind: str, room: RoomShape) -> list[str]:
    """Give what bears on where a kind of device may go but has no place in the record: the zone does not know of it."""
    return sorted(
        {
            thing
            for rule in case.rules.rules.values()
            if rule.check == "clear-of" and kind in rule.applies_to and not case.rules.limits[rule.id].nothing
            for thing in unplaced(rule, case, room)
        }
    )
