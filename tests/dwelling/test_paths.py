"""Walks through a dwelling, against closed forms and against networkx over a fine grid."""

from math import hypot
from pathlib import Path

import networkx as nx
import pytest
from shapely import LineString

from asfitted.dwelling.paths import walk
from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.record.reader import read_text

HOME = """
record: 1
home: {label: walks}
storeys:
  - id: ground
    level: 0
    height: 2.50
    rooms:
      - {id: hall, use: circulation, walk: {from: [0, 0], legs: [E 4.00, N 1.00, W 3.00, N 3.00, W 1.00, S 4.00]}}
      - {id: living, use: living, beside: "south of hall, flush west", size: [4.0, 3.0]}
      - {id: store, use: store, corner: [4.1, -0.5], size: [2.0, 2.0]}
    openings:
      - {archway: hall - living, id: arch, from-west: 2.0, width: 1.6, height: 2.1}
    stairs:
      - {id: stairs, in: hall, to: landing, from-west: 0, from-south: 1.0, size: [1.0, 2.4], up: north}
  - id: first
    level: 2.7
    height: 2.40
    rooms:
      - {id: landing, use: circulation, corner: [0, 0], size: [3.0, 4.0]}
"""


@pytest.fixture(scope="module")
def dwelling() -> Dwelling:
    reading = read_text(HOME.encode(), Path("record.yml"))
    assert reading.home, [t.sentence for t in reading.troubles]
    made, problems = survey(reading.home)
    assert made, problems
    return made


def test_in_one_room_the_walk_is_straight(dwelling: Dwelling) -> None:
    found = walk(dwelling, ("living", (0.5, -1.0)), ("living", (3.5, -2.5)))
    assert found is not None
    assert found.length == pytest.approx(hypot(3.0, 1.5))
    assert found.passed == ()


def test_round_an_inner_corner(dwelling: Dwelling) -> None:
    # From (4, 0.5) to (0.5, 4): round the corner at (1, 1): sqrt(9 + .25) + sqrt(.25 + 9).
    found = walk(dwelling, ("hall", (4.0, 0.5)), ("hall", (0.5, 4.0)))
    assert found is not None
    assert found.length == pytest.approx(hypot(3.0, 0.5) + hypot(0.5, 3.0))
    assert ("hall", (1.0, 1.0)) in found.points


def test_through_a_wide_archway_at_the_nearer_end(dwelling: Dwelling) -> None:
    found = walk(dwelling, ("hall", (0.5, 0.5)), ("living", (0.5, -1.0)))
    assert found is not None
    # 0.30 m inside the west end of the archway, at x = 2.3; walls 0.10 m thick.
    assert found.length == pytest.approx(hypot(1.8, 0.5) + 0.1 + hypot(1.8, 0.9))
    assert found.passed == ("arch",)
    assert found.rooms == ("hall", "living")


def test_up_the_stairs_along_their_slope(dwelling: Dwelling) -> None:
    found = walk(dwelling, ("hall", (0.5, 0.5)), ("landing", (2.5, 3.4)))
    assert found is not None
    assert found.length == pytest.approx(0.5 + hypot(2.4, 2.7) + 2.0)
    assert found.passed == ("stairs",)


def test_there_and_back_are_one_length(dwelling: Dwelling) -> None:
    there = walk(dwelling, ("living", (0.3, -2.9)), ("landing", (2.9, 0.1)))
    back = walk(dwelling, ("landing", (2.9, 0.1)), ("living", (0.3, -2.9)))
    assert there is not None
    assert back is not None
    assert there.length == pytest.approx(back.length)
    assert there.passed == back.passed[::-1]


def test_a_room_without_a_door_is_not_reached(dwelling: Dwelling) -> None:
    assert walk(dwelling, ("hall", (0.5, 0.5)), ("store", (5.0, 1.0))) is None


def test_never_longer_than_a_grid_walk_nor_much_shorter(dwelling: Dwelling) -> None:
    # networkx over a grid of 0.1 m with straight steps of up to 3 cells: within 4 % of the true shortest way.
    outline = dwelling.rooms["hall"].outline.buffer(1e-9)
    cells = [(i, j) for i in range(41) for j in range(41) if outline.covers(LineString([(i / 10, j / 10)] * 2))]
    grid: nx.Graph[tuple[int, int]] = nx.Graph()
    steps = [(dx, dy) for dx in range(-3, 4) for dy in range(-3, 4) if (dx, dy) != (0, 0)]
    known = set(cells)
    for i, j in cells:
        for dx, dy in steps:
            if (i + dx, j + dy) in known:
                line = LineString([(i / 10, j / 10), ((i + dx) / 10, (j + dy) / 10)])
                if outline.covers(line):
                    grid.add_edge((i, j), (i + dx, j + dy), weight=hypot(dx, dy) / 10)
    for start, goal in [((40, 2), (2, 40)), ((0, 0), (8, 39)), ((39, 9), (1, 12))]:
        by_grid = nx.shortest_path_length(grid, start, goal, weight="weight")
        found = walk(dwelling, ("hall", (start[0] / 10, start[1] / 10)), ("hall", (goal[0] / 10, goal[1] / 10)))
        assert found is not None
        assert by_grid / 1.04 <= found.length <= by_grid + 1e-9
