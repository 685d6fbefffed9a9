"""Openings in walls: from either end, beyond the wall, into the wrong neighbour, between rooms."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.dwelling.shapes import PlacedOpening
from tests.dwelling.homes import dwelling_of, lay_out

ROOMS = """
{id: hall, use: circulation, corner: [0, 0], size: [2, 4]}
{id: living, use: living, beside: "east of hall, flush south", size: [4, 3]}
{id: kitchen, use: kitchen, beside: "north of hall, flush west", size: [4, 3]}
"""


def placed(opening: str, rooms: str = ROOMS) -> PlacedOpening:
    return dwelling_of(rooms, f"openings:\n  - {{{opening}, id: o}}").openings["o"]


def refused(opening: str, rooms: str = ROOMS) -> str:
    dwelling, problems = lay_out(rooms, f"openings:\n  - {{{opening}, id: o}}")
    assert dwelling is None
    assert len(problems) == 1
    return problems[0]


@pytest.mark.parametrize(
    ("opening", "ends", "rooms", "thickness"),
    [
        ("door: hall south, from-west: 0.4, width: 0.9", {(0.4, 0), (1.3, 0)}, ("hall", None), 0.3),
        ("door: hall south, from-east: 0.7, width: 0.9", {(0.4, 0), (1.3, 0)}, ("hall", None), 0.3),
        ("window: hall west, from-north: 1.0, width: 1.2", {(0, 3), (0, 1.8)}, ("hall", None), 0.3),
        ("window: hall west, from-south: 1.8, width: 1.2", {(0, 3), (0, 1.8)}, ("hall", None), 0.3),
        ("door: hall - living, from-south: 1.2, width: 0.8", {(2, 1.2), (2, 2.0)}, ("hall", "living"), 0.1),
        ("door: hall - living, from-north: 2.0, width: 0.8", {(2, 1.2), (2, 2.0)}, ("hall", "living"), 0.1),
        ("door: living - hall, from-south: 1.2, width: 0.8", {(2.1, 1.2), (2.1, 2.0)}, ("living", "hall"), 0.1),
        ("door: hall east - living, from-south: 1.2, width: 0.8", {(2, 1.2), (2, 2.0)}, ("hall", "living"), 0.1),
        ("archway: hall - kitchen, from-west: 0, width: 2", {(0, 4), (2, 4)}, ("hall", "kitchen"), 0.1),
        ("window: hall east, from-north: 0, width: 0.9", {(2, 4), (2, 3.1)}, ("hall", None), 0.3),
        ("door: hall south, from-west: 0.4, width: 0.9, to: shared", {(0.4, 0), (1.3, 0)}, ("hall", None), 0.3),
    ],
)
def test_opening_lies_where_the_tape_says(
    opening: str, ends: set[tuple[float, float]], rooms: tuple[str, str | None], thickness: float
) -> None:
    found = placed(opening)
    assert {(round(x, 9) + 0.0, round(y, 9) + 0.0) for x, y in (found.a, found.b)} == ends
    assert found.rooms == rooms
    assert found.thickness == pytest.approx(thickness)
    assert found.is_outer == (rooms[1] is None)


def test_opening_at_the_exact_middle_of_a_wall_is_taken_from_the_end_named() -> None:
    from_west = placed("door: hall south, from-west: 1.0, width: 0.8")
    from_east = placed("door: hall south, from-east: 1.0, width: 0.8")
    assert sorted(p[0] for p in (from_west.a, from_west.b)) == pytest.approx([1.0, 1.8])
    assert sorted(p[0] for p in (from_east.a, from_east.b)) == pytest.approx([0.2, 1.0])


@given(st.floats(0, 1.1), st.sampled_from(["south", "west", "north", "east"]))
def test_opening_from_one_end_is_the_same_from_the_other(offset: float, side: str) -> None:
    room = "{id: hall, use: circulation, corner: [0, 0], size: [2, 2]}"
    one, other = ("west", "east") if side in ("north", "south") else ("south", "north")
    here = placed(f"door: hall {side}, from-{one}: {offset:.4f}, width: 0.9", room)
    there = placed(f"door: hall {side}, from-{other}: {2 - 0.9 - float(f'{offset:.4f}'):.4f}, width: 0.9", room)
    assert here.a == pytest.approx(there.a, abs=1e-9)
    assert here.b == pytest.approx(there.b, abs=1e-9)


@pytest.mark.parametrize(
    ("opening", "words"),
    [
        (
            "door: hall south, from-west: 1.2, width: 0.9",
            "o 0.10 m beyond the south wall of hall, which is 2.00 m long",
        ),
        ("door: hall south, from-east: 1.2, width: 0.9", "o 0.10 m beyond the south wall of hall"),
        ("door: hall south, from-north: 0.2, width: 0.9", "expected from-east or from-west"),
        ("door: hall south, from-west: 0.2, from-east: 0.9, width: 0.9", "2 distances along the south wall"),
        ("door: hall south, width: 0.9", "no distances along the south wall"),
        (
            "door: hall east, from-south: 1, width: 0.8",
            "living behind the east wall of hall at o; expected the outside",
        ),
        ("door: hall east, from-south: 2.6, width: 0.8", "living and the outside behind the east wall"),
        ("door: hall - living, from-south: 2.6, width: 0.8", "expected living along the whole width"),
        ("door: hall north - living, from-west: 0.6, width: 0.8", "kitchen behind the north wall of hall"),
        ("door: hall - store, from-south: 1, width: 0.8", "“store”, which is no room of this storey"),
        ("door: store south, from-west: 1, width: 0.8", "“store”, which is no room of this storey"),
        ("door: living - hal, from-south: 1, width: 0.8", "“hal”, which is no room of this storey"),
        ("door: hall - hall, from-south: 1, width: 0.8", "hall and hall, which share no wall"),
        ("door: hall up, from-west: 1, width: 0.8", "“hall up”"),
        ("door: hall south-3, from-west: 1, width: 0.8", "“south-3”, which is no wall of hall"),
        (
            "window: hall west, from-south: 1, width: 0.8, sill: 1.9, height: 0.6",
            "the top of o 0.10 m above the ceiling",
        ),
        ("door: hall east, from-south: 1, width: 0.8, to: shared", "living behind the east wall"),
    ],
)
def test_opening_that_cannot_be_is_refused_with_the_figure(opening: str, words: str) -> None:
    assert words in refused(opening)


L_SHAPED = """
{id: hall, use: circulation, walk: {from: [0, 0], legs: [E 4, N 1.2, W 2.8, N 2.8, W 1.2, S 4]}}
{id: living, use: living, corner: [1.3, 1.3], size: [2.7, 2.7]}
"""


@pytest.mark.parametrize(
    ("opening", "ends"),
    [
        # living lies behind the north-2 wall of the hall (along the lower arm) and behind its east-1 or east-2 wall
        ("door: hall - living, from-east: 0.4, width: 0.8", {(3.6, 1.2), (2.8, 1.2)}),
        ("door: hall - living, from-north: 0.4, width: 0.8", {(1.2, 3.6), (1.2, 2.8)}),
        ("door: living - hall, from-west: 0.4, width: 0.8", {(1.7, 1.3), (2.5, 1.3)}),
        ("door: living west - hall, from-south: 0.4, width: 0.8", {(1.3, 1.7), (1.3, 2.5)}),
    ],
)
def test_opening_between_rooms_with_two_shared_walls(opening: str, ends: set[tuple[float, float]]) -> None:
    found = placed(opening, L_SHAPED)
    assert {(round(x, 9), round(y, 9)) for x, y in (found.a, found.b)} == ends


AROUND = """
{id: hall, use: circulation, walk: {from: [0, 0], legs: [E 4, N 6, W 4, S 2, E 2, S 2, W 2, S 2]}}
{id: store, use: store, corner: [0, 2.1], size: [1.9, 1.8]}
"""


def test_opening_that_fits_two_shared_walls_asks_for_the_wall_and_takes_it() -> None:
    told = refused("door: hall - store, from-west: 0.5, width: 0.8", AROUND)
    assert "with o fitting several" in told
    wall = told.rpartition("“door: hall ")[2].partition(" - ")[0]
    found = placed(f"door: hall {wall} - store, from-west: 0.5, width: 0.8", AROUND)
    assert found.rooms == ("hall", "store")
    assert found.wall is not None
    assert found.wall.name == wall
    assert sorted(round(p[0], 9) for p in (found.a, found.b)) == [0.5, 1.3]


def test_rooflight_lies_in_the_ceiling_around_its_middle() -> None:
    found = placed("rooflight: living, from-west: 2.0, from-south: 1.0, width: 0.8, height: 1.2")
    assert [*found.a, *found.b] == pytest.approx([3.7, 1.0, 4.5, 1.0])
    assert found.wall is None
    assert found.glazed
    assert not found.is_door


def test_opening_has_the_usual_height_unless_given() -> None:
    assert placed("door: hall south, from-west: 0.4, width: 0.9").height == 2.0
    assert placed("window: hall south, from-west: 0.4, width: 0.9").height == 1.2
    assert placed("door: hall south, from-west: 0.4, width: 0.9, height: 2.1").height == 2.1


def test_end_of_an_opening_towards_a_side() -> None:
    door = placed("door: hall south, from-west: 0.4, width: 0.9")
    assert door.end_towards("west") == pytest.approx((0.4, 0))
    assert door.end_towards("east") == pytest.approx((1.3, 0))
    assert door.middle == pytest.approx((0.85, 0))


@pytest.mark.parametrize(
    ("opening", "room", "ends"),
    [
        ("door: hall - living, from-south: 1.2, width: 0.8", "hall", [(2, 1.2), (2, 2.0)]),
        ("door: hall - living, from-south: 1.2, width: 0.8", "living", [(2.1, 1.2), (2.1, 2.0)]),
        ("door: living - hall, from-south: 1.2, width: 0.8", "living", [(2.1, 1.2), (2.1, 2.0)]),
        ("door: living - hall, from-south: 1.2, width: 0.8", "hall", [(2, 1.2), (2, 2.0)]),
        ("archway: hall - kitchen, from-west: 0.5, width: 1", "kitchen", [(0.5, 4.1), (1.5, 4.1)]),
        ("door: hall south, from-west: 0.4, width: 0.9", "hall", [(0.4, 0), (1.3, 0)]),
    ],
)
def test_opening_lies_on_the_face_of_either_of_its_rooms(
    opening: str, room: str, ends: list[tuple[float, float]]
) -> None:
    found = placed(opening)
    line = found.line_in(room)
    assert sorted(line.coords) == [pytest.approx(end) for end in ends]
    assert (line == found.line) == (room == found.rooms[0])


def rooflight(height: str, more: str = ", height: 1.2") -> PlacedOpening:
    """Give a rooflight 0.8 m wide, its middle 2 m from the west and 1 m from the south of a room of 4 m by 6 m."""
    opening = f"openings:\n  - {{rooflight: loft, id: o, from-west: 2, from-south: 1, width: 0.8{more}}}"
    return dwelling_of("{id: loft, use: loft, corner: [0, 0], size: [4, 6]}", opening, height=height).openings["o"]


# On the plan a length down a slope is foreshortened by cos(pitch): of a right triangle of run 3 and rise 3 (45 degrees)
# by 1/sqrt(2), of run 2 and rise 1.5 (2.5 down the slope) by 0.8, of run 4 and rise 3 (5 down the slope) by 0.8.
@pytest.mark.parametrize(
    ("height", "west_east", "south_north", "ends"),
    [
        ("2.40", 0.8, 1.2, [(1.6, 1), (2.4, 1)]),
        ("{ridged: {low: 1, high: 4, ridge: east-west}}", 0.8, 1.2 / 2**0.5, [(1.6, 1), (2.4, 1)]),
        ("{ridged: {low: 1, high: 2.5, ridge: north-south}}", 1.2 * 0.8, 0.8, [(2, 0.6), (2, 1.4)]),
        ("{sloping: {low: 1, high: 4, rises: east}}", 1.2 * 0.8, 0.8, [(2, 0.6), (2, 1.4)]),
        ("{sloping: {low: 1, high: 4, rises: west}}", 1.2 * 0.8, 0.8, [(2, 0.6), (2, 1.4)]),
        ("{sloping: {low: 1, high: 5.5, rises: south}}", 0.8, 1.2 * 0.8, [(1.6, 1), (2.4, 1)]),
    ],
)
def test_rooflight_lies_across_its_slope_and_is_foreshortened_down_it(
    height: str, west_east: float, south_north: float, ends: list[tuple[float, float]]
) -> None:
    found = rooflight(height)
    assert found.outline is not None
    assert found.outline.bounds == pytest.approx(
        (2 - west_east / 2, 1 - south_north / 2, 2 + west_east / 2, 1 + south_north / 2)
    )
    assert [found.a, found.b] == [pytest.approx(end) for end in ends]
    assert found.line_in("loft") == found.line


def test_rooflight_whose_height_is_not_recorded_is_taken_as_high_as_a_window() -> None:
    assert rooflight("2.40", "").height == 1.2


def test_opening_in_a_wall_has_no_outline() -> None:
    assert placed("window: hall south, from-west: 0.4, width: 0.9").outline is None
