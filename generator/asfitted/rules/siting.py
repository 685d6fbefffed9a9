"""The move that puts a device right: the nearest place that meets every placing rule of its kind, said to the tape."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot

from shapely import Point
from shapely.ops import nearest_points

from asfitted.dwelling.shapes import XY
from asfitted.dwelling.tapes import reach
from asfitted.rules.case import Case, Placed
from asfitted.rules.checks import PLACINGS
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import MEASURE_AGAIN, listed
from asfitted.rules.obstacles import compass_words
from asfitted.rules.placing import Ban, Candidate, Surface, Trial, Zone, surfaces, zone
from asfitted.rules.where import Place, best_place, conflict_words, not_placed, on_tape, where

SHORT = (Verdict.FAILS, Verdict.BORDERLINE)
"""The verdicts that a move can put right."""
_HERE = 0.005
"""Metres below which a move is none."""
_ON_WALL = 1e-6
"""Metres from a wall up to which a point is on it."""


@dataclass(frozen=True, slots=True)
class Move:
    """Advice on where a device should go: a sentence, the plan point and height if there is one, and the zone."""

    says: str
    to: XY | None = None
    height: float | None = None
    zone: Zone | None = None


def candidate_of(placed: Placed) -> Candidate:
    """Give a fitted device as one that may hang elsewhere."""
    return Candidate(placed.device.kind, placed.tag, placed.device.across or 0.0)


def stands_of(case: Case, placed: Placed) -> list[tuple[Surface, XY]]:
    """Give the surfaces a device hangs on and where on them: one, two in a corner, none where the record is silent."""
    spot, room = placed.spot, case.dwelling.rooms[placed.spot.room]
    ceiling, *walls = surfaces(case.dwelling, room)
    if spot.point is None:
        return []
    if spot.fixed == "ceiling":
        return [(ceiling, spot.point)]
    if spot.fixed not in ("wall", "corner") or spot.z is None:
        return []
    point = Point(spot.point)
    return [
        (surface, (hypot(spot.point[0] - wall.a[0], spot.point[1] - wall.a[1]), spot.z))
        for surface in walls
        for wall in (surface.wall,)
        if wall is not None and (wall.name == spot.wall.name if spot.wall else wall.line.distance(point) < _ON_WALL)
    ]


def advise_move(case: Case, placed: Placed) -> Move | None:
    """Find the nearest place for a device that meets every placing rule of its kind, and say the move.

    It stays on its ceiling or wall; where no place there will do, the best one on another wall is named, for an alarm
    then one on the ceiling, and where there is none at all, the fewest rules that cannot be met together. None when the
    record does not say where the device is.
    """
    stands = stands_of(case, placed)
    if not stands:
        return None
    candidate, own = candidate_of(placed), {surface.called for surface, _ in stands}
    for spare in (placed.spot.tolerance, 0.0):
        tried = [(zone(Trial(case, candidate, surface, spare), PLACINGS), point) for surface, point in stands]
        here = [(found, point) for found, point in tried if found.has_place]
        if here:
            return _move(case, placed, *min(here, key=lambda pair: pair[0].shape.distance(Point(pair[1]))))
        if stands[0][0].wall is not None:
            ceiling, *walls = where(case, candidate, stands[0][0].room, spare)
            if others := [found for found in walls if found.has_place and found.surface.called not in own]:
                return _other_wall(placed, stands[0][0], others)
            if placed.device.is_fire and ceiling.has_place:
                return _other_wall(placed, stands[0][0], [ceiling])
    return Move(f"{conflict_words(tried[0][0])}: choose the best place and agree a variation in writing.")


def _move(case: Case, placed: Placed, found: Zone, point: XY) -> Move:
    if found.shape.covers(Point(point)):
        return Move(f"No other place on this {_kind_of(found)} has more.", zone=found)
    near = nearest_points(found.shape, Point(point))[0]
    to = on_tape(found, (float(near.x), float(near.y)), tuple(placed.device.tapes), point)
    says = _on_ceiling(placed, point, to) if found.surface.wall is None else _along_wall(point, to)
    return Move(says + _stays(case, placed, to, found), to.plan, to.height, found)


def _other_wall(placed: Placed, surface: Surface, others: Sequence[Zone]) -> Move:
    """Name the best place on the nearest of other surfaces."""
    at = Point(placed.spot.point or (0.0, 0.0))
    found = min(others, key=lambda other: (other.plan.distance(at), other.surface.called))
    to = best_place(found)
    assert to is not None
    says = f"No place on the {surface.called} will do. The {found.surface.called} has one: {to.says}."
    return Move(says, to.plan, to.height, found)


def _on_ceiling(placed: Placed, point: XY, to: Place) -> str:
    """Say a move over a ceiling, and what the tape will show from the same walls."""
    room = to.surface.room
    says = f"Move it {compass_words(to.plan[0] - point[0], to.plan[1] - point[1])}"
    tapes = [f"{reach(room, to.plan, side):.2f} m from {side}" for side in placed.device.tapes]
    says += f", to {listed(tapes)}" if tapes else ""
    return says + ("." if room.ceiling.is_flat else ", measured level and not along the slope.")


def _along_wall(point: XY, to: Place) -> str:
    """Say a move along a wall and up or down it."""
    wall = to.surface.wall
    assert wall is not None
    moved, parts, aim = to.point[0] - point[0], [], to.says
    if abs(moved) >= _HERE:
        parts.append(f"move it {compass_words(wall.along[0] * moved, wall.along[1] * moved)}")
    else:
        aim = f"{to.height:.2f} m above the floor"
    if abs(to.height - point[1]) >= _HERE:
        parts.append(f"{'raise' if to.height > point[1] else 'lower'} it by {abs(to.height - point[1]):.2f} m")
    says = f"{listed(parts)}, to {aim}."
    return says[:1].upper() + says[1:]


def _stays(case: Case, placed: Placed, to: Place, found: Zone) -> str:
    """Say what the new place keeps clear of, and how many rules it meets."""
    kept = sorted({(ban.of.distance(to.plan), ban.of.name) for ban in _nearest_of_each(found, to.plan) if ban.of})
    says = f" There it stays {listed([f'{distance:.2f} m from {name}' for distance, name in kept[:3]])}" if kept else ""
    rules = {ban.rule.id for ban in found.bans}
    if len(rules) > 1 and not not_placed(case, placed.device.kind, found.surface.room):
        what = _kind_of(found)
        says += f"{', and' if says else ' There it'} meets all {len(rules)} placing rules that bear on this {what}"
    return f"{says}." if says else ""


def _kind_of(found: Zone) -> str:
    return "ceiling" if found.surface.wall is None else "wall"


def _nearest_of_each(found: Zone, point: XY) -> Iterator[Ban]:
    for rule_id in dict.fromkeys(ban.rule.id for ban in found.bans if ban.of):
        same = [ban for ban in found.bans if ban.rule.id == rule_id and ban.of]
        yield min(same, key=lambda ban: ban.of.distance(point) if ban.of else 0.0)


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
    if move.to is None and move.zone is not None and finding.verdict is Verdict.FAILS:
        return finding  # what the check found has no shape on this surface: its own remedy stands
    remedy = move.says
    if finding.verdict is Verdict.BORDERLINE:
        remedy = f"{MEASURE_AGAIN} {remedy[:1].lower()}{remedy[1:]}"
    mark = replace(finding.mark or Mark(point), move_to=move.to, zone=move.zone.plan if move.zone else None)
    return replace(finding, remedy=remedy, mark=mark)
