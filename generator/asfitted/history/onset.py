"""The revision at which something began to fail, found with few judgements."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

PROBES = 8
"""Revisions judged on top, spread over the rest, to notice a verdict that turned more than once."""


@dataclass(frozen=True, slots=True)
class Onset:
    """Where a run of failures that lasts to the end began.

    Attributes:
        first: the first failing one of the run; None where the last does not fail.
        before: the last one before that which does not fail; None where all earlier ones fail or cannot be judged.
        judged: how many were judged.
        turns: where the verdict turned, if it turned more than once: the first of every further run.
    """

    first: int | None
    before: int | None
    judged: int
    turns: tuple[int, ...] = ()


def onset(count: int, fails: Callable[[int], bool | None]) -> Onset:
    """Find where the run of failures that lasts to the end began.

    Bisection is right if the verdict turned once. Some more are judged to see whether it did; where they say otherwise,
    all are judged, one after another.

    Args:
        count: how many there are, oldest first.
        fails: whether one fails; None where it cannot be judged.
    """
    known: dict[int, bool | None] = {}

    def ask(index: int) -> bool | None:
        if index not in known:
            known[index] = fails(index)
        return known[index]

    if count == 0 or ask(count - 1) is not True:
        return Onset(None, None, _judged(known))
    low, high = _halve(count, ask)
    if _turned_once(count, low, high, ask):
        return Onset(high, low, _judged(known))
    return _one_by_one(count, ask, known)


def _judged(known: dict[int, bool | None]) -> int:
    return sum(verdict is not None for verdict in known.values())


def _halve(count: int, ask: Callable[[int], bool | None]) -> tuple[int | None, int]:
    low, high = -1, count - 1
    first = next((index for index in range(count) if ask(index) is not None), count - 1)
    if ask(first) is False:
        low = first
    else:
        return None, first
    while high - low > 1:
        middle = (low + high) // 2
        order = [*range(middle, high), *range(middle - 1, low, -1)]
        usable = next((index for index in order if ask(index) is not None), None)
        if usable is None:
            break
        if ask(usable):
            high = usable
        else:
            low = usable
    return low, high


def _turned_once(count: int, low: int | None, high: int, ask: Callable[[int], bool | None]) -> bool:
    """Judge some more on either side; none of them may say otherwise."""
    later = _spread(high + 1, count - 1, PROBES // 2 if low is not None else PROBES)
    earlier = _spread(0, low, PROBES // 2) if low is not None else []
    return all(ask(i) is not False for i in later) and all(ask(i) is not True for i in earlier)


def _spread(start: int, stop: int, most: int) -> list[int]:
    """Give up to so many numbers from ``start`` up to ``stop``, which is left out."""
    size = max(stop - start, 0)
    if size <= most:
        return list(range(start, stop))
    return [start + (2 * i + 1) * size // (2 * most) for i in range(most)]


def _one_by_one(count: int, ask: Callable[[int], bool | None], known: dict[int, bool | None]) -> Onset:
    verdicts = [(index, verdict) for index in range(count) if (verdict := ask(index)) is not None]
    turns = [index for (_, earlier), (index, verdict) in pairwise(verdicts) if verdict is not earlier]
    first = turns[-1] if turns else verdicts[0][0]
    before = max((index for index, verdict in verdicts if index < first and not verdict), default=None)
    return Onset(first, before, _judged(known), tuple(turns))
