"""What detectors cover: closed forms, published coverings, light rays past a box in space, and properties.

An arc is drawn with a point a degree, which loses 5 parts in 100,000 of a sector: tolerance 1e-4 relative.
"""

from datetime import date
from math import asin, hypot, pi, radians, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.home import Home
from asfitted.reckon.coverage import (
    Body,
    Cover,
    Furniture,
    View,
    covered,
    crossing_angles,
    sector,
    sector_area,
    seen,
    standing_room,
    together,
)
from asfitted.reckon.of_coverage import detectors_of, rooms_covered, sight_space
from tests.reckon.laid_out import laid_out

UPRIGHT, CREEPING = Body(0.80, 1.60), Body(0.0, 0.60)
DAY = date(2026, 11, 2)
ARC = 1e-4


def flat(x: float, y: float, reach: float, facing: float = 0.0, field: float = 360.0) -> View:
    """Give a detector without a zone under it."""
    return View((x, y), facing, field, reach, 2.2)


def area(view: View, room: Polygon, *things: Furniture, body: Body = UPRIGHT) -> float:
    return float(covered(view, room, things, body).area)


@pytest.mark.parametrize(
    ("width", "depth", "view", "expected"),
    [
        # Disc and rectangle: segments beyond a chord, r² acos(h / r) - h sqrt(r² - h²), by hand.
        (10, 6, flat(5, 3, 5), 24 + 50 * asin(0.6)),
        (4, 3, flat(2, 1.5, 2), 10.7531),
        (4, 4, flat(2, 2, 2), 4 * pi),
        (12, 8, flat(6, 4, 7.5), 96.0),
        (12, 12, flat(6, 6, 7.5), 139.9268),
        # A quarter of a disc from a corner: (1/2)[b sqrt(r² - b²) + a sqrt(r² - a²) + r² (pi/2 - acos a/r - acos b/r)].
        (5, 4, flat(0, 0, 3, 45, 90), 9 * pi / 4),
        (5, 4, flat(0, 0, 5, 45, 90), 6 + 12.5 * asin(0.8)),
        (5, 4, flat(0, 0, 6, 45, 90), 19.8286),
        (5, 4, flat(0, 0, 12, 45, 90), 20.0),
        # From the middle of the long wall, by hand: a triangle of 8 and two of 4 x 4 / 2; then a quarter of a disc.
        (8, 5, flat(4, 0, 12, 0, 90), 24.0),
        (8, 5, flat(4, 0, 4, 0, 90), 4 * pi),
        (8, 5, flat(4, 0, 3, 0, 180), 9 * pi / 2),
        # 120 degrees and 6 m from there: integrated numerically with a geometry library, 4 digits.
        (8, 5, flat(4, 0, 6, 0, 120), 30.4196),
    ],
)
def test_sectors_in_rectangles(width: float, depth: float, view: View, expected: float) -> None:
    assert area(view, box(0, 0, width, depth)) == pytest.approx(expected, rel=ARC)


@pytest.mark.parametrize(("field", "reach", "expected"), [(90, 12, 113.097), (110, 12, 138.230), (85, 15, 166.897)])
def test_the_drawn_sector_has_the_area_of_its_formula(field: float, reach: float, expected: float) -> None:
    assert sector_area(field, reach) == pytest.approx(expected, abs=5e-4)
    assert sector(flat(0, 0, reach, 30, field)).area == pytest.approx(expected, rel=ARC)


def test_round_a_corner_nothing_is_covered() -> None:
    room = Polygon([(0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6)])
    assert area(flat(5, 1.5, 20), room) == pytest.approx(27 - 5.625, rel=ARC)  # by hand, similar triangles


@pytest.mark.parametrize(
    ("sites", "radius"),
    [
        # Least radius of n equal discs that cover the unit square; n = 2 and 3 with these centres checked on a grid,
        # n = 1 and 4 by hand.
        ([(0.5, 0.5)], sqrt(2) / 2),
        ([(0.25, 0.5), (0.75, 0.5)], sqrt(5) / 4),
        ([(0.5, 1 / 16), (0.25, 9 / 16), (0.75, 9 / 16)], sqrt(65) / 16),
        ([(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)], sqrt(2) / 4),
    ],
)
def test_discs_that_just_cover_a_square(sites: list[tuple[float, float]], radius: float) -> None:
    square = box(0, 0, 10, 10)

    def cover(factor: float) -> Cover:
        views = [flat(10 * x, 10 * y, 10 * radius * factor) for x, y in sites]
        return together(square, [covered(view, square, (), UPRIGHT) for view in views])

    assert cover(1.0002).share == pytest.approx(1.0, abs=1e-9)
    assert cover(0.98).share < 1 - 1e-4


