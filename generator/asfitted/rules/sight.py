"""What a detector sees of an opening from its place: straight lines within the room."""

from math import cos, radians

from shapely import LineString, Polygon

from asfitted.dwelling.shapes import XY, PlacedOpening, bearing

_SAMPLES = 40
"""Points along a pane at which sight is tried, from end to end."""
_WIDEST_TURN = 45
"""Degrees by which a detector may be turned from straight into the room before it looks at its own wall."""


def seen_points(point: XY, pane: PlacedOpening, outline: Polygon, edge_on: float) -> list[XY]:
    """Give the points of a pane that a detector sees past the walls of its room and not too flat.

    Args:
        point: where the detector is, metres on the plan.
        pane: the opening.
        outline: the room.
        edge_on: degrees from straight through the pane beyond which it is seen too flat to count.
    """
    if pane.wall is None:
        return []
    inside = outline.buffer(0.005)
    (ax, ay), (bx, by) = pane.a, pane.b
    seen = []
    for step in range(_SAMPLES + 1):
        share = step / _SAMPLES
        target = ax + (bx - ax) * share, ay + (by - ay) * share
        dx, dy = target[0] - point[0], target[1] - point[1]
        length = (dx * dx + dy * dy) ** 0.5
        if length < 0.01:
            continue
        through = (dx * pane.wall.outward[0] + dy * pane.wall.outward[1]) / length
        if through > cos(radians(edge_on)) and inside.covers(LineString([point, target])):
            seen.append(target)
    return seen


def off_axis(point: XY, facing: float, target: XY) -> float:
    """Give the angle in degrees, from 0 to 180, between a bearing and the direction of a target."""
    turn = bearing(target[0] - point[0], target[1] - point[1]) - facing
    return abs((turn + 180.0) % 360.0 - 180.0)


def clearing_turn(point: XY, facing: float, into: float, targets: list[XY], least: float) -> float | None:
    """Give the smallest turn on the spot, in whole degrees clockwise, that keeps every target at an angle.

    Args:
        point: where it is, metres on the plan.
        facing: the bearing it looks at now.
        into: the bearing straight into the room; a turn of more than 45 degrees from it is none.
        targets: what must lie at an angle of ``least`` degrees or more from the way it looks.
        least: that angle.

    Returns:
        The turn, or None when no turn will do.
    """
    for turn in sorted(range(-180, 181), key=abs):
        straight = abs((facing + turn - into + 180.0) % 360.0 - 180.0)
        if straight <= _WIDEST_TURN and all(off_axis(point, facing + turn, target) >= least for target in targets):
            return float(turn)
    return None
