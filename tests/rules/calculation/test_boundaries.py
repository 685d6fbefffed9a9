"""The rules on what is reckoned: just inside, on, just outside, without evidence, and a reading before a prediction.

All limits are common practice, no source, unless a comment says otherwise: their figures are this project's reading.
"""

import subprocess
import sys
from datetime import date
from math import pi

import pytest

from asfitted.rules.examples import case_of, home_text, judged
from asfitted.rules.finding import Verdict
from tests.rules.conftest import Ask, Make

F, B, C, N, X = Verdict.FAILS, Verdict.BORDERLINE, Verdict.CONFORMS, Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE

UNIT = "CU1: {kind: control unit, in: hall, wall: west, from-south: 4.0, height: 1.5}"
FRONT = "OC1: {kind: opening contact, on: front-door, joined-by: radio}"
NORTH = ", place: [53.6, -2.3], plan-north: 0 deg"


def motion(settings: str = "corner: north-west, facing: 135 deg, range: 12", tag: str = "MD1") -> str:
    return f"{tag}: {{kind: motion detector, in: living, height: 2.1, field: 90, looks-down: 60, {settings}}}"


def service(tests: str = "", day: str = "2026-10-01") -> str:
    return f"{{date: {day}, kind: service, by: technician 4, tests: {{{tests}}}}}"


# A quarter of a circle of 4.8 m fits into the room of 6 by 5 m, without the quarter underneath of
# (2.1 - 0.8) / tan 60 = 0.751 m: the area of a sector (handbooks of geometry), pi r^2 / 4.
def test_the_share_covered_is_that_of_a_sector_less_the_hole_underneath(ask: Ask) -> None:
    finding = ask("motion-covers-room", "living", motion("corner: north-west, facing: 135 deg, range: 4.8"))
    hole = (2.1 - 0.8) / 3**0.5
    assert finding.found == pytest.approx(100 * pi / 4 * (4.8**2 - hole**2) / 30, abs=0.2)  # its arc is drawn in chords


@pytest.mark.parametrize(("reach", "verdict"), [(12, C), (6, C), (5, B), (4, B), (3, F)])
def test_how_far_it_reaches_decides_how_much_of_the_room_it_covers(ask: Ask, reach: float, verdict: Verdict) -> None:
    device = motion(f"corner: north-west, facing: 135 deg, range: {reach}")
    assert ask("motion-covers-room", "living", device).verdict is verdict


def test_two_detectors_cover_a_room_together(ask: Ask) -> None:
    one = motion("corner: north-west, facing: 135 deg, range: 5")
    two = motion("corner: south-east, facing: 315 deg, range: 5", "MD2")
    alone, both = (ask("motion-covers-room", "living", devices) for devices in (one, f"{one}, {two}"))
    assert alone.verdict is B
    assert both.verdict is C
    assert "MD1 and MD2 cover" in both.says


def test_a_walk_test_that_missed_beats_what_is_reckoned(ask: Ask) -> None:
    assert ask("motion-covers-room", "living", motion(), visits=service("MD1: {walk: missed}")).verdict is X
    assert ask("motion-covers-room", "living", motion(), visits=service("MD1: {walk: detected}")).verdict is C


def test_what_was_assumed_is_named_with_what_to_measure(ask: Ask) -> None:
    device = "MD1: {kind: motion detector, in: living, corner: north-west, range: 4, field: 90}"
    finding = ask("motion-covers-room", "living", device)
    assert finding.verdict is F
    assert "To be surer: Measure its height above the floor, and record it." in finding.remedy


def test_the_blind_spot_is_named_and_marked(ask: Ask) -> None:
    cupboard = "{tall-furniture: living, from-west: 0.6, from-north: 0.6, size: [1.0, 1.0], height: 2.2}"
    finding = ask("motion-covers-room", "living", motion(), fittings=cupboard)
    assert finding.verdict is F
    assert "the widest blind spot is" in finding.says
    assert finding.mark is not None
    assert finding.mark.radius is not None
    assert finding.mark.at[0] > 4.0  # far behind the cupboard, in the south-east


# UL 1641:2015, 15.3.1: at most four steps of 610 mm until a detector has signalled, 2.44 m.
@pytest.mark.parametrize(("reach", "metres"), [(4.0, 4.29), (3.6, 4.69)])
def test_the_steps_until_it_signals_count_as_walked(ask: Ask, reach: float, metres: float) -> None:
    unit = "CU1: {kind: control unit, in: living, wall: east, from-south: 4.0, height: 1.5}"
    device = motion(f"corner: north-east, facing: 225 deg, range: {reach}")
    finding = ask("undetected-walk", "home", f"{unit}, {FRONT}, {device}")
    assert finding.verdict is C
    assert finding.found == pytest.approx(metres, abs=0.03)


