"""From distances taken with a tape to a point in a room, and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point

from asfitted.dwelling.tapes import ceiling_point, corner_point, reach
from asfitted.model.base import Unusable
from asfitted.model.words import Corner, Side
from tests.dwelling.homes import dwelling_of

SHAPES = {
    "rectangle": "{id: r, use: living, corner: [1, 2], size: [4.10, 3.60]}",
    "l-shape": "{id: r, use: living, walk: {from: [0, 0], legs: [E 6, N 2, W 3, N 2, W 3, S 4]}}",
    "u-shape": "{id: r, use: living, walk: {from: [0, 0], legs: [E 8, N 6, W 2, S 4, W 3, N 3, W 3, S 5]}}",
    "out of square": "{id: r, use: living, walk: {from: [0, 0], legs: [E 6.02, N 2.01, W 3, N 2, W 3, S 4]}}",
    "bay": "{id: r, use: living, walk: {from: [0, 0], legs: [E 4, NE 1, N 2, NW 1, W 4, S 3.414]}}",
}
ROOMS = {name: dwelling_of(text).rooms["r"] for name, text in SHAPES.items()}
SIDES: tuple[Side, ...] = ("north", "east", "south", "west")


@pytest.mark.parametrize(
    ("tapes", "point"),
    [
        ({"west": 0.62, "north": 0.50}, (1.62, 5.10)),
        ({"east": 0.62, "south": 0.50}, (4.48, 2.50)),
        ({"west": 0.0, "south": 0.0}, (1.0, 2.0)),
        ({"west": 4.10, "south": 3.60}, (5.10, 5.60)),
        ({"west": 1.0, "east": 3.10, "south": 1.0}, (4.10 - 2.10, 3.0)),
        ({"west": 1.0, "east": 3.02, "south": 1.0, "north": 2.65}, None),
    ],
)
def test_point_in_a_rectangle(tapes: dict[Side, float], point: tuple[float, float] | None) -> None:
    found = ceiling_point(ROOMS["rectangle"], tapes)
    if point is None:  # opposite tapes that agree within the tolerance
        assert Point(found).distance(Point(2.0, 3.0)) < 0.1
    else:
        assert found == pytest.approx(point, abs=1e-9)


@pytest.mark.parametrize(
    ("tapes", "words"),
    [
        ({}, ["no distance", "one distance from north or south and one from east or west"]),
        ({"west": 1.0}, ["only 1.00 m from west"]),
        ({"west": 1.0, "east": 3.1}, ["only 1.00 m from west and 3.10 m from east"]),
        ({"west": 4.2, "south": 1.0}, ["4.20 m from west", "outside r (4.10 m by 3.60 m)"]),
        (
            {"west": 0.62, "east": 3.10, "south": 1.0},
            ["0.62 m from west", "3.10 m from east", "3.72 m", "4.10 m across"],
        ),
        (
            {"west": 1.0, "south": 1.0, "north": 2.0},
            ["2.00 m from north", "1.00 m from south", "3.00 m", "3.60 m across"],
        ),
    ],
)
def test_distances_that_fit_no_point_are_refused_with_the_figures(tapes: dict[Side, float], words: list[str]) -> None:
    with pytest.raises(Unusable) as trouble:
        ceiling_point(ROOMS["rectangle"], tapes)
    for word in words:
        assert word in str(trouble.value)


ARMS = "{{id: r, use: living, walk: {{from: [0, 0], legs: [E 6, N 2, W 2, N 2, E 2, N {0}, W 6, S {1}]}}}}"


def test_two_distances_that_fit_two_points_ask_for_a_third() -> None:
    room = dwelling_of(ARMS.format(3, 7)).rooms["r"]
    with pytest.raises(Unusable) as trouble:
        ceiling_point(room, {"north": 0.5, "east": 1.0})
    assert "fits more than one point of r" in trouble.value.found
    assert trouble.value.remedy == "Add a third distance, from another wall."
    assert ceiling_point(room, {"north": 0.5, "east": 1.0, "south": 1.5}) == pytest.approx((5.0, 1.5))
    assert ceiling_point(room, {"north": 0.5, "east": 1.0, "south": 2.45}) == pytest.approx((5.0, 6.5))


def test_point_in_a_room_of_like_arms_cannot_be_told_by_tape() -> None:
    room = dwelling_of(ARMS.format(2, 6)).rooms["r"]
    with pytest.raises(Unusable) as trouble:
        ceiling_point(room, {"north": 0.5, "east": 1.0, "south": 1.5, "west": 5.0})
    assert "fits more than one point of r" in trouble.value.found
    assert "as a room of its own" in trouble.value.remedy


@pytest.mark.parametrize(
    ("tapes", "point"),
    [
        ({"west": 1.0, "north": 0.5}, (1.0, 3.5)),
        ({"east": 1.0, "south": 1.0}, (5.0, 1.0)),
        ({"east": 0.5, "north": 0.5}, None),
        ({"east": 0.5, "north": 0.5, "south": 1.5}, (5.5, 1.5)),
        ({"east": 0.5, "north": 0.5, "south": 3.5}, (2.5, 3.5)),
    ],
)
def test_point_in_a_room_with_a_corner_that_juts_in(
    tapes: dict[Side, float], point: tuple[float, float] | None
) -> None:
    if point is None:
        with pytest.raises(Unusable, match="fits more than one point"):
            ceiling_point(ROOMS["l-shape"], tapes)
    else:
        assert ceiling_point(ROOMS["l-shape"], tapes) == pytest.approx(point, abs=1e-9)


@st.composite
def rooms_and_points(draw: st.DrawFn) -> tuple[str, tuple[float, float]]:
    name = draw(st.sampled_from(sorted(ROOMS)))
    inner = ROOMS[name].outline.buffer(-0.05)
    west, south, east, north = inner.bounds
    shares = st.floats(0, 1, allow_nan=False)
    point = (west + draw(shares) * (east - west), south + draw(shares) * (north - south))
    if not inner.covers(Point(point)):
        near = inner.exterior.interpolate(inner.exterior.project(Point(point)))
        point = (near.x, near.y)
    return name, point


@given(rooms_and_points())
def test_point_is_found_again_from_its_own_tapes(case: tuple[str, tuple[float, float]]) -> None:
    room, point = ROOMS[case[0]], case[1]
    tapes = {side: reach(room, point, side) for side in SIDES}
    assert ceiling_point(room, tapes) == pytest.approx(point, abs=1e-5)


@given(rooms_and_points(), st.sampled_from(["north", "south"]), st.sampled_from(["east", "west"]))
def test_two_tapes_find_the_point_or_ask_for_a_third(
    case: tuple[str, tuple[float, float]], up: Side, across: Side
) -> None:
    room, point = ROOMS[case[0]], case[1]
    try:
        found = ceiling_point(room, {up: reach(room, point, up), across: reach(room, point, across)})
    except Unusable as trouble:
        assert "Add a third distance" in trouble.remedy  # noqa: PT017 - the other arm is as much in order
        assert case[0] != "rectangle"
    else:
        assert found == pytest.approx(point, abs=1e-5)


@given(rooms_and_points(), st.sampled_from(SIDES))
def test_tape_ends_on_the_wall(case: tuple[str, tuple[float, float]], side: Side) -> None:
    room, (x, y) = ROOMS[case[0]], case[1]
    away = reach(room, (x, y), side)
    dx, dy = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}[side]
    end = Point(x + dx * away, y + dy * away)
    assert room.outline.exterior.distance(end) < 1e-6
    assert away > 0


@pytest.mark.parametrize(
    ("shape", "corner", "point"),
    [
        ("rectangle", "north-east", (5.1, 5.6)),
        ("rectangle", "south-west", (1.0, 2.0)),
        ("l-shape", "south-east", (6.0, 0.0)),
        ("l-shape", "north-west", (0.0, 4.0)),
        ("l-shape", "north-east", (6.0, 2.0)),
    ],
)
def test_corner_of_a_room(shape: str, corner: Corner, point: tuple[float, float]) -> None:
    assert corner_point(ROOMS[shape], corner) == pytest.approx(point)


def test_corner_that_is_there_twice_is_refused() -> None:
    room = dwelling_of("{id: r, use: living, walk: {from: [0, 0], legs: [E 4, N 2, W 2, N 2, W 2, S 4]}}").rooms["r"]
    with pytest.raises(Unusable, match="r has 2 such corners"):
        corner_point(room, "north-east")


def test_point_outside_the_room_is_nought_away_where_no_wall_is() -> None:
    assert reach(ROOMS["rectangle"], (10.0, 10.0), "north") == 0.0
