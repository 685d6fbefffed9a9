"""Which verdicts turned, and what turned each."""

from dataclasses import replace
from datetime import date

import pytest

from asfitted.history.changes import Kind
from asfitted.history.compare_home import compare_home
from asfitted.history.side import Side, side_of
from asfitted.history.verdict_changes import Because, Turn, VerdictChange, verdict_changes
from asfitted.rules.catalogue import catalogue
from asfitted.rules.finding import Verdict
from tests.history.homes import DAY, side, text


def turned(old: Side, new: Side, on: date | None = DAY) -> dict[tuple[str, str], VerdictChange]:
    found = verdict_changes(old, new, compare_home(old, new), on)
    return {(item.rule, item.key[2]): item for item in found}


WALLS = "smoke-clear-of-wall"


def test_a_move_towards_the_wall_makes_its_finding_fail_and_is_the_cause() -> None:
    old, new = side(text()), side(text(sa1_west="0.20", sleepers="3"))
    item = turned(old, new)[WALLS, "SA1"]
    assert item.turn is Turn.FAILS
    assert item.because is Because.CHANGE
    assert [change.key for change in item.causes] == [(Kind.DEVICE_MOVED, "SA1")]


def test_a_verdict_that_fails_no_more_newly_conforms() -> None:
    item = turned(side(text(sa1_west="0.20")), side(text()))[WALLS, "SA1"]
    assert item.turn is Turn.CONFORMS
    assert item.before is not None
    assert item.before.verdict is Verdict.FAILS


def test_a_margin_within_the_tolerance_of_the_tape_has_shrunk() -> None:
    # the common rule set asks for 0.50 m and a tape may be out by 0.02 m (common practice, no source)
    item = turned(side(text()), side(text(sa1_west="0.51")))[WALLS, "SA1"]
    assert item.turn is Turn.SHRUNK


def test_a_missing_reading_is_newly_not_verified() -> None:
    old = text()
    new = old.replace("SA2: {button: sounded, smoke: 8 s}", "SA2: {button: sounded}")
    found = turned(side(old), side(new))
    lost = [item for item in found.values() if item.turn is Turn.NOT_VERIFIED and item.key[2] == "SA2"]
    assert lost
    assert all(change.kind is Kind.PAST_VISIT_EDITED for item in lost for change in item.causes)


def test_the_same_record_turns_by_the_passing_of_time_alone() -> None:
    old, new = side(text(), date(2025, 6, 1)), side(text(), date(2027, 6, 1))
    found = turned(old, new, on=None)
    assert found
    assert {item.because for item in found.values()} == {Because.TIME}


def test_the_same_record_turns_by_the_rules_when_they_differ() -> None:
    old = side(text(sa1_west="0.80"))
    rules = {**catalogue().rules}
    stricter = catalogue().rules[WALLS].limits["common"]
    limits = {**rules[WALLS].limits, "common": replace(stricter, least=0.95)}
    rules[WALLS] = replace(rules[WALLS], limits=limits)
    other = side_of(text(sa1_west="0.80").encode(), DAY, replace(catalogue(), rules=rules))
    assert isinstance(other, Side)
    item = turned(old, other)[WALLS, "SA1"]
    assert item.turn is Turn.FAILS, item.says
    assert item.because is Because.RULES
    changes = compare_home(old, other).changes
    assert [change.key for change in changes] == [(Kind.LIMIT, WALLS)]
    assert changes[0].says.startswith(catalogue().rules[WALLS].title)


def test_two_changes_that_only_together_turn_a_verdict_are_both_named() -> None:
    # taped from the east wall; the alarm moves 0.10 m west and the west wall comes 0.15 m nearer: 0.70 m becomes 0.45 m,
    # where either alone leaves more than 0.50 m
    old = text().replace("from-west: 1.00, from-south: 1.50", "from-east: 1.30, from-south: 1.50")
    new = old.replace("from-east: 1.30, from-south: 1.50", "from-east: 1.40, from-south: 1.50")
    new = new.replace("corner: [0, 0], size: [2.00, 5.00]", "corner: [0.15, 0], size: [1.85, 5.00]")
    item = turned(side(old), side(new))[WALLS, "SA1"]
    assert item.turn is Turn.FAILS
    assert {change.kind for change in item.causes} == {Kind.DEVICE_MOVED, Kind.ROOM_RESHAPED}


def test_a_new_device_under_a_tag_that_another_left_is_the_cause_of_its_own_verdict() -> None:
    added = (
        "  SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 0.20, from-south: 4.00, serial: A-009, "
        "fitted: 2026-05-20, linked: [SA2]}\ndevices-end"
    )
    moved = text(sa2_west="0.30").replace("SA1", "SA7")
    new = moved.replace("visits:\n", f"{added}visits:\n", 1).replace("devices-end", "")
    found = turned(side(text()), side(new))
    assert [change.key for change in found[WALLS, "SA1"].causes] == [(Kind.DEVICE_ADDED, "SA1")]
    assert [change.key for change in found[WALLS, "SA2"].causes] == [(Kind.DEVICE_MOVED, "SA2")]
    assert (WALLS, "SA7") not in found


def test_a_device_that_only_changed_its_tag_turns_no_verdict() -> None:
    new = text().replace("SA1", "SA7")
    assert turned(side(text()), side(new)) == {}


def test_a_home_that_did_not_change_turns_no_verdict() -> None:
    assert turned(side(text()), side(text())) == {}


@pytest.mark.parametrize(
    "values", [{"sa1_west": "0.20"}, {"md1_height": "1.60"}, {"sa2_west": "0.30", "is1_cut_off": "40 min"}]
)
def test_what_turned_is_what_two_judgements_say_apart(values: dict[str, str]) -> None:
    old, new = side(text()), side(text(**values))
    a = {finding.key: finding.verdict for finding in old.findings(DAY)}
    b = {finding.key: finding.verdict for finding in new.findings(DAY)}
    quiet = {Verdict.CONFORMS, Verdict.NOT_APPLICABLE, None}
    expected = {
        key for key in a.keys() | b.keys() if a.get(key) is not b.get(key) and not {a.get(key), b.get(key)} <= quiet
    }
    found = verdict_changes(old, new, compare_home(old, new), DAY)
    assert {item.key for item in found} == expected
    assert expected
    for item in found:
        assert item.because is Because.CHANGE


def test_a_device_that_is_gone_is_not_taken_for_the_one_that_has_its_tag_now() -> None:
    moved = text(sa1_west="0.20")
    without = [line for line in moved.splitlines() if not line.startswith(("  SA1:", "      SA1:"))]
    later = (
        "\n".join(without).replace("linked: [SA1], ", "").replace("SA1: {button: sounded}, ", "").replace("SA2", "SA1")
    )
    found = turned(side(moved), side(later))
    assert found["smoke-clear-of-wall", "SA1 (earlier)"].turn is Turn.GONE
    assert ("smoke-clear-of-wall", "SA1") not in found
