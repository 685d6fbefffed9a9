"""Rooms walked wall by wall: the compass rule against published traverses, and its properties."""

from math import cos, hypot, isclose, radians, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import Polygon

from asfitted.dwelling.traverse import close_departures, close_traverse, turns_left
from tests.dwelling.homes import dwelling_of, lay_out

# Published traverse: scribd.com/document/493615208 (read): AB 80.40 N76E, BC 46.30 S36E, CD 72.80 S61W, DA 68.00 N38W.
PUBLISHED = [(76.0, 80.40), (144.0, 46.30), (241.0, 72.80), (322.0, 68.00)]
# It prints components rounded to the millimetre, so adjusted figures agree within 0.002.
PRINTED_LATITUDES = [19.3653, -37.5063, -35.3716, 53.5126]
PRINTED_DEPARTURES = [78.1055, 27.2678, -63.5874]


def legs_of(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    ends = [*corners[1:], corners[0]]
    return [(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in zip(corners, ends, strict=True)]


def test_published_traverse_closes_as_printed() -> None:
    corners, closing = close_traverse((0.0, 0.0), PUBLISHED)
    assert closing.length == pytest.approx(267.50)
    assert closing.error == pytest.approx(hypot(0.28362, 0.31106), abs=1e-4)
    assert closing.one_in == pytest.approx(635.5, abs=0.1)
    legs = legs_of(corners)
    assert [north for _, north in legs] == pytest.approx(PRINTED_LATITUDES, abs=0.002)
    assert [east for east, _ in legs][:3] == pytest.approx(PRINTED_DEPARTURES, abs=0.002)
    assert Polygon(corners).area == pytest.approx(4169.143, abs=0.005)


def test_second_published_traverse_corrects_each_leg_by_its_share() -> None:
    # ioebooster.com 60aa4db8a3452 (read): sums +0.93 north, -0.99 east over 567.29 m; here east is the departure.
    steps = [(-228.92, 225.87, 121.87), (326.62, -268.25, 199.85), (-98.69, 43.31, 245.57)]
    corners, closing = close_departures((0.0, 0.0), steps)
    assert closing.length == pytest.approx(567.29)
    east, north = legs_of(corners)[1]
    assert east - 326.62 == pytest.approx(0.3488, abs=1e-4)
    assert north + 268.25 == pytest.approx(-0.3276, abs=1e-4)


@pytest.mark.parametrize(
    ("steps", "error", "one_in", "area"),
    [
        # computed from the rule above, not published: a rectangle and an L-shaped room as measured
        ([(5.012, 0), (0, 3.498), (-5.0, 0), (0, -3.506)], 0.014422, 1180, 17.5310),
        ([(6.01, 0), (0, 3.0), (-3.0, 0), (0, 2.99), (-3.0, 0), (0, -6.0)], 0.014142, 1697, 27.0225),
    ],
    ids=["rectangle", "l-shape"],
)
def test_rooms_close(steps: list[tuple[float, float]], error: float, one_in: float, area: float) -> None:
    corners, closing = close_departures((0.0, 0.0), [(east, north, hypot(east, north)) for east, north in steps])
    assert closing.error == pytest.approx(error, abs=1e-6)
    assert closing.one_in == pytest.approx(one_in, abs=1)
    assert Polygon(corners).area == pytest.approx(area, abs=1e-4)


WALKS = st.lists(st.tuples(st.floats(0, 359.99), st.floats(0.1, 20)), min_size=3, max_size=12)


@given(WALKS)
def test_corrections_add_up_to_the_error(legs: list[tuple[float, float]]) -> None:
    corners, closing = close_traverse((0.0, 0.0), legs)
    raw = [(length * sin(radians(way)), length * cos(radians(way))) for way, length in legs]
    adjusted = legs_of(corners)
    spread_x = sum(before[0] - after[0] for before, after in zip(raw, adjusted, strict=True))
    spread_y = sum(before[1] - after[1] for before, after in zip(raw, adjusted, strict=True))
    assert hypot(spread_x, spread_y) == pytest.approx(closing.error, abs=1e-9)
    assert sum(east for east, _ in adjusted) == pytest.approx(0, abs=1e-9)
    assert sum(north for _, north in adjusted) == pytest.approx(0, abs=1e-9)


@given(WALKS)
def test_each_leg_is_corrected_in_proportion_to_its_length(legs: list[tuple[float, float]]) -> None:
    corners, closing = close_traverse((0.0, 0.0), legs)
    assume(closing.error > 1e-6)
    for (way, length), (east, north) in zip(legs, legs_of(corners), strict=True):
        moved = hypot(east - length * sin(radians(way)), north - length * cos(radians(way)))
        assert moved == pytest.approx(closing.error * length / closing.length, abs=1e-9)


@given(st.lists(st.tuples(st.floats(-10, 10), st.floats(-10, 10)), min_size=3, max_size=10))
def test_closing_a_perfect_walk_changes_nothing(points: list[tuple[float, float]]) -> None:
    steps = [(east, north, hypot(east, north)) for east, north in legs_of(points)]
    assume(sum(length for _, _, length in steps) > 0.1)
    corners, closing = close_departures(points[0], steps)
    assert closing.error == pytest.approx(0, abs=1e-12)
    for corner, point in zip(corners, points, strict=True):
        assert corner == pytest.approx(point, abs=1e-9)


@given(WALKS, st.floats(-100, 100), st.floats(-100, 100))
def test_moving_the_start_moves_every_corner_alike(legs: list[tuple[float, float]], east: float, north: float) -> None:
    here, closing = close_traverse((0.0, 0.0), legs)
    there, same = close_traverse((east, north), legs)
    assert closing == same
    for (x, y), moved in zip(here, there, strict=True):
        assert moved == pytest.approx((x + east, y + north), abs=1e-9)


@given(WALKS, st.floats(0, 360))
def test_turning_the_walk_turns_every_corner_alike(legs: list[tuple[float, float]], turn: float) -> None:
    here, closing = close_traverse((0.0, 0.0), legs)
    there, same = close_traverse((0.0, 0.0), [(way + turn, length) for way, length in legs])
    assert isclose(closing.error, same.error, abs_tol=1e-9)
    c, s = cos(radians(turn)), sin(radians(turn))
    for (x, y), turned in zip(here, there, strict=True):
        assert turned == pytest.approx((x * c + y * s, -x * s + y * c), abs=1e-9)


def test_corners_run_one_way_or_the_other() -> None:
    square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    assert turns_left(square)
    assert not turns_left(square[::-1])


@pytest.mark.parametrize("by", ["laser", "tape"])
def test_walk_is_refused_only_beyond_what_the_instrument_explains(by: str) -> None:
    allowed = {"laser": 0.08, "tape": 0.12}[by]
    room = "{{id: room, use: living, walk: {{from: [0, 0], legs: [E 4, N 3, W 4, S {south:.3f}], by: {by}}}}}"
    dwelling = dwelling_of(room.format(south=3 - allowed + 0.002, by=by))
    assert dwelling.rooms["room"].closing is not None
    assert dwelling.rooms["room"].closing.error == pytest.approx(allowed - 0.002)
    _, problems = lay_out(room.format(south=3 - allowed - 0.002, by=by))
    assert len(problems) == 1
    assert f"ending {allowed + 0.002:.3f} m from where it began" in problems[0]
    assert f"at most {allowed:.2f} m for 4 walls by {by}" in problems[0]


def test_walk_may_run_either_way_round() -> None:
    east = dwelling_of("{id: room, use: living, walk: {from: [0, 0], legs: [E 4, N 3, W 4, S 3]}}").rooms["room"]
    north = dwelling_of("{id: room, use: living, walk: {from: [0, 0], legs: [N 3, E 4, S 3, W 4]}}").rooms["room"]
    assert east.outline.equals(north.outline)
    assert (
        {wall.name for wall in east.walls} == {wall.name for wall in north.walls} == {"north", "east", "south", "west"}
    )
