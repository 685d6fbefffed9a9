"""How far a hinged leaf is open when its contact signals."""

from math import asin, degrees, hypot


def opening_at_lock_edge(width: float, gap: float, parts_at: float, from_hinge: float) -> float:
    """Give the opening at the lock edge of a hinged leaf at which its contact signals.

    The leaf turns as a whole, so the way of each of its points is as its distance from the hinge (similar triangles):
    ``s = width * (parts_at - gap) / from_hinge``.

    Args:
        width: of the leaf, from hinge to lock edge; any unit of length, the same for all.
        gap: between sensor and magnet with the leaf closed.
        parts_at: between sensor and magnet when it signals.
        from_hinge: along the leaf, from the hinge to the contact.

    Raises:
        ValueError: when the contact sits on the hinge itself.
    """
    if from_hinge <= 0:
        raise ValueError("a contact on the hinge itself never parts")
    return width * (parts_at - gap) / from_hinge


def turned(gap: float, parts_at: float, from_hinge: float) -> float:
    """Give the degrees by which the leaf has turned when its contact signals (chord of a circle round the hinge)."""
    return degrees(2 * asin((parts_at - gap) / (2 * from_hinge)))


def spread_at_lock_edge(width: float, from_hinge: float, spread: float) -> float:
    """Give by how much the computed opening may be out, each of the two distances being out by ``spread``."""
    return width / from_hinge * hypot(spread, spread)
