"""The radio links of a home: from each wire-free device to the control unit, the best repeater, or a linked alarm."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from statistics import median
from typing import cast

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing, tests_of
from asfitted.reckon.crossings import End, crossings, end_of
from asfitted.reckon.link import WallLoss, budget, cross_checks, margin, wall_loss
from asfitted.reckon.radio import CrossCheck, dbm, figures
from asfitted.reckon.working import Input, Known, Working, number

WALLS_SPREAD = 0.25
"""Share by which what the walls cost may be out, for the sensitivity of the result (common practice, no source)."""


@dataclass(frozen=True)
class Link:
    """One radio link, predicted and, where a visit measured it, measured.

    Attributes:
        tag: the device.
        to: the control unit, repeater or linked alarm that hears it.
        ends: both ends of the straight path.
        floors: floors crossed.
        walls: what else is crossed, and what it costs.
        inputs: of the budget, by symbol.
        measured: the margin in dB, and the day it was measured; None without a reading.
    """

    tag: str
    to: str
    ends: tuple[End, End]
    floors: int
    walls: tuple[WallLoss, ...]
    inputs: Mapping[str, Input]
    measured: tuple[float, date] | None = None

    @cached_property
    def working(self) -> Working:
        """The budget; its result is the margin left after fading."""
        sheet = budget(self.inputs, f"Radio link from {self.tag} to {self.to}")
        return replace(sheet, caveats=self._caveats)

    @property
    def _caveats(self) -> tuple[str, ...]:
        rate = number(self.inputs["f"].value, 1)
        stretched = dict.fromkeys(name for wall in self.walls for name in wall.stretched)
        said = [
            f"The table does not state {name} for {rate} MHz; its row is carried on to there." for name in stretched
        ]
        if self.measured:
            margin, day = self.measured
            said.append(f"A margin of {number(margin, 1)} dB was measured on {day}; it beats this prediction.")
        return ("Doors are taken to be shut. Reflections, people and furniture are not counted.", *said)

    @cached_property
    def cross_checks(self) -> tuple[CrossCheck, ...]:
        """The loss of the same path by other models."""
        return cross_checks(self.ends[0].distance(self.ends[1]), self.inputs["f"].value, self.walls, self.floors)

    def step(self, symbol: str) -> float:
        """Give an intermediate value of the budget by its symbol."""
        return next(step.value for step in self.working.steps if step.symbol == symbol)

    @property
    def predicted(self) -> float:
        """The predicted margin before fading, dB: what a reading is compared with."""
        f, p, s, g, w = (self.inputs[symbol].value for symbol in ("f", "P", "S", "G", "W"))
        return margin(self.inputs["d"].value, f, dbm(p), s, g, w, self.floors)

    @property
    def excess(self) -> float | None:
        """Decibels by which the reading beats the prediction; None without a reading."""
        return None if self.measured is None else self.measured[0] - self.predicted

    @property
    def reserve(self) -> float:
        """What is left in dB: as measured, or predicted less what fading may take."""
        return self.working.result.value if self.measured is None else self.measured[0]


@dataclass(frozen=True, slots=True)
class Radio:
    """All links of a home, and the wire-free devices that have none because a place is missing."""

    links: tuple[Link, ...]
    without_place: tuple[str, ...]

    @property
    def weakest(self) -> Link | None:
        """The link with the least in reserve."""
        return min(self.links, key=lambda link: (link.reserve, link.tag), default=None)

    @property
    def excess(self) -> float | None:
        """The middle one of the decibels by which readings beat predictions; None without readings.

        Far below 0 the system sends less, hears less, or shows another scale than is assumed.
        """
        found = [link.excess for link in self.links if link.excess is not None]
        return median(found) if found else None


def radio_of(home: Home, dwelling: Dwelling, on: date) -> Radio:
    """Give every radio link of a home as it stands on a day.

    A device goes straight to the control unit, or over the repeater by which its weaker hop is strongest. A fire alarm
    that is not enrolled goes to the linked alarm that hears it best.
    """
    up = {tag for tag, device in home.devices.items() if device.fitted_by(on)}
    ends = {tag: end_of(dwelling, spot) for tag, spot in dwelling.spots.items() if tag in up}
    units, relays = of_kind(home, ends, "control unit"), of_kind(home, ends, "repeater")
    wireless, readings = tuple(tag for tag in wire_free(home) if tag in up), _readings(home, on)
    common = _stated(home)

    def hop(tag: str, to: str) -> Link:
        return _link(dwelling, common, (tag, to), (ends[tag], ends[to]), readings.get(tag))

    links, lost = [], []
    for tag in wireless:
        targets = _heard_by(home, tag, wireless, units)
        if targets is None:
            continue
        placed = [to for to in targets if to in ends]
        if tag not in ends or not placed:
            lost.append(tag)
            continue
        straight = _strongest(tag, placed, ends, hop)
        best, strength = straight, straight.predicted
        for relay in relays if placed == units and home.devices[tag].kind != "repeater" else ():
            first = hop(tag, relay)
            weaker = min(first.predicted, max(hop(relay, unit).predicted for unit in units))
            if weaker > strength:
                best, strength = first, weaker
        links.append(best)
    return Radio(tuple(links), tuple(lost))


def _strongest(tag: str, targets: Sequence[str], ends: Mapping[str, End], hop: Callable[[str, str], Link]) -> Link:
    """Give the strongest link of a device to some others, the first of several as strong.

    The nearest are tried first, until not even a free path could be stronger than what is found.
    """
    best: Link | None = None
    for metres, place, to in sorted((ends[tag].distance(ends[to]), place, to) for place, to in enumerate(targets)):
        if best is not None and _free(best.inputs, metres) < best.predicted:
            break
        link = hop(tag, to)
        if best is None or (_nano(link), -place) > (_nano(best), -targets.index(best.to)):
            best = link
    assert best is not None
    return best


def _nano(link: Link) -> float:
    """Give what is predicted of a link to a thousand-millionth of a decibel: the dust of arithmetic makes no winner."""
    return round(link.predicted, 9)


def _free(inputs: Mapping[str, Input], metres: float) -> float:
    """Give the margin of a link with nothing in the way."""
    f, p, s, g = (inputs[symbol].value for symbol in ("f", "P", "S", "G"))
    return margin(metres, f, dbm(p), s, g, 0.0, 0)


def of_kind(home: Home, ends: Mapping[str, End], kind: str) -> list[str]:
    """Give the tags of the devices of a kind that have a place."""
    return [tag for tag, device in home.devices.items() if device.kind == kind and tag in ends]


def _heard_by(home: Home, tag: str, wireless: tuple[str, ...], units: list[str]) -> list[str] | None:
    """Give what a device sends to: the units, or the alarms it is linked with; None when it sends to nobody."""
    device = home.devices[tag]
    if not device.is_fire or device.enrolled:
        return units
    return [other for other in device.linked if other in wireless and other != tag] or None


def wire_free(home: Home) -> tuple[str, ...]:
    """Give the devices that reach the others by radio: said so, run by battery, or with a link once measured."""
    measured = {tag for visit in home.visits for tag, test in visit.tests.items() if test.signal is not None}
    return tuple(
        tag
        for tag, device in home.devices.items()
        if device.kind != "control unit"
        and device.joined_by != "cable"
        and (device.joined_by == "radio" or device.kind == "repeater" or _on_battery(device) or tag in measured)
    )


def _on_battery(device: Device) -> bool:
    return device.battery is not None and (not device.is_fire or bool(device.linked))


def _readings(home: Home, on: date) -> dict[str, tuple[float, date]]:
    """Give the last margin measured of each device since it was fitted."""
    visits = standing(home.visits, on)
    found = {}
    for tag, device in home.devices.items():
        for visit, test in tests_of(tag, device, visits):
            if test.signal is not None:
                found[tag] = test.signal, visit.date
    return found


_SAID = {"f": ("frequency", "radio"), "P": ("power", "radio_power"), "S": ("hears", "hears")}
_MEANING = {
    "f": "frequency",
    "P": "radiated power (ERP)",
    "S": "weakest signal the receiver hears",
    "G": "gain of the receiving aerial",
    "sigma": "spread of shadow fading",
}


def _stated(home: Home) -> dict[str, Input]:
    """Give the inputs that all links share: what the record says of the system, and what is assumed for the rest."""
    figure = figures()
    found = {}
    for symbol, name in (("f", "frequency"), ("P", "power"), ("S", "hears"), ("G", "gain"), ("sigma", "sigma")):
        usual = figure["assumed"][name]
        value, known, origin = usual["value"], "assumed", f"{usual['source']} ({usual['status']})"
        key = _SAID.get(symbol, ("", ""))[1]
        if key and (said := getattr(home.system, key)) is not None:
            value, known, origin = said, "stated", f"system, {key_of(key)}"
        ask = usual["ask"] if known == "assumed" else ""
        spread = usual["spread"] if known == "assumed" else 0.0
        found[symbol] = Input(
            symbol, _MEANING[symbol], float(value), usual["unit"], cast("Known", known), origin, spread, ask
        )
    target = figure["target"]
    found["p"] = Input(
        "p",
        "share of places in which it must hold",
        target["share"],
        "",
        "standard",
        f"{target['source']} (common practice)",
    )
    return found


def _link(
    dwelling: Dwelling,
    common: Mapping[str, Input],
    tags: tuple[str, str],
    ends: tuple[End, End],
    measured: tuple[float, date] | None,
) -> Link:
    crossed = crossings(dwelling, *ends)
    walls = tuple(wall_loss(one, common["f"].value) for one in crossed if one.group != "floor")
    floors = len(crossed) - len(walls)
    metres, counted = ends[0].distance(ends[1]), sum(wall.counted for wall in walls)
    tolerance = sum(dwelling.spots[tag].tolerance for tag in tags)
    open_ends = [f"{what} of {tag}" for tag, end in zip(tags, ends, strict=True) for what in end.assumed]
    taken = [wall.crossing for wall in walls if wall.crossing.assumed]
    inputs = {
        **common,
        "d": Input(
            "d",
            "straight path in space",
            metres,
            "m",
            "assumed" if open_ends else "stated",
            "assumed: " + ", ".join(open_ends) if open_ends else "places of both devices",
            sum(end.doubt for end in ends) if open_ends else tolerance,
            f"Measure the {' and the '.join(open_ends)}." if open_ends else "",
        ),
        "W": Input(
            "W",
            "loss of the walls and leaves crossed",
            counted,
            "dB",
            "assumed" if taken else "stated",
            _told(walls),
            WALLS_SPREAD * counted,
            "Record what the walls and leaves on the way are made of." if taken else "",
        ),
        "kf": Input("kf", "floors crossed", float(floors), "", "stated", "storeys of both devices"),
    }
    return Link(*tags, ends, floors, walls, inputs, measured)


def _told(walls: tuple[WallLoss, ...]) -> str:
    """Name what is crossed with what it costs, in the order of the way."""
    if not walls:
        return "nothing in the way"
    return "; ".join(
        f"{wall.crossing.opening or wall.crossing.of} {number(wall.crossing.thickness * 1000, 0)} mm"
        f" at {number(wall.crossing.angle, 0)}°, {number(wall.counted, 1)} dB"
        for wall in walls
    )
