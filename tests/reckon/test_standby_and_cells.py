"""Standby batteries and primary cells against closed forms, standards' forms and a published example; then homes."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.reckon.cells import cells_in, crosses, figures, life, mean_current, years, years_fading
from asfitted.reckon.of_cells import CellLife
from asfitted.reckon.of_power import HomePower, Standby, power_of
from asfitted.reckon.power import Pulse, recharge_hours
from asfitted.reckon.standby import Form, capacity, forms, peukert, recharge
from asfitted.reckon.uncertainty import uncertainty
from asfitted.reckon.working import Input, sensitivity
from tests.reckon.laid_out import laid_out

ON = date(2026, 11, 1)


def figures_of(**values: float) -> dict[str, Input]:
    return {symbol: Input(symbol, symbol, value, "", "stated", "test") for symbol, value in values.items()}


@pytest.mark.parametrize(
    ("hours", "rest", "alarm", "derating", "needed"),
    [
        (24, 0.05, 0.3, 1.0, 1.6875),
        (24, 0.05, 0.6, 1.75, 2.15625),
        (24, 0.18, 1.2, 1.75, 6.7125),
        (72, 0.18, 1.2, 1.75, 17.5125),
        (24, 0.4, 2.0, 1.75, 14.1875),
    ],
)
def test_the_british_form_gives_its_worked_numbers(
    hours: float, rest: float, alarm: float, derating: float, needed: float
) -> None:
    # BS 5839-1, annex (form from memory): 1.25 (T1 I1 + D I2 / 2), by hand
    stated = forms()["BS 5839-1"]
    form = replace(stated, derating=derating)
    assert form.needed(rest, alarm, hours) == pytest.approx(needed, abs=1e-9)


def test_the_published_example_counts_an_hour_of_alarm_where_it_says_half_an_hour() -> None:
    # scribd.com/document/424947902 (read): 24 h, 0.05 A, "30 minutes" of 0.3 A, x 1.25, printed as 1.874 Ah; that is an
    # hour of alarm, 1.875 Ah; half an hour makes 1.6875 Ah
    assert Form("an hour", 1.25, 60, 1.0, inside=False, source="").needed(0.05, 0.3, 24) == pytest.approx(
        1.875, abs=1e-9
    )
    assert Form("half an hour", 1.25, 30, 1.0, inside=False, source="").needed(0.05, 0.3, 24) == pytest.approx(
        1.6875, abs=1e-9
    )


def test_the_american_form_fails_a_12_ampere_hour_battery_by_little() -> None:
    # NFPA 72, premises (form from memory): 24 h of 0.42 A and 5 min of 3.8 A make 10.3967 Ah, a fifth more 12.476; by hand
    assert forms()["NFPA 72, premises"].needed(0.42, 3.8, 24) == pytest.approx(12.476, abs=5e-4)


@pytest.mark.parametrize(("rest", "alarm", "needed"), [(0.12, 0.8, 3.520), (0.05, 0.3, 1.464)])
def test_the_household_form_counts_four_minutes(rest: float, alarm: float, needed: float) -> None:
    # NFPA 72, chapter 29 (form from memory), by hand
    assert forms()["NFPA 72, household"].needed(rest, alarm, 24) == pytest.approx(needed, abs=5e-4)


@pytest.mark.parametrize(
    ("hours", "rest", "alarm", "minutes", "needed"), [(12, 0.12, 0.6, 30, 2.100), (60, 0.12, 0.6, 0, 9.000)]
)
def test_the_trade_s_form_counts_the_alarm_within_the_standby(
    hours: float, rest: float, alarm: float, minutes: float, needed: float
) -> None:
    # common practice, no source: 1.25 (I (T - ta) + Ia ta), by hand
    assert Form("", 1.25, minutes, 1.0, inside=True, source="").needed(rest, alarm, hours) == pytest.approx(
        needed, abs=1e-9
    )


def test_the_working_of_a_standby_ends_in_what_is_left_over() -> None:
    form = forms()["BS 5839-1"]
    inputs = {**figures_of(I=0.18, Ia=1.2, T=24, C=7), **form.inputs()}
    sheet = capacity(inputs, form, "CU1")
    assert [step.symbol for step in sheet.steps] == ["N", "H", "m"]
    assert [step.value for step in sheet.steps] == pytest.approx([6.7125, (7 / 1.25 - 1.75 * 0.6) / 0.18, 0.2875])
    assert capacity({s: v for s, v in inputs.items() if s != "C"}, form, "CU1").result.symbol == "N"


@pytest.mark.parametrize("name", list(forms()))
def test_a_battery_of_just_the_needed_capacity_holds_just_the_standby(name: str) -> None:
    form = forms()[name]
    inputs = {**figures_of(I=0.12, Ia=0.6, T=24, C=form.needed(0.12, 0.6, 24)), **form.inputs()}
    held, left = capacity(inputs, form, "").steps[1:]
    assert held.value == pytest.approx(24)
    assert left.value == pytest.approx(0, abs=1e-9)


def test_a_charger_brings_back_80_per_cent_in_the_hours_of_the_formula() -> None:
    # physics: 80 % of 7 Ah in 72 h is 77.8 mA stored; with a fifth more for loss (common practice) 93.3 mA go in
    assert recharge_hours(7, 0.0778 * 1.2) == pytest.approx(72, abs=0.03)
    assert recharge(figures_of(C=7, Ic=0.28, q=0.8), "").result.value == pytest.approx(24.0)


def test_a_lead_battery_lasts_less_than_its_share_at_a_high_current() -> None:
    # Peukert's law, 7 Ah at 20 h, exponent 1.2, by hand
    assert peukert(7, 20, 1.0) == pytest.approx(5.674, abs=5e-4)
    assert peukert(7, 20, 0.35) == pytest.approx(20.0, abs=1e-9)


WEEKLY = (Pulse(10, 0.010, 2160), Pulse(25, 15, 1 / 7))
CASES = [
    (1500, 8, (Pulse(15, 0.020, 1440),), 0.01, 13.0000, 13.163, 11.632, 12.362, 9.887),
    (850, 4, (Pulse(25, 0.030, 60),), 0.01, 4.5208, 21.449, 17.661, 19.423, 15.012),
    (3000, 20, (Pulse(20, 0.050, 288),), 0.01, 23.3333, 14.667, 12.791, 13.682, 10.872),
    (2500, 20, (Pulse(20, 0.050, 288),), 0.03, 23.3333, 12.223, 8.943, 10.390, 7.602),
    (550, 6, WEEKLY, 0.03, 9.1200, 6.880, 5.703, 6.246, 4.847),
    (1200, 6, WEEKLY, 0.01, 9.1200, 15.010, 13.051, 13.980, 11.093),
    (2400, 6, (Pulse(60, 0.010, 2160),), 0.01, 21.0000, 13.037, 11.534, 12.251, 9.804),
]


@pytest.mark.parametrize(("c", "sleep", "pulses", "s", "mean", "bare", "linear", "fading", "usable"), CASES)
def test_a_cell_lasts_as_the_two_models_of_self_discharge_say(
    c: float,
    sleep: float,
    pulses: tuple[Pulse, ...],
    s: float,
    mean: float,
    bare: float,
    linear: float,
    fading: float,
    usable: float,
) -> None:
    # charge balance over a year of 8766 h, evaluated apart to the digits shown; 8760 h would shift it by 0.07 per cent
    current = mean_current(sleep, pulses)
    assert current == pytest.approx(mean, abs=5e-5)
    assert years(c, current) == pytest.approx(bare, abs=6e-4)
    assert years(c, current, s) == pytest.approx(linear, abs=6e-4)
    assert years_fading(c, current, s) == pytest.approx(fading, abs=6e-4)
    assert years(c, current, s, 0.85) == pytest.approx(usable, abs=6e-4)


@pytest.mark.parametrize(("c", "span", "most"), [(1500, 10, 15.400), (850, 5, 18.423)])
def test_the_most_a_device_may_draw_for_a_life_is_the_formula_turned_round(c: float, span: float, most: float) -> None:
    # C / Y = I h + s C with 1 per cent a year, by hand
    assert years(c, most, 0.01) == pytest.approx(span, abs=1e-3)


def test_a_cell_from_which_nothing_goes_is_refused() -> None:
    with pytest.raises(ValueError, match="never ends"):
        years(1500, 0)


def test_the_working_of_a_cell_names_its_life_and_what_moves_it_most() -> None:
    inputs = figures_of(C=1500, u=1, s=0.01, Iq=8, I1=15, t1=0.020, n1=1440)
    assert life(inputs, "MD1").result.value == pytest.approx(11.632, abs=6e-4)
    spread = {
        **inputs,
        "Iq": Input("Iq", "", 8, "µA", "assumed", "", 4),
        "C": Input("C", "", 1500, "mAh", "assumed", "", 1),
    }
    swings = sensitivity(lambda given: life(given, ""), spread)
    assert [swing.given.symbol for swing in swings] == ["Iq", "C"]
    assert uncertainty(lambda given: life(given, ""), spread) == pytest.approx(swings[0].size / 2, rel=1e-3)


@given(st.floats(50, 20_000), st.floats(0.1, 1000), st.floats(0.1, 1000), st.floats(0, 0.2))
def test_a_device_that_draws_more_never_lasts_longer(c: float, draw: float, more: float, s: float) -> None:
    assert years(c, draw + more, s) <= years(c, draw, s)


@given(st.floats(50, 20_000), st.floats(0.1, 1000), st.floats(0.001, 0.2))
def test_a_fading_cell_lasts_between_the_linear_model_and_none(c: float, draw: float, s: float) -> None:
    assert years(c, draw, s) <= years_fading(c, draw, s) * (1 + 1e-9)
    assert years_fading(c, draw, s) <= years(c, draw) * (1 + 1e-9)


@pytest.mark.parametrize(
    ("written", "count", "called"),
    [
        ("4 x AA", 4, "AA"),
        ("CR2450", 1, "CR2450"),
        ("1 x CR123", 1, "CR123A"),
        ("2x AAA", 2, "AAA"),
        ("9 V", 1, "9 V"),
        ("lithium 9V", 1, "lithium 9 V"),
        ("2 × lithium AA", 2, "lithium AA"),
        ("4 x D", 4, "D"),
    ],
)
def test_a_battery_in_words_is_count_and_size(written: str, count: int, called: str) -> None:
    found = cells_in(written)
    assert found is not None
    assert (found[0], found[1].called) == (count, called)


@pytest.mark.parametrize("written", ["sealed", "rechargeable pack", "12 V 7 Ah lead", "unknown"])
def test_what_is_no_known_cell_is_not_guessed(written: str) -> None:
    assert cells_in(written) is None


def test_every_cell_and_draw_of_the_table_gives_a_life() -> None:
    for name, row in figures()["cell"].items():
        assert all(cells_in(word) is not None for word in (name, *row["names"])), name
        assert row["low"] < row["volts"]
    for row in figures()["draw"].values():
        pulses = [Pulse(pulse["current"], pulse["seconds"], pulse["per-day"]) for pulse in row["pulses"]]
        assert 0.1 < years(1000, mean_current(row["sleep"], pulses), 0.03) < 33


def test_falling_readings_reach_a_level_on_the_day_of_their_straight_line() -> None:
    # by hand: 6.4 V falls by 0.01 V a day and is at 4.4 V after 200 days
    start = date(2026, 1, 1)
    readings = [(start + timedelta(days=days), 6.4 - 0.01 * days) for days in (0, 40, 100)]
    assert crosses(readings, 4.4) == start + timedelta(days=200)
    assert crosses(readings[:1], 4.4) is None
    assert crosses([(start, 6.0), (start + timedelta(days=9), 6.1)], 4.4) is None


HOME = """
record: 1
home: {{label: Test}}
system: {{{system}}}
storeys:
  - {{id: ground, height: 2.40, rooms: [{{id: hall, use: circulation, corner: [0, 0], size: [4.0, 3.0]}}]}}