def test_a_window_from_which_nothing_signals_is_the_weakest(ask: Ask) -> None:
    finding = ask("undetected-walk", "home", f"{UNIT}, {FRONT}")
    assert finding.verdict is F
    assert "The weakest opening is the living window" in finding.says
    assert "contact on the living window" in finding.remedy
    assert finding.path == ("storeys", 0, "openings", 3)


def test_contacts_on_all_openings_leave_nothing_to_walk(ask: Ask) -> None:
    devices = f"{UNIT}, {FRONT}, OC2: {{kind: opening contact, on: living-window}}"
    finding = ask("undetected-walk", "home", devices)
    assert finding.verdict is C
    assert finding.found == 0.0


def test_a_detector_without_a_place_leaves_the_walk_open(ask: Ask) -> None:
    finding = ask("undetected-walk", "home", f"{UNIT}, {FRONT}, MD1: {{kind: motion detector, in: living}}")
    assert finding.verdict is N


def test_glass_that_is_heard_to_break_is_told_and_not_counted(ask: Ask) -> None:
    ears = "GB1: {kind: glass-break detector, in: living, wall: north, from-east: 1.0, height: 2.0}"
    finding = ask("undetected-walk", "home", f"{UNIT}, {FRONT}, {ears}")
    assert finding.verdict is F
    assert "GB1 would hear its glass break" in finding.says


def test_a_home_without_an_intruder_system_has_no_undetected_walk(ask: Ask) -> None:
    assert ask("undetected-walk", "home", "SA1: {kind: smoke alarm, in: hall}").verdict is X


RADIO = (
    f"{UNIT}, {FRONT}, MD1: {{kind: motion detector, in: living, corner: north-west, height: 2.1, joined-by: radio}}, "
    "KP1: {kind: keypad, in: hall, wall: east, from-south: 1.0, height: 1.4, joined-by: radio}, "
    "OC2: {kind: opening contact, on: living-window, joined-by: radio}"
)
SYSTEM = "{radio: 868.3, radio-power: 1 mW, hears: -95}"


def read(shift: float = 0.0, **worse: float) -> str:
    """Give readings 10 dB less than reckoned of a system as stated, shifted, and some of them worse."""
    links = case_of(home_text(devices=RADIO, system=SYSTEM)).reckoned.radio.links
    usual = {link.tag: link.predicted - 10.0 + shift - worse.get(link.tag, 0.0) for link in links}
    return service(", ".join(f"{tag}: {{signal: {db:.1f} dB}}" for tag, db in usual.items()))


def test_readings_as_reckoned_keep_their_distance(ask: Ask) -> None:
    near = ask("radio-readings-as-reckoned", "home", RADIO, system=SYSTEM, visits=read())
    far = ask("radio-readings-as-reckoned", "home", RADIO, system=SYSTEM, visits=read(-30.0))
    assert near.verdict is C
    assert far.verdict is F
    assert near.found == pytest.approx(10.0, abs=0.1)  # readings are written to 0.1 dB
    assert far.found == pytest.approx(40.0, abs=0.1)


def test_nothing_fails_on_a_system_whose_power_is_only_assumed(ask: Ask) -> None:
    finding = ask("radio-readings-as-reckoned", "home", RADIO, visits=read(-30.0))
    assert finding.verdict is N
    assert "radio-power" in finding.remedy
    assert "hears" in finding.remedy


@pytest.mark.parametrize(("worse", "verdict"), [(12.9, C), (13.2, B), (18.8, B), (19.2, F)])
def test_a_link_that_falls_behind_the_others_is_found(ask: Ask, worse: float, verdict: Verdict) -> None:
    assert ask("radio-link-as-others", "MD1", RADIO, visits=read(MD1=worse)).verdict is verdict


def test_what_is_assumed_of_the_system_drops_out_between_links(ask: Ask) -> None:
    by_assumed = ask("radio-link-as-others", "MD1", RADIO, visits=read(MD1=25.0))
    by_stated = ask("radio-link-as-others", "MD1", RADIO, system=SYSTEM, visits=read(MD1=25.0))
    assert by_assumed.found == pytest.approx(by_stated.found)


def test_a_reading_no_worse_than_the_middle_one_is_not_failed_for_a_short_way(ask: Ask) -> None:
    capped = service("OC1: {signal: 20 dB}, MD1: {signal: 20 dB}, KP1: {signal: 20 dB}, OC2: {signal: 8 dB}")
    assert ask("radio-link-as-others", "KP1", RADIO, visits=capped).verdict is C


def test_a_predicted_radio_margin_is_told_and_never_verified(ask: Ask) -> None:
    finding = ask("radio-margin", "MD1", RADIO)
    assert finding.verdict is N
    assert "are to be expected on the way to CU1" in finding.says
    assert "no proof" in finding.says
    assert "Measure this one first" not in finding.says


