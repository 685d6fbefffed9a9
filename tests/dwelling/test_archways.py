"""Rooms joined by archways, and archways that reach the ceiling."""

import pytest
from shapely import LineString

from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.ways import open_plan, open_spans
from tests.dwelling.homes import dwelling_of

ROW = "\n".join(
    f"{{id: {name}, use: living, corner: [{east}, 0], size: [3, 4]}}"
    for name, east in (("a", 0), ("b", 3.1), ("c", 6.2), ("d", 9.3))
)


def row(*openings: str, height: str = "2.40") -> Dwelling:
    """Give four rooms in a row, with openings between them."""
    lines = "".join(f"\n  - {{{opening}, id: o{number}}}" for number, opening in enumerate(openings))
    return dwelling_of(ROW, f"openings:{lines or ' []'}", height=height)


AB, CB, CD = (
    "archway: a - b, from-south: 1, width: 2",
    "archway: c - b, from-south: 1, width: 2",
    "door: c - d, from-south: 1, width: 0.8",
)


@pytest.mark.parametrize(
    ("openings", "room", "joined"),
    [
        ([], "a", "a"),
        ([AB], "a", "ab"),
        ([AB], "c", "c"),
        ([AB, CB, CD], "a", "abc"),
        ([CD, CB, AB], "c", "abc"),
        ([AB, CB, CD], "d", "d"),
        (["archway: a south, from-west: 1, width: 1"], "a", "a"),
    ],
)
def test_archways_join_rooms_one_after_another_and_doors_do_not(openings: list[str], room: str, joined: str) -> None:
    assert open_plan(row(*openings), room) == frozenset(joined)


@pytest.mark.parametrize(
    ("opening", "height", "reaches"),
    [
        (f"{AB}, height: 2.40", "2.40", True),
        (f"{AB}, height: 2.10", "2.40", True),
        (f"{AB}, height: 2.09", "2.40", False),
        (f"{AB}, sill: 0.2, height: 1.90", "2.40", True),
        (AB, "2.20", False),  # of the usual 2.00 m that nobody measured nothing follows
        ("door: a - b, from-south: 1, width: 2, height: 2.40", "2.40", False),
        # the ceiling is 2.50 m high at the ends of the archway and 3.00 m at the ridge, which runs through it
        (f"{AB}, height: 2.69", "{ridged: {low: 2.0, high: 3.0, ridge: east-west}}", False),
        (f"{AB}, height: 2.70", "{ridged: {low: 2.0, high: 3.0, ridge: east-west}}", True),
        # 2.75 m at the higher end
        (f"{AB}, height: 2.44", "{sloping: {low: 2.0, high: 3.0, rises: north}}", False),
        (f"{AB}, height: 2.45", "{sloping: {low: 2.0, high: 3.0, rises: north}}", True),
    ],
)
def test_archway_is_open_to_the_ceiling_within_a_lintel_of_thirty_centimetres(
    opening: str, height: str, *, reaches: bool
) -> None:
    dwelling = row(opening, height=height)
    assert bool(open_spans(dwelling, "a")) == reaches
    assert bool(open_spans(dwelling, "b")) == reaches


def test_open_stretch_lies_on_the_face_of_each_room() -> None:
    dwelling = row(f"{AB}, height: 2.40", CB, CD)
    ((in_a,), (in_b,)) = (open_spans(dwelling, room) for room in ("a", "b"))
    assert in_a.equals(LineString([(3, 1), (3, 3)]))
    assert in_b.equals(LineString([(3.1, 1), (3.1, 3)]))
    assert open_spans(dwelling, "d") == []


def test_archway_may_reach_the_ceiling_of_one_room_only() -> None:
    rooms = ROW.replace("{id: b,", "{id: b, height: 3.00,")
    dwelling = dwelling_of(rooms, f"openings:\n  - {{{AB}, id: o, height: 2.30}}", height="2.40")
    assert len(open_spans(dwelling, "a")) == 1
    assert open_spans(dwelling, "b") == []
