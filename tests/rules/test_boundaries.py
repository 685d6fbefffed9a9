"""Every first rule just inside its limit, on it, and just outside.

All limits of the common rule set are common practice, no source, unless the rule's own data name one; what is tested
here is that the figure in the data is the one applied, that it is applied to the right distance, and in which
direction. Distances are worked out by hand beside each case. The small home is in conftest: living room 6.0 m by
5.0 m, its south-west corner at (2.1, 0).
"""

from pathlib import Path

import pytest

from asfitted.dwelling.survey import survey
from asfitted.record.reader import read_text
from asfitted.rules.catalogue import catalogue
from asfitted.rules.finding import Verdict
from asfitted.rules.judge import judge
from asfitted.rules.rule_set import rule_set
from tests.rules.conftest import ON, Ask, Make

F, B, C, N, X = Verdict.FAILS, Verdict.BORDERLINE, Verdict.CONFORMS, Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE

ALARM = "SA1: {{kind: smoke alarm, name: a, on: ceiling of {room}, from-west: {west}, from-south: {south}, by: {by}}}"


def alarm(west: float, south: float, room: str = "living", by: str = "laser") -> str:
    return ALARM.format(room=room, west=west, south=south, by=by)


@pytest.mark.parametrize(
    ("south", "verdict"),
    [(0.48, F), (0.489, F), (0.491, B), (0.50, B), (0.509, B), (0.511, C), (0.60, C)],
)
def test_wall_half_a_metre_by_laser_within_a_centimetre(ask: Ask, south: float, verdict: Verdict) -> None:
    finding = ask("smoke-clear-of-wall", "SA1", alarm(3.0, south))
    assert finding.verdict is verdict
    assert finding.found == pytest.approx(south)
    assert finding.margin == pytest.approx(south - 0.50)


@pytest.mark.parametrize(("by", "verdict"), [("laser", C), ("tape", B), ("eye", B)])
def test_the_instrument_decides_what_is_borderline(ask: Ask, by: str, verdict: Verdict) -> None:
    assert ask("smoke-clear-of-wall", "SA1", alarm(3.0, 0.515, by=by)).verdict is verdict


@pytest.mark.parametrize(
    ("corner", "tapes"),
    [("south", "from-west: 3.0, from-south: 0.31"), ("north", "from-west: 3.0, from-north: 0.31"),
     ("west", "from-west: 0.31, from-south: 2.5"), ("east", "from-east: 0.31, from-south: 2.5")],
)  # fmt: skip
def test_each_wall_of_the_room_counts_and_is_named(ask: Ask, corner: str, tapes: str) -> None:
    finding = ask("smoke-clear-of-wall", "SA1", f"SA1: {{kind: smoke alarm, on: ceiling of living, {tapes}}}")
    assert finding.verdict is F
    assert f"0.31 m from the {corner} wall" in finding.says
    assert "the rule asks for at least 0.50 m (common practice)" in finding.says


# Light at 3.0 m from west, 2.5 m from south; both by laser: tolerance 0.01 * sqrt(2) = 0.0141 m.
@pytest.mark.parametrize(("away", "verdict"), [(0.28, F), (0.30, B), (0.313, B), (0.316, C)])
@pytest.mark.parametrize("kind", ["light", "decoration"])
def test_light_and_decoration_thirty_centimetres(ask: Ask, kind: str, away: float, verdict: Verdict) -> None:
    fitting = f"{{{kind}: living, from-west: 3.0, from-south: 2.5, by: laser}}"
    assert ask("smoke-clear-of-light", "SA1", alarm(3.0 + away, 2.5), fittings=fitting).verdict is verdict


def test_no_light_in_the_room_is_not_applicable(ask: Ask) -> None:
    assert ask("smoke-clear-of-light", "SA1", alarm(3.0, 2.5)).verdict is X


