"""Variations, remedies and properties that hold for every home."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point

from asfitted.rules.catalogue import Rule, catalogue, sources
from asfitted.rules.checks import CHECKS, PLACINGS
from asfitted.rules.finding import Verdict
from asfitted.rules.judge import judge, rule_problems
from asfitted.rules.judgement import asked, verdict_of
from asfitted.rules.placing import Candidate, Surface, Trial, zone
from tests.rules.conftest import Ask, Make

NEAR_WALL = "SA1: {kind: smoke alarm, name: a, on: ceiling of living, from-west: 3.0, from-south: 0.31}"
AGREED = "{{rule: smoke-clear-of-wall, device: SA1, why: the beam is in the way, agreed: householder, on: {on}{until}}}"


def test_what_was_agreed_in_writing_is_a_variation(ask: Ask) -> None:
    finding = ask("smoke-clear-of-wall", "SA1", NEAR_WALL, variations=AGREED.format(on="2026-03-04", until=""))
    assert finding.verdict is Verdict.VARIATION
    assert "Agreed by the householder on 2026-03-04: the beam is in the way." in finding.says
    assert finding.variation is not None


def test_a_variation_does_not_hold_before_its_day_nor_after_its_end(ask: Ask) -> None:
    early = AGREED.format(on="2027-01-01", until="")
    lapsed = AGREED.format(on="2025-01-01", until=", until: 2026-11-24")
    last_day = AGREED.format(on="2025-01-01", until=", until: 2026-11-25")
    assert ask("smoke-clear-of-wall", "SA1", NEAR_WALL, variations=early).verdict is Verdict.FAILS
    finding = ask("smoke-clear-of-wall", "SA1", NEAR_WALL, variations=lapsed)
    assert finding.verdict is Verdict.FAILS
    assert "lapsed on 2026-11-24" in finding.says
    assert ask("smoke-clear-of-wall", "SA1", NEAR_WALL, variations=last_day).verdict is Verdict.VARIATION


def test_a_variation_covers_its_own_device_only(ask: Ask) -> None:
    both = NEAR_WALL + ", SA2: {kind: smoke alarm, name: b, on: ceiling of living, from-west: 1.0, from-south: 0.31}"
    agreed = AGREED.format(on="2026-03-04", until="")
    assert ask("smoke-clear-of-wall", "SA2", both, variations=agreed).verdict is Verdict.FAILS


def test_a_variation_of_a_storey_rule_names_a_room_of_it(ask: Ask) -> None:
    agreed = "{rule: smoke-on-every-storey, room: hall, why: w, agreed: householder, on: 2026-01-01}"
    assert ask("smoke-on-every-storey", "ground", variations=agreed).verdict is Verdict.VARIATION


def test_a_variation_of_a_room_rule_names_the_room(ask: Ask) -> None:
    agreed = "{rule: smoke-in-living-room, room: living, why: heat alarm instead, agreed: householder, on: 2026-01-01}"
    assert ask("smoke-in-living-room", "living", variations=agreed).verdict is Verdict.VARIATION


def test_an_unknown_rule_or_rule_set_is_a_problem_with_the_nearest_name(make: Make) -> None:
    case = make(NEAR_WALL, variations=AGREED.format(on="2026-03-04", until="").replace("clear-of-wall", "clear-of-wal"))
    (problem,) = rule_problems(case.home, catalogue())
    assert problem.path == ("variations", 0, "rule")
    assert problem.remedy == "Did you mean smoke-clear-of-wall?"


@pytest.mark.parametrize(
    ("agreed", "found"),
    [
        ("{rule: keyholders, device: SA1, why: w, agreed: householder, on: 2026-01-01}", "device SA1"),
        ("{rule: smoke-in-living-room, device: SA1, why: w, agreed: householder, on: 2026-01-01}", "device SA1"),
        ("{rule: smoke-clear-of-wall, why: w, agreed: householder, on: 2026-01-01}", "neither device nor room"),
    ],
)
def test_a_variation_names_what_its_rule_is_about_and_nothing_else(make: Make, agreed: str, found: str) -> None:
    (problem,) = rule_problems(make(NEAR_WALL, variations=agreed).home, catalogue())
    assert problem.found == found


def test_the_remedy_is_a_move_whose_figures_meet_every_clearance_rule(ask: Ask, make: Make) -> None:
    light = "{light: living, from-west: 3.0, from-south: 0.95}"
    finding = ask("smoke-clear-of-wall", "SA1", NEAR_WALL, fittings=light)
    assert finding.remedy.startswith("Move it ")
    assert ", to 1.02 m from south and " in finding.remedy
    assert finding.mark is not None
    assert finding.mark.move_to is not None
    x, y = finding.mark.move_to
    moved = f"SA1: {{kind: smoke alarm, name: a, on: ceiling of living, from-west: {x - 2.1:.4f}, from-south: {y:.4f}}}"
    case = make(moved, fittings=light)
    found = zone(Trial(case, Candidate("smoke alarm"), Surface(case.dwelling.rooms["living"])), PLACINGS)
    rules = {ban.rule.id for ban in found.bans}
    verdicts = {
        f.rule.id: f.verdict for f in judge(case.home, case.dwelling, case.on, case.rules) if f.rule.id in rules
    }
    assert set(verdicts.values()) == {Verdict.CONFORMS}


def test_where_no_place_is_left_the_fewest_rules_in_conflict_are_named(ask: Ask) -> None:
    # 0.9 m wide: no point is 0.50 m from both long walls.
    device = "SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-south: 4.8}"
    fan = "{air-vent: hall, from-west: 1.0, from-south: 1.0}, {fan: hall, from-west: 1.0, from-south: 2.5}, "
    fan += "{ceiling-fan: hall, from-west: 1.0, from-south: 4.0}"
    finding = ask("smoke-clear-of-wall", "SA1", device, fittings=fan)
    assert "cannot be met together" in finding.remedy
    assert "smoke alarm clear of walls" in finding.remedy
    assert "variation" in finding.remedy


@given(margin=st.floats(-5, 5), tolerance=st.floats(0, 1))
def test_a_verdict_follows_from_margin_and_tolerance(margin: float, tolerance: float) -> None:
    verdict = verdict_of(margin, tolerance)
    assert (verdict is Verdict.BORDERLINE) == (abs(margin) < tolerance - 1e-9)
    if verdict is Verdict.CONFORMS:
        assert margin >= -1e-9
    if verdict is Verdict.FAILS:
        assert margin < 0


@given(west=st.floats(0.02, 5.98), south=st.floats(0.02, 4.98), spare=st.sampled_from([0.0, 0.02]))
def test_the_zone_and_the_checks_agree_at_every_point(make: Make, west: float, south: float, spare: float) -> None:
    fittings = "{light: living, from-west: 3.0, from-south: 2.5, by: laser}, {air-vent: living, from-west: 5.0, from-south: 4.0, by: laser}"
    device = f"SA1: {{kind: smoke alarm, name: a, on: ceiling of living, from-west: {west:.6f}, from-south: {south:.6f}, by: laser}}"
    case = make(device, fittings=fittings)
    room = case.dwelling.rooms["living"]
    candidate = Candidate("smoke alarm")
    rules = {ban.rule.id for ban in zone(Trial(case, candidate, Surface(room)), PLACINGS).bans}
    margins = [
        f.margin
        for f in judge(case.home, case.dwelling, case.on, case.rules)
        if f.rule.id in rules and f.margin is not None
    ]
    assert len(margins) == len(rules) == 4
    inside = zone(Trial(case, candidate, Surface(room), spare), PLACINGS).shape.covers(Point(west + 2.1, south))
    slack = 0.03  # the zone keeps the fittings' own tolerance in hand, and its circles are many-sided
    if min(margins) > spare + slack:
        assert inside
    if min(margins) < spare - slack:
        assert not inside


@given(near=st.floats(0.05, 2.0), further=st.floats(0.0, 0.4))
def test_moving_away_from_a_light_never_worsens_that_clearance(ask: Ask, near: float, further: float) -> None:
    light = "{light: living, from-west: 1.0, from-south: 2.5}"
    device = "SA1: {{kind: smoke alarm, on: ceiling of living, from-west: {:.6f}, from-south: 2.5}}"
    before = ask("smoke-clear-of-light", "SA1", device.format(1.0 + near), fittings=light)
    after = ask("smoke-clear-of-light", "SA1", device.format(1.0 + near + further), fittings=light)
    assert (after.margin or 0.0) >= (before.margin or 0.0) - 1e-9
    assert after.verdict.rank >= before.verdict.rank


def test_the_order_of_devices_does_not_matter(make: Make) -> None:
    one = "SA1: {kind: smoke alarm, name: a, on: ceiling of living, from-west: 3.0, from-south: 0.31}"
    two = "MD1: {kind: motion detector, name: b, in: living, corner: north-west, height: 2.1}"
    here, there = (make(text) for text in (f"{one}, {two}", f"{two}, {one}"))
    keys = [{(f.key, f.verdict, f.says) for f in judge(c.home, c.dwelling, c.on, c.rules)} for c in (here, there)]
    assert keys[0] == keys[1]


def test_findings_come_worst_first_and_every_one_has_its_source(make: Make) -> None:
    case = make(NEAR_WALL)
    findings = judge(case.home, case.dwelling, date(2026, 11, 25), case.rules)
    assert [f.verdict.rank for f in findings] == sorted(f.verdict.rank for f in findings)
    for finding in findings:
        assert finding.says.endswith((".", ")"))
        assert finding.limit.source.title
        if finding.verdict in (Verdict.FAILS, Verdict.NOT_VERIFIED):
            assert finding.remedy


@pytest.mark.parametrize("rule", catalogue().rules.values(), ids=lambda rule: rule.id)
def test_a_rule_is_whole_data(rule: Rule) -> None:
    assert rule.check in CHECKS
    assert rule.limits
    for text in (rule.title, rule.says, rule.why, rule.measured, rule.remedy):
        assert text
    for limit in rule.limits.values():
        assert limit.status in ("read", "from memory", "common practice")
        assert limit.severity in ("law", "code", "advice")
        assert "{" not in asked(rule, limit)
        if limit.figure:
            assert "{limit}" in rule.says


def test_every_source_is_used() -> None:
    limits = [limit for rule in catalogue().rules.values() for limit in rule.limits.values()]
    used = {source.key for limit in limits for source in (limit.source, *limit.compare)}
    assert set(sources()) == used


def test_a_correction_speaks_of_the_day_it_corrects(ask: Ask) -> None:
    wrong = "{date: 2026-03-04, kind: service, by: t, tests: {SA1: {button: silent}}}"
    right = "{date: 2026-03-09, kind: service, by: t, corrects: 2026-03-04, tests: {SA1: {button: sounded}}}"
    device = "SA1: {kind: smoke alarm, in: living}"
    assert ask("device-tested", "SA1", device, visits=wrong).verdict is Verdict.FAILS
    finding = ask("device-tested", "SA1", device, visits=f"{wrong}, {right}")
    assert finding.verdict is Verdict.CONFORMS
    assert "button sounded on 2026-03-04" in finding.says
