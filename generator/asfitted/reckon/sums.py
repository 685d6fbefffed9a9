"""Every calculation of a home in one form: topic by topic, what each is about, its working and how to redo it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Literal

from asfitted.dwelling.shapes import Dwelling
from asfitted.reckon.of_home import Reckoned
from asfitted.reckon.working import Input, Model, Swing, Working, sensitivity

if TYPE_CHECKING:
    from asfitted.reckon.alarm_field import RoomField
    from asfitted.reckon.hearing import AtBed, Heard, Together
    from asfitted.reckon.of_cells import CellLife
    from asfitted.reckon.of_power import Standby
    from asfitted.reckon.of_radio import Link
    from asfitted.reckon.of_sun import DetectorSun
    from asfitted.reckon.of_walks import WayIn
    from asfitted.reckon.undetected import Route
    from asfitted.reckon.ways_out import WayOut

Topic = Literal["coverage", "walks", "alarm-field", "ways-out", "radio", "sun", "sound", "power"]
TOPICS: tuple[Topic, ...] = ("coverage", "walks", "alarm-field", "ways-out", "radio", "sun", "sound", "power")
"""The topics, in the order of the pages."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a visit found where the calculation predicts.

    ``what`` is in words, ``predicted`` and ``found`` in ``unit``; ``on`` is the day of the visit, None where the record
    states it. ``at_least`` is true where the trial was ended before what it looks for happened.
    """

    what: str
    predicted: float
    found: float
    unit: str
    on: date | None
    at_least: bool = False


@dataclass(frozen=True)
class Sum:
    """One calculation of a home.

    Attributes:
        topic: where it belongs.
        about: a device, link, room or walk, in words.
        working: the calculation.
        inputs: by symbol, as the model takes them.
        model: the calculation as a function of its inputs; None where there is nothing to vary.
        tag: the device it is about; empty where it is about none.
        reading: what was found on site; None where nothing was.
        held: inputs that are not varied to see what they change.
    """

    topic: Topic
    about: str
    working: Working
    inputs: Mapping[str, Input]
    model: Model | None = None
    tag: str = ""
    reading: Reading | None = None
    held: frozenset[str] = frozenset()

    @cached_property
    def swings(self) -> tuple[Swing, ...]:
        """What would change the result most, first what changes it most."""
        if self.model is None:
            return ()
        varied = {name: replace(one, spread=0.0) if name in self.held else one for name, one in self.inputs.items()}
        return sensitivity(self.model, varied)


@lru_cache(maxsize=2 * len(TOPICS))
def sums_of(known: Reckoned, topic: Topic) -> tuple[Sum, ...]:
    """Give every calculation of a topic of a home, in the order of its results; ``known`` stands for all its inputs."""
    return tuple(_OF[topic](known))


def opening_words(dwelling: Dwelling, opening: str) -> str:
    """Give an opening as the record calls it."""
    return dwelling.openings[opening].opening.called if opening in dwelling.openings else opening


def room_called(dwelling: Dwelling, room: str) -> str:
    """Give a room as the record calls it."""
    return dwelling.rooms[room].room.called


def _coverage(known: Reckoned) -> Iterator[Sum]:
    for seen in known.coverage.placed:
        about = f"{seen.tag}, {room_called(known.dwelling, seen.room)}"
        yield Sum("coverage", about, seen.working, seen.inputs, seen.model, seen.tag)


def _walks(known: Reckoned) -> Iterator[Sum]:
    yield from (_walk(known, route) for route in known.walks)
    yield from (_entry(known, way) for way in known.entries)


def walk_words(known: Reckoned, route: "Route") -> str:
    """Give from where to where a walk goes."""
    return f"{opening_words(known.dwelling, route.opening)} to {route.goal}"


def _walk(known: Reckoned, route: "Route") -> Sum:
    from asfitted.reckon.of_walks import route_inputs
    from asfitted.reckon.undetected import working

    about, inputs = walk_words(known, route), route_inputs(known.home, route, known.on)
    return Sum("walks", about, working(route, about, inputs), inputs, lambda given: working(route, about, given))


def _entry(known: Reckoned, way: "WayIn") -> Sum:
    from asfitted.reckon.undetected import entry_time

    about = f"entry time, {opening_words(known.dwelling, way.door)} to {way.keypad}"
    inputs = {given.symbol: given for given in way.working.inputs}
    suits, reading = way.working.result.value, None
    if way.set_to is not None:
        reading = Reading(f"{about}, as set ({way.set_to.origin})", suits, way.set_to.value, "s", None)
    return Sum("walks", about, way.working, inputs, entry_time, way.keypad, reading)


def _field(known: Reckoned) -> Iterator[Sum]:
    return (_furthest(known, room) for room in known.field)


def _furthest(known: Reckoned, room: "RoomField") -> Sum:
    from asfitted.reckon.alarm_field import furthest_working

    called = room_called(known.dwelling, room.room)
    sheet = furthest_working(called, room.inputs, room.left_out)
    model: Model | None = (lambda given: furthest_working(called, given)) if room.inputs else None
    return Sum("alarm-field", called, sheet, room.inputs, model)


def _ways(known: Reckoned) -> Iterator[Sum]:
    return (_way_out(known, way) for way in known.ways)


def way_words(known: Reckoned, way: "WayOut") -> str:
    """Give from which bed to which door a way out goes."""
    return f"bed, {room_called(known.dwelling, way.bed[0])}, to {opening_words(known.dwelling, way.exit)}"


def _way_out(known: Reckoned, way: "WayOut") -> Sum:
    from asfitted.reckon.ways_out import way_inputs, way_working

    about, inputs = way_words(known, way), way_inputs(way)
    return Sum("ways-out", about, way_working(about, inputs), inputs, lambda given: way_working(about, given))


def _radio(known: Reckoned) -> Iterator[Sum]:
    return (_link(link) for link in known.radio.links)


def _link(link: "Link") -> Sum:
    from asfitted.reckon.link import budget

    about, reading = f"{link.tag} to {link.to}", None
    if link.measured is not None:
        found, day = link.measured
        reading = Reading(f"margin, {about}", link.predicted, found, "dB", day)
    return Sum("radio", about, link.working, link.inputs, budget, link.tag, reading)


def _sun(known: Reckoned) -> Iterator[Sum]:
    return (_sun_on(known, one) for one in known.sun.detectors)


def _sun_on(known: Reckoned, one: "DetectorSun") -> Sum:
    from asfitted.reckon.of_sun import work

    inputs = {given.symbol: given for given in one.working.inputs}
    place = frozenset({"phi", "lambda"})  # a twentieth of a degree moves the sun by less than its own width
    return Sum(
        "sun",
        f"{one.tag}, {room_called(known.dwelling, known.dwelling.spots[one.tag].room)}",
        one.working,
        inputs,
        lambda given: work(known.dwelling, one.tag, given, known.on),
        one.tag,
        held=place,
    )


def _sound(known: Reckoned) -> Iterator[Sum]:
    for at in known.sound.beds:
        yield from (_together(at, group) for group in at.together if len(group.heard) > 1)
        yield from (_heard(at, one) for one in at.heard)


def bed_words(at: "AtBed") -> str:
    """Give a bed and how the inner doors stand."""
    return f"{at.bed.called}, doors {'shut' if at.doors == 'closed' else at.doors}"


def _together(at: "AtBed", group: "Together") -> Sum:
    from asfitted.reckon.room_sound import together

    about = f"{', '.join(group.tags)} together, {bed_words(at)}"
    return Sum("sound", about, group.working, group.inputs, lambda given: together(given, group.title))


def _heard(at: "AtBed", one: "Heard") -> Sum:
    sheet, about, reading = one.working, f"{one.tag}, {bed_words(at)}", None
    if one.measured is not None:
        found, day = one.measured
        reading = Reading(f"level, {about}", sheet.result.value, found, "dB(A)", day)

    model = one.trial if at.doors == "closed" else None  # with doors open less depends on the same inputs
    return Sum("sound", about, sheet, one.inputs, model, one.tag, reading)


def _power(known: Reckoned) -> Iterator[Sum]:
    from asfitted.reckon.standby import forms

    for unit in known.power.standby:
        for name, form in forms().items():
            yield _standby(unit, name, unit.workings[name], unit.inputs_of(form))
        if unit.recharged is not None and unit.charging is not None:
            yield _recharge(unit, unit.recharged, unit.charging)
    yield from (one for cell in known.power.cells for one in _cell(cell))
    for cable in known.power.cables:
        yield Sum("power", f"{cable.tag}, cable", cable.working, cable.inputs, cable.reckon, cable.tag)


def _standby(unit: "Standby", name: str, sheet: Working, inputs: Mapping[str, Input]) -> Sum:
    from asfitted.reckon.standby import forms

    held = next((step for step in sheet.steps if step.symbol == "H"), None)
    reading = None
    if held is not None and unit.held is not None:
        hours, ran_on, day = unit.held
        what = f"hours without mains, {unit.tag} ({'still running then' if ran_on else 'until it stopped'})"
        reading = Reading(what, held.value, hours, "h", day, at_least=ran_on)
    about = f"{unit.tag}, standby, {name}"
    return Sum("power", about, sheet, inputs, lambda given: unit.by(forms()[name], given), unit.tag, reading)


def _recharge(unit: "Standby", sheet: Working, inputs: Mapping[str, Input]) -> Sum:
    from asfitted.reckon.standby import recharge

    return Sum("power", f"{unit.tag}, charging", sheet, inputs, lambda given: recharge(given, sheet.title), unit.tag)


def _cell(cell: "CellLife") -> Iterator[Sum]:
    if cell.life is not None:
        yield Sum("power", f"{cell.tag}, battery as its maker states", cell.working, {"Y": cell.life}, tag=cell.tag)
    if cell.reckoned is not None:
        yield Sum("power", f"{cell.tag}, battery as reckoned", cell.reckoned, cell.inputs, cell.reckon, cell.tag)


_OF: Mapping[Topic, Callable[[Reckoned], Iterator[Sum]]] = {
    "coverage": _coverage,
    "walks": _walks,
    "alarm-field": _field,
    "ways-out": _ways,
    "radio": _radio,
    "sun": _sun,
    "sound": _sound,
    "power": _power,
}
