"""How far somebody walks through a home before it notices: the first contact or detector, and the weakest way.

Also the entry time that the walk of somebody who lives there needs.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import dist
from typing import Literal

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.paths import Leg, Spot, Walk
from asfitted.reckon.coverage import crossing_angles
from asfitted.reckon.visibility import XY
from asfitted.reckon.working import Input, Step, Working, number

_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Watch:
    """What notices: a contact on an opening, or a detector that covers part of a storey's plan.

    ``waits`` tells that the alarm is held back for the entry time.
    """

    tag: str
    covers: BaseGeometry | None = None
    storey: str = ""
    point: XY | None = None
    opening: str = ""
    waits: bool = False


@dataclass(frozen=True, slots=True)
class Signal:
    """The first thing that notices a walk.

    Attributes:
        at: metres walked until then.
        by: the tag of what notices.
        kind: a contact on an opening, or a detector whose coverage is entered.
        spot: where that is.
        angles: of a detector, the least and greatest angle in degrees between that straight piece of the walk, in its
            coverage, and the line of sight.
        waits: whether the alarm is held back for the entry time.
    """

    at: float
    by: str
    kind: Literal["contact", "detector"]
    spot: Spot
    angles: tuple[float, float] | None = None
    waits: bool = False


@dataclass(frozen=True, slots=True)
class Route:
    """A walk from an opening to something worth reaching, and what notices it first; None when nothing does."""

    opening: str
    goal: str
    walk: Walk
    signal: Signal | None

    @property
    def unseen(self) -> float:
        """Metres walked before anything notices; the whole walk when nothing does."""
        return self.walk.length if self.signal is None else self.signal.at

    @property
    def left(self) -> float:
        """Metres that are still to be walked when something notices; 0 when nothing does."""
        return self.walk.length - self.unseen


def first_signal(walk: Walk, opening: str, storeys: Mapping[str, str], watches: Sequence[Watch]) -> Signal | None:
    """Give what first notices a walk that begins by an opening being opened.

    On stairs nobody is taken to be seen: the body rises or sinks past the beams.

    Args:
        walk: from the opening.
        opening: its id.
        storeys: the storey of each room.
        watches: what notices.
    """
    contacts = {watch.opening: watch for watch in reversed(watches) if watch.opening}
    if (contact := contacts.get(opening)) is not None:
        return Signal(0.0, contact.tag, "contact", walk.start, waits=contact.waits)
    gone = 0.0
    for leg in walk.legs:
        if (contact := contacts.get(leg.passes)) is not None:
            return Signal(gone, contact.tag, "contact", leg.start, waits=contact.waits)
        here = storeys[leg.start[0]]
        if here == storeys[leg.end[0]]:
            found = [entry for watch in watches if watch.storey == here and (entry := _entered(leg, watch, gone))]
            if found:
                return min(found, key=lambda signal: signal.at)
        gone += leg.length
    return None


def _entered(leg: Leg, watch: Watch, gone: float) -> Signal | None:
    """Give where a leg first enters what a detector covers."""
    a, b = leg.start[1], leg.end[1]
    if watch.covers is None or watch.point is None or dist(a, b) < _SLACK:
        return None
    line = LineString([a, b])
    cut = watch.covers.intersection(line)
    if cut.is_empty:
        return None
    parts = [part for part in getattr(cut, "geoms", (cut,)) if part.length > _SLACK]
    if not parts:
        return None
    ways = [sorted(float(line.project(Point(end))) for end in (part.coords[0], part.coords[-1])) for part in parts]
    first, last = min(ways)
    entry, end = _at(a, b, first), _at(a, b, last)
    angles = crossing_angles(watch.point, entry, end)
    return Signal(gone + first, watch.tag, "detector", (leg.start[0], entry), angles, watch.waits)


def _at(a: XY, b: XY, along: float) -> XY:
    share = along / dist(a, b)
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def weakest(routes: Sequence[Route]) -> Route | None:
    """Give the route on which one gets furthest unnoticed: first one that nothing notices, then the most metres."""
    return max(routes, key=lambda route: (route.signal is None, route.unseen), default=None)


def working(route: Route, called: str, inputs: Mapping[str, Input]) -> Working:
    """Give the seconds that pass before a walk is noticed, with the working.

    Args:
        route: the walk and what notices it.
        called: what it is about, for the title.
        inputs: ``d`` metres before the contact opens or the coverage is entered, ``v`` the speed; where a detector
            notices, ``n`` the steps in its view until it has signalled, and ``l`` the length of a step.
    """
    d, v = inputs["d"].value, inputs["v"].value
    if route.signal is None:
        far = Step("D", "walked unnoticed, all the way", "d", number(d, 2), d, "m")
    elif route.signal.kind == "contact":
        far = Step("D", f"walked until {route.signal.by} signals", "d", number(d, 2), d, "m")
    else:
        n, pace = inputs["n"].value, inputs["l"].value
        whole = min(d + n * pace, route.walk.length)
        figures = f"min({number(d, 2)} + {number(n)} · {number(pace)}, {number(route.walk.length, 2)})"
        far = Step("D", f"walked until {route.signal.by} has signalled", "min(d + n l, L)", figures, whole, "m")
    steps = (
        far,
        Step("t", "time before it is noticed", "D / v", f"{number(far.value, 2)} / {number(v)}", far.value / v, "s"),
    )
    caveats = (
        "The shortest walk through doors; furniture is not walked round.",
        "Somebody who knows where the detectors look may go another way.",
        "Doors are taken as shut until they are opened, and on stairs nobody is taken to be seen.",
        "Breaking glass is not counted as noticed, whatever listens for it.",
    )
    return Working(f"Undetected walk, {called}", tuple(inputs.values()), steps, caveats)


def entry_time(inputs: Mapping[str, Input], called: str = "") -> Working:
    """Give the entry time that suits a walk from the entry door to the keypad, with the working.

    ``t = f (d / v + t_c)`` (common practice, no source).

    Args:
        inputs: ``d`` metres of the walk, ``v`` the speed, ``t_c`` seconds for the code, ``f`` how much longer than that
            it is set.
        called: the door and the keypad, for the title.
    """
    d, v, code, more = (inputs[symbol].value for symbol in ("d", "v", "t_c", "f"))
    walked, needed = d / v, d / v + code
    steps = (
        Step("t_w", "walk to the keypad", "d / v", f"{number(d, 2)} / {number(v)}", walked, "s"),
        Step("t_n", "needed", "t_w + t_c", f"{number(walked, 2)} + {number(code)}", needed, "s"),
        Step("t", "entry time that suits", "f t_n", f"{number(more)} · {number(needed, 2)}", more * needed, "s"),
    )
    caveats = (
        "The rule set limits the entry time; where this is longer, the keypad has to come nearer the door.",
        "Time for the household is time for an intruder too.",
    )
    title = f"Entry time, {called}" if called else "Entry time"
    return Working(title, tuple(inputs.values()), steps, caveats)
