"""The order of a history: a commit above everything it was made from, whatever the clocks said."""

import heapq
from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from typing import TypeVar

_Node = TypeVar("_Node", bound=Hashable)


def children_first(parents: Mapping[_Node, Sequence[_Node]], when: Mapping[_Node, int]) -> Iterator[_Node]:
    """Give every commit before its parents; of those that could come next, the latest, as ``git log --date-order``.

    Args:
        parents: those of every commit; each is a key as well.
        when: the time of every commit.
    """
    waiting = Counter(parent for those in parents.values() for parent in dict.fromkeys(those))
    ready = [(-when[node], number, node) for number, node in enumerate(parents) if not waiting[node]]
    heapq.heapify(ready)
    number = len(parents)
    while ready:
        *_, node = heapq.heappop(ready)
        yield node
        for parent in dict.fromkeys(parents[node]):
            waiting[parent] -= 1
            if not waiting[parent]:
                number += 1
                heapq.heappush(ready, (-when[parent], number, parent))