def test_a_light_without_a_place_is_not_verified(ask: Ask) -> None:
    finding = ask("smoke-clear-of-light", "SA1", alarm(3.0, 2.5), fittings="{light: living}")
    assert finding.verdict is N
    assert "Measure" in finding.remedy


def test_a_light_in_another_room_does_not_count(ask: Ask) -> None:
    fitting = "{light: hall, from-west: 1.9, from-south: 2.5}"
    assert ask("smoke-clear-of-light", "SA1", alarm(0.1, 2.5), fittings=fitting).verdict is X


# Ridge along the middle (2.5 m from south), low 1.60 m, high 4.10 m: run 2.5 m, rise 2.5 m, pitch 45 degrees.
# Down the slope 1.00 m is 1.00 * cos 45 = 0.7071 m on the plan, so 2.5 - 0.7071 = 1.7929 m from the south wall.
@pytest.mark.parametrize(("south", "verdict"), [(1.82, F), (1.793, B), (1.76, C), (2.5, F)])
def test_one_metre_down_the_slope_from_the_ridge(ask: Ask, south: float, verdict: Verdict) -> None:
    ridged = "{ridged: {low: 1.60, high: 4.10, ridge: east-west}}"
    finding = ask("smoke-below-ridge", "SA1", alarm(3.0, south), height=ridged)
    assert finding.verdict is verdict
    assert finding.found == pytest.approx((2.5 - south) * 2**0.5)


def test_a_flat_ceiling_has_no_ridge(ask: Ask) -> None:
    assert ask("smoke-below-ridge", "SA1", alarm(3.0, 2.5)).verdict is X


def test_a_room_slept_in_needs_an_alarm_whatever_its_use(ask: Ask) -> None:
    for use, people in (("bedroom", "{}"), ("study", "{sleepers: {living: 1}}")):
        finding = ask("smoke-in-bedroom", "living", use=use, household=people)
        assert finding.verdict is F
        assert ask("smoke-in-bedroom", "living", alarm(3.0, 2.5), use=use, household=people).verdict is C


def test_an_alarm_next_door_does_not_serve_the_bedroom(ask: Ask) -> None:
    assert ask("smoke-in-bedroom", "living", alarm(1.0, 2.5, room="hall"), use="bedroom").verdict is F


def test_a_living_room_needs_an_alarm(ask: Ask) -> None:
    assert ask("smoke-in-living-room", "living").verdict is F
    assert ask("smoke-in-living-room", "living", alarm(3.0, 2.5)).verdict is C


# Cooker in the middle of its 0.6 m by 0.6 m place: from-west 0.5 is its near edge, so its far edge is at 1.1 m.
@pytest.mark.parametrize(("west", "verdict"), [(4.05, F), (4.10, B), (4.15, C)])
def test_cooker_three_metres_from_its_edge(ask: Ask, west: float, verdict: Verdict) -> None:
    fitting = "{cooker: living, from-west: 0.5, from-south: 2.2, size: [0.6, 0.6], by: laser}"
    assert ask("smoke-clear-of-cooker", "SA1", alarm(west, 2.5), fittings=fitting).verdict is verdict


# The bathroom door is 0.6 m to 1.4 m from the west wall of the hall, in its north wall.
@pytest.mark.parametrize(("north", "verdict"), [(0.88, F), (0.90, B), (0.92, C)])
def test_bathroom_door_ninety_centimetres(ask: Ask, north: float, verdict: Verdict) -> None:
    device = f"SA1: {{kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-north: {north}, by: laser}}"
    assert ask("smoke-clear-of-bathroom-door", "SA1", device).verdict is verdict


def test_the_door_to_another_room_is_no_bathroom_door(ask: Ask) -> None:
    assert ask("smoke-clear-of-bathroom-door", "SA1", alarm(3.0, 2.5)).verdict is X


