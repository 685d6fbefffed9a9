"""Where a control unit or a further repeater would help the weakest radio link of a home most.

Everything here is predicted: what a reading at the old place said does not hold at a new one.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely import contains_xy

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.home import Home
from asfitted.reckon.crossings import USUAL_HEIGHT, End, crossings
from asfitted.reckon.link import margin, wall_loss
from asfitted.reckon.of_radio import Radio, of_kind
from asfitted.reckon.radio import dbm

GRID = 1.0
"""Metres between the places tried: a prediction is not finer than that."""
FROM_WALL = 0.30
"""Metres from a wall to the nearest place tried."""
WORTH = 1.0
"""Decibels that a move must gain to be proposed (common practice, no source)."""
WET = frozenset({"bathroom", "toilet", "void"})
"""Uses of rooms where no mains device is proposed (common practice, no source)."""

What = Literal["control unit", "repeater"]


@dataclass(frozen=True, slots=True)
class Move:
    """A place that helps: what to set where, and the predicted margin of the weakest link before and after.

    ``room`` and ``point`` are where; ``weakest`` is the device whose link is then the weakest.
    """

    what: What
    room: str
    point: tuple[float, float]
    before: float
    after: float
    weakest: str

    @property
    def gain(self) -> float:
        """Decibels gained."""
        return self.after - self.before


def places(dwelling: Dwelling) -> Iterator[tuple[str, End]]:
    """Give the places tried: a coarse grid over every room where a mains device may hang, at the usual height."""
    for storey in dwelling.storeys:
        for room in storey.rooms:
            if room.room.use in WET:
                continue
            inner = room.outline.buffer(-FROM_WALL, join_style="mitre")
            if inner.is_empty:
                continue
            west, south, east, north = inner.bounds
            xs, ys = (_spread(low, high) for low, high in ((west, east), (south, north)))
            for x, y in ((x, y) for y in ys for x in xs):
                if contains_xy(inner, x, y):
                    yield room.id, End(x, y, storey.level + USUAL_HEIGHT)


def _spread(low: float, high: float) -> list[float]:
    """Spread places evenly over a stretch, about a grid's width apart and half of one from its ends."""
    count = max(round((high - low) / GRID), 1)
    return [round(low + (high - low) * (i + 0.5) / count, 2) for i in range(count)]


def best_move(home: Home, dwelling: Dwelling, radio: Radio, what: What) -> Move | None:
    """Find the place of the control unit, or of one more repeater, that leaves the weakest link strongest.

    Returns:
        The move; None when no place gains a decibel, or nothing goes to the control unit.
    """
    ends = _ends(radio)
    units, relays = of_kind(home, ends, "control unit"), of_kind(home, ends, "repeater")
    devices = [link for link in radio.links if link.to in units or link.to in relays]
    if not devices or len(units) != 1:
        return None
    shared = {symbol: given.value for symbol, given in devices[0].inputs.items()}

    def strength(one: End, other: End) -> float:
        crossed = crossings(dwelling, one, other)
        walls = [wall_loss(each, shared["f"]).counted for each in crossed if each.group != "floor"]
        floors = len(crossed) - len(walls)
        return margin(one.distance(other), shared["f"], dbm(shared["P"]), shared["S"], shared["G"], sum(walls), floors)

    unit = ends[units[0]]
    tags = [link.tag for link in sorted(devices, key=lambda link: link.predicted)]
    straight = {tag: strength(ends[tag], unit) for tag in tags}
    to_relay = {(tag, relay): strength(ends[tag], ends[relay]) for tag in tags for relay in relays if tag not in relays}
    now = {tag: _best(tag, straight[tag], relays, to_relay, straight) for tag in tags}
    before = min(now.values())
    best: Move | None = None
    for room, place in places(dwelling):
        floor = before + WORTH if best is None else best.after
        hub = strength(place, unit) if what == "repeater" else 0.0
        if what == "repeater" and hub <= floor:
            continue
        after, weakest = float("inf"), ""
        relayed = {relay: strength(ends[relay], place) for relay in relays} if what == "control unit" else {}
        for tag in tags:
            there = strength(ends[tag], place)
            value = max(now[tag], min(there, hub))
            if what == "control unit":
                value = _best(tag, there, relays, to_relay, relayed)
            if value < after:
                after, weakest = value, tag
            if after <= floor:
                break
        if after > floor:
            best = Move(what, room, (place.x, place.y), before, after, weakest)
    return best


def _best(
    tag: str,
    straight: float,
    relays: Sequence[str],
    to_relay: Mapping[tuple[str, str], float],
    onward: Mapping[str, float],
) -> float:
    """Give the margin of the weaker hop of a device's best way: straight, or over a repeater."""
    over = [
        min(to_relay[tag, relay], onward[relay]) for relay in relays if (tag, relay) in to_relay and relay in onward
    ]
    return max([straight, *over])


def _ends(radio: Radio) -> dict[str, End]:
    found: dict[str, End] = {}
    for link in radio.links:
        found[link.tag], found[link.to] = link.ends
    return found
