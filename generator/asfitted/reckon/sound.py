"""How loud an alarm is at a distance: the free-field law with what doors take off."""

from math import log10


def level_at(output: float, given_at: float, distance: float, losses: float = 0.0) -> float:
    """Give the sound level at a distance from a small source, in dB(A).

    L = L0 - 20 log10(d / d0) - losses: spherical spreading, 6 dB for each doubling of the distance (ISO 9613-2:1996,
    7.1, without its other terms). Rooms throw sound back, so within one room it comes out too low; round corners and
    along halls, too high. Nearer than ``given_at`` it goes up in the same way.

    Args:
        output: the level the source gives, dB(A).
        given_at: the distance for which that is given, metres.
        distance: metres from the source.
        losses: what doors on the way take off together, dB.

    Raises:
        ValueError: for a distance that is not positive.
    """
    if distance <= 0 or given_at <= 0:
        raise ValueError("a sound level needs a distance of more than nothing")
    return output - 20 * log10(distance / given_at) - losses