def test_the_widest_blind_spot_beside_a_disc() -> None:
    # In a corner beside the disc that touches all four sides: a (1 + sqrt 2) = 2 (sqrt 2 - 1), found to 10 mm.
    room = box(0, 0, 4, 4)
    blind = together(room, [covered(flat(2, 2, 2), room, (), UPRIGHT)]).blind
    assert blind is not None
    (x, y), radius = blind
    assert radius == pytest.approx(2 * (sqrt(2) - 1) ** 2, abs=0.01)
    assert min(x, 4 - x) == pytest.approx(radius, abs=0.02)
    assert min(y, 4 - y) == pytest.approx(radius, abs=0.02)
    assert Cover(room, room).blind is None


def test_the_zone_under_a_detector() -> None:
    # 2.3 m high, steepest beam 45 degrees: 2.3 / tan 45 = 2.30 m on the floor (common practice, no source).
    view = View((0, 0), 45, 90, 12, 2.3, 45)
    assert view.hole(CREEPING) == pytest.approx(2.30)
    assert view.hole(UPRIGHT) == pytest.approx(1.50)
    assert area(view, box(0, 0, 5, 4), body=CREEPING) == pytest.approx(20 - pi * 2.3**2 / 4, rel=ARC)


def test_turned_over_it_sees_over_low_things_and_nobody_lower_than_itself() -> None:
    room, view = box(0, 0, 5, 4), View((0, 0), 45, 90, 12, 1.15, 0, turned_over=True)
    table, wardrobe = Furniture(box(2, 1, 3, 2), 0.9), Furniture(box(2, 1, 3, 2), 1.9)
    assert area(view, room) == pytest.approx(20.0)
    assert area(view, room, body=CREEPING) == 0.0
    assert area(view, room, table) == pytest.approx(19.0)
    assert area(view, room, wardrobe) < 19.0 - 1.0


corners = st.tuples(st.integers(5, 40), st.integers(5, 30), st.integers(3, 15), st.integers(3, 15))
heights = st.integers(0, 26).map(lambda n: n / 10)


def _thing(corner: tuple[int, int, int, int], height: float) -> Furniture:
    x, y, w, d = (n / 10 for n in corner)
    return Furniture(box(x, y, x + w, y + d), height)


@given(corner=corners, height=heights, target=st.tuples(st.integers(1, 59), st.integers(1, 49)))
def test_shadows_agree_with_rays_in_space(
    corner: tuple[int, int, int, int], height: float, target: tuple[int, int]
) -> None:
    # A ray from the eye at 2.2 m to the body's middle, tried at 600 points against the box of the thing.
    thing, room = _thing(corner, height + 0.05), box(0, 0, 6, 5)
    eye, goal = (0.0, 0.0, 2.2), (target[0] / 10 + 0.003, target[1] / 10 + 0.007, 0.80)
    west, south, east, north = thing.plan.bounds
    shares = [n / 600 for n in range(601)]
    points = [tuple(a + (b - a) * share for a, b in zip(eye, goal, strict=True)) for share in shares]
    hidden = any(west <= x <= east and south <= y <= north and z <= thing.height for x, y, z in points)
    hidden |= west <= goal[0] <= east and south <= goal[1] <= north  # nobody stands where it does
    found = seen(flat(0, 0, 20), room, [thing], UPRIGHT)
    spot = box(goal[0], goal[1], goal[0], goal[1]).centroid
    if found.boundary.distance(spot) > 0.02:
        assert found.contains(spot) != hidden


@given(near=st.integers(5, 60), further=st.integers(0, 60), facing=st.floats(0, 360), corner=corners, height=heights)
def test_a_larger_reach_never_covers_less(
    near: int, further: int, facing: float, corner: tuple[int, int, int, int], height: float
) -> None:
    room, things = box(0, 0, 6, 5), [_thing(corner, height)]
    small = covered(flat(0.3, 0.2, near / 10, facing, 100), room, things, UPRIGHT)
    large = covered(flat(0.3, 0.2, (near + further) / 10, facing, 100), room, things, UPRIGHT)
    assert small.difference(large.buffer(1e-6)).area < 1e-9