@pytest.mark.parametrize("kind", ["air-vent", "fan", "ceiling-fan", "air-conditioner"])
@pytest.mark.parametrize(("away", "verdict"), [(0.88, F), (0.90, B), (0.92, C)])
def test_vents_and_fans_ninety_centimetres(ask: Ask, kind: str, away: float, verdict: Verdict) -> None:
    fitting = f"{{{kind}: living, from-west: 3.0, from-south: 2.5, by: laser}}"
    assert ask("smoke-clear-of-air-stream", "SA1", alarm(3.0 + away, 2.5), fittings=fitting).verdict is verdict


@pytest.mark.parametrize(("south", "verdict"), [(0.98, F), (1.0, B), (1.02, C)])
def test_window_one_metre(ask: Ask, south: float, verdict: Verdict) -> None:
    assert ask("smoke-clear-of-window", "SA1", alarm(3.0, south)).verdict is verdict


def test_an_alarm_without_a_place_is_not_verified(ask: Ask) -> None:
    finding = ask("smoke-clear-of-wall", "SA1", "SA1: {kind: smoke alarm, on: ceiling of living}")
    assert finding.verdict is N
    assert finding.remedy == "Measure its distance from two walls and record them."


def test_an_alarm_on_a_wall_is_not_asked_to_keep_clear_of_walls(ask: Ask) -> None:
    device = "SA1: {kind: smoke alarm, in: living, wall: east, from-south: 2.0, height: 2.2}"
    assert ask("smoke-clear-of-wall", "SA1", device).verdict is X


# England 2022, explanatory booklet (read): a fixed combustion appliance asks for an alarm, a gas cooker does not.
def test_an_appliance_that_burns_fuel_asks_for_a_carbon_monoxide_alarm(ask: Ask, make: Make) -> None:
    boiler = "{boiler: living, wall: north, from-west: 1.0, burns: gas, flue: balanced}"
    assert ask("co-with-appliance", "living", fittings=boiler).verdict is F
    device = "CO1: {kind: carbon monoxide alarm, in: living, wall: east, from-south: 1.0, height: 2.2}"
    assert ask("co-with-appliance", "living", device, fittings=boiler).verdict is C


def test_a_cooker_alone_asks_for_no_carbon_monoxide_alarm(make: Make) -> None:
    case = make(fittings="{cooker: living, wall: north, from-west: 1.0, burns: gas}")
    assert [f for f in judge(case.home, case.dwelling, case.on, case.rules) if f.rule.id == "co-with-appliance"] == []


@pytest.mark.parametrize(
    ("height", "verdict"), [(1.97, F), (1.99, B), (2.00, B), (2.03, C), (2.10, C), (2.37, C), (2.40, B), (2.43, F)]
)
def test_motion_detector_from_two_metres_to_two_metres_forty(ask: Ask, height: float, verdict: Verdict) -> None:
    device = f"MD1: {{kind: motion detector, in: living, corner: north-west, height: {height}}}"
    assert ask("motion-height", "MD1", device, height="2.60").verdict is verdict


def test_motion_detector_without_height_is_not_verified(ask: Ask) -> None:
    assert ask("motion-height", "MD1", "MD1: {kind: motion detector, in: living, corner: north-west}").verdict is N


def test_motion_detector_outdoors(ask: Ask) -> None:
    outside = "MD1: {kind: motion detector, outside: living south, from-west: 1.0, height: 2.1}"
    assert ask("motion-indoors", "MD1", outside).verdict is F
    inside = "MD1: {kind: motion detector, in: living, corner: north-west, height: 2.1}"
    assert ask("motion-indoors", "MD1", inside).verdict is C


@pytest.mark.parametrize("kind", ["heater", "stove", "boiler", "cooker"])
@pytest.mark.parametrize(("north", "verdict"), [(1.45, F), (1.50, B), (1.55, C)])
def test_motion_detector_a_metre_and_a_half_from_heat(ask: Ask, kind: str, north: float, verdict: Verdict) -> None:
    device = "MD1: {kind: motion detector, in: living, corner: north-west, height: 2.1}"
    fitting = f"{{{kind}: living, wall: west, from-north: {north}}}"
    assert ask("motion-clear-of-heat", "MD1", device, fittings=fitting).verdict is verdict


