"""The rules on the control unit, its power and its paths: just inside, on, just outside, and without evidence.

Sources stand beside each limit in the rules' data; what is tested here is that the figure in the data is applied to the
right thing in the right direction. All limits used are common practice, no source, unless a comment says otherwise.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.reckon.power import charge_drawn, recharge_hours
from asfitted.rules.finding import Verdict
from tests.rules.conftest import Ask
from tests.rules.control.test_worked_cases import unit

F, B, C, N, X = Verdict.FAILS, Verdict.BORDERLINE, Verdict.CONFORMS, Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE

MOTION = "MD1: {{kind: motion detector, in: living, corner: north-east, height: 2.2{settings}}}"


def motion(settings: str = "") -> str:
    return MOTION.format(settings=settings and f", {settings}")


def visit(day: str, tests: str, kind: str = "service") -> str:
    return f"{{date: {day}, kind: {kind}, by: technician 4, tests: {{{tests}}}}}"


# Both taped by laser: tolerance 0.01 * sqrt(2) = 0.0141 m. The control unit stands 2.50 m from the south.
@pytest.mark.parametrize(("south", "verdict"), [("1.48", C), ("1.49", B), ("1.50", B), ("1.51", B), ("1.52", F)])
def test_a_metre_from_the_router(ask: Ask, south: str, verdict: Verdict) -> None:
    router = f"{{router: hall, wall: west, from-south: {south}, height: 1.0, by: laser}}"
    assert ask("control-clear-of-router", "CU1", unit(by="laser"), fittings=router).verdict is verdict


def test_between_one_and_two_metres_both_rules_about_the_router_hold(ask: Ask) -> None:
    router = "{router: hall, wall: west, from-south: 1.0, height: 1.0, by: laser}"
    for rule in ("control-clear-of-router", "control-near-router"):
        assert ask(rule, "CU1", unit(by="laser"), fittings=router).verdict is C


@pytest.mark.parametrize(("south", "verdict"), [("1.98", C), ("2.00", B), ("2.02", F)])
@pytest.mark.parametrize("kind", ["consumer-unit", "boiler", "cooker"])
def test_half_a_metre_from_metal(ask: Ask, kind: str, south: str, verdict: Verdict) -> None:
    metal = f"{{{kind}: hall, wall: west, from-south: {south}, height: 1.0, by: laser}}"
    assert ask("control-clear-of-metal", "CU1", unit(by="laser"), fittings=metal).verdict is verdict


@pytest.mark.parametrize(("height", "verdict"), [(0.97, F), (0.99, B), (1.03, C), (1.97, C), (2.01, B), (2.03, F)])
def test_the_height_for_its_radio(ask: Ask, height: float, verdict: Verdict) -> None:
    device = f"CU1: {{kind: control unit, in: hall, wall: west, from-south: 2.5, height: {height}, by: tape}}"
    assert ask("control-radio-height", "CU1", device).verdict is verdict


@pytest.mark.parametrize(("use", "verdict"), [("living", C), ("study", C), ("sunroom", F), ("garage", F), ("loft", F)])
def test_rooms_that_get_too_hot_or_too_cold(ask: Ask, use: str, verdict: Verdict) -> None:
    device = "CU1: {kind: control unit, in: living, wall: east, from-south: 2.5, height: 1.5}"
    assert ask("control-climate", "CU1", device, use=use).verdict is verdict


# EN 50131-1 clause 9, from memory, high confidence: 12 h at grades 1 and 2, 60 h at 3 and 4.
@pytest.mark.parametrize(
    ("grade", "hours", "verdict"),
    [("1", "12 h", C), ("2", "11.9 h", F), ("2", "12 h", C), ("3", "59 h", F), ("3", "60 h", C), ("4", "24 h", F)],
)
@pytest.mark.parametrize("rules", ["uk-england", "de", "be", "fr"])
def test_hours_of_standby_by_grade(ask: Ask, rules: str, grade: str, hours: str, verdict: Verdict) -> None:
    system = f"{{intruder-grade: {grade}}}"
    assert ask("control-standby-hours", "CU1", unit(standby=hours), rules=rules, system=system).verdict is verdict


@pytest.mark.parametrize(("hours", "verdict"), [("29 h", F), ("30 h", N), ("59 h", N), ("60 h", C)])
def test_half_of_the_hours_where_a_receiving_centre_may_be_told(ask: Ask, hours: str, verdict: Verdict) -> None:
    # From memory, medium confidence, grades 3 and 4 only; whether the mains failure is reported is not in the record.
    system = "{intruder-grade: 3, tells: receiving centre}"
    assert ask("control-standby-hours", "CU1", unit(standby=hours), rules="ie", system=system).verdict is verdict


def test_no_half_at_grade_two(ask: Ask) -> None:
    system = "{intruder-grade: 2, tells: receiving centre}"
    assert ask("control-standby-hours", "CU1", unit(standby="6 h"), rules="ie", system=system).verdict is F


@pytest.mark.parametrize(("hours", "verdict"), [("3.9 h", F), ("4 h", N), ("23 h", N), ("24 h", C)])
def test_american_hours_between_the_two_editions_are_to_be_asked(ask: Ask, hours: str, verdict: Verdict) -> None:
    # NFPA 731:2008 preface, read: 24 h, and 4 h in the edition of 2006.
    assert ask("control-standby-hours", "CU1", unit(standby=hours), rules="us").verdict is verdict


@pytest.mark.parametrize("rules", ["common", "ca", "au", "nz"])
def test_hours_of_standby_are_not_lent_to_sets_without_a_figure(ask: Ask, rules: str) -> None:
    finding = ask("control-standby-hours", "home", unit(standby="1 h"), rules=rules)
    assert finding.verdict is X
    assert "ask the authority" in finding.says


@pytest.mark.parametrize(
    ("test", "verdict"),
    [("mains-off: held, held-for: 15 min", C), ("mains-off: held, held-for: 13 h", C),
     ("mains-off: lost, held-for: 8 h", F)],
)  # fmt: skip
def test_a_short_test_that_held_disproves_nothing_but_one_that_was_lost_does(
    ask: Ask, test: str, verdict: Verdict
) -> None:
    visits = visit("2026-10-01", f"CU1: {{{test}}}")
    found = ask("control-standby-hours", "CU1", unit(standby="12 h"), rules="uk-england", visits=visits)
    assert found.verdict is verdict


def test_hours_of_standby_without_evidence(ask: Ask) -> None:
    finding = ask("control-standby-hours", "CU1", unit(), rules="uk-england")
    assert finding.verdict is N
    assert "no grade, so grade 2 is taken" in finding.says


# Iq 100 mA, Ia 100 mA, 12 h recorded: 1.2 Ah drawn, 125 % of which is 1.5 Ah.
@pytest.mark.parametrize(("capacity", "verdict"), [("1.49 Ah", F), ("1.5 Ah", C), ("1.51 Ah", C)])
def test_a_quarter_more_than_what_is_drawn(ask: Ask, capacity: str, verdict: Verdict) -> None:
    device = unit(capacity=capacity, current="100 mA", alarm_current="100 mA", standby="12 h")
    assert ask("control-battery-size", "CU1", device).verdict is verdict


@pytest.mark.parametrize("missing", ["capacity", "current", "alarm_current", "standby"])
def test_a_battery_is_not_reckoned_with_a_figure_missing(ask: Ask, missing: str) -> None:
    given = {"capacity": "7 Ah", "current": "100 mA", "alarm_current": "200 mA", "standby": "12 h"}
    del given[missing]
    finding = ask("control-battery-size", "CU1", unit(**given))
    assert finding.verdict is N
    assert missing.replace("_", "-") in finding.remedy


def test_a_system_that_draws_nothing_proves_nothing(ask: Ask) -> None:
    device = unit(capacity="7 Ah", current="0 mA", alarm_current="0 mA", standby="12 h")
    assert ask("control-battery-size", "CU1", device).verdict is N


@pytest.mark.parametrize(("grade", "verdict"), [("2", C), ("3", N)])
def test_a_stronger_charger_at_grade_three(ask: Ask, grade: str, verdict: Verdict) -> None:
    # 72 h at grade 2, 24 h at grade 3: EN 50131-1, from memory, medium. 7 x 0.8 x 1.2 / 0.2 = 33.6 h.
    device = unit(capacity="7 Ah", charging_current="200 mA")
    finding = ask("control-recharge", "CU1", device, rules="fr", system=f"{{intruder-grade: {grade}}}")
    assert finding.verdict is verdict


def test_a_measured_charging_current_goes_before_a_recorded_one(ask: Ask) -> None:
    visits = visit("2026-10-01", "CU1: {charging: 50 mA}")
    device = unit(capacity="7 Ah", charging_current="500 mA")
    assert ask("control-recharge", "CU1", device, rules="us", visits=visits).verdict is F


@pytest.mark.parametrize(
    ("fitted", "verdict"), [("2022-11-26", C), ("2022-11-20", B), ("2021-11-27", B), ("2021-11-20", F)]
)
def test_four_years_are_late_and_five_too_late_for_a_battery(ask: Ask, fitted: str, verdict: Verdict) -> None:
    device = unit(battery=f"{{type: lead battery, fitted: {fitted}}}")
    assert ask("standby-battery-age", "CU1", device).verdict is verdict


def test_a_recorded_change_makes_the_battery_new(ask: Ask) -> None:
    visits = visit("2026-10-01", "CU1: {battery-changed: yes}")
    device = unit(battery="{type: lead battery, fitted: 2015-01-01}")
    assert ask("standby-battery-age", "CU1", device, visits=visits).verdict is C


# 80 % of 5 years is 4 years: 1461 days before 2026-11-25 is 2022-11-25.
@pytest.mark.parametrize(("fitted", "verdict"), [("2022-11-26", C), ("2022-11-25", C), ("2022-11-24", F)])
def test_four_fifths_of_the_life_of_a_cell(ask: Ask, fitted: str, verdict: Verdict) -> None:
    cell = f"battery: {{type: 2 x AA, life: 5 years, fitted: {fitted}}}"
    assert ask("cell-age", "MD1", motion(cell)).verdict is verdict


@pytest.mark.parametrize(("fitted", "verdict"), [("2024-11-26", C), ("2024-11-20", F)])
def test_two_years_for_a_cell_of_unknown_life(ask: Ask, fitted: str, verdict: Verdict) -> None:
    assert ask("cell-age", "MD1", motion(f"battery: {{type: 2 x AA, fitted: {fitted}}}")).verdict is verdict


def test_a_sealed_cell_is_never_changed(ask: Ask) -> None:
    assert ask("cell-age", "MD1", motion("battery: 'sealed, 10 years', fitted: 2010-01-01")).verdict is X


# Changed at the visit that finds it: common practice, no source, and everywhere else borrowed. The 720 h of reserve that
# EN 50131-1 gives a cell (from memory) is no time to wait.
@pytest.mark.parametrize(
    ("rules", "on", "verdict"),
    [("common", date(2026, 10, 1), F), ("fr", date(2026, 10, 2), F), ("common", date(2026, 9, 30), N)],
)
def test_days_that_a_low_battery_waits(ask: Ask, rules: str, on: date, verdict: Verdict) -> None:
    visits = visit("2026-10-01", "MD1: {battery: low}")
    assert ask("battery-low", "MD1", motion("battery: 2 x AA"), rules=rules, on=on, visits=visits).verdict is verdict


@pytest.mark.parametrize(
    ("second", "router", "verdict"),
    [
        ("mobile", None, C),
        ("radio", "no", C),
        ("none", "yes", C),
        ("none", "no", F),
        ("none", None, N),
        (None, None, N),
    ],
)
def test_a_way_out_with_the_mains_off(ask: Ask, second: str | None, router: str | None, verdict: Verdict) -> None:
    given = {"second_path": second, "router_standby": router}
    device = unit(**{key: value for key, value in given.items() if value})
    assert ask("alarm-path-without-mains", "CU1", device).verdict is verdict


# Grade 2: SP2, grade 3: SP4 or dual: EN 50131-1 with EN 50136-1, from memory, low confidence, so nothing fails.
@pytest.mark.parametrize(
    ("grade", "path", "verdict"),
    [("2", "SP1", N), ("2", "SP2", C), ("2", "DP1", C), ("3", "SP3", N), ("3", "SP4", C), ("3", "DP3", C),
     ("4", "SP6", N)],
)  # fmt: skip
def test_the_category_of_the_path_by_grade(ask: Ask, grade: str, path: str, verdict: Verdict) -> None:
    system = f"{{intruder-grade: {grade}, tells: receiving centre, path: {path}}}"
    assert ask("alarm-path-category", "home", unit(), rules="uk-wales", system=system).verdict is verdict


@pytest.mark.parametrize(
    ("system", "verdict"),
    [("tells: household", C), ("tells: household, police: yes", F), ("tells: household, path: SP2", F),
     ("tells: nobody", C), ("tells: receiving centre, police: yes", C), ("police: yes", N)],
)  # fmt: skip
def test_a_message_to_the_household_is_not_monitoring(ask: Ask, system: str, verdict: Verdict) -> None:
    finding = ask("household-told-is-not-monitored", "home", unit(), system=f"{{{system}}}")
    assert finding.verdict is verdict
    assert "monitored" not in finding.says


@pytest.mark.parametrize(
    ("settings", "verdict"),
    [({"second_path": "mobile", "mobile": "3G"}, F), ({"second_path": "mobile", "mobile": "4G"}, C),
     ({"second_path": "mobile"}, N), ({"second_path": "none"}, X), ({"mobile": "2G"}, F)],
)  # fmt: skip
def test_networks_that_are_being_switched_off(ask: Ask, settings: dict[str, str], verdict: Verdict) -> None:
    assert ask("control-mobile-network", "CU1", unit(**settings)).verdict is verdict


@pytest.mark.parametrize(
    ("level", "verdict"), [("-94 dBm", C), ("-95 dBm", C), ("-96 dBm", B), ("-110 dBm", B), ("-111 dBm", F)]
)
def test_the_level_of_the_mobile_network(ask: Ask, level: str, verdict: Verdict) -> None:
    device = unit(second_path="mobile", mobile_level=level)
    assert ask("control-mobile-level", "CU1", device).verdict is verdict


@pytest.mark.parametrize(
    ("margin", "verdict"), [("10 dB", C), ("9 dB", C), ("8.9 dB", B), ("6 dB", B), ("5.9 dB", F), ("-3 dB", F)]
)
def test_the_margin_of_the_radio_link(ask: Ask, margin: str, verdict: Verdict) -> None:
    visits = visit("2026-10-01", f"MD1: {{signal: {margin}}}")
    assert ask("radio-margin", "MD1", motion(), visits=visits).verdict is verdict


def test_the_margin_without_evidence_or_without_radio(ask: Ask) -> None:
    assert ask("radio-margin", "MD1", motion()).verdict is N
    assert ask("radio-margin", "MD1", motion("joined-by: cable")).verdict is X
    assert ask("radio-margin", "SA1", "SA1: {kind: smoke alarm, on: ceiling of hall}").verdict is X


@pytest.mark.parametrize(("day", "verdict"), [("2025-11-25", C), ("2025-11-24", C), ("2025-11-23", F)])
def test_the_radio_link_is_measured_every_year(ask: Ask, day: str, verdict: Verdict) -> None:
    visits = visit(day, "MD1: {signal: 20 dB}")
    assert ask("radio-margin-measured-again", "home", motion(), visits=visits).verdict is verdict


AMPERES = st.floats(0.001, 5, allow_nan=False)
HOURS = st.floats(0, 120, allow_nan=False)


@given(current=AMPERES, alarm=AMPERES, hours=HOURS, more=st.floats(0, 60, allow_nan=False))
def test_a_longer_standby_never_draws_less(current: float, alarm: float, hours: float, more: float) -> None:
    assert (
        charge_drawn(current, max(alarm, current), hours + more)
        >= charge_drawn(current, max(alarm, current), hours) - 1e-9
    )


@given(current=AMPERES, hours=HOURS)
def test_without_an_alarm_current_of_its_own_it_is_current_by_time(current: float, hours: float) -> None:
    assert charge_drawn(current, current, hours) == pytest.approx(current * hours)


@given(capacity=st.floats(0.1, 100), current=AMPERES)
def test_twice_the_current_charges_in_half_the_time(capacity: float, current: float) -> None:
    assert recharge_hours(capacity, 2 * current) == pytest.approx(recharge_hours(capacity, current) / 2)


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="not negative"):
        charge_drawn(-0.1, 0.2, 12)
    with pytest.raises(ValueError, match="more than 0 A"):
        recharge_hours(7, 0)


def test_the_oldest_radio_reading_counts_and_is_named(ask: Ask) -> None:
    devices = f"{motion()}, OC1: {{kind: opening contact, on: front-door, edge: top}}"
    visits = ", ".join(
        [visit("2025-01-01", "MD1: {signal: 20 dB}, OC1: {signal: 20 dB}"), visit("2026-10-01", "MD1: {signal: 20 dB}")]
    )
    finding = ask("radio-margin-measured-again", "home", devices, visits=visits)
    assert finding.verdict is F
    assert "OC1" in finding.says
    assert "MD1" not in finding.says


@pytest.mark.parametrize("rule", ["control-second-path", "control-wired-to-router"])
@pytest.mark.parametrize(("tells", "verdict"), [("nobody", X), ("household", F), ("receiving centre", F)])
def test_a_system_that_only_sounds_needs_no_alarm_path(ask: Ask, rule: str, tells: str, verdict: Verdict) -> None:
    unit = "CU1: {kind: control unit, in: hall, wired-to: nothing, second-path: none}"
    assert ask(rule, "CU1", unit, system=f"{{tells: {tells}}}").verdict is verdict


@pytest.mark.parametrize(("battery", "verdict"), [("yes", C), ("no", F)])
def test_a_second_path_is_no_use_in_a_control_unit_without_its_battery(
    ask: Ask, battery: str, verdict: Verdict
) -> None:
    unit = f"CU1: {{kind: control unit, in: hall, second-path: mobile, standby-battery: {battery}}}"
    assert ask("alarm-path-without-mains", "CU1", unit).verdict is verdict


def test_a_battery_of_unknown_day_is_told_of_by_one_rule_only(ask: Ask) -> None:
    device = motion("battery: 2 x AA")
    assert ask("cell-age", "MD1", device).verdict is X
    assert ask("batteries-dated", "MD1", device).verdict is N


def test_a_battery_of_no_capacity_is_not_charged_in_no_time(ask: Ask) -> None:
    unit = "CU1: {kind: control unit, in: hall, capacity: 0 Ah, charging-current: 94 mA}"
    assert ask("control-recharge", "CU1", unit, rules="ie").verdict is N