@given(first=corners, second=corners, low=heights, rise=heights)
def test_more_or_taller_furniture_never_covers_more(
    first: tuple[int, int, int, int], second: tuple[int, int, int, int], low: float, rise: float
) -> None:
    room, view = box(0, 0, 6, 5), View((0.0, 0.0), 45, 90, 6, 2.2, 50)
    before = covered(view, room, [_thing(first, low)], UPRIGHT)
    for things in ([_thing(first, low), _thing(second, low)], [_thing(first, low + rise)]):
        assert covered(view, room, things, UPRIGHT).difference(before.buffer(1e-6)).area < 1e-9


@given(at=st.integers(10, 50), gap=st.integers(0, 30), facing=st.floats(0, 90))
def test_taking_a_wall_away_never_covers_less(at: int, gap: int, facing: float) -> None:
    whole = box(0, 0, 6, 5)
    walled = whole.difference(box(at / 10, gap / 10, at / 10 + 0.1, 5))
    view = flat(0, 0, 7, facing, 90)
    assert covered(view, walled, (), UPRIGHT).difference(covered(view, whole, (), UPRIGHT).buffer(1e-6)).area < 1e-9


@pytest.mark.parametrize(
    ("start", "end", "least", "most"),
    [
        # By hand: the detector in the origin.
        ((5, 0), (1, 0), 0.0, 0.0),  # straight at it
        ((3, -3), (3, 3), 45.0, 90.0),  # across, the foot of the perpendicular between the ends
        ((3, 3), (3, 3 * sqrt(3)), 30.0, 45.0),  # past it, and away
        ((1, 0), (1, 1), 45.0, 90.0),  # from the foot
    ],
)
def test_crossing_angles(start: tuple[float, float], end: tuple[float, float], least: float, most: float) -> None:
    assert crossing_angles((0.0, 0.0), start, end) == pytest.approx((least, most), abs=1e-9)
    assert crossing_angles((0.0, 0.0), end, start) == pytest.approx((least, most), abs=1e-9)


HOME = """
record: 1
home: {label: coverage}
storeys:
  - id: ground
    level: 0
    height: 2.50
    rooms:
      - {id: living, use: living, corner: [0, 0], size: [5.0, 4.0]}
      - {id: dining, use: dining, beside: "east of living, flush south", size: [3.0, 4.0]}
      - {id: study, use: study, beside: "north of living, flush west", size: [5.0, 3.0]}
    openings:
      - {archway: living - dining, id: arch, from-south: 1.0, width: 2.0, height: 2.3}
      - {door: living - study, id: study-door, from-west: 2.0, width: 1.0}
    fittings: FITTINGS
devices:
  MD1: {kind: motion detector, in: living, corner: south-west, height: 2.2, field: 90 deg, range: 12, looks-down: 60 deg}
  MD2: {kind: motion detector, in: study, corner: north-east}
  MD3: {kind: motion detector, in: study}
  MD4: {kind: motion detector, in: dining, corner: north-east, height: 2.2, fitted: 2030-01-01}
visits:
  - {date: 2026-03-04, kind: service, by: technician 1, tests: {MD1: {walk: detected, steps: 3}}}
"""
LOW = "[{tall-furniture: living, wall: south, from-west: 2.0, size: [1.0, 0.6], height: 1.2}]"
WARDROBE = "[{tall-furniture: living, wall: south, from-west: 2.0, size: [1.0, 0.6], height: 2.0}]"


def home(fittings: str = "[]") -> tuple[Home, Dwelling]:
    return laid_out(HOME.replace("FITTINGS", fittings))


def test_a_home_is_seen_through_archways_and_doors_that_stand_open() -> None:
    record, dwelling = home()
    assert sight_space(dwelling, "living")[1] == ("living", "dining")
    assert sight_space(dwelling, "living", frozenset({"study-door"}))[1] == ("living", "dining", "study")
    shut, wide = (
        detectors_of(record, dwelling, DAY, doors).placed[0] for doors in (frozenset[str](), frozenset({"study-door"}))
    )
    assert shut.covered.area == pytest.approx(shut.cover.covered.area + dining_part(), rel=1e-3)
    assert wide.covered.area > shut.covered.area + 0.5


