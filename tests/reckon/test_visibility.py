"""What is seen from a point: closed forms, ray casting by brute force, and properties.

Tolerances: areas from corners are exact to rounding, so 1e-9 relative unless a case says otherwise.
"""

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box, union_all
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from asfitted.reckon.visibility import behind, visible_from

L_ROOM = Polygon([(0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6)])
U_ROOM = Polygon([(0, 0), (8, 0), (8, 6), (6, 6), (6, 2), (2, 2), (2, 6), (0, 6)])
T_ROOM = Polygon([(0, 0), (9, 0), (9, 3), (6, 3), (6, 7), (3, 7), (3, 3), (0, 3)])


@pytest.mark.parametrize(
    ("room", "point", "area"),
    [
        # By hand: similar triangles behind the inner corners.
        (L_ROOM, (1, 1), 27.0),
        (L_ROOM, (3, 1.5), 27.0),
        (L_ROOM, (5, 1), 22.5),  # the line of sight grazes the inner corner and ends exactly in a corner
        (L_ROOM, (5, 1.5), 27 - 5.625),
        (L_ROOM, (1, 5), 22.5),
        (L_ROOM, (4.5, 1.5), 22.5),
        (U_ROOM, (1, 5), 12 + 2 / 3),
        (U_ROOM, (4, 1), 18.0),
        (U_ROOM, (1, 1), 24.4),
        (T_ROOM, (1, 1.5), 30.375),
        (T_ROOM, (4.5, 1.5), 39.0),
        # From corners and walls, where detectors hang; from the inner corner one sees all.
        (L_ROOM, (0, 0), 27.0),
        (L_ROOM, (3, 3), 27.0),
        (L_ROOM, (6, 0), 22.5),
        (L_ROOM, (6, 1.5), 18 + 2.25),  # over the corner the line ends at (0, 4.5): a triangle of 3 x 1.5 above y = 3
        # From outside nothing.
        (L_ROOM, (4, 4), 0.0),
    ],
)
def test_closed_forms(room: Polygon, point: tuple[float, float], area: float) -> None:
    assert visible_from(point, room).area == pytest.approx(area, rel=1e-9, abs=1e-12)


def test_a_pillar_hides_what_is_behind_it() -> None:
    # Eye in the corner of 10 x 6, pillar from (4, 2) to (5, 3): hidden between the lines over (5, 2), which ends at
    # (10, 4), and over (4, 3), which ends at (8, 6); the pillar's near corner (4, 2) stands in front.
    space = box(0, 0, 10, 6).difference(box(4, 2, 5, 3))
    hidden = Polygon([(5, 2), (10, 4), (10, 6), (8, 6), (4, 3), (5, 3)])
    assert visible_from((0, 0), space).area == pytest.approx(59.0 - hidden.area, rel=1e-9)


def test_from_a_wall_of_a_pillar_one_sees_half_the_room() -> None:
    space = box(0, 0, 10, 6).difference(box(4, 2, 5, 3))
    assert visible_from((4.5, 2), space).area == pytest.approx(20.0)
    assert visible_from((4.5, 2.5), space).is_empty


def test_through_a_doorway_one_sees_the_wedge_behind_it() -> None:
    # Two rooms 4 x 4, a doorway of 1 m in a thin wall at x = 4 from y = 1.5 to 2.5; from (0, 2) the wedge behind it is
    # 1 m wide at 4 m and 2 m at 8 m: 6 m2.
    space = union_all([box(0, 0, 4, 4), box(4, 1.5, 4.001, 2.5), box(4.001, 0, 8, 4)])
    assert visible_from((0, 2), space).area == pytest.approx(16 + 6, rel=1e-3)  # the wall is 1 mm thick


def test_a_shadow_ends_by_similar_triangles() -> None:
    # Eye at 2.20 m, a thing 1.40 m high from 1 to 2 m away, seen at 0.80 m: the line over its far edge falls 0.80 m in
    # 2 m, so it is down to 0.80 m, 1.40 m below the eye, at 3.50 m.
    shadow = behind((0.0, 0.0), box(1, -0.5, 2, 0.5), (2.20 - 0.80) / (2.20 - 1.40))
    assert shadow.bounds == pytest.approx((1.0, -0.875, 3.5, 0.875))


tenths = st.integers(0, 100).map(lambda n: n / 10)
pillars = st.lists(
    st.tuples(st.integers(5, 85), st.integers(5, 65), st.integers(2, 20), st.integers(2, 20)), max_size=4
)


def _room(things: list[tuple[int, int, int, int]]) -> BaseGeometry:
    room = box(0, 0, 10, 8)
    boxes = [box(x / 10, y / 10, (x + w) / 10, (y + d) / 10) for x, y, w, d in things]
    return room.difference(union_all(boxes))


@given(things=pillars, x=tenths, y=tenths, targets=st.lists(st.tuples(tenths, tenths), min_size=5, max_size=20))
def test_agrees_with_ray_casting(
    things: list[tuple[int, int, int, int]], x: float, y: float, targets: list[tuple[float, float]]
) -> None:
    space, point = _room(things), (x, y * 0.8)
    if space.distance(Point(point)) > 0:
        return
    found, wide = visible_from(point, space), space.buffer(1e-9)
    for tx, ty in targets:
        target = (tx + 0.013, ty * 0.8 + 0.017)  # off the tenths, where everything grazes
        if found.boundary.distance(Point(target)) > 1e-6:
            assert found.contains(Point(target)) == wide.covers(LineString([point, target]))


@given(things=pillars, more=pillars, x=tenths, y=tenths)
def test_another_obstacle_never_shows_more(
    things: list[tuple[int, int, int, int]], more: list[tuple[int, int, int, int]], x: float, y: float
) -> None:
    point = (x, y * 0.8)
    less = visible_from(point, _room(things + more))
    assert less.difference(visible_from(point, _room(things)).buffer(1e-6)).area < 1e-9


@given(things=pillars, turn=st.floats(0, 360), east=st.floats(-50, 50), north=st.floats(-50, 50))
def test_turning_and_moving_the_plan_changes_no_area(
    things: list[tuple[int, int, int, int]], turn: float, east: float, north: float
) -> None:
    space = _room(things)
    moved = translate(rotate(space, turn, origin=(0, 0)), east, north)
    c, s = cos(radians(turn)), sin(radians(turn))
    here = (0.4, 7.6)
    there = (here[0] * c - here[1] * s + east, here[0] * s + here[1] * c + north)
    assert visible_from(there, moved).area == pytest.approx(visible_from(here, space).area, rel=1e-6, abs=1e-6)