@pytest.mark.parametrize("kind", ["air-conditioner", "fan", "ceiling-fan", "air-vent"])
def test_motion_detector_a_metre_and_a_half_from_moving_air(ask: Ask, kind: str) -> None:
    device = "MD1: {kind: motion detector, in: living, corner: north-west, height: 2.1}"
    for west, verdict in ((1.45, F), (1.55, C)):
        fitting = f"{{{kind}: living, wall: north, from-west: {west}}}"
        assert ask("motion-clear-of-air-stream", "MD1", device, fittings=fitting).verdict is verdict


# The window runs from 2.0 m to 4.0 m from the west wall, in the south wall, 5.0 m from the north wall. From 3.0 m on the
# north wall its ends lie atan(1 / 5) = 11.31 degrees either side of due south. Facing south: 0 degrees off. Facing 180 -
# 57 = 123: its near end, at 168.69, is 45.69 off, borderline; facing 118 it is 50.69 off, clear of the 5 degrees.
@pytest.mark.parametrize(
    ("facing", "verdict"), [("180 deg", F), ("130 deg", F), ("126 deg", B), ("123 deg", B), ("118 deg", C)]
)
def test_motion_detector_facing_a_window(ask: Ask, facing: str, verdict: Verdict) -> None:
    device = f"MD1: {{kind: motion detector, in: living, wall: north, from-west: 3.0, height: 2.1, facing: {facing}}}"
    assert ask("motion-out-of-sun", "MD1", device).verdict is verdict


def test_a_window_in_the_detectors_own_wall_is_seen_edge_on_and_does_not_count(ask: Ask) -> None:
    device = "MD1: {kind: motion detector, in: living, corner: south-west, height: 2.1}"
    finding = ask("motion-out-of-sun", "MD1", device)
    assert finding.verdict is C
    assert "does not see the living window" in finding.says


def test_the_turn_advised_clears_the_window(ask: Ask) -> None:
    place = "MD1: {{kind: motion detector, in: living, wall: north, from-west: 5.9, height: 2.1, facing: {} deg}}"
    finding = ask("motion-out-of-sun", "MD1", place.format(215))
    assert finding.verdict is F
    words = finding.remedy.split()
    assert words[:2] == ["Turn", "it"]
    turn = int(words[2]) * (1 if words[4].startswith("clockwise") else -1)
    assert ask("motion-out-of-sun", "MD1", place.format(215 + turn)).verdict is C


def test_where_no_turn_clears_the_glass_the_corner_is_advised(ask: Ask) -> None:
    device = "MD1: {kind: motion detector, in: living, wall: north, from-west: 3.0, height: 2.1}"
    assert "hang it in the corner beside the window" in ask("motion-out-of-sun", "MD1", device).remedy


def test_animals_ask_for_a_detector_turned_over_and_lower(ask: Ask) -> None:
    pets = "{pets: [{kind: dog, mass: 14 kg, roams: [living]}]}"
    place = "MD1: {{kind: motion detector, in: living, corner: north-west, {}}}"
    cases = {
        "height: 2.10, turned-over: no": F,
        "height: 2.10, turned-over: yes": B,
        "height: 2.20, turned-over: yes": F,
        "height: 1.20, turned-over: yes": C,
        "height: 1.20": N,
        "turned-over: no": F,
        "turned-over: yes": N,
        "height: 2.30, turned-over: no, pets-up-to: 20 kg": X,  # its maker made it for animals the way it hangs
    }
    for settings, verdict in cases.items():
        assert ask("motion-where-pets-roam", "MD1", place.format(settings), household=pets).verdict is verdict, settings
    elsewhere = "{pets: [{kind: dog, mass: 14 kg, roams: [hall]}]}"
    settings = "height: 2.10, turned-over: no"
    assert ask("motion-where-pets-roam", "MD1", place.format(settings), household=elsewhere).verdict is X


