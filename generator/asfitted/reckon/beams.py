"""What a motion detector reaches from where it hangs: plain geometry on the plan and down to the floor."""

from collections.abc import Sequence
from math import acos, degrees, dist, hypot, radians, tan

XY = tuple[float, float]


def hole_radius(height: float, looks_down: float) -> float:
    """Give the radius of the circle on the floor under a detector that its steepest beam leaves out.

    ``r = height / tan(looks_down)``, from the right triangle of detector, foot and where the beam meets the floor.

    Args:
        height: above the floor; any unit of length, the result is in the same.
        looks_down: degrees below level of its steepest beam, more than 0; 90 looks straight down.

    Raises:
        ValueError: for a beam that never meets the floor.
    """
    if not 0 < looks_down <= 90:
        raise ValueError("a beam that does not look down never meets the floor")
    return 0.0 if looks_down == 90 else height / tan(radians(looks_down))


def angle_needed(height: float, radius: float) -> float:
    """Give the degrees below level at which the steepest beam must look for the hole to have a radius."""
    return 90.0 if radius == 0 else degrees(acos(radius / hypot(height, radius)))


def farthest(point: XY, corners: Sequence[XY]) -> float:
    """Give the distance from a point to the farthest of some corners."""
    return max(dist(point, corner) for corner in corners)


def from_straight_at(detector: XY, entered: XY, way: XY) -> float:
    """Give the angle between walking a way and walking straight at a detector, from 0 to 180 degrees.

    Args:
        detector: where it hangs on the plan.
        entered: where the walk begins.
        way: the direction of the walk, a unit vector.
    """
    dx, dy = detector[0] - entered[0], detector[1] - entered[1]
    length = hypot(dx, dy)
    if length == 0:
        return 0.0
    return degrees(acos(max(-1.0, min(1.0, (dx * way[0] + dy * way[1]) / length))))