devices:
  CU1: {{kind: control unit, in: hall, wall: north, from-west: 1.0, height: 1.5{unit}}}
  MD1: {{kind: motion detector, in: hall, corner: south-west, height: 2.1, fitted: 2025-01-01, battery: {{type: 1 x CR123{life}}}{more}}}
  KP1: {{kind: keypad, in: hall, wall: east, from-south: 1.0, height: 1.4, fitted: 2025-01-01, battery: {{type: 4 x AA, life: 2 years}}}}
  SA1: {{kind: smoke alarm, on: ceiling of hall, from-west: 2, from-south: 1.5, fitted: 2025-01-01, battery: "sealed, 10 years"}}
  FD1: {{kind: flood detector, in: hall}}
  MD2: {{kind: motion detector, in: hall, joined-by: cable}}
visits: {visits}
"""


def power(*, unit: str = "", life_: str = "", more: str = "", system: str = "", visits: str = "[]") -> HomePower:
    home, _ = laid_out(HOME.format(unit=unit, life=life_, more=more, system=system, visits=visits))
    return power_of(home, ON)


def unit_of(found: HomePower) -> Standby:
    (unit,) = found.standby
    return unit


def cell_of(found: HomePower, tag: str) -> CellLife:
    return next(cell for cell in found.cells if cell.tag == tag)


def known(inputs: Mapping[str, Input]) -> dict[str, str]:
    return {symbol: given_.known for symbol, given_ in inputs.items()}


def test_a_control_unit_of_which_nothing_is_recorded_is_reckoned_by_assumptions_that_say_what_to_measure() -> None:
    unit = unit_of(power())
    assert known(unit.inputs) == {"I": "assumed", "Ia": "assumed", "T": "standard"}
    assert len(unit.ask) == 3
    assert unit.recharged is None
    # by hand: 1.25 (0.12 x 11.75 + 0.6 x 0.25)
    assert unit.workings["common practice"].result.value == pytest.approx(1.95)
    assert list(unit.workings) == ["common practice", "BS 5839-1", "NFPA 72, premises", "NFPA 72, household"]


def test_what_the_record_says_of_a_control_unit_goes_into_every_form() -> None:
    said = ", current: 0.18 A, alarm-current: 1.2 A, standby: 24 h, capacity: 7 Ah, charging-current: 280 mA"
    unit = unit_of(power(unit=said))
    assert set(known(unit.inputs).values()) == {"stated"}
    assert unit.workings["BS 5839-1"].result.value == pytest.approx(0.2875)
    assert unit.recharged is not None
    assert unit.recharged.result.value == pytest.approx(24.0)
    assert unit.ask == ()


def test_a_higher_grade_asks_for_60_hours_unless_the_record_says_how_long() -> None:
    # EN 50131-1, 9.2, type A (from memory)
    assert unit_of(power(system='intruder-grade: "3"')).inputs["T"].value == 60
    assert unit_of(power(system='intruder-grade: "2"')).inputs["T"].value == 12


def test_the_charging_current_last_measured_beats_what_is_stated() -> None:
    visits = "[{date: 2026-10-10, kind: service, by: technician 1, tests: {CU1: {charging: 140 mA}}}]"
    unit = unit_of(power(unit=", capacity: 7 Ah, charging-current: 280 mA", visits=visits))
    assert unit.recharged is not None
    assert unit.recharged.result.value == pytest.approx(48.0)
    assert unit.charging is not None
    assert unit.charging["Ic"].known == "measured"


def test_how_long_it_was_seen_to_hold_stands_beside_the_reckoning() -> None:
    visits = "[{date: 2026-10-10, kind: service, by: technician 1, tests: {CU1: {mains-off: held, held-for: 2 h}}}]"
    assert unit_of(power(visits=visits)).held == (2.0, True, date(2026, 10, 10))


def test_the_sensitivity_of_a_standby_tries_the_assumed_currents() -> None:
    unit, form = unit_of(power()), forms()["common practice"]
    swings = sensitivity(lambda inputs: unit.by(form, inputs), unit.inputs_of(form))
    assert [swing.given.symbol for swing in swings] == ["I", "Ia"]


def test_a_cell_of_which_no_life_is_stated_is_reckoned_with_its_doubt_and_dated() -> None:
    cell = cell_of(power(), "MD1")
    assert cell.life is None
    assert cell.put_in == date(2025, 1, 1)
    assert cell.due is not None
    assert cell.between is not None
    assert cell.between[0] < cell.due < cell.between[1]
    assert {"Iq", "n1", "n2"} <= {swing.given.symbol for swing in sensitivity(cell.reckon, cell.inputs)}
    assert all(given_.ask for symbol, given_ in cell.inputs.items() if symbol not in "Cus")


def test_a_report_interval_that_is_recorded_sets_the_number_of_reports() -> None:
    often, seldom = (cell_of(power(more=f", reports-every: {span}"), "MD1") for span in ("2 min", "2 h"))
    assert often.inputs["n1"].value == pytest.approx(720)
    assert often.inputs["n1"].known == "stated"
    assert often.working.result.value < seldom.working.result.value


def test_the_life_a_maker_states_counts_and_the_reckoning_stands_beside_it() -> None:
    cell = cell_of(power(life_=", life: 3 years"), "MD1")
    assert cell.due == date(2028, 1, 1)
    assert cell.between == (date(2027, 6, 1), date(2028, 1, 1))  # 0.8 of 36 months are 28.8, so 29
    assert cell.reckoned is not None
    assert not cell.falls_short
    assert cell_of(power(life_=", life: 15 years"), "MD1").falls_short


def test_a_battery_is_counted_from_its_last_change() -> None:
    visits = """
  - {date: 2025-06-01, kind: service, by: technician 1, tests: {KP1: {battery: 5.0 V}}}
  - {date: 2026-06-01, kind: service, by: technician 1, tests: {KP1: {battery: 6.3 V, battery-changed: yes}}}"""
    cell = cell_of(power(visits=visits), "KP1")
    assert cell.put_in == date(2026, 6, 1)
    assert cell.due == date(2028, 6, 1)
    assert cell.readings == ((date(2026, 6, 1), 6.3),)


@pytest.mark.parametrize(("read", "low"), [("4.3 V", True), ("5.9 V", False), ("low", True), ("good", False)])
def test_a_reading_says_whether_the_battery_is_nearly_empty(read: str, *, low: bool) -> None:
    visits = f"[{{date: 2026-06-01, kind: service, by: technician 1, tests: {{KP1: {{battery: {read}}}}}}}]"
    assert cell_of(power(visits=visits), "KP1").reads_low is low


def test_alkaline_readings_are_drawn_on_and_lithium_ones_are_not() -> None:
    visits = """
  - {date: 2025-06-01, kind: service, by: technician 1, tests: {KP1: {battery: 6.2 V}, MD1: {battery: 3.1 V}}}
  - {date: 2026-06-01, kind: service, by: technician 1, tests: {KP1: {battery: 5.6 V}, MD1: {battery: 2.9 V}}}"""
    found = power(visits=visits)
    # by hand: 0.6 V in 365 days, 1.2 V more to 4 x 1.1 V
    assert cell_of(found, "KP1").falls_to_low == date(2026, 6, 1) + timedelta(days=730)
    assert cell_of(found, "MD1").falls_to_low is None


def test_a_sealed_battery_ends_with_its_stated_life_and_is_not_reckoned() -> None:
    cell = cell_of(power(), "SA1")
    assert cell.due == date(2035, 1, 1)
    assert cell.reckoned is None
    assert cell.working.result.value == pytest.approx(10.0)


def test_devices_of_whose_battery_nothing_is_recorded_are_named_and_wired_ones_are_not() -> None:
    assert power().unknown == ("FD1",)


def test_the_battery_that_may_end_first_is_named() -> None:
    found = power(life_=", life: 1 year").next_change
    assert found is not None
    assert found.tag == "MD1"


def test_a_life_longer_than_a_cell_keeps_is_not_to_be_counted_on() -> None:
    # an alkaline cell keeps about 5 years unused (read: a public encyclopaedia of energy), a lithium one 10
    text = HOME.format(unit="", life="", more="", system="", visits="[]").replace("4 x AA, life: 2 years", "4 x D")
    found = power_of(laid_out(text)[0], ON)
    assert "about 5 years" in " ".join(cell_of(found, "KP1").working.caveats)
    assert "unused" not in " ".join(cell_of(found, "MD1").working.caveats)
