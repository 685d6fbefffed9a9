"""The distance field of alarms: closed forms, the plane geometry of another module, a grid walked by a second library."""

from datetime import date
from math import hypot, inf, sqrt

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon, box

from asfitted.reckon.alarm_field import TO, field_of, fields_of, furthest_working
from asfitted.reckon.cover import furthest
from tests.reckon.laid_out import laid_out

DAY = date(2026, 11, 2)
L_ROOM = Polygon([(0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6)])
Sites = list[tuple[float, float]]


def far(space: Polygon, sites: Sites) -> float:
    return field_of(space, [(site, 0.0, f"SA{n}") for n, site in enumerate(sites)]).furthest()[1]


@pytest.mark.parametrize(
    ("space", "sites", "expected"),
    [
        # Radius of the circle round a rectangle, Pythagoras.
        (box(0, 0, 10, 6), [(5.0, 3.0)], sqrt(34)),
        (box(0, 0, 10, 6), [(0.0, 0.0)], hypot(10, 6)),
        # Two alarms in a row: r = sqrt((W / 2n)² + (H / 2)²).
        (box(0, 0, 10, 6), [(2.5, 3.0), (7.5, 3.0)], hypot(2.5, 3.0)),
        # The unit square by 2, 3 and 4 discs: the least radii that cover it.
        (box(0, 0, 1, 1), [(0.25, 0.5), (0.75, 0.5)], sqrt(5) / 4),
        (box(0, 0, 1, 1), [(0.5, 1 / 16), (0.25, 9 / 16), (0.75, 9 / 16)], sqrt(65) / 16),
        (box(0, 0, 1, 1), [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)], sqrt(2) / 4),
        # Triangle of base 6 and height 4: the circle round it has its middle 0.875 up.
        (Polygon([(0, 0), (6, 0), (3, 4)]), [(3.0, 0.875)], 3.125),
        # Round the inner corner of an L, by hand.
        (L_ROOM, [(5.5, 2.5)], hypot(2.5, 0.5) + 3 * sqrt(2)),
        (L_ROOM, [(5.0, 1.0)], 5 * sqrt(2)),
    ],
)
def test_closed_forms(space: Polygon, sites: Sites, expected: float) -> None:
    corners = [(3.0, 3.0)] if space is L_ROOM else []
    sources = [(site, 0.0, "SA1") for site in sites] + [
        (corner, hypot(corner[0] - sites[0][0], corner[1] - sites[0][1]), "SA1") for corner in corners
    ]
    assert field_of(space, sources).furthest()[1] == pytest.approx(expected, abs=TO)


places = st.lists(
    st.tuples(st.integers(0, 60), st.integers(0, 40)).map(lambda p: (p[0] / 10, p[1] / 10)),
    min_size=1,
    max_size=6,
    unique=True,
)


@given(places)
def test_in_a_room_without_corners_it_agrees_with_plane_geometry(sites: Sites) -> None:
    room = box(0, 0, 6, 4)
    assert far(room, sites) == pytest.approx(furthest(room, sites)[1], abs=TO)


@given(places, places, st.tuples(st.integers(0, 60), st.integers(0, 40)))
def test_a_nearer_or_further_alarm_never_makes_a_point_farther(sites: Sites, more: Sites, at: tuple[int, int]) -> None:
    room, point = box(0, 0, 6, 4), (at[0] / 10, at[1] / 10)
    before = field_of(room, [(site, 0.0, "SA1") for site in sites])
    after = field_of(room, [(site, 0.0, "SA1") for site in [*sites, *more]])
    moved = [((site[0] + point[0]) / 2, (site[1] + point[1]) / 2) for site in sites]
    nearer = field_of(room, [(site, 0.0, "SA1") for site in moved])
    assert after.at(point) <= before.at(point) + 1e-9
    assert nearer.at(point) <= before.at(point) + 1e-9
    assert after.furthest()[1] <= before.furthest()[1] + TO


