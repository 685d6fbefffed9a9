"""Homes of which the record tells little: nothing conforms for want of anything to look at."""

import pytest

from asfitted.rules.examples import case_of, judged
from asfitted.rules.finding import Finding, Verdict

F, C, N, X = Verdict.FAILS, Verdict.CONFORMS, Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE

BARE = """\
record: 1
home: {{label: Odd home, rules: {rules}}}
system: {system}
storeys:
  - {{id: ground, level: 0.0, height: 2.4, rooms: [{{id: den, use: living, corner: [0, 0], size: [4, 4]}}]}}
devices: {{{devices}}}
"""


def found(rule: str, subject: str, devices: str = "", rules: str = "common", system: str = "{}") -> Finding:
    """Judge a home of one room, of which no door or window is recorded, by one rule."""
    case = case_of(BARE.format(rules=rules, devices=devices, system=system))
    return next(finding for finding in judged(case, rule) if finding.subject.id == subject)


@pytest.mark.parametrize("rule", ["control-unit-inside", "control-unit-out-of-sight"])
def test_a_room_without_recorded_openings_is_not_taken_for_a_closed_one(rule: str) -> None:
    assert found(rule, "CU1", "CU1: {kind: control unit, in: den}").verdict is N


def test_without_a_way_in_nothing_is_said_about_a_detector_on_it() -> None:
    devices = "CU1: {kind: control unit, in: den}, MD1: {kind: motion detector, in: den}"
    assert found("trap-on-route", "home", devices).verdict is N


def test_devices_without_a_room_are_parts_of_the_system_all_the_same() -> None:
    devices = "CU1: {kind: control unit, grade: 1}, MD1: {kind: motion detector, grade: 2}, IS1: {kind: indoor sounder}"
    assert found("system-parts", "home", devices).verdict is C
    assert found("trap-on-route", "home", devices).verdict is N
    grade = found("system-grade", "home", devices, "ie", "{intruder-grade: 2}")
    assert grade.verdict is F
    assert "CU1 of grade 1" in grade.says


@pytest.mark.parametrize(("device", "words"), [("opening contact", "an opening contact"), ("keypad", "a keypad")])
def test_a_device_without_a_room_is_told_of_in_good_english(device: str, words: str) -> None:
    assert words in found("device-in-room", "D1", f"D1: {{kind: {device}}}").says


@pytest.mark.parametrize("rule", ["false-alarms-in-a-year", "every-device-tested-or-listed"])
def test_an_empty_record_proves_nothing_about_false_alarms_and_tests(rule: str) -> None:
    assert found(rule, "home").verdict is X


@pytest.mark.parametrize(
    ("setting", "rule"), [("reports-every: 0 s", "supervision-interval"), ("cut-off: 0 s", "sounder-cut-off")]
)
def test_a_time_of_nothing_is_no_evidence(setting: str, rule: str) -> None:
    device = f"D1: {{kind: indoor sounder, in: den, joined-by: radio, {setting}}}"
    device = (
        device.replace("indoor sounder, in: den", "outdoor sounder, outside: den south") if "cut" in rule else device
    )
    assert found(rule, "D1", device, "ie").verdict is N


def test_nobody_is_told_to_fit_a_contact_on_a_pane_that_does_not_open() -> None:
    openings = "openings: [{window: den south, id: pane, from-west: 1.0, width: 1.0, sill: 0.9, height: 1.2, opening-part: no}]"
    text = BARE.format(rules="common", system="{}", devices="KP1: {kind: keypad, in: den}")
    case = case_of(text.replace("size: [4, 4]}]}", f"size: [4, 4]}}], {openings}}}"))
    finding = next(finding for finding in judged(case, "window-watched") if finding.subject.id == "pane")
    assert finding.verdict is F
    assert "contact" not in finding.remedy