def test_a_weak_predicted_margin_is_to_be_measured_first(ask: Ask) -> None:
    finding = ask("radio-margin", "MD1", RADIO, system="{radio-power: 1 mW, hears: -60}")
    assert finding.verdict is N
    assert "Measure this one first" in finding.says


HALL = "SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-south: 2.4}"


@pytest.mark.parametrize(("level", "verdict"), [(66, C), (61, B), (59, B), (57, F)])
def test_a_level_read_at_the_bed_counts(ask: Ask, level: float, verdict: Verdict) -> None:
    visits = service(f"SA1: {{level: {{living: {level} dB}}, doors: closed}}")
    finding = ask("alarm-heard-at-every-bed", "home", HALL, use="bedroom", visits=visits)
    assert finding.verdict is verdict
    assert "as measured on 2026-10-01" in finding.says


def test_a_reckoned_level_that_is_enough_is_not_verified(ask: Ask) -> None:
    finding = ask("alarm-heard-at-every-bed", "home", HALL, use="bedroom")
    assert finding.verdict is N
    assert "A reckoned level is no proof" in finding.says


def test_an_alarm_that_is_linked_with_no_other_is_the_one_heard_least(ask: Ask) -> None:
    heat = "HA1: {kind: heat alarm, on: ceiling of bathroom, from-west: 1.0, from-south: 1.0"
    alone = ask("alarm-heard-at-every-bed", "home", f"{HALL}, {heat}}}", use="bedroom")
    joined = ask("alarm-heard-at-every-bed", "home", f"{HALL}, {heat}, linked: [SA1]}}", use="bedroom")
    assert alone.verdict is F
    assert "HA1, linked with no other" in alone.says
    assert joined.verdict is N
    assert "SA1 and HA1, which sound together" in joined.says


# The figure of the set: NFPA 72 18.4.6.1, read in a forum, asks for 75 dB(A) of systems.
def test_the_figure_is_that_of_the_rule_set(ask: Ask) -> None:
    visits = service("SA1: {level: {living: 66 dB}, doors: closed}")
    finding = ask("alarm-heard-at-every-bed", "home", HALL, use="bedroom", visits=visits, rules="us")
    assert finding.verdict is F
    assert finding.limit.severity == "advice"


def cell(settings: str) -> str:
    return f"MD1: {{kind: motion detector, in: living, battery: {{type: 1 x CR123, {settings}}}}}"


# Three years from the day it was put in, and from 80 % of them on, 29 whole months; a service is due on 2027-10-01, and
# 30 days more are 2027-10-31.
@pytest.mark.parametrize(
    ("fitted", "verdict"),
    [("2026-10-01", C), ("2025-05-31", C), ("2025-05-30", B), ("2024-11-01", B), ("2024-10-30", F)],
)
def test_a_battery_against_the_next_service(ask: Ask, fitted: str, verdict: Verdict) -> None:
    assert ask("battery-lasts", "home", cell(f"life: 3 years, fitted: {fitted}"), visits=service()).verdict is verdict


def test_a_battery_that_is_to_be_changed_already_is_for_other_rules(ask: Ask) -> None:
    device = cell("life: 3 years, fitted: 2024-01-10")
    assert ask("battery-lasts", "home", device, visits=service()).verdict is X


def test_readings_that_fall_count_before_the_life_its_maker_states(ask: Ask) -> None:
    device = "KP1: {kind: keypad, in: hall, battery: {type: 4 x AA, life: 5 years, fitted: 2025-10-01}}"
    falling = f"{service('KP1: {battery: 6.2 V}', '2025-10-02')}, {service('KP1: {battery: 5.2 V}')}"
    by_life = ask("battery-lasts", "home", device, visits=service())
    by_readings = ask("battery-lasts", "home", device, visits=falling)
    assert by_life.verdict is C
    assert by_readings.verdict is F
    assert "by its readings" in by_readings.says


def test_a_battery_of_unknown_age_leaves_it_open(ask: Ask) -> None:
    assert ask("battery-lasts", "home", cell("life: 3 years"), visits=service()).verdict is N


def test_sealed_batteries_go_with_their_device(make: Make) -> None:
    assert judged(make('SA1: {kind: smoke alarm, in: hall, battery: "sealed, 10 years"}'), "battery-lasts") == []


@pytest.mark.parametrize(("height", "verdict"), [("1.5", F), ("1.85", B), ("2.2", C)])
def test_the_sun_on_a_detector_that_hangs_too_low(ask: Ask, height: str, verdict: Verdict) -> None:
    device = (
        f"MD1: {{kind: motion detector, in: living, wall: west, from-south: 3.0, facing: 90 deg, height: {height}}}"
    )
    assert ask("sun-on-detector", "MD1", device, home=NORTH).verdict is verdict


