"""What holds of every siting: checks and zones agree, distances are monotone, ridges are plain trigonometry."""

from itertools import product
from math import cos, dist, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, box

from asfitted.reckon.cover import furthest, last_place, nearest, uncovered
from asfitted.reckon.slope import from_top
from asfitted.rules.checks import PLACINGS
from asfitted.rules.examples import case_of
from asfitted.rules.placing import Candidate, Surface, Trial, surfaces, zone
from tests.rules.fire.homes import findings, home

SITES = st.lists(st.tuples(st.floats(0.0, 9.0), st.floats(0.0, 6.0)), min_size=1, max_size=4, unique=True)


# Definitions of the sine, cosine and tangent in a right triangle.
@given(run=st.floats(0.0, 10.0), pitch=st.floats(1.0, 80.0))
def test_ridge_distances_are_those_of_the_right_triangle(run: float, pitch: float) -> None:
    slope = radians(pitch)
    figures = from_top(run, tan(slope))
    assert figures["horizontal"] == run
    assert figures["vertical"] == pytest.approx(run * tan(slope))
    assert figures["slope"] == pytest.approx(run / cos(slope))
    assert figures["vertical"] == pytest.approx(figures["slope"] * sin(slope))


# Worked figures: 0.40 straight down at 40 degrees is 0.477 on the plan and 0.622 down the slope.
def test_a_worked_ridge() -> None:
    figures = from_top(0.40 / tan(radians(40)), tan(radians(40)))
    assert [round(figures[reading], 3) for reading in ("vertical", "horizontal", "slope")] == [0.4, 0.477, 0.622]


@given(sites=SITES, notch=st.floats(1.0, 8.0))
def test_the_furthest_point_is_no_nearer_than_any_of_a_grid(sites: list[tuple[float, float]], notch: float) -> None:
    space = box(0, 0, 9, 6).difference(box(notch, 3, 9, 6))
    point, far = furthest(space, sites)
    grid = [p for p in product(np.linspace(0, 9, 46), np.linspace(0, 6, 31)) if space.covers(Point(p))]
    best = max(nearest(p, sites) for p in grid)
    assert best <= far + 1e-6
    assert far <= best + 0.2 * 2**0.5  # the grid is 0.2 m wide
    assert nearest(point, sites) == pytest.approx(far, abs=1e-5)
    assert space.distance(Point(point)) < 1e-6


@given(sites=SITES, more=st.tuples(st.floats(0.0, 9.0), st.floats(0.0, 6.0)), radius=st.floats(3.0, 8.0))
def test_the_last_place_covers_what_is_left_and_no_other_does(
    sites: list[tuple[float, float]], more: tuple[float, float], radius: float
) -> None:
    space = box(0, 0, 9, 6)
    left = uncovered(space, sites, radius)
    place = last_place(left, radius)
    if left.area < 0.01:
        return
    far = furthest(space, [*sites, more])[1]
    if place.buffer(-0.01).covers(Point(more)):
        assert far <= radius + 0.01
    if place.distance(Point(more)) > 0.05:
        assert uncovered(space, [*sites, more], radius - 0.01).area > 0


@given(near=st.floats(0.1, 2.0), further=st.floats(0.0, 2.0), kind=st.sampled_from(["beam", "cooker"]))
def test_moving_away_from_a_thing_never_worsens_that_clearance(near: float, further: float, kind: str) -> None:
    fitting = {
        "beam": "{beam: room, from-west: 1.0, depth: 0.15}",
        "cooker": "{cooker: room, from-west: 1.0, from-south: 2.5}",
    }[kind]
    rule = {"beam": "alarm-clear-of-beam", "cooker": "smoke-clear-of-cooker"}[kind]
    room = "{id: room, use: living, corner: [0, 0], size: [6.0, 5.0]}"
    device = "SA1: {{kind: smoke alarm, on: ceiling of room, from-west: {:.6f}, from-south: 2.5}}"
    before, after = (
        findings(rule, home(room, device.format(1.0 + away), fittings=fitting))["SA1"]
        for away in (near, near + further)
    )
    assert (after.margin or 0.0) >= (before.margin or 0.0) - 1e-9
    assert after.verdict.rank >= before.verdict.rank