def test_what_is_beyond_a_radius_has_its_closed_area() -> None:
    # 12 x 12, alarm in the middle, 7.5 m: segments beyond four chords, r² acos(h / r) - h sqrt(r² - h²), by hand.
    # A quarter of the circle is drawn with 64 sides, which loses 1 part in 10,000.
    left = field_of(box(0, 0, 12, 12), [((6.0, 6.0), 0.0, "SA1")]).beyond(7.5)
    assert left.area == pytest.approx(144 - 139.9268, abs=0.02)


def test_a_room_without_any_way_to_an_alarm_is_infinitely_far() -> None:
    field = field_of(box(0, 0, 2, 2), [])
    assert field.furthest()[1] == inf
    assert field.at((1.0, 1.0)) == inf
    assert field.beyond(7.5).area == 4.0
    assert furthest_working("store", {}).result.value == inf


HOME = """
record: 1
home: {label: fields}
storeys:
  - id: ground
    level: 0
    height: 2.50
    rooms:
      - {id: hall, use: circulation, walk: {from: [0, 0], legs: [E 4.00, N 1.00, W 3.00, N 3.00, W 1.00, S 4.00]}}
      - {id: living, use: living, beside: "south of hall, flush west", size: [4.0, 3.0]}
      - {id: store, use: store, corner: [4.1, -0.5], size: [2.0, 2.0]}
    openings:
      - {door: hall - living, id: door, from-west: 0.5, width: 1.0}
devices:
  SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 0.5, from-north: 0.5}
  HA1: {kind: carbon monoxide alarm, on: ceiling of living, from-west: 0.5, from-north: 0.5}
"""


def test_through_a_doorway_the_distance_goes_on_from_its_middle() -> None:
    # The alarm at (0.5, 3.5) to the door's middle (1, 0), 0.10 m through the wall, to the far corner (4, -3.1).
    home, dwelling = laid_out(HOME)
    living = next(item for item in fields_of(home, dwelling, DAY) if item.room == "living")
    by_hand = hypot(0.5, 3.5) + 0.1 + hypot(3.0, 3.0)
    assert living.far == pytest.approx(by_hand, abs=TO)
    assert living.point == pytest.approx((4.0, -3.1))
    assert living.working.result.value == pytest.approx(by_hand, abs=TO)
    assert [given.symbol for given in living.working.inputs] == ["w", "s"]


def test_a_room_without_a_door_is_reached_by_no_alarm() -> None:
    home, dwelling = laid_out(HOME)
    far_away = {item.room: item.far for item in fields_of(home, dwelling, DAY)}
    assert far_away["store"] == inf


def test_alarms_without_a_place_are_named() -> None:
    home, dwelling = laid_out(HOME + "  SA2: {kind: smoke alarm, on: ceiling of living}\n")
    assert all("SA2" in item.working.caveats[-1] for item in fields_of(home, dwelling, DAY))


def test_round_corners_it_agrees_with_a_grid_walked_by_a_second_library() -> None:
    # networkx over a grid of 0.1 m with straight steps of up to 3 cells: within 4 % of the true shortest way.
    home, dwelling = laid_out(HOME)
    field = next(item for item in fields_of(home, dwelling, DAY) if item.room == "hall").field
    outline = dwelling.rooms["hall"].outline.buffer(1e-9)
    known = {(i, j) for i in range(41) for j in range(41) if outline.covers(LineString([(i / 10, j / 10)] * 2))}
    graph: nx.Graph[tuple[int, int]] = nx.Graph()
    for i, j in known:
        for dx, dy in ((dx, dy) for dx in range(-3, 4) for dy in range(-3, 4) if (dx, dy) != (0, 0)):
            if (i + dx, j + dy) in known and outline.covers(
                LineString([(i / 10, j / 10), ((i + dx) / 10, (j + dy) / 10)])
            ):
                graph.add_edge((i, j), (i + dx, j + dy), weight=hypot(dx, dy) / 10)
    lengths = nx.single_source_dijkstra_path_length(graph, (5, 35))
    for (i, j), by_grid in lengths.items():
        assert by_grid / 1.04 - 1e-9 <= field.at((i / 10, j / 10)) <= by_grid + 1e-9
    assert field.furthest()[1] == pytest.approx(max(field.at(point) for point, _ in field.grid(0.02)), abs=0.02)
