"""Ceilings as height fields, against closed forms and a worked case."""

from math import atan, cos, degrees, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon, box

from asfitted.dwelling.ceilings import CeilingShape, ceiling_over
from asfitted.model.ceiling import Ceiling

ROOM = box(1, 2, 6, 6)  # 5 m west to east, 4 m south to north


def ridged(low: float, high: float, ridge: str, outline: Polygon = ROOM) -> CeilingShape:
    return ceiling_over(outline, Ceiling.model_validate({"ridged": {"low": low, "high": high, "ridge": ridge}}))


def sloping(low: float, high: float, rises: str) -> CeilingShape:
    return ceiling_over(ROOM, Ceiling.model_validate({"sloping": {"low": low, "high": high, "rises": rises}}))


def test_flat_ceiling_is_the_same_everywhere() -> None:
    flat = ceiling_over(ROOM, Ceiling.model_validate(2.4))
    assert [flat.height_at(x, y) for x, y in ((1, 2), (3, 3), (6, 6))] == [2.4] * 3
    assert (flat.pitch, flat.gradient, flat.is_flat, flat.run_from_top(3, 3)) == (0, 0, True, 0)
    assert flat.top_line(ROOM) is None


@pytest.mark.parametrize(
    ("rises", "low_point", "high_point", "run"),
    [
        ("north", (3, 2), (3, 6), 4),
        ("south", (3, 6), (3, 2), 4),
        ("east", (1, 4), (6, 4), 5),
        ("west", (6, 4), (1, 4), 5),
    ],
)
def test_ceiling_that_rises_one_way(
    rises: str, low_point: tuple[float, float], high_point: tuple[float, float], run: float
) -> None:
    shape = sloping(2.0, 3.0, rises)
    assert shape.height_at(*low_point) == pytest.approx(2.0)
    assert shape.height_at(*high_point) == pytest.approx(3.0)
    assert shape.height_at(3.5, 4.0) == pytest.approx(2.5)
    assert shape.gradient == pytest.approx(1 / run)
    assert shape.pitch == pytest.approx(degrees(atan(1 / run)))
    assert shape.run_from_top(*low_point) == pytest.approx(run)
    top = shape.top_line(ROOM)
    assert isinstance(top, LineString)
    assert top.length == pytest.approx(4 if rises in ("east", "west") else 5)


@pytest.mark.parametrize(("ridge", "half", "length"), [("east-west", 2.0, 5.0), ("north-south", 2.5, 4.0)])
def test_ceiling_with_a_ridge(ridge: str, half: float, length: float) -> None:
    shape = ridged(1.9, 3.05, ridge)
    assert shape.height_at(3.5, 4.0) == pytest.approx(3.05)
    assert shape.height_at(1, 2) == pytest.approx(1.9)
    assert shape.height_at(6, 6) == pytest.approx(1.9)
    assert shape.gradient == pytest.approx(1.15 / half)
    top = shape.top_line(ROOM)
    assert isinstance(top, LineString)
    assert top.length == pytest.approx(length)


def test_worked_case_of_a_gable_bedroom() -> None:
    # worked from the geometry: pitch 40 degrees, alarm 0.40 m vertically below the apex, on the slope:
    # 0.40 / tan 40 = 0.477 m horizontally, 0.40 / sin 40 = 0.622 m along the slope
    half = 2.0
    shape = ridged(2.0, 2.0 + half * tan(radians(40)), "east-west")
    assert shape.pitch == pytest.approx(40)
    run = 0.40 / tan(radians(40))
    x, y = 3.0, 4.0 - run
    assert shape.high - shape.height_at(x, y) == pytest.approx(0.40)
    assert shape.run_from_top(x, y) == pytest.approx(0.477, abs=5e-4)
    assert shape.slope_distance_from_top(x, y) == pytest.approx(0.622, abs=5e-4)


@pytest.mark.parametrize(("pitch", "along"), [(15, 7.7646), (22.5, 8.1179), (30, 8.6603), (35, 9.1558), (45, 10.6066)])
def test_distance_down_a_slope_is_the_run_over_the_cosine(pitch: float, along: float) -> None:
    # 7.5 m horizontally at common pitches; computed as 7.5 / cos(pitch), no published table
    shape = CeilingShape(0.0, 7.5 * tan(radians(pitch)), (0.0, 1.0), 0.0, 7.5)
    assert shape.slope_distance_from_top(0, 0) == pytest.approx(along, abs=1e-4)


@given(
    st.floats(0.3, 3), st.floats(0, 5), st.floats(1, 6), st.floats(2, 6), st.sampled_from(["east-west", "north-south"])
)
def test_height_stays_between_low_and_high(low: float, rise: float, x: float, y: float, ridge: str) -> None:
    shape = ridged(low, low + rise, ridge)
    assert low - 1e-9 <= shape.height_at(x, y) <= low + rise + 1e-9
    drop = shape.high - shape.height_at(x, y)
    assert shape.run_from_top(x, y) ** 2 + drop**2 == pytest.approx(shape.slope_distance_from_top(x, y) ** 2, abs=1e-6)
    assert shape.slope_distance_from_top(x, y) * cos(radians(shape.pitch)) == pytest.approx(
        shape.run_from_top(x, y), abs=1e-9
    )


def test_ridge_over_a_room_of_two_arms_is_its_longest_piece() -> None:
    u_shape = Polygon([(0, 0), (8, 0), (8, 6), (5, 6), (5, 2), (2, 2), (2, 6), (0, 6)])
    top = ridged(2.0, 3.0, "east-west", u_shape).top_line(u_shape)
    assert isinstance(top, LineString)
    assert top.length == pytest.approx(3)


@given(
    st.sampled_from(
        [
            ridged(1.5, 3, "east-west"),
            ridged(1.5, 3, "north-south"),
            sloping(1.5, 3, "west"),
            sloping(1.5, 3, "north"),
            ceiling_over(ROOM, Ceiling.model_validate(2.4)),
        ]
    ),
    *[st.floats(1, 6), st.floats(2, 6)] * 2,
)
def test_greatest_height_along_a_line_is_that_of_its_highest_point(
    ceiling: CeilingShape, ax: float, ay: float, bx: float, by: float
) -> None:
    steps = 100
    points = [(ax + (bx - ax) * i / steps, ay + (by - ay) * i / steps) for i in range(steps + 1)]
    found, most = (
        max(ceiling.height_at(x, y) for x, y in points),
        ceiling.highest_along(LineString([(ax, ay), (bx, by)])),
    )
    assert found - 1e-9 <= most
    assert most == pytest.approx(found, abs=0.05)  # half a step of 5 m / 100, up a slope of 1.5 m in 2 m
