"""The batteries of wire-free devices: how long each lasts, when it is to be changed, and what its readings say."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property, lru_cache

from dateutil.relativedelta import relativedelta

from asfitted.model.device import Device
from asfitted.model.visit import Test, Visit
from asfitted.reckon.cells import Cell, cells_in, crosses, figures, life, source_of, stated
from asfitted.reckon.power import DAYS_PER_YEAR
from asfitted.reckon.uncertainty import uncertainty
from asfitted.reckon.working import Input, Working, number

_DAY = 86_400.0
_CHARGED = ("rechargeable", "lead", "agm", "vrla", "nimh", "accumulator")
_CAVEATS = ("Cold, many alarms and a poor radio link shorten it; the device's own low-battery signal comes first.",)


@dataclass(frozen=True)
class CellLife:
    """The battery of one device that is changed, or ends with the device.

    Attributes:
        tag: the device.
        type: in the words of the record.
        put_in: the day the present one was put in; None when not known.
        life: as the maker states it; None if the record does not say.
        inputs: of the reckoned life; empty where it cannot be reckoned.
        cell: count and size, where the table holds it.
        readings: day and volts since it was put in.
        words: the last word of the display since then, *good* or *low*; empty without one.
    """

    tag: str
    type: str
    put_in: date | None
    life: Input | None
    inputs: Mapping[str, Input]
    cell: tuple[int, Cell] | None
    readings: tuple[tuple[date, float], ...]
    words: str = ""

    @cached_property
    def reckoned(self) -> Working | None:
        """The life from what is drawn, in years."""
        return self.reckon(self.inputs) if self.inputs else None

    def reckon(self, inputs: Mapping[str, Input]) -> Working:
        """Work out the life from what is drawn."""
        sheet = life(inputs, f"Battery of {self.tag}, {self.type}")
        return replace(sheet, caveats=(*_CAVEATS, *self._keeps(sheet.result.value)))

    def _keeps(self, span: float) -> tuple[str, ...]:
        """Give what is to be said of a life, in years, that is longer than such a cell keeps."""
        shelf = figures()["shelf"][self.cell[1].chemistry] if self.cell else span
        return (f"Such a cell keeps for about {number(shelf, 0)} years unused: count on no more.",) * (span > shelf)

    @cached_property
    def working(self) -> Working:
        """The life that counts: as its maker states it, or else as reckoned."""
        if self.life is not None:
            return replace(stated(self.life, f"Battery of {self.tag}, {self.type}"), caveats=_CAVEATS)
        return self.reckon(self.inputs)

    @cached_property
    def span(self) -> tuple[float, float]:
        """The shortest and the longest life to expect, in years."""
        if self.life is not None:
            return figures()["early"]["value"] * self.life.value, self.life.value
        found, out = self.working.result.value, _doubt(tuple(self.inputs.values()))
        return max(found - out, 0.0), found + out

    @property
    def due(self) -> date | None:
        """The day its life ends; None while it is not known when it was put in."""
        return self._after(self.working.result.value)

    @property
    def between(self) -> tuple[date, date] | None:
        """The first and the last day on which it may end."""
        first, last = (self._after(length) for length in self.span)
        return (first, last) if first and last else None

    def _after(self, length: float) -> date | None:
        return self.put_in + relativedelta(months=round(12 * length)) if self.put_in else None

    @property
    def falls_short(self) -> bool:
        """Whether the life its maker states is longer than what is drawn leaves room for, by more than the doubt."""
        if self.life is None or self.reckoned is None:
            return False
        return self.reckoned.result.value + _doubt(tuple(self.inputs.values())) < self.life.value

    @property
    def low_at(self) -> float | None:
        """Volts of the whole battery from which it is nearly empty."""
        return self.cell[0] * self.cell[1].low if self.cell else None

    @property
    def reads_low(self) -> bool:
        """Whether it last read low, by its display or by its voltage."""
        by_volts = self.low_at is not None and bool(self.readings) and self.readings[-1][1] <= self.low_at
        return self.words == "low" or by_volts

    @property
    def falls_to_low(self) -> date | None:
        """The day on which its readings, drawn on in a straight line, reach that; None where voltage does not tell."""
        sags = self.cell is not None and self.cell[1].sags
        return crosses(self.readings, self.low_at) if sags and self.low_at is not None else None


@lru_cache(maxsize=256)
def _doubt(inputs: tuple[Input, ...]) -> float:
    """Give by how much the life of a cell may be out; it is the same for all devices of a kind with the same cell."""
    return uncertainty(lambda given: life(given, ""), {given.symbol: given for given in inputs})


def has_cell(device: Device) -> bool:
    """Tell whether a device has a battery that is not charged, or ought to have one."""
    if device.battery is not None:
        return not any(word in device.battery.type.casefold() for word in _CHARGED)
    return not _fed(device) and device.kind != "repeater"


def _fed(device: Device) -> bool:
    """Tell whether mains or a cable feeds a device, and its battery only stands by."""
    return device.power == "mains" or device.joined_by == "cable" or device.cable is not None


def cell_life(tag: str, device: Device, tests: list[tuple[Visit, Test]], on: date) -> CellLife:
    """Give the life of the battery of a device, from its tests since it was fitted."""
    battery = device.battery
    days = [visit.date for visit, test in tests if test.battery_changed]
    if battery is not None and battery.fitted is not None and battery.fitted <= on:
        days.append(battery.fitted)
    put_in = max(days, default=device.fitted)
    since = [(visit.date, test.battery) for visit, test in tests if put_in is None or visit.date >= put_in]
    readings = tuple((day, read) for day, read in since if isinstance(read, float))
    words = [read for _, read in since if isinstance(read, str)]
    said = battery.life / _DAY / DAYS_PER_YEAR if battery is not None and battery.life else None
    place = f"devices, {tag}, battery"
    given = Input("Y", "life its maker states", said, "years", "stated", place) if said is not None else None
    cell = cells_in(battery.type) if battery is not None else None
    inputs = _draws(device, cell[1]) if cell is not None and not _fed(device) else {}
    type_ = battery.type if battery is not None else ""
    return CellLife(tag, type_, put_in, given, inputs, cell, readings, words[-1] if words else "")


def _draws(device: Device, cell: Cell) -> dict[str, Input]:
    """Give the inputs of the life of a cell in a device of a kind; empty for a kind of which nothing is known."""
    data = figures()
    row = data["draw"].get(device.kind)
    if row is None:
        return {}
    loss, usable, share = data["loss"], data["usable"], data["draw-spread"]["value"]
    own, lost = source_of(row), loss[cell.chemistry]
    ask = "Look up its currents in its booklet, or record the life its maker states as battery, life."
    found = [
        Input("C", f"capacity, {cell.called}", cell.capacity, "mAh", "assumed", source_of({}), cell.spread, ask),
        Input("u", "usable share", usable["value"], "", "assumed", source_of(usable), usable["spread"], ask),
        Input("s", "lost by itself each year", lost["value"], "", "assumed", source_of(loss), lost["spread"], ask),
        Input("Iq", "current asleep", row["sleep"], "µA", "assumed", own, share * row["sleep"], ask),
    ]
    for k, pulse in enumerate(row["pulses"], start=1):
        what, often = pulse["what"], pulse["per-day"]
        times = Input(f"n{k}", f"{what}, times a day", often, "", "assumed", own, share * often, ask)
        if pulse.get("reports") and device.reports_every:
            times = replace(
                times, value=_DAY / device.reports_every, known="stated", origin="reports-every", spread=0.0, ask=""
            )
        flow, took = pulse["current"], pulse["seconds"]
        found += [
            Input(f"I{k}", f"{what}, current", flow, "mA", "assumed", own, share * flow, ask),
            Input(f"t{k}", f"{what}, lasts", took, "s", "assumed", own, 0.0, ask),
            times,
        ]
    return {given.symbol: given for given in found}