@pytest.mark.parametrize(
    ("gap", "verdict"), [("9 mm", C), ("14 mm", C), ("14.5 mm", B), ("15 mm", B), ("16 mm", F), ("1.9 cm", F)]
)
def test_contact_gap_under_fifteen_millimetres(ask: Ask, gap: str, verdict: Verdict) -> None:
    device = f"OC1: {{kind: opening contact, on: front-door, gap: {gap}}}"
    assert ask("contact-gap", "OC1", device).verdict is verdict


def test_a_gap_measured_at_a_visit_beats_the_one_in_the_device(ask: Ask) -> None:
    device = "OC1: {kind: opening contact, on: front-door, gap: 9 mm}"
    visit = "{date: 2026-03-04, kind: service, by: technician 1, tests: {OC1: {gap: 19 mm}}}"
    finding = ask("contact-gap", "OC1", device, visits=visit)
    assert finding.verdict is F
    assert "19 mm, measured on 2026-03-04" in finding.says


def test_a_gap_that_nobody_measured_is_not_verified(ask: Ask) -> None:
    finding = ask("contact-gap", "OC1", "OC1: {kind: opening contact, on: front-door}")
    assert finding.verdict is N
    assert "leaf closed" in finding.remedy


def test_sensor_on_the_frame(ask: Ask) -> None:
    for setting, verdict in ((", sensor-on: frame", C), (", sensor-on: leaf", F), ("", N)):
        device = f"OC1: {{kind: opening contact, on: front-door{setting}}}"
        assert ask("contact-sensor-on-frame", "OC1", device).verdict is verdict


# The front door is 2.0 m high from the floor: its upper part begins at 1.0 m. The window's, at 0.9 + 0.6 = 1.5 m.
@pytest.mark.parametrize(
    ("on", "height", "verdict"),
    [("front-door", 0.97, F), ("front-door", 1.0, B), ("front-door", 1.03, C),
     ("living-window", 1.47, F), ("living-window", 1.5, B), ("living-window", 1.53, C)],
)  # fmt: skip
def test_contact_in_the_upper_part(ask: Ask, on: str, height: float, verdict: Verdict) -> None:
    device = f"OC1: {{kind: opening contact, on: {on}, height: {height}}}"
    assert ask("contact-upper-part", "OC1", device).verdict is verdict


UNIT = "CU1: {{kind: control unit, in: hall, wall: east, from-south: 1.0, height: 1.4{}}}"


@pytest.mark.parametrize(
    ("kind", "rule", "limit"), [("router", "control-near-router", 2.0), ("socket", "control-near-socket", 1.5)]
)
def test_control_unit_within_reach(ask: Ask, kind: str, rule: str, limit: float) -> None:
    for away, verdict in ((limit - 0.05, C), (limit, B), (limit + 0.05, F)):
        fitting = f"{{{kind}: hall, wall: east, from-south: {1.0 + away}}}"
        assert ask(rule, "CU1", UNIT.format(""), fittings=fitting).verdict is verdict
    assert ask(rule, "CU1", UNIT.format("")).verdict is N


@pytest.mark.parametrize(
    ("rule", "setting", "verdict"),
    [
        ("control-wired-to-router", "wired-to: router", C),
        ("control-wired-to-router", "wired-to: modem", F),
        ("control-wired-to-router", "wired-to: nothing", F),
        ("control-wired-to-router", "note: x", N),
        ("control-standby-battery", "standby-battery: yes", C),
        ("control-standby-battery", "standby-battery: no", F),
        ("control-standby-battery", "note: x", N),
        ("control-second-path", "second-path: mobile", C),
        ("control-second-path", "second-path: none", F),
        ("control-second-path", "note: x", N),
    ],
)
def test_settings_of_the_control_unit(ask: Ask, rule: str, setting: str, verdict: Verdict) -> None:
    assert ask(rule, "CU1", UNIT.format(", " + setting)).verdict is verdict


