"""How many homes to draw for an audit, how to spread them over strata, and which: numbers and names only.

Chances are those of drawing without putting back from a finite population, the hypergeometric distribution, in whole
numbers throughout: W. G. Cochran, Sampling Techniques, 3rd edition 1977, sections 3.2 and 5.8 (from memory).
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from hashlib import sha256
from heapq import heapify, heapreplace
from math import comb


def chance_of_at_most(found: int, drawn: int, faulty: int, homes: int) -> Fraction:
    """Give the chance that at most so many of the homes drawn are faulty.

    The sum over k from 0 to ``found`` of C(faulty, k) C(homes - faulty, drawn - k) / C(homes, drawn).

    Args:
        found: the most faulty homes among those drawn.
        drawn: how many are drawn, all alike and none twice.
        faulty: how many of all homes are faulty.
        homes: how many there are.
    """
    ways = sum(comb(faulty, k) * comb(homes - faulty, drawn - k) for k in range(min(found, drawn) + 1))
    return Fraction(ways, comb(homes, drawn))


def size_for(homes: int, faulty: int, confidence: Fraction, accept: int = 0) -> int:
    """Give the fewest homes to draw so that many faulty ones do not go unseen.

    If at least ``faulty`` of the homes are, then the chance that at most ``accept`` of those drawn are is no more than
    1 - confidence.

    Raises:
        ValueError: when no sample can tell, since as many as ``faulty`` are accepted, or there are not so many homes.
    """
    if not 0 <= accept < faulty <= homes:
        raise ValueError("the faulty homes to be told must be more than are accepted, and no more than there are")
    least, most = accept + 1, homes  # the chance falls as more are drawn; of all homes drawn all faulty ones are
    while least < most:
        middle = (least + most) // 2
        if chance_of_at_most(accept, middle, faulty, homes) <= 1 - confidence:
            most = middle
        else:
            least = middle + 1
    return least


def most_faulty(homes: int, drawn: int, found: int, confidence: Fraction) -> int:
    """Give the exact one-sided upper bound on the faulty homes, after so many were found among those drawn.

    It is the largest number of which the chance to find so few is still above 1 - confidence.
    """
    least, most = found, homes - (drawn - found)  # the chance falls as more are faulty
    while least < most:
        middle = (least + most + 1) // 2
        if chance_of_at_most(found, drawn, middle, homes) > 1 - confidence:
            least = middle
        else:
            most = middle - 1
    return least


def chance_unseen(strata: Iterable[tuple[int, int]], faulty: int) -> Fraction:
    """Give the chance that none of the homes drawn is faulty, with the faulty ones where they are hardest to find.

    In a stratum with f faulty of N homes, n of them drawn, each next faulty home lowers the chance by the factor
    (N - f - n) / (N - f). The factors of a stratum only fall, so that taking the largest of all one after another
    gives the largest product.

    Args:
        strata: how many homes each has, and how many of them are drawn.
        faulty: how many of all homes are faulty.
    """
    factors = [(-Fraction(homes - drawn, homes), homes, drawn) for homes, drawn in strata if homes]
    heapify(factors)
    above = below = 1
    for _ in range(faulty):
        factor, homes, drawn = factors[0]
        if not factor:
            return Fraction(0)
        above, below = above * (homes - drawn), below * homes
        following = Fraction(homes - 1 - drawn, homes - 1) if homes > 1 else Fraction(0)
        heapreplace(factors, (-following, homes - 1, drawn))
    return Fraction(above, below)


def most_unseen(strata: Sequence[tuple[int, int]], confidence: Fraction) -> int:
    """Give the upper bound on the faulty homes after none was found, wherever they are; see :func:`chance_unseen`."""
    least, most = 0, sum(homes - drawn for homes, drawn in strata)
    while least < most:
        middle = (least + most + 1) // 2
        if chance_unseen(strata, middle) > 1 - confidence:
            least = middle
        else:
            most = middle - 1
    return least


def in_proportion(homes: Sequence[int], size: int) -> list[int]:
    """Spread a sample over strata by their share of the homes, by the largest remainder, at least one home each.

    A stratum gets its share rounded down, or one. What is left goes to the strata furthest below their share; what was
    given too much is taken from those furthest above it that have more than one. Of equals the larger comes first, then
    the earlier.

    Args:
        homes: how many each stratum has, in an order of its own; none is empty.
        size: how many to draw; no fewer than there are strata, no more than there are homes.
    """
    total = sum(homes)
    _possible(homes, size)
    given = [max(1, size * count // total) for count in homes]
    owed = [Fraction(size * count, total) for count in homes]
    while (left := size - sum(given)) != 0:
        if left > 0:
            at = max(range(len(homes)), key=lambda i: (owed[i] - given[i], homes[i], -i))
            given[at] += 1
        else:
            several = [i for i, count in enumerate(given) if count > 1]
            at = max(several, key=lambda i: (given[i] - owed[i], homes[i], -i))
            given[at] -= 1
    return given


def equally(homes: Sequence[int], size: int) -> list[int]:
    """Spread a sample over strata one home at a time, the larger strata first, until it is spent.

    Args:
        homes: how many each stratum has, in an order of its own; none is empty.
        size: how many to draw; no fewer than there are strata, no more than there are homes.
    """
    _possible(homes, size)
    given = [0] * len(homes)
    order = sorted(range(len(homes)), key=lambda i: (-homes[i], i))
    left = size
    while left:
        for at in order:
            if given[at] < homes[at] and left:
                given[at], left = given[at] + 1, left - 1
    return given


def _possible(homes: Sequence[int], size: int) -> None:
    if not len(homes) <= size <= sum(homes):
        raise ValueError("a sample has at least one home of each stratum, and no more than there are")


def place_of(seed: str, home: str) -> str:
    """Give a home's place in the order of drawing: the SHA-256 of ``SEED/HOME`` in UTF-8, in hexadecimal.

    It hangs on nothing else, so that no other home can change it and any tool can repeat it.
    """
    return sha256(f"{seed}/{home}".encode("utf-8", "surrogateescape")).hexdigest()


def in_order(seed: str, homes: Iterable[str]) -> list[str]:
    """Give homes in the order of drawing: the smallest SHA-256 first. The first so many of a stratum are drawn."""
    return sorted(homes, key=lambda home: (place_of(seed, home), home))
