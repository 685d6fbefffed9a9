"""What alarms reach: every wall of a space, and the length of a corridor to its ends."""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from shapely import LineString, Point
from shapely.ops import substring

from asfitted.dwelling.shapes import XY, RoomShape
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.coverage import PLACE_IT, ban_but, others, question
from asfitted.rules.checks.narrow import width_of
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.obstacles import SIDES, walls
from asfitted.rules.placing import Ban, Trial
from asfitted.rules.spaces import Space, protected, space_of

_STRAIGHT = 0.98
"""Share of the smallest rectangle round a room from which on it is one straight length."""


def reaches_walls(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that every wall of a space has an alarm within reach, square to the wall or to its nearest end.

    Option ``or-kinds``: alarms that may count too; where only they reach a wall the finding is *not verified*.
    """
    more = tuple(rule.options.get("or-kinds", ()))
    for space, alarms in protected(case, tuple(rule.options["kinds"])):
        ask = question(rule, limit, case, space)
        sites = [placed.spot.point for placed in alarms if placed.spot.point is not None]
        if len(sites) < len(alarms):
            says = f"The record does not say where in the {space.called} {alarms[0].tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, PLACE_IT)
            continue
        far, name = _furthest_wall(case, space, sites)
        tolerance = max(placed.spot.tolerance for placed in alarms)
        finding = ask.measured(
            far, tolerance, f"{name[:1].upper()}{name[1:]} of the {space.called} is {far:.2f} m from the nearest alarm"
        )
        names = {room.id for room in space.rooms}
        extra = [p.spot.point for p in case.of_kinds(more) if p.spot.room in names and p.spot.point is not None]
        if (
            finding.verdict is Verdict.FAILS
            and extra
            and _furthest_wall(case, space, [*sites, *extra])[0] <= (limit.most or 0)
        ):
            says = (
                f"{finding.says} A {' or '.join(more)} is near enough, and the source does not say whether it counts."
            )
            finding = ask.answer(Verdict.NOT_VERIFIED, says, "Ask the authority, or move the smoke alarm.")
        yield finding


def _furthest_wall(case: Case, space: Space, sites: list[XY]) -> tuple[float, str]:
    """Give the wall of a space that is furthest from the nearest of some points: how far, and what it is called."""
    around = [wall for room in space.rooms for wall in walls(case, room)]
    return max((min(wall.distance(site) for site in sites), wall.name) for wall in around)


def keep_near_walls(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the places from which the last missing alarm would leave a wall out of reach."""
    space = space_of(trial.case, trial.surface.room.id)
    alarms = others(trial, tuple(rule.options["kinds"]), {room.id for room in space.rooms})
    most = (limit.most or 0.0) - trial.spare
    sites = [placed.spot.point for placed in alarms if placed.spot.point is not None]
    lines = [wall.shape for room in space.rooms for wall in walls(trial.case, room)]
    place = space.outline
    far = [line for line in lines if min((line.distance(Point(site)) for site in sites), default=most + 1.0) > most]
    for line in far:
        place = place.intersection(line.buffer(most, quad_segs=SIDES))
    if far:
        yield from ban_but(rule, limit, trial, space.outline, space.outline, place)


def along_corridor(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that no point along a corridor is further from an alarm than the limit, its ends included.

    Option ``no-wider``: the width in metres up to which a room of circulation is a corridor.
    """
    for space, alarms in protected(case, tuple(rule.options["kinds"]), joined=False):
        (room,) = space.rooms
        axis = _axis(room)
        if room.room.use != "circulation" or width_of(room) > rule.options["no-wider"] + 1e-9:
            continue
        ask = question(rule, limit, case, space)
        sites = [placed.spot.point for placed in alarms if placed.spot.point is not None]
        if room.area < _STRAIGHT * float(room.outline.minimum_rotated_rectangle.area):
            says = f"The {space.called} is not one straight length."
            remedy = f"Measure each length of it by hand: {limit.figure} from an alarm to its end."
            yield ask.answer(Verdict.NOT_VERIFIED, says, remedy)
        elif len(sites) < len(alarms):
            says = f"The record does not say where in the {space.called} {alarms[0].tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, PLACE_IT)
        else:
            far = max(_gaps(axis, sites))
            says = f"Along the {space.called} the furthest point is {far:.2f} m from the nearest alarm"
            yield ask.measured(far, max(placed.spot.tolerance for placed in alarms), says)


def _axis(room: RoomShape) -> LineString:
    """Give the middle line of the smallest rectangle round a room."""
    corners = list(room.outline.minimum_rotated_rectangle.exterior.coords)[:4]
    sides = [(corners[i], corners[(i + 1) % 4]) for i in range(4)]
    short = sorted(sides, key=lambda s: hypot(s[0][0] - s[1][0], s[0][1] - s[1][1]))[:2]
    return LineString([((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in short])


def _gaps(axis: LineString, sites: list[XY]) -> list[float]:
    """Give the distance from either end to the first alarm along an axis, and half of each gap between two."""
    along = sorted(float(axis.project(Point(site))) for site in sites)
    between = [(b - a) / 2 for a, b in pairwise(along)]
    return [along[0], float(axis.length) - along[-1], *between]


def keep_along_corridor(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid the places from which one alarm would leave part of a corridor out of reach, where it has no other."""
    room = trial.surface.room
    if room.room.use != "circulation" or width_of(room) > rule.options["no-wider"] + 1e-9:
        return
    if others(trial, tuple(rule.options["kinds"]), {room.id}):
        return
    axis, most = _axis(room), (limit.most or 0.0) - trial.spare
    half = float(axis.length) / 2
    if half < most < 2 * half:
        place = substring(axis, 2 * half - most, most).buffer(room.area, cap_style="flat")
        yield from ban_but(rule, limit, trial, room.outline, room.outline, place)
