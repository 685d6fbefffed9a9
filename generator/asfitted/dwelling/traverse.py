"""A room walked wall by wall: a closed traverse, its error of closure, and the compass rule."""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

from asfitted.dwelling.shapes import XY, Closing


def close_traverse(start: XY, legs: Sequence[tuple[float, float]]) -> tuple[list[XY], Closing]:
    """Walk legs from a corner and spread the error of closure over them.

    The compass rule (Bowditch 1808; any surveying handbook, "adjustment of a closed traverse") shifts the end
    of each leg by the error times the share of the whole length walked so far.

    Args:
        start: the first corner, metres.
        legs: bearing in degrees clockwise from plan north, and length in metres, of each wall in order.

    Returns:
        The adjusted corners, one a leg, the first being ``start``; and the closing error before adjustment.
    """
    steps = [(length * sin(radians(way)), length * cos(radians(way)), length) for way, length in legs]
    return close_departures(start, steps)


def close_departures(start: XY, steps: Sequence[tuple[float, float, float]]) -> tuple[list[XY], Closing]:
    """Close a traverse given as departures: metres east, metres north and length of each leg.

    At least one leg must be longer than nothing.
    """
    total = sum(length for _, _, length in steps)
    error_x, error_y = sum(east for east, _, _ in steps), sum(north for _, north, _ in steps)
    corners = [start]
    for east, north, length in steps[:-1]:
        share = length / total
        x, y = corners[-1]
        corners.append((x + east - error_x * share, y + north - error_y * share))
    return corners, Closing(hypot(error_x, error_y), total)


def turns_left(corners: Sequence[XY]) -> bool:
    """Tell whether the corners run anticlockwise (twice the signed area is positive)."""
    closed = [*corners, corners[0]]
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise(closed)) > 0
