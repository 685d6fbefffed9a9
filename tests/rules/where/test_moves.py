"""Moves: where they lead conforms, and the figures said are those the tape then shows."""

import re
from dataclasses import replace

import pytest
from shapely import Point

from asfitted.dwelling.shapes import Spot
from asfitted.rules.case import Case
from asfitted.rules.examples import case_of, home_text
from asfitted.rules.finding import Finding, Mark, Subject, Verdict
from asfitted.rules.judge import judge
from asfitted.rules.placing import surfaces
from asfitted.rules.siting import advise_move, stands_of, with_moves
from tests.conftest import THOROUGH
from tests.rules.where.homes import KINDS, SLACK, grid, made, placing_findings, with_device

HEATER = "{heater: living, from-west: 3.0, from-south: 0.2, by: laser}"


@pytest.mark.parametrize("seed", range(16 if THOROUGH else 4))
def test_a_device_that_falls_short_moves_to_where_every_placing_rule_conforms(seed: int) -> None:
    case = made(seed)
    for kind in KINDS:
        for surface in surfaces(case.dwelling, case.dwelling.rooms["den"]):
            for point in list(grid(surface, 0.9))[:12]:
                moved_from = with_device(case, kind, surface, point, tolerance=0.01)
                if all(f.verdict is not Verdict.FAILS for f in placing_findings(moved_from)):
                    continue
                move = advise_move(moved_from, moved_from.devices[0])
                assert move is not None
                if move.to is None or move.zone is None:
                    assert "cannot be met" in move.says
                    continue
                on = move.zone.surface
                to = move.to if on.wall is None else (Point(on.wall.a).distance(Point(move.to)), move.height or 0.0)
                for finding in placing_findings(with_device(case, kind, on, to)):
                    assert finding.margin is None or finding.margin >= move.zone.spare - SLACK
                    assert finding.verdict is not Verdict.FAILS


def said_back(case: Case, tag: str, says: str) -> str:
    """Write the device as the remedy says it, in the words of the record."""
    device = case.home.devices[tag]
    tapes = {side: metres for metres, side in re.findall(r"([\d.]+) m from (?:the )?(north|south|east|west)", says)}
    keys = ", ".join(f"from-{side}: {metres}" for side, metres in tapes.items())
    if device.on:
        return f"{tag}: {{kind: {device.kind}, on: {device.on}, {keys}, by: {device.by}}}"
    wall = re.search(r"end of the ([a-z0-9-]+) wall", says)
    height = re.search(r"([\d.]+) m above the floor", says)
    side = wall[1] if wall else device.wall
    up = height[1] if height else device.height
    return f"{tag}: {{kind: {device.kind}, in: {device.in_}, wall: {side}, {keys}, height: {up}, by: {device.by}}}"


@pytest.mark.parametrize(
    "device",
    [
        "D1: {kind: smoke alarm, on: ceiling of living, from-west: 3.0, from-south: 0.313, by: laser}",
        "D1: {kind: smoke alarm, on: ceiling of living, from-east: 0.274, from-north: 2.333, by: laser}",
        "D1: {kind: motion detector, in: living, wall: south, from-west: 2.904, height: 2.137, by: laser}",
        "D1: {kind: motion detector, in: living, wall: south, from-east: 2.61, height: 2.2, by: tape}",
        "D1: {kind: motion detector, in: living, wall: west, from-north: 4.41, height: 2.2, by: laser}",
    ],
)
def test_the_figures_said_are_those_of_the_place_and_conform_when_recorded(device: str) -> None:
    near = "{heater: living, from-west: 0.3, from-south: 0.3, by: laser}"
    case = case_of(home_text(devices=device, fittings=f"{HEATER}, {near}"))
    move = short(case)[0]
    assert move.verdict is Verdict.FAILS
    there = case_of(
        home_text(devices=said_back(case, "D1", move.remedy.split(" There")[0]), fittings=f"{HEATER}, {near}")
    )
    assert move.mark is not None
    assert move.mark.move_to == pytest.approx(there.dwelling.spots["D1"].point, abs=1e-9)
    assert short(there) == []


def short(case: Case) -> list[Finding]:
    """Give the findings about the place of the device that fall short."""
    ids = {finding.rule.id for finding in placing_findings(case)}
    found = judge(case.home, case.dwelling, case.on, case.rules)
    return [f for f in found if f.rule.id in ids and f.verdict in (Verdict.FAILS, Verdict.BORDERLINE)]


def test_a_device_in_a_corner_stands_on_both_walls_and_takes_the_shorter_way() -> None:
    heater = "{heater: living, from-west: 0.4, from-south: 1.0, by: laser}"
    device = "D1: {kind: motion detector, in: living, corner: south-west, height: 2.1, by: laser}"
    case = case_of(home_text(devices=device, fittings=heater))
    assert {surface.called for surface, _ in stands_of(case, case.devices[0])} == {"south wall", "west wall"}
    finding = short(case)[0]
    assert "along" not in finding.remedy
    assert "of the south wall, 2.10 m above the floor" in finding.remedy
    assert finding.mark is not None
    assert finding.mark.zone is not None
    assert finding.mark.zone.area > 0.1


@pytest.mark.parametrize(
    "place",
    [
        "on: front-door, height: 1.5",
        "outside: living south, from-west: 1.0, height: 2.2",
        "in: living",
        "in: living, wall: south, from-west: 1.0",
        "in: living, from-west: 1.0, from-south: 1.0",
    ],
)
def test_a_device_that_hangs_on_no_known_place_of_a_ceiling_or_wall_gets_no_move(place: str) -> None:
    case = case_of(home_text(devices=f"D1: {{kind: motion detector, {place}}}"))
    assert stands_of(case, case.devices[0]) == []
    assert advise_move(case, case.devices[0]) is None


def test_a_wall_without_a_place_sends_the_device_to_the_best_place_of_another() -> None:
    heaters = ", ".join(f"{{heater: living, from-west: {x}, from-south: 0.3, by: laser}}" for x in (0.6, 2.0, 3.5, 5.2))
    device = "D1: {kind: motion detector, in: living, wall: south, from-west: 1.0, height: 2.2, by: laser}"
    finding = short(case_of(home_text(devices=device, fittings=heaters)))[0]
    assert finding.remedy.startswith("No place on the south wall will do. The ")
    assert finding.mark is not None
    assert finding.mark.move_to is not None
    x, y = finding.mark.move_to
    assert y > 1.0
    assert 2.1 <= x <= 8.1


def test_a_finding_without_a_better_place_keeps_its_own_remedy_where_it_fails() -> None:
    case = made(1)
    surface = surfaces(case.dwelling, case.dwelling.rooms["den"])[0]
    device = with_device(case, "smoke alarm", surface, (0.01, 0.01))
    rule = next(rule for rule in device.rules.rules.values() if rule.check == "clear-of")
    inside = replace(device, rules=replace(device.rules, rules={}))  # no rule takes anything, so it hangs where it may
    spot: Spot = device.dwelling.spots["D1"]
    failing = Finding(
        rule, device.rules.limits[rule.id], Subject("device", "D1", "D1"), Verdict.FAILS, "s", "Own words.", ("devices",),
        mark=Mark(spot.point or (0.0, 0.0)),
    )  # fmt: skip
    borderline = replace(failing, verdict=Verdict.BORDERLINE)
    kept, other = with_moves(inside, [failing, borderline])
    assert kept.remedy == "Own words."
    assert other.remedy.endswith("no other place on this ceiling has more.")