def test_a_door_that_the_record_says_stands_open_is_seen_through() -> None:
    _, dwelling = laid_out(HOME.replace("FITTINGS", "[]").replace("width: 1.0}", "width: 1.0, stands: open}"))
    assert sight_space(dwelling, "living")[1] == ("living", "dining", "study")


def dining_part() -> float:
    """Area of what is seen behind the archway, by hand: between the lines over its ends.

    The lower line goes over the near edge of its south end, (5, 1), the upper one over the far edge of its north end,
    (5.1, 3), as the wall is 0.10 m thick; both start in the corner, (0, 0).
    """
    low, high = 1 / 5, 3 / 5.1
    beyond = Polygon([(5, 5 * low), (8.1, 8.1 * low), (8.1, 4), (4 / high, 4), (5, 5 * high)])
    return float(beyond.intersection(box(5, 0, 8.1, 4)).area)


def test_what_is_not_known_is_assumed_and_asked_for() -> None:
    record, dwelling = home()
    first, second = detectors_of(record, dwelling, DAY).placed
    assert [item.symbol for item in first.working.assumed] == ["β"]
    assert [item.symbol for item in second.working.assumed] == ["z", "β", "θ", "R", "δ"]
    assert all(item.ask for item in second.working.assumed)
    assert detectors_of(record, dwelling, DAY).without_place == ("MD3",)
    assert first.working.caveats[-1] == "On 2026-03-04 a walk test was detected after 3 steps."


def test_a_detector_counts_from_the_day_it_was_fitted() -> None:
    record, dwelling = home()
    later = detectors_of(record, dwelling, date(2030, 1, 1))
    assert [item.tag for item in later.placed] == ["MD1", "MD2", "MD4"]
    now = rooms_covered(dwelling, detectors_of(record, dwelling, DAY))
    assert rooms_covered(dwelling, later)["dining"].share > now["dining"].share


def test_the_share_is_the_area_over_the_floor_with_its_working() -> None:
    record, dwelling = home()
    working = detectors_of(record, dwelling, DAY).placed[0].working
    # A quarter of the zone of (2.2 - 0.8) / tan 60 is all that is lost of 5 x 4.
    expected = 100 * (20 - pi / 4 * (1.4 / tan(radians(60))) ** 2) / 20
    assert working.result.value == pytest.approx(expected, rel=ARC)
    assert working.result.unit == "%"
    assert [step.symbol for step in working.steps] == ["r", "A_f", "A_v", "A_c", "A", "s"]


def test_a_wardrobe_that_comes_later_takes_coverage_away() -> None:
    before, after = (detectors_of(*home(fittings), DAY).placed[0] for fittings in ("[]", WARDROBE))
    assert after.cover.covered.area < before.cover.covered.area - 0.6
    assert standing_room(after.scene.floor, after.scene.furniture).area == pytest.approx(20 - 0.6)


def test_furniture_without_a_height_hides_all_behind_it_and_is_told() -> None:
    low, unknown = (detectors_of(*home(text), DAY).placed[0] for text in (LOW, LOW.replace(", height: 1.2", "")))
    assert unknown.covered.area < low.covered.area
    assert any("no height for the tall furniture in the living" in note for note in unknown.working.caveats)
    assert not any("no height" in note for note in low.working.caveats)


def test_what_changes_the_share_most_comes_first() -> None:
    swings = detectors_of(*home(WARDROBE), DAY).placed[0].swings
    assert swings[0].size == max(swing.size for swing in swings) > 0


def test_the_diagonal_of_a_room_within_reach_leaves_no_corner() -> None:
    # 6.2 x 4.8 m: the diagonal is 7.84 m (Pythagoras), so 12 m reach all of it and 7.8 m do not.
    room = box(0, 0, 6.2, 4.8)
    assert hypot(6.2, 4.8) == pytest.approx(7.84, abs=0.005)
    assert area(flat(0, 0, 12, 45, 90), room) == pytest.approx(room.area)
    assert area(flat(0, 0, 7.8, 45, 90), room) < room.area - 1e-4
