"""Distances from the top of a sloping ceiling, in the three ways in which people measure them."""

from math import hypot
from typing import Literal, get_args

Reading = Literal["vertical", "horizontal", "slope"]
"""Straight down, level on the plan, or along the ceiling."""
READINGS: tuple[Reading, ...] = get_args(Reading)


def stretch(gradient: float, reading: Reading) -> float:
    """Give how many metres of a reading there are in one metre on the plan.

    A slope of gradient g falls g metres in a metre on the plan and is the root of 1 + g² metres long there
    (Pythagoras).

    Args:
        gradient: metres of fall in a metre on the plan.
        reading: the way in which the distance is taken.
    """
    return {"vertical": gradient, "horizontal": 1.0, "slope": hypot(1.0, gradient)}[reading]


def from_top(run: float, gradient: float) -> dict[Reading, float]:
    """Give the distance from the top of a slope in all three readings, in metres.

    Args:
        run: level distance from the top, in metres.
        gradient: metres of fall in a metre on the plan.
    """
    return {reading: run * stretch(gradient, reading) for reading in READINGS}
