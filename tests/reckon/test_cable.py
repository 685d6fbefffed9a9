"""Voltage on cables against IEC tables, wire gauges and worked examples."""

from datetime import date
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.model.device import SETTINGS
from asfitted.model.words import CoreSize
from asfitted.reckon.cable import drop, drops, gauge_area, longest, resistance, run, voltage_of_power, warmed
from asfitted.reckon.of_power import CableRun, power_of
from asfitted.reckon.working import Input, sensitivity
from tests.reckon.laid_out import laid_out


@pytest.mark.parametrize(
    ("core", "solid", "stranded"),
    [
        ("0.5", 36.0, 39.0),
        ("0.75", 24.5, 26.0),
        ("1", 18.1, 19.5),
        ("1.5", 12.1, 13.3),
        ("2.5", 7.41, 7.98),
        ("4", 4.61, 4.95),
    ],
)
def test_resistances_are_those_of_the_standard(core: str, solid: float, stranded: float) -> None:
    # IEC 60228, plain copper, class 1-2 and 5 (read: mycableengineering.com, etechnik-synergie.com)
    assert resistance(core, "solid")[0] == solid
    assert resistance(core)[0] == stranded


@pytest.mark.parametrize(("gauge", "published"), [(26, 133.86), (24, 84.20), (22, 52.94), (20, 33.29), (18, 20.94)])
def test_wire_gauges_give_the_published_resistance(gauge: int, published: float) -> None:
    # hyperphysics.phy-astr.gsu.edu, wire gauge table (read); 0.1 per cent for its rounding of the resistivity
    assert resistance(f"{gauge} AWG")[0] == pytest.approx(published, rel=1e-3)


def test_the_ideal_wire_bounds_the_table_from_below() -> None:
    # physics: 17.241 ohm mm2/km over the area; 0.22 mm2 makes 78.37, and alarm cable is allowed 96
    assert pytest.approx(78.37, abs=5e-3) == 17.241 / 0.22
    for core in get_args(CoreSize):
        area = gauge_area(int(core.split()[0])) if "AWG" in core else float(core)
        assert 17.241 / area * 0.999 <= resistance(core)[0] <= 17.241 / area * 1.25


@pytest.mark.parametrize(
    ("ohms", "metres", "amperes", "volts"),
    [
        (96, 30, 0.25, 1.440),
        (96, 30, 0.15, 0.864),
        (36.0, 50, 0.5, 1.800),
        (24.5, 30, 0.25, 0.3675),
        (18.1, 50, 0.5, 0.905),
        (12.1, 50, 0.5, 0.605),
        (13.3, 50, 0.5, 0.665),
    ],
)
def test_volts_are_lost_out_and_back(ohms: float, metres: float, amperes: float, volts: float) -> None:
    # Ohm's law, 2 L I r / 1000, by hand
    assert drop(metres, amperes, ohms) == pytest.approx(volts, abs=1e-9)


def test_loads_along_a_cable_cost_less_than_all_at_its_end() -> None:
    # three loads of 0.05 A at 10, 20 and 30 m on 0.22 mm2, by hand; lumped at the end they would cost 0.864 V
    loads = [(10.0, 0.05), (20.0, 0.05), (30.0, 0.05)]
    assert drops(loads, 96) == pytest.approx([0.288, 0.480, 0.576])
    assert drops(loads, 96)[-1] < drop(30, 0.15, 96)


def test_the_longest_run_is_the_drop_turned_round() -> None:
    # 0.22 mm2, 0.15 A, 12.0 to 10.5 V, by hand
    assert longest(1.5, 0.15, 96) == pytest.approx(52.083, abs=5e-4)


@pytest.mark.parametrize(("celsius", "ohms"), [(0, 33.170), (20, 36.0), (50, 40.244), (70, 43.074)])
def test_warm_copper_resists_more(celsius: float, ohms: float) -> None:
    # 0.00393 per kelvin from 20 degrees, by hand
    assert warmed(36.0, celsius) == pytest.approx(ohms, abs=5e-4)


def test_a_load_of_constant_power_pulls_its_own_voltage_down() -> None:
    # 1.2 W, 12 V, loop 5.76 ohm: (12 + sqrt(144 - 27.648)) / 2, by hand; it solves U = 12 - 5.76 P / U
    volts = voltage_of_power(12, 1.2, 5.76)
    assert volts == pytest.approx(11.393, abs=5e-4)
    assert volts == pytest.approx(12 - 5.76 * 1.2 / volts)


def test_a_load_too_large_for_its_cable_is_refused() -> None:
    with pytest.raises(ValueError, match="no voltage"):
        voltage_of_power(12, 10, 5.76)


@given(st.floats(1, 100), st.floats(0.001, 2), st.floats(1, 200), st.floats(0, 50))
def test_a_longer_cable_never_loses_less(metres: float, amperes: float, ohms: float, more: float) -> None:
    assert drop(metres + more, amperes, ohms) >= drop(metres, amperes, ohms)


def test_the_working_of_a_run_ends_in_what_is_left_above_the_least() -> None:
    values = {"U": 12.0, "L": 30.0, "I": 0.25, "r": 96.0, "θ": 20.0, "Umin": 10.5}
    inputs = {
        symbol: Input(symbol, symbol, value, "", "stated", "test", value / 10) for symbol, value in values.items()
    }
    sheet = run(inputs, "OS1")
    assert [step.symbol for step in sheet.steps] == ["r_θ", "ΔU", "U_L", "m"]
    assert sheet.result.value == pytest.approx(12 - 1.44 - 10.5)
    assert {swing.given.symbol for swing in sensitivity(lambda x: run(x, ""), inputs)} == set(values)


HOME = """
record: 1
home: {{label: Test}}
storeys:
  - {{id: ground, height: 2.40, rooms: [{{id: hall, use: circulation, corner: [0, 0], size: [4.0, 3.0]}}]}}
devices:
  OS1: {{kind: {kind}, in: hall, joined-by: cable, cable: {{length: 30, core: {core}}}}}
"""


def runs(kind: str = "indoor sounder", core: str = "0.22") -> tuple[CableRun, ...]:
    home, _ = laid_out(HOME.format(kind=kind, core=core))
    return power_of(home, date(2026, 11, 1)).cables


@pytest.mark.parametrize("core", get_args(CoreSize))
def test_every_core_size_of_the_record_has_a_resistance(core: str) -> None:
    (found,) = runs(core=core)
    assert found.inputs["r"].value == resistance(core)[0]
    assert found.inputs["L"].known == "stated"


def test_a_thicker_cable_leaves_more_voltage() -> None:
    (thin,), (thick,) = runs(core="0.22"), runs(core="1.5")
    assert thin.working.result.value < thick.working.result.value
    # by hand: 96 ohm/km at 30 degrees, 0.15 A, 30 m out and back
    assert thin.working.steps[1].value == pytest.approx(2 * 30 * 0.15 * 96 * 1.0393 / 1000)


def test_a_contact_loop_carries_next_to_nothing_and_is_not_reckoned() -> None:
    assert runs("opening contact") == ()


@pytest.mark.parametrize(
    "kind",
    [kind for kind, keys in SETTINGS.items() if "cable" in keys and kind not in ("opening contact", "hold-up button")],
)
def test_every_kind_that_a_cable_feeds_has_a_current(kind: str) -> None:
    assert [run_.inputs["I"].value > 0 for run_ in runs(kind)] == ([] if kind == "control unit" else [True])
