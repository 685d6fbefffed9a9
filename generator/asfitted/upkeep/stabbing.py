"""The fewest days that meet every window: interval stabbing, and its rolling kind.

Fixed windows. The textbook rule is optimal: wait until the first window is about to close, come on that day, cross out
every window open on it, go on (Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms, chapter on greedy
algorithms, exercise on covering points with unit intervals; Kleinberg and Tardos, Algorithm Design, chapter 4, interval
scheduling: the windows that force a day never overlap, so no plan has fewer days. Both from memory).

Rolling windows. A duty done on a day opens its next window by that day, not by the day it was due: done early, it comes
again earlier. The textbook rule then gives a plan that meets every window, but not always the fewest days: coming a
little sooner can bring the next windows of two duties together. What is proven here:

1. :func:`at_least` is a lower bound. Widen every window after the first so that it is open at once, and let a duty
   that is open on a day be done or left, whichever gives it the later end. Then coming later is never worse: whatever
   was open on the earlier day still is, since nothing has closed in between, and every end lies later or where it was.
   So the textbook rule is optimal for the widened windows, and widening can only save days.
2. Where the plan of the rule has no more days than the bound, it is the fewest. Otherwise fewer are looked for: first
   on the days that let one duty be open again when another must be done, which is quick and finds most of what there is
   to find; then on all days, cut short by the bound, which proves. After ``tries`` days looked at the proof is given
   up, and what is known is the number below which no plan can be.

Which visit of a given plan does a duty does not matter to the other duties, so a state keeps, for every duty, all
windows that may be open to it next, one for each day on which it may have been done last.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass

Window = tuple[int, int]
"""First and last day, both counting, as ordinals."""
TRIES = 1000
"""Days a search looks at before it gives up; most homes need none, and nearly all fewer."""


@dataclass(frozen=True, eq=False)
class Duty:
    """Something to be done in a window, and again in the window that ``after`` gives for the day it was done.

    Both ends of what ``after`` gives rise with the day, and it lies wholly behind that day. None where it comes once.
    """

    first: Window
    after: Callable[[int], Window] | None = None


@dataclass(frozen=True)
class Days:
    """The fewest days found, and the number below which no plan can be. The two agree where the plan is proven."""

    days: tuple[int, ...]
    least: int

    @property
    def proven(self) -> bool:
        """Whether no plan has fewer days."""
        return len(self.days) == self.least


State = tuple[frozenset[Window], ...]
"""For every duty the windows in one of which it is to be done next; none where it is done with."""


def fewest(duties: Sequence[Duty], until: int, tries: int = TRIES) -> Days:
    """Give the fewest days on which every window that closes by ``until`` is met, as late as they can be.

    Args:
        duties: what is to be done.
        until: the last day of the plan; a window that closes later need not be met.
        tries: days that the search may look at where the rule does not reach the bound.
    """
    state, least = start(duties), at_least(duties, start(duties), until)
    days = completed(duties, state, until)
    for number in range(least, len(days)):
        if found := _Search(duties, until, tries, meeting=True).within(state, number, _begin(duties)):
            days = found
            break
    search = _Search(duties, until, tries)
    while least < len(days):
        found = search.within(state, least, _begin(duties))
        if found is None and search.gave_up:
            return Days(days, least)
        if found is not None:
            return Days(found, least)
        least += 1
    return Days(days, least)


def _begin(duties: Sequence[Duty]) -> int:
    return min((duty.first[0] for duty in duties), default=0)


def start(duties: Sequence[Duty]) -> State:
    """Give the state before the first day."""
    return tuple(frozenset([duty.first]) for duty in duties)


def deadline(state: State) -> int | None:
    """Give the last day on which the next visit can be in time for everything; None where nothing is left."""
    return min((max(close for _, close in windows) for windows in state if windows), default=None)


def on_day(duties: Sequence[Duty], state: State, day: int) -> State:
    """Give the state after a visit on a day that is no later than the deadline."""
    return tuple(_next(duty, windows, day) for duty, windows in zip(duties, state, strict=True))


def _next(duty: Duty, windows: frozenset[Window], day: int) -> frozenset[Window]:
    done = any(opens <= day <= closes for opens, closes in windows)
    if done and duty.after is None:
        return frozenset()
    left = frozenset(window for window in windows if window[1] > day)
    return left | {duty.after(day)} if done and duty.after else left


def completed(duties: Sequence[Duty], state: State, until: int) -> tuple[int, ...]:
    """Give the days of the textbook rule from a state on: each as late as the next window to close allows."""
    days = []
    while (day := deadline(state)) is not None and day <= until:
        days.append(day)
        state = on_day(duties, state, day)
    return tuple(days)


def at_least(duties: Sequence[Duty], state: State, until: int) -> int:
    """Give a number of further days below which no plan can be; see the module."""
    count = 0
    opens = [min((first for first, _ in windows), default=None) for windows in state]
    closes = [max((last for _, last in windows), default=None) for windows in state]
    while (day := min((last for last in closes if last is not None), default=None)) is not None and day <= until:
        count += 1
        for i, duty in enumerate(duties):
            first, last = opens[i], closes[i]
            if first is not None and last is not None and first <= day:
                closes[i] = max(duty.after(day)[1], last if last > day else 0) if duty.after else None
                opens[i] = day
    return count


class _Search:
    """Looks for a plan of a given number of days, and remembers what led nowhere.

    Over all days, or, where ``meeting``, only over the deadline and the last days on which to do a duty if it is to be
    open again when another must be done: quickly through, but no proof.
    """

    def __init__(self, duties: Sequence[Duty], until: int, tries: int, *, meeting: bool = False) -> None:
        self.duties, self.until, self.left, self.meeting = duties, until, tries, meeting
        self.nowhere: set[tuple[State, int, int]] = set()

    @property
    def gave_up(self) -> bool:
        """Whether it has looked at as many days as it may."""
        return self.left <= 0

    def within(self, state: State, number: int, begin: int) -> tuple[int, ...] | None:
        """Give the days of a plan of at most that many, none before ``begin``; or None."""
        last = deadline(state)
        if last is None or last > self.until:
            return ()
        if number == 0 or (state, number, begin) in self.nowhere:
            return None
        for day in self._meetings(state, begin, last) if self.meeting else range(last, begin - 1, -1):
            if self.gave_up:
                return None
            self.left -= 1
            after = on_day(self.duties, state, day)
            if at_least(self.duties, after, self.until) >= number:
                continue
            if (rest := self.within(after, number - 1, day + 1)) is not None:
                return (day, *rest)
        if not self.gave_up:
            self.nowhere.add((state, number, begin))
        return None

    def _meetings(self, state: State, begin: int, last: int) -> list[int]:
        found = {last}
        ends = {closes for windows in state for _, closes in windows if closes > last}
        for after in (duty.after for duty in self.duties if duty.after):
            opens = [after(day)[0] for day in range(begin, last)]
            for end in ends | {after(last)[1]}:
                if (number := bisect_right(opens, end)) > 0:
                    found.add(begin + number - 1)
        return sorted(found, reverse=True)


def chosen(duty: Duty, days: Sequence[int], until: int, *, soon: bool = False) -> tuple[int, ...]:
    """Give the days of a plan on which a duty is done: the fewest, and of those each as late as it can be.

    Args:
        duty: what is to be done.
        days: of the plan, in order; they meet every window of the duty.
        until: the last day of the plan.
        soon: whether it is done as soon as it can be instead.
    """
    known: dict[Window, tuple[int, ...] | None] = {}

    def best(window: Window) -> tuple[int, ...] | None:
        if window[1] > until:
            return ()
        if window not in known:
            ways = [
                (day, *rest)
                for day in days
                if window[0] <= day <= window[1] and (rest := best(duty.after(day)) if duty.after else ()) is not None
            ]
            sign = 1 if soon else -1
            known[window] = min(ways, key=lambda way: (len(way), [sign * day for day in way]), default=None)
        return known[window]

    return best(duty.first) or ()