@pytest.mark.parametrize(("count", "verdict"), [(0, F), (1, F), (2, C), (3, C)])
def test_two_keyholders(ask: Ask, count: int, verdict: Verdict) -> None:
    people = f"{{keyholders: {{named: {count}}}}}"
    assert ask("keyholders", "home", UNIT.format(""), household=people).verdict is verdict


def test_keyholders_are_for_homes_that_are_guarded(ask: Ask) -> None:
    assert ask("keyholders", "home", "MD1: {kind: motion detector, in: living}").verdict is N
    assert ask("keyholders", "home", alarm(3.0, 2.5)).verdict is X
    assert ask("keyholders", "home", UNIT.format("")).verdict is N


def test_enrolled(ask: Ask) -> None:
    detector = "MD1: {{kind: motion detector, in: living, corner: north-west{}}}"
    for setting, verdict in ((", enrolled: yes", C), (", enrolled: no", F), ("", N)):
        both = UNIT.format("") + ", " + detector.format(setting)
        assert ask("device-enrolled", "MD1", both).verdict is verdict
    assert ask("device-enrolled", "MD1", detector.format("")).verdict is N
    assert ask("device-enrolled", "CU1", UNIT.format("")).verdict is X
    assert ask("device-enrolled", "SA1", alarm(3.0, 2.5)).verdict is X
    linked = alarm(3.0, 2.5).replace("name: a", "name: a, linked: [SA1]")
    assert ask("device-enrolled", "SA1", UNIT.format("") + ", " + linked).verdict is X
    assert ask("device-enrolled", "SA1", UNIT.format("") + ", " + alarm(3.0, 2.5)).verdict is N


def test_named_once_and_by_a_name_of_its_own(ask: Ask) -> None:
    one = "SA1: {{kind: smoke alarm, on: ceiling of living{}}}"
    assert ask("device-named", "SA1", one.format("")).verdict is F
    assert ask("device-named", "SA1", one.format(", name: living alarm")).verdict is C
    twice = one.format(", name: alarm") + ", SA2: {kind: smoke alarm, on: ceiling of hall, name: Alarm}"
    assert ask("device-named", "SA1", twice).verdict is F


@pytest.mark.parametrize(
    ("kind", "reading", "verdict"),
    [
        ("smoke alarm", "button: sounded", C),
        ("smoke alarm", "button: silent", F),
        ("smoke alarm", "smoke: 8 s", C),
        ("smoke alarm", "cleaned: yes", N),
        ("smoke alarm, linked: [XX1]", "button: sounded", N),
        ("smoke alarm, linked: [XX1]", "button: sounded, link: silent", F),
        ("smoke alarm, linked: [XX1]", "button: sounded, link: all sounded", C),
        ("heat alarm", "heat: 20 s", C),
        ("carbon monoxide alarm", "gas: 60 s", C),
        ("motion detector", "walk: detected", C),
        ("motion detector", "walk: missed", F),
        ("motion detector", "pet: not detected", N),
        ("opening contact", "opened: signalled", C),
        ("opening contact", "opened: silent", F),
        ("flood detector", "water: signalled", C),
        ("glass-break detector", "glass: silent", F),
        ("indoor sounder", "sounded: yes", C),
        ("outdoor sounder", "sounded: no", F),
        ("keypad", "keys: worked", C),
        ("hold-up button", "pressed: signalled", C),
        ("control unit", "mains-off: held, path-wired: received", C),
        ("control unit", "mains-off: held", N),
        ("control unit, second-path: mobile", "mains-off: held, path-wired: received", N),
        ("control unit, second-path: mobile", "mains-off: held, path-wired: received, path-mobile: received", C),
        ("control unit", "mains-off: held, path-wired: lost", F),
        ("repeater", "mains-off: lost", F),
    ],
)
def test_each_kind_is_proven_by_its_own_test(ask: Ask, kind: str, reading: str, verdict: Verdict) -> None:
    visit = f"{{date: 2026-03-04, kind: commissioning, by: technician 1, tests: {{XX1: {{{reading}}}}}}}"
    assert ask("device-tested", "XX1", f"XX1: {{kind: {kind}, in: living}}", visits=visit).verdict is verdict