RIDGED = "{ridged: {low: 2.20, high: 4.90, ridge: east-west}}"
ROOMS = (
    "{id: room, use: circulation, corner: [0, 0], size: [9.0, 2.0]}, "
    "{id: den, use: bedroom, corner: [0, 2.1], size: [9.0, 6.0], height: " + RIDGED + "}"
)
DOORS = "{door: room - den, id: den-door, from-west: 0.5, width: 0.8}"
RULES = (
    "smoke-clear-of-wall",
    "smoke-below-ridge",
    "smoke-covers-room",
    "smoke-along-corridor",
    "smoke-near-bedroom-door",
    "smoke-reaches-walls",
    "smoke-ceiling-height",
)


@given(
    rules=st.sampled_from(["uk-england", "de", "us", "au", "nz"]),
    room=st.sampled_from(["room", "den"]),
    across=st.floats(0.03, 0.97),
    up=st.floats(0.05, 0.95),
)
def test_the_zone_and_the_checks_agree_under_every_rule_set(rules: str, room: str, across: float, up: float) -> None:
    depth = {"room": 2.0, "den": 6.0}[room]
    west, south = round(9.0 * across, 4), round(depth * up, 4)
    device = f"SA1: {{kind: smoke alarm, on: ceiling of {room}, from-west: {west}, from-south: {south}, by: laser}}"
    text = home(ROOMS, device, rules=rules, openings=DOORS)
    case = case_of(text)
    here = (west, south + (2.1 if room == "den" else 0.0))
    found = zone(
        Trial(case, Candidate("smoke alarm", "SA1"), surfaces(case.dwelling, case.dwelling.rooms[room])[0]), PLACINGS
    )
    for rule in RULES:
        shape = [ban.shape for ban in found.bans if ban.rule.id == rule]
        judged = [f for f in findings(rule, text).values() if f.margin is not None]
        if not shape or not judged:
            continue
        worst = min(f.margin for f in judged if f.margin is not None)
        if worst > 0.02:
            assert all(ban.distance(Point(here)) > 0.0 for ban in shape), rule
        if worst < -0.02:
            assert any(ban.covers(Point(here)) for ban in shape), rule


@given(
    z=st.floats(1.6, 2.39), along=st.floats(0.1, 3.9), rules=st.sampled_from(["uk-england", "us", "au", "uk-scotland"])
)
def test_the_zone_of_a_wall_agrees_with_the_checks(z: float, along: float, rules: str) -> None:
    room = "{id: room, use: living, corner: [0, 0], size: [5.0, 4.0]}"
    device = f"SA1: {{kind: smoke alarm, in: room, wall: west, from-south: {along:.4f}, height: {z:.4f}, across: 0.10, by: laser}}"
    text = home(room, device, rules=rules)
    case = case_of(text)
    shape = case.dwelling.rooms["room"]
    wall = next(wall for wall in shape.walls if wall.name == "west")
    found = zone(Trial(case, Candidate("smoke alarm", "SA1", 0.10), Surface(shape, wall)), PLACINGS)
    at = Point(dist(wall.a, (0.0, along)), z)
    judged = [
        finding
        for rule in ("smoke-wall-mounted", "smoke-clear-of-side-wall")
        for finding in findings(rule, text).values()
        if finding.subject.id == "SA1"
    ]
    if any(f.margin is not None and f.margin < -0.02 for f in judged) or rules == "uk-scotland":
        assert not found.shape.covers(at)
    elif all(f.margin is None or f.margin > 0.02 for f in judged):
        assert found.shape.covers(at)


def test_an_alarm_that_is_still_missing_is_sent_to_where_it_covers_the_rest() -> None:
    room = "{id: room, use: living, corner: [0, 0], size: [16.0, 5.0]}"
    one = "SA1: {kind: smoke alarm, on: ceiling of room, from-west: 4.0, from-south: 2.5, by: laser}"
    case = case_of(home(room, one, rules="uk-england"))
    found = zone(
        Trial(case, Candidate("smoke alarm"), surfaces(case.dwelling, case.dwelling.rooms["room"])[0]), PLACINGS
    )
    # what is left lies east of 4.0 + the root of 7.5² - 2.5² = 11.07; it is within 7.5 m of (12, 2.5), not of (6, 2.5)
    assert found.shape.covers(Point(12.0, 2.5))
    assert not found.shape.covers(Point(6.0, 2.5))