def test_the_sun_is_not_verified_while_the_bearing_of_the_plan_is_assumed(ask: Ask) -> None:
    device = "MD1: {kind: motion detector, in: living, corner: south-west, facing: 45 deg, height: 2.1}"
    finding = ask("sun-on-detector", "MD1", device, home=", place: [53.6, -2.3]")
    assert finding.verdict is N
    assert "plan-north" in finding.remedy


def test_no_sun_is_reckoned_for_a_room_without_panes(ask: Ask) -> None:
    device = "MD1: {kind: motion detector, in: hall, corner: north-west, height: 2.1}"
    assert ask("sun-on-detector", "MD1", device).verdict is X


BEHIND_KITCHEN = {
    "use": "kitchen",
    "household": "{sleepers: {bedroom: 2}}",
    "rooms": ['{id: bedroom, use: bedroom, beside: "north of living, flush west", size: [3.0, 3.0]}'],
}
DOOR = "{door: living - bedroom, id: bedroom-door, from-west: 1.0, width: 0.8}"


# Approved Document B, volume 1 (2019), 2.10: 0.45 m and 0.33 m², at most 1.10 m above the floor (read in a council's
# guidance): 0.45 m by 0.74 m is 0.333 m², by 0.73 m it is 0.3285 m².
@pytest.mark.parametrize(
    ("size", "verdict"),
    [
        ("width: 0.45, sill: 0.9, height: 0.74", C),
        ("width: 0.45, sill: 0.9, height: 0.73", F),
        ("width: 0.44, sill: 0.9, height: 1.2", F),
        ("width: 1.0, sill: 1.1, height: 1.2", C),
        ("width: 1.0, sill: 1.11, height: 1.2", F),
        ("width: 1.0, sill: 0.9", N),
        ("width: 1.0, sill: 0.9, height: 1.2, opening-part: no", F),
    ],
)
def test_a_window_as_the_way_out_of_a_bedroom_behind_the_kitchen(ask: Ask, size: str, verdict: Verdict) -> None:
    window = f"{{window: bedroom north, id: bedroom-window, from-west: 1.0, {size}}}"
    assert ask("second-way-out", "bedroom", openings=[DOOR, window], **BEHIND_KITCHEN).verdict is verdict


def test_a_bedroom_behind_the_kitchen_without_a_window_has_no_second_way(ask: Ask) -> None:
    finding = ask("second-way-out", "bedroom", openings=[DOOR], **BEHIND_KITCHEN)
    assert finding.verdict is F
    assert "it has no window" in finding.says


def test_a_bedroom_off_the_hall_has_a_way_past_the_kitchen_and_its_length_is_told(ask: Ask) -> None:
    finding = ask("second-way-out", "living", use="bedroom", household="{sleepers: {living: 2}}")
    assert finding.verdict is C
    assert "5.7 m to the front door" in finding.says


def test_a_front_door_that_needs_a_key_from_inside(ask: Ask) -> None:
    parts = {"use": "bedroom", "household": "{sleepers: {living: 2}}"}
    assert ask("way-out-without-key", "front-door", **parts).verdict is C
    locked = ask("way-out-without-key", "front-door", front_door=", key-needed: yes", **parts)
    assert locked.verdict is F
    assert locked.limit.severity == "advice"


# International Residential Code, R311.2: without a key, from memory and certain.
def test_a_key_is_a_matter_of_code_where_the_code_says_so(ask: Ask) -> None:
    locked = ask(
        "way-out-without-key",
        "front-door",
        front_door=", key-needed: yes",
        use="bedroom",
        household="{sleepers: {living: 2}}",
        rules="us",
    )
    assert locked.verdict is F
    assert locked.limit.severity == "code"


def test_a_case_reckons_each_topic_once(make: Make) -> None:
    case = make(f"{UNIT}, {FRONT}, {motion()}", on=date(2026, 11, 25))
    assert case.reckoned is case.reckoned
    assert case.reckoned.coverage is case.reckoned.coverage


def test_a_home_with_alarms_alone_loads_no_astronomy() -> None:
    program = (
        "import sys\n"
        "from asfitted.rules.examples import case_of, home_text\n"
        "from asfitted.rules.judge import judge\n"
        "case = case_of(home_text(devices='SA1: {kind: smoke alarm, in: hall}', household='{sleepers: {living: 2}}'))\n"
        "judge(case.home, case.dwelling, case.on, case.rules)\n"
        "print(sorted({'ephem', 'scipy', 'pvlib', 'asfitted.reckon.of_sun'} & sys.modules.keys()))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