def test_a_later_visit_that_tries_something_else_does_not_hide_a_failure(ask: Ask) -> None:
    early = "{date: 2026-06-01, kind: service, by: t, tests: {CU1: {mains-off: lost, path-wired: received}}}"
    late = "{date: 2026-08-01, kind: call-out, by: t, tests: {CU1: {path-wired: received}}}"
    finding = ask("device-tested", "CU1", UNIT.format(""), visits=f"{early}, {late}")
    assert finding.verdict is F
    assert "mains-off lost on 2026-06-01" in finding.says


def test_the_last_test_counts_and_one_before_the_device_was_fitted_does_not(ask: Ask) -> None:
    early = "{date: 2025-03-04, kind: service, by: t, tests: {SA1: {button: silent}}}"
    late = "{date: 2026-03-04, kind: service, by: t, tests: {SA1: {button: sounded}}}"
    device = "SA1: {kind: smoke alarm, in: living}"
    assert ask("device-tested", "SA1", device, visits=f"{late}, {early}").verdict is C
    new = "SA1: {kind: smoke alarm, in: living, fitted: 2026-06-01}"
    assert ask("device-tested", "SA1", new, visits=f"{early}, {late}").verdict is N


def test_a_visit_still_to_come_proves_nothing(ask: Ask) -> None:
    visit = "{date: 2027-03-04, kind: service, by: t, tests: {SA1: {button: sounded}}}"
    assert ask("device-tested", "SA1", "SA1: {kind: smoke alarm, in: living}", visits=visit).verdict is N


def test_a_place_that_is_not_measured(ask: Ask) -> None:
    cases = {
        "SA1: {kind: smoke alarm, name: a}": F,
        "SA1: {kind: smoke alarm, in: living}": N,
        "SA1: {kind: smoke alarm, on: ceiling of living}": N,
        "SA1: {kind: smoke alarm, in: living, wall: east, from-south: 1.0}": N,
        "SA1: {kind: smoke alarm, in: living, wall: east, from-south: 1.0, height: 2.2}": C,
        "SA1: {kind: opening contact, on: front-door}": N,
        "SA1: {kind: opening contact, on: front-door, edge: lock side}": N,
        "SA1: {kind: opening contact, on: front-door, edge: top}": C,
        "SA1: {kind: motion detector, in: living, corner: north-west}": N,
        alarm(3.0, 2.5): C,
    }
    for device, verdict in cases.items():
        assert ask("device-in-room", "SA1", device).verdict is verdict, device


# Approved Document B (England and Wales), 2000 edition, paragraphs 1.12, 1.13 and 1.15, read as hosted by a wholesaler.
def test_every_storey_has_a_smoke_alarm(ask: Ask) -> None:
    assert ask("smoke-on-every-storey", "ground").verdict is F
    assert ask("smoke-on-every-storey", "ground", alarm(1.0, 2.5, room="hall")).verdict is C


def test_alarms_sound_one_another(ask: Ask) -> None:
    for setting, verdict in ((", linked: [SA1]", C), (", linked: []", F), ("", N)):
        two = f"{alarm(3.0, 2.5)}, HA1: {{kind: heat alarm, name: b, on: ceiling of hall{setting}}}"
        assert ask("alarms-linked", "HA1", two).verdict is verdict
    assert ask("alarms-linked", "SA1", alarm(3.0, 2.5)).verdict is X


