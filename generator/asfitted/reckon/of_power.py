"""The power of a home: what the standby battery must hold, how long each cell lasts, what cables cost in volts."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing, tests_of
from asfitted.model.visit import Test, Visit
from asfitted.reckon.cable import resistance, run
from asfitted.reckon.of_cells import CellLife, cell_life, has_cell
from asfitted.reckon.standard import standard
from asfitted.reckon.standby import Form, capacity, forms, recharge
from asfitted.reckon.working import Input, Working

_HOUR = 3600.0


@dataclass(frozen=True)
class Standby:
    """The standby of one control unit.

    Attributes:
        tag: the device.
        inputs: what all forms share: currents, hours, and the capacity of its battery if it is known.
        charging: inputs of the recharge; None while capacity or charging current is not known.
        held: hours it was seen to run without mains, whether it still ran then, and the day; None if never tried.
        ask: what to record for a better result.
    """

    tag: str
    inputs: Mapping[str, Input]
    charging: Mapping[str, Input] | None
    held: tuple[float, bool, date] | None
    ask: tuple[str, ...]

    @cached_property
    def workings(self) -> dict[str, Working]:
        """The capacity by each form, by its name; that of common practice first."""
        return {name: self.by(form, self.inputs_of(form)) for name, form in forms().items()}

    def inputs_of(self, form: Form) -> dict[str, Input]:
        """Give the inputs of the formula in one of its forms."""
        return {**self.inputs, **form.inputs()}

    def by(self, form: Form, inputs: Mapping[str, Input]) -> Working:
        """Work out the capacity by a form."""
        return capacity(inputs, form, f"Standby battery of {self.tag}, {form.called}")

    @cached_property
    def recharged(self) -> Working | None:
        """The hours to charge it."""
        return recharge(self.charging, f"Charging of the battery of {self.tag}") if self.charging else None


@dataclass(frozen=True)
class CableRun:
    """The cable to one device; its working's result is the voltage there above what it needs."""

    tag: str
    inputs: Mapping[str, Input]

    @cached_property
    def working(self) -> Working:
        """The voltage at its end."""
        return self.reckon(self.inputs)

    def reckon(self, inputs: Mapping[str, Input]) -> Working:
        """Work out the voltage at the end of the cable."""
        caveats = ("The device is taken to be alone on its cable.",)
        return replace(run(inputs, f"Voltage at {self.tag}"), caveats=caveats)


@dataclass(frozen=True)
class HomePower:
    """The power of a home: control units, cells, cables, and the devices of whose battery nothing can be said."""

    standby: tuple[Standby, ...]
    cells: tuple[CellLife, ...]
    cables: tuple[CableRun, ...]
    unknown: tuple[str, ...]

    @property
    def next_change(self) -> CellLife | None:
        """The battery that may end first."""
        dated = [(cell.between[0], cell.tag, cell) for cell in self.cells if cell.between is not None]
        return min(dated, key=lambda found: found[:2])[2] if dated else None


def power_of(home: Home, on: date) -> HomePower:
    """Give the power of a home as it stands on a day."""
    visits = standing(home.visits, on)
    units, lives, runs, unknown = [], [], [], []
    for tag, device in home.devices.items():
        if not device.fitted_by(on):
            continue
        tests = tests_of(tag, device, visits)
        if device.kind == "control unit":
            units.append(_standby(home, tag, device, tests))
        elif has_cell(device):
            found = cell_life(tag, device, tests, on)
            if found.life is None and not found.inputs:
                unknown.append(tag)
            else:
                lives.append(found)
        if device.cable is not None and (inputs := _cable(tag, device)):
            runs.append(CableRun(tag, inputs))
    return HomePower(tuple(units), tuple(lives), tuple(runs), tuple(unknown))


def _standby(home: Home, tag: str, device: Device, tests: list[tuple[Visit, Test]]) -> Standby:
    grade = home.system.intruder_grade or "1"
    inputs = {
        "I": _said(tag, "current", device.current, standard("power", "I")),
        "Ia": _said(tag, "alarm_current", device.alarm_current, standard("power", "Ia")),
        "T": _said(
            tag,
            "standby",
            device.standby / _HOUR if device.standby is not None else None,
            standard("power", "60-T" if grade in ("3", "4") else "12-T"),
        ),
    }
    ask = [given.ask for given in inputs.values() if given.ask]
    charging = None
    if device.capacity:
        c = Input("C", "capacity of the battery", device.capacity, "Ah", "stated", _place(tag, "capacity"))
        inputs["C"] = c
        if flow := _charging(tag, device, tests):
            charging = {"C": c, "Ic": flow, "q": standard("power", "q")}
        else:
            ask.append("Measure what flows into the battery, and record charging.")
    else:
        ask.append("Read the capacity on the battery, and record capacity.")
    seen = [
        (test.held_for / _HOUR, test.mains_off == "held", visit.date)
        for visit, test in tests
        if test.held_for is not None and test.mains_off is not None
    ]
    return Standby(tag, inputs, charging, seen[-1] if seen else None, tuple(ask))


def _charging(tag: str, device: Device, tests: list[tuple[Visit, Test]]) -> Input | None:
    what = "current that charges it"
    for visit, test in reversed(tests):
        if test.charging:
            return Input("Ic", what, test.charging, "A", "measured", f"visit of {visit.date}", 0.05 * test.charging)
    flow = device.charging_current
    return Input("Ic", what, flow, "A", "stated", _place(tag, "charging_current")) if flow else None


def _cable(tag: str, device: Device) -> dict[str, Input]:
    cable = device.cable
    assert cable is not None
    if device.kind in ("opening contact", "hold-up button", "control unit"):
        return {}  # a loop that carries next to nothing
    ohms, source = resistance(cable.core)
    place = _place(tag, "cable")
    said = [
        Input("L", "length of the cable, one way", cable.length, "m", "stated", place, 0.1 * cable.length),
        Input("r", f"resistance of a core, {cable.core}", ohms, "Ω/km", "standard", source),
        *(standard("power", key) for key in ("U", "Umin", "θ", f"{device.kind}-I")),
    ]
    return {given.symbol: given for given in said}


def _said(tag: str, key: str, value: float | None, usual: Input) -> Input:
    """Give what the record says of a device, or else what is usual."""
    if value is None:
        return usual
    return replace(usual, value=value, known="stated", origin=_place(tag, key), spread=0.0, ask="")


def _place(tag: str, key: str) -> str:
    return f"devices, {tag}, {key_of(key)}"
