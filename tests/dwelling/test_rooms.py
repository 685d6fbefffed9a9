"""Rooms beside rooms, what overlaps, gaps and voids are called, and what is behind each wall."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.dwelling.homes import adjacent_rooms, dwelling_of, lay_out

HALL = "{id: hall, use: circulation, corner: [0, 0], size: [2, 4]}"


def bounds(beside: str) -> tuple[float, ...]:
    room = f'{{id: other, use: living, beside: "{beside}", size: [3, 1]}}'
    found: tuple[float, ...] = dwelling_of(f"{HALL}\n{room}").rooms["other"].outline.bounds
    return found


@pytest.mark.parametrize(
    ("beside", "west", "south"),
    [
        ("north of hall, flush west", 0, 4.1),
        ("north of hall, flush east", -1, 4.1),
        ("north of hall, 0.40 from west", 0.4, 4.1),
        ("north of hall, 40 cm from west", 0.4, 4.1),
        ("north of hall, 0.40 from east", -1.4, 4.1),
        ("south of hall, flush west", 0, -1.1),
        ("south of hall, 1 ft 6 in from east", -1.4572, -1.1),
        ("east of hall, flush south", 2.1, 0),
        ("east of hall, flush north", 2.1, 3),
        ("east of hall, 0.5 from north", 2.1, 2.5),
        ("west of hall, 0.5 from south", -3.1, 0.5),
        ("west of hall, flush north", -3.1, 3),
    ],
)
def test_room_beside_another(beside: str, west: float, south: float) -> None:
    assert bounds(beside) == pytest.approx((west, south, west + 3, south + 1))


CHAIN = [
    HALL,
    '{id: living, use: living, beside: "east of hall, flush south", size: [4, 4]}',
    '{id: kitchen, use: kitchen, beside: "north of living, flush east", size: [3, 3]}',
    '{id: utility, use: utility, beside: "east of kitchen, flush south", size: [2, 3]}',
]


def test_rooms_of_a_chain_may_stand_in_any_order() -> None:
    outlines = set()
    for order in permutations(CHAIN):
        rooms = dwelling_of("\n".join(order)).rooms
        outlines.add(tuple(rooms[name].outline.wkt for name in ("hall", "living", "kitchen", "utility")))
    assert len(outlines) == 1


def test_rooms_that_wait_for_one_another_are_named() -> None:
    _, problems = lay_out(
        '{id: a, use: living, beside: "east of b, flush south", size: [2, 2]}\n'
        '{id: b, use: living, beside: "east of c, flush south", size: [2, 2]}\n'
        '{id: c, use: living, beside: "east of a, flush south", size: [2, 2]}'
    )
    assert len(problems) == 1
    assert "(a, b, c)" in problems[0]


@pytest.mark.parametrize(
    ("corner", "told"),
    [
        ("[1.9, 0]", "an overlap of other and hall by 0.10 m² (0.10 m by 1.00 m)"),
        ("[1.985, 0]", None),
        ("[2, 0]", None),
        ("[2.6, 0]", None),
        ("[2.7, 0]", "0.70 m from the nearest room"),
        ("[4, 6]", "from the nearest room"),
    ],
)
def test_overlap_wall_and_gap_between_two_rooms(corner: str, told: str | None) -> None:
    _, problems = lay_out(f"{HALL}\n{{id: other, use: living, corner: {corner}, size: [3, 1]}}")
    assert (problems == []) if told is None else (told in problems[0])


def test_every_overlap_is_told() -> None:
    _, problems = lay_out(
        f"{HALL}\n" + "\n".join(f"{{id: r{i}, use: living, corner: [1, {i}], size: [3, 1.5]}}" for i in range(3))
    )
    assert len(problems) == 5  # hall with each, and each with the next


RING = """
{id: south-room, use: living, corner: [0, 0], size: [5, 2]}
{id: north-room, use: living, corner: [0, 3.2], size: [5, 2]}
{id: west-room, use: living, corner: [0, 2.1], size: [1.9, 1]}
{id: east-room, use: living, corner: [3.1, 2.1], size: [1.9, 1]}
"""


def test_enclosed_space_without_a_room_is_told_with_its_area() -> None:
    _, problems = lay_out(RING)
    assert len(problems) == 1
    assert "1.44 m² enclosed by east-room, north-room, south-room, west-room" in problems[0]


def test_enclosed_space_is_in_order_once_it_is_a_void() -> None:
    dwelling_of(RING + "{id: chimney, use: void, corner: [2, 2.1], size: [1, 1]}")


def faces(rooms: str, room: str, wall: str) -> list[tuple[float, float, str | None, float]]:
    shape = dwelling_of(rooms).rooms[room]
    found = next(w for w in shape.walls if w.name == wall)
    return [(round(f.start, 6), round(f.end, 6), f.beyond, round(f.thickness, 6)) for f in found.faces]


def test_wall_is_divided_by_what_is_behind_it() -> None:
    rooms = f"{HALL}\n{{id: living, use: living, corner: [2.12, 1], size: [4, 2]}}"
    # an east wall runs from south to north
    assert faces(rooms, "hall", "east") == [(0, 1, None, 0.3), (1, 3, "living", 0.12), (3, 4, None, 0.3)]
    assert faces(rooms, "living", "west") == [(0, 2, "hall", 0.12)]
    assert faces(rooms, "hall", "south") == [(0, 2, None, 0.3)]


def test_narrow_cupboard_is_not_looked_through() -> None:
    rooms = """
    {id: hall, use: circulation, corner: [0, 0], size: [2, 4]}
    {id: cupboard, use: store, corner: [2.05, 0], size: [0.4, 2]}
    {id: living, use: living, corner: [2.5, 0], size: [4, 4]}
    """
    assert faces(rooms, "hall", "east") == [(0, 2, "cupboard", 0.05), (2, 4, "living", 0.5)]
    assert faces(rooms, "living", "west") == [(0, 2, "hall", 0.5), (2, 4, "cupboard", 0.05)]


def test_walls_of_one_side_are_numbered() -> None:
    room = dwelling_of("{id: r, use: living, walk: {from: [0, 0], legs: [E 6, N 2, W 3, N 2, W 3, S 4]}}").rooms["r"]
    ends = {wall.name: (wall.a, wall.b) for wall in room.walls}
    assert set(ends) == {"south", "east-1", "east-2", "north-1", "north-2", "west"}
    assert ends["north-1"][0] == pytest.approx((3, 4))  # numbered from west to east
    assert ends["north-2"][0] == pytest.approx((6, 2))
    assert ends["east-1"][0] == pytest.approx((3, 2)) or ends["east-1"][0] == pytest.approx((6, 0))


def test_wall_knows_its_inside_outside_and_points() -> None:
    wall = next(w for w in dwelling_of(HALL).rooms["hall"].walls if w.name == "east")
    assert wall.length == pytest.approx(4)
    assert wall.outward == pytest.approx((1, 0))
    assert wall.at(1.5) == pytest.approx((2, 1.5))
    assert wall.at(1.5, 0.3) == pytest.approx((2.3, 1.5))
    assert wall.face_at(99).beyond is None


@st.composite
def strips(draw: st.DrawFn) -> str:
    """Give two rows of rooms, back to back, divided at any places."""
    rooms = []
    for row, south in (("a", 0.0), ("b", 3.0 + draw(st.floats(0.05, 0.5)))):
        east = 0.0
        for number in range(draw(st.integers(1, 4))):
            width = draw(st.floats(0.5, 5))
            rooms.append(
                f"{{id: {row}{number}, use: living, corner: [{east:.3f}, {south:.3f}], size: [{width:.3f}, 3]}}"
            )
            east += round(width, 3) + draw(st.sampled_from([0.0, 0.1, 0.3]))
    return "\n".join(rooms)


@given(strips())
def test_two_rooms_see_the_same_stretch_of_wall_between_them(rooms: str) -> None:
    dwelling, problems = lay_out(rooms)
    if dwelling is None:
        assert problems
        return
    seen: dict[tuple[str, str], float] = {}
    for room in dwelling.rooms.values():
        for wall in room.walls:
            assert sum(face.end - face.start for face in wall.faces) == pytest.approx(wall.length, abs=0.05)
            for face in wall.faces:
                if face.beyond:
                    pair = (room.id, face.beyond)
                    seen[pair] = seen.get(pair, 0.0) + face.end - face.start
    for (one, other), length in seen.items():
        assert seen[other, one] == pytest.approx(length, abs=1e-6)
    assert adjacent_rooms(dwelling) == {frozenset(pair) for pair in seen}
