"""Which entries of a folder differ between two commits, read from the bytes of git's own listing of the folder.

A listing is one entry after another: its mode, a space, its name, a zero, the bytes of its id (``git help
format-pack``, and the pages on git's objects). To take it apart whole for each of many commits takes most of the time
of a walk, so only the stretch in which two listings differ is taken apart.
"""

import os
import re
from functools import lru_cache

_WIDE = 7 + 255 + 1 + 32
"""Bytes of the longest entry: mode and space, a name as long as file systems allow, zero, id."""
_MODES = rb"(40000|100644|100755|120000|160000) ([^\0]+)\0"


Ids = tuple[bytes | None, bytes | None]
"""The id of a folder in one listing and in the other; None where there is none of that name."""


def differing(before: bytes, after: bytes, size: int) -> dict[str, Ids]:
    """Give the entries that two listings of a folder do not share, by name.

    Args:
        before: one listing.
        after: the other.
        size: bytes of an id.
    """
    start = _shared(before, after)
    longest = min(len(before), len(after)) - start
    end = _shared_at_end(before, after, longest)
    low = max(start - _WIDE, 0)
    a = _entries(before[low : len(before) - end + _WIDE], size)
    b = _entries(after[low : len(after) - end + _WIDE], size)
    names = [name for name in {**a, **b} if a.get(name) != b.get(name)]
    return {os.fsdecode(name): (_folder(a.get(name)), _folder(b.get(name))) for name in names}


def _folder(entry: tuple[bytes, bytes] | None) -> bytes | None:
    return entry[1] if entry and entry[0] == b"40000" else None


def _shared(a: bytes, b: bytes) -> int:
    """Give how many bytes two texts begin with in common, by halving: comparing is far quicker than counting."""
    low, high = 0, min(len(a), len(b))
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if a[low:middle] == b[low:middle] else (low, middle - 1)
    return low


def _shared_at_end(a: bytes, b: bytes, most: int) -> int:
    """Give how many bytes two texts end with in common, up to so many."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        same = a[len(a) - middle : len(a) - low] == b[len(b) - middle : len(b) - low]
        low, high = (middle, high) if same else (low, middle - 1)
    return low


def _entries(part: bytes, size: int) -> dict[bytes, tuple[bytes, bytes]]:
    """Give mode and id of every entry that lies in part of a listing, by name."""
    return {found[2]: (found[1], found[3]) for found in _pattern(size).finditer(part)}


@lru_cache(maxsize=2)
def _pattern(size: int) -> re.Pattern[bytes]:
    return re.compile(_MODES + rb"(.{%d})" % size, re.DOTALL)