def test_no_alarm_hangs_over_the_stairs() -> None:
    text = """
record: 1
home: {label: Two storeys}
storeys:
  - id: ground
    height: 2.4
    rooms: [{id: hall, use: circulation, corner: [0, 0], size: [2.0, 5.0]}]
    stairs: [{id: stairs, in: hall, to: landing, from-west: 0.0, from-south: 1.0, size: [0.9, 2.6], up: north}]
  - id: first
    height: 2.4
    rooms: [{id: landing, use: circulation, corner: [0, 0], size: [2.0, 5.0]}]
devices:
  SA1: {kind: smoke alarm, name: a, on: ceiling of landing, from-west: 0.6, from-south: 2.0}
  SA2: {kind: smoke alarm, name: b, on: ceiling of hall, from-west: 1.3, from-south: 2.0}
"""
    reading = read_text(text.encode(), Path("record.yml"))
    assert reading.home is not None, reading.troubles
    dwelling, problems = survey(reading.home)
    assert dwelling is not None, problems
    found = {
        f.subject.id: f
        for f in judge(reading.home, dwelling, ON, rule_set(catalogue(), "common"))
        if f.rule.id == "alarm-not-over-stairs"
    }
    assert (found["SA1"].verdict, found["SA2"].verdict) == (F, C)
    # The flight ends 0.9 m from the west wall, and the wall rule asks for 0.50 m: the nearest free place is at 0.9 m.
    assert found["SA1"].remedy.startswith("Move it 0.3")


def test_an_alarm_tells_its_age(ask: Ask) -> None:
    for setting, verdict in ((", made: 2026-01", C), (", replace-by: 2036-01", C), ("", N)):
        device = f"SA1: {{kind: smoke alarm, in: living{setting}}}"
        assert ask("alarm-dated", "SA1", device).verdict is verdict


def test_one_unplaced_light_keeps_a_clearance_from_being_verified(ask: Ask) -> None:
    lights = "{light: living, from-west: 1.0, from-south: 1.0}, {light: living, id: lamp}"
    finding = ask("smoke-clear-of-light", "SA1", alarm(3.0, 2.5), fittings=lights)
    assert finding.verdict is N
    assert "the lamp" in finding.says
    near = alarm(1.1, 1.0)
    assert ask("smoke-clear-of-light", "SA1", near, fittings=lights).verdict is F


def test_a_device_that_an_animal_set_off_falls_short_whatever_else(ask: Ask) -> None:
    pets = "{pets: [{kind: dog, mass: 14 kg, roams: [living]}]}"
    device = "MD1: {kind: motion detector, in: living, corner: north-west, height: 1.2, turned-over: yes}"
    visit = "{date: 2026-03-04, kind: service, by: t, tests: {MD1: {walk: detected, pet: detected}}}"
    assert ask("motion-where-pets-roam", "MD1", device, household=pets, visits=visit).verdict is C
    assert ask("motion-pets-tried", "MD1", device, household=pets).verdict is N
    assert ask("motion-pets-tried", "MD1", device, household=pets, visits=visit).verdict is F


def test_a_stove_whose_fuel_is_not_recorded_is_not_verified(ask: Ask) -> None:
    assert ask("co-with-appliance", "living", fittings="{stove: living, wall: north, from-west: 1.0}").verdict is N


def test_an_alarm_still_to_be_fitted_does_not_serve_its_room(ask: Ask) -> None:
    device = "SA1: {kind: smoke alarm, on: ceiling of living, from-west: 3.0, from-south: 2.5, fitted: 2026-11-26}"
    assert ask("smoke-in-living-room", "living", device).verdict is F


def test_an_opening_of_unknown_height_proves_nothing(ask: Ask) -> None:
    contact = "OC1: {kind: opening contact, on: living-door, height: 1.9}"
    assert ask("contact-upper-part", "OC1", contact).verdict is N
