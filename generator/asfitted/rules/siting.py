"""Where a device may go: all placing rules of its kind applied to a surface, and the move that gets it there."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil, floor, hypot

from shapely import Point, union_all
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from asfitted.dwelling.shapes import XY, RoomShape
from asfitted.dwelling.tapes import reach
from asfitted.rules.case import Case, Placed
from asfitted.rules.checks import PLACINGS
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import MEASURE_AGAIN, listed
from asfitted.rules.obstacles import compass_words, unplaced
from asfitted.rules.placing import Ban, Candidate, Surface, Trial, Zone, zone

_NOWHERE = 1e-4
"""Square metres below which a zone is no place: less than a square centimetre."""
SHORT = (Verdict.FAILS, Verdict.BORDERLINE)
"""The verdicts that a move can put right."""
_HERE = 0.005
"""Metres below which a move is none."""


@dataclass(frozen=True, slots=True)
class Move:
    """Advice on where a device should go: a sentence, the plan point and height if there is one, and the zone."""

    says: str
    to: XY | None = None
    height: float | None = None
    zone: Zone | None = None


def surfaces(room: RoomShape) -> list[Surface]:
    """Give the ceiling and the walls of a room."""
    return [Surface(room), *(Surface(room, wall) for wall in room.walls)]


def where(case: Case, candidate: Candidate, room: RoomShape, spare: float = 0.0) -> list[Zone]:
    """Give, for the ceiling and each wall of a room, where a device may go."""
    return [zone(Trial(case, candidate, surface, spare), PLACINGS) for surface in surfaces(room)]


def candidate_of(placed: Placed) -> Candidate:
    """Give a fitted device as one that may hang elsewhere."""
    return Candidate(placed.device.kind, placed.tag, placed.device.across or 0.0)


def surface_of(case: Case, placed: Placed) -> tuple[Surface, XY] | None:
    """Give the surface a device hangs on and where on it; None when the record does not place it on one."""
    spot, room = placed.spot, case.dwelling.rooms[placed.spot.room]
    if spot.point is None:
        return None
    if spot.fixed == "ceiling":
        return Surface(room), spot.point
    walls = [wall for wall in room.walls if wall.line.distance(Point(spot.point)) < 1e-6]
    if spot.fixed not in ("wall", "corner") or spot.z is None or not walls:
        return None
    wall = spot.wall or walls[0]
    return Surface(room, wall), (hypot(spot.point[0] - wall.a[0], spot.point[1] - wall.a[1]), spot.z)


def advise_move(case: Case, placed: Placed) -> Move | None:
    """Find the nearest place for a device that meets every placing rule of its kind, and say the move.

    Where no place of its ceiling or of any wall meets them all, the fewest rules that cannot be met together are named.
    None when the record does not say where the device is.
    """
    here = surface_of(case, placed)
    if here is None:
        return None
    surface, point = here
    candidate = candidate_of(placed)
    room = surface.room
    others = [Surface(room, wall) for wall in room.walls if wall is not surface.wall] if surface.wall else []
    for spare in (placed.spot.tolerance, 0.0):
        for choice in (surface, *sorted(others, key=lambda other: other.outline.distance(Point(point)))):
            found = zone(Trial(case, candidate, choice, spare), PLACINGS)
            if found.shape.area > _NOWHERE:
                return _move(case, placed, surface, point, found)
    return Move(_conflict(zone(Trial(case, candidate, surface), PLACINGS)))


def _move(case: Case, placed: Placed, surface: Surface, point: XY, found: Zone) -> Move:
    if found.surface is not surface:
        assert found.surface.wall is not None
        to = _near(found.shape, Point(found.shape.representative_point()))
        says = f"No place on this wall will do. The {found.surface.wall.name} wall has one: {_on_wall(found, to)}."
        return Move(says, found.surface.on_plan(to), to[1], found)
    to = _on_grid(found.shape, point)
    if hypot(to[0] - point[0], to[1] - point[1]) < _HERE:
        return Move("No place in this room has more.", zone=found)
    says = _on_ceiling(placed, point, to, found) if surface.wall is None else _along_wall(point, to, found)
    return Move(says + _stays(case, placed, to, found), surface.on_plan(to), surface.height(to), found)


def _near(shape: BaseGeometry, point: Point) -> XY:
    near = nearest_points(shape, point)[0]
    return float(near.x), float(near.y)


def _on_grid(shape: BaseGeometry, point: XY) -> XY:
    """Give the nearest point of a zone on the centimetre grid of the move, so that the figures said are exact."""
    near = _near(shape, Point(point))
    dx, dy = near[0] - point[0], near[1] - point[1]
    steps = [
        (point[0] + sx / 100, point[1] + sy / 100)
        for sx in range(floor(dx * 100) - 1, ceil(dx * 100) + 2)
        for sy in range(floor(dy * 100) - 1, ceil(dy * 100) + 2)
    ]
    inside = [step for step in steps if shape.covers(Point(step))]
    return min(inside, key=lambda p: (round(hypot(p[0] - point[0], p[1] - point[1]), 9), p)) if inside else near


def _on_ceiling(placed: Placed, point: XY, to: XY, found: Zone) -> str:
    """Say a move over a ceiling, and what the tape will show from the same walls."""
    room = found.surface.room
    says = f"Move it {compass_words(to[0] - point[0], to[1] - point[1])}"
    tapes = [f"{reach(room, to, side):.2f} m from {side}" for side in placed.device.tapes]
    says += f", to {listed(tapes)}" if tapes else ""
    return says + ("." if room.ceiling.is_flat else ", measured level and not along the slope.")


def _along_wall(point: XY, to: XY, found: Zone) -> str:
    """Say a move along a wall and up or down it."""
    wall = found.surface.wall
    assert wall is not None
    moved, parts = to[0] - point[0], []
    if abs(moved) >= _HERE:
        parts.append(f"move it {compass_words(wall.along[0] * moved, wall.along[1] * moved)}")
    if abs(to[1] - point[1]) >= _HERE:
        parts.append(f"{'raise' if to[1] > point[1] else 'lower'} it by {abs(to[1] - point[1]):.2f} m")
    says = f"{listed(parts)}, to {_on_wall(found, to)}."
    return says[:1].upper() + says[1:]


def _on_wall(found: Zone, to: XY) -> str:
    """Say a place on a wall as the tape shows it: from the end of the wall, and above the floor."""
    wall = found.surface.wall
    assert wall is not None
    ways = {"east": wall.along[0], "west": -wall.along[0], "north": wall.along[1], "south": -wall.along[1]}
    towards = max(ways, key=lambda side: ways[side])
    start = {"east": "west", "west": "east", "north": "south", "south": "north"}[towards]
    return f"{to[0]:.2f} m from the {start} end of the {wall.name} wall, {to[1]:.2f} m above the floor"


def _stays(case: Case, placed: Placed, to: XY, found: Zone) -> str:
    """Say what the new place keeps clear of, and how many rules it meets."""
    point = found.surface.on_plan(to)
    kept = sorted({(ban.of.distance(point), ban.of.name) for ban in _nearest_of_each(found, point) if ban.of})
    says = f" There it stays {listed([f'{distance:.2f} m from {name}' for distance, name in kept[:3]])}" if kept else ""
    rules = {ban.rule.id for ban in found.bans}
    lost = any(
        unplaced(rule, case, found.surface.room)
        for rule in case.rules.rules.values()
        if rule.check == "clear-of" and placed.device.kind in rule.applies_to
    )
    if len(rules) > 1 and not lost:
        what = "ceiling" if found.surface.wall is None else "wall"
        says += f"{', and' if says else ' There it'} meets all {len(rules)} placing rules that bear on this {what}"
    return f"{says}." if says else ""


def _nearest_of_each(found: Zone, point: XY) -> Iterator[Ban]:
    for rule_id in dict.fromkeys(ban.rule.id for ban in found.bans if ban.of):
        same = [ban for ban in found.bans if ban.rule.id == rule_id and ban.of]
        yield min(same, key=lambda ban: ban.of.distance(point) if ban.of else 0.0)


def _conflict(found: Zone) -> str:
    """Name the fewest rules that leave no place on a surface."""
    where_ = "ceiling" if found.surface.wall is None else f"{found.surface.wall.name} wall"
    by_rule: dict[str, list[Ban]] = {}
    for ban in found.bans:
        by_rule.setdefault(ban.rule.id, []).append(ban)
    shapes = {rule_id: union_all([ban.shape for ban in bans]) for rule_id, bans in by_rule.items()}
    for size in range(1, len(shapes) + 1):
        for some in combinations(shapes, size):
            if found.surface.outline.difference(union_all([shapes[rule_id] for rule_id in some])).area <= _NOWHERE:
                return _cannot([by_rule[rule_id][0] for rule_id in some], found.surface.room, where_)
    return "Choose another place."


def _cannot(bans: Sequence[Ban], room: RoomShape, where_: str) -> str:
    names = [f"“{ban.rule.title}”" + (f" ({ban.limit.figure})" if ban.limit.figure else "") for ban in bans]
    together = "cannot be met" if len(bans) == 1 else "cannot be met together"
    return (
        f"On the {where_} of the {room.room.called} {listed(names)} {together}: "
        "choose the best place and agree a variation in writing."
    )


def with_moves(case: Case, found: Iterable[Finding]) -> Iterator[Finding]:
    """Give findings about the place of a device the move that puts all of them right, already checked."""
    devices = {placed.tag: placed for placed in case.devices}
    moves: dict[str, Move | None] = {}
    for finding in found:
        tag = finding.subject.id
        if finding.verdict in SHORT and finding.rule.check in PLACINGS and tag in devices:
            if tag not in moves:
                moves[tag] = advise_move(case, devices[tag])
            yield _moved(finding, devices[tag], moves[tag])
        else:
            yield finding


def _moved(finding: Finding, placed: Placed, move: Move | None) -> Finding:
    point = placed.spot.point
    if move is None or point is None:
        return finding
    remedy = move.says
    if finding.verdict is Verdict.BORDERLINE:
        remedy = f"{MEASURE_AGAIN} {remedy[:1].lower()}{remedy[1:]}"
    mark = replace(finding.mark or Mark(point), move_to=move.to, zone=_on_plan(move.zone))
    return replace(finding, remedy=remedy, mark=mark)


def _on_plan(found: Zone | None) -> BaseGeometry | None:
    """Give a zone as the plan shows it; one on a wall has no width there and is left to the drawing of the wall."""
    return found.shape if found is not None and found.surface.wall is None else None
