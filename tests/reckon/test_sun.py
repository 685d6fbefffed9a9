"""The sun against the published example of the NREL algorithm, a second library and hand geometry; then in homes."""

from collections.abc import Sequence
from datetime import date, timedelta
from math import cos, radians, sin, tan
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.dwelling.survey import survey
from asfitted.reckon.of_sun import HomeSun, inputs_of, sun_of, work
from asfitted.reckon.sun import (
    Exposure,
    Floats,
    Pane,
    Vector,
    directions,
    exposure,
    lit,
    meets,
    positions,
    reach,
    refraction,
    track,
)
from asfitted.reckon.working import sensitivity
from asfitted.record.reader import read_text

PUBLISHED = np.array(["2003-10-17T19:30:30"], dtype="datetime64[s]")
PLACE = 39.742476, -105.1786


def at(latitude: float, longitude: float, *when: str) -> tuple[Floats, Floats]:
    return positions(latitude, longitude, np.array(when, dtype="datetime64[s]"))


def test_the_published_example_of_the_nrel_algorithm() -> None:
    # NREL/TP-560-34302 (Reda and Andreas 2004), table A5.1: zenith 50.11162, azimuth 194.34024, at 820 mbar and 11 °C;
    # tolerance 0.001°: another theory of the sun, and hours interpolated between midnights
    azimuth, height = positions(*PLACE, PUBLISHED)
    assert azimuth[0] == pytest.approx(194.34024, abs=1e-3)
    assert 90 - (height + refraction(height, 820, 11))[0] == pytest.approx(50.11162, abs=1e-3)


def test_the_published_example_gives_the_incidence_on_a_sloping_plane() -> None:
    # same table: a plane tilted 30°, turned 10° east of south, is met at 25.18700°
    azimuth, height = positions(*PLACE, PUBLISHED)
    towards = directions(azimuth, height + refraction(height, 820, 11))[0]
    normal = sin(radians(30)) * sin(radians(170)), sin(radians(30)) * cos(radians(170)), cos(radians(30))
    assert np.degrees(np.arccos(towards @ np.array(normal))) == pytest.approx(25.18700, abs=1e-3)


@given(
    st.floats(-65, 65),
    st.floats(-179, 179),
    st.integers(1_420_000_000, 2_360_000_000),
)
def test_a_second_library_finds_the_sun_in_the_same_place(latitude: float, longitude: float, when: int) -> None:
    # sunposition, an implementation of the NREL algorithm (stated to be good to 0.0003°), topocentric, without air
    import sunposition

    instant = np.datetime64(when, "s")
    azimuth, height = at(latitude, longitude, str(instant))
    theirs, zenith = sunposition.observed_sunposition(
        instant, latitude, longitude, 0, temperature=10, pressure=0.0, atmos_refract=0.0, delta_t=70
    )
    ours, other = (
        directions(np.array([a], dtype=float), np.array([e], dtype=float))[0]
        for a, e in ((azimuth[0], height[0]), (float(theirs), 90 - float(zenith)))
    )
    assert np.degrees(np.arccos(min(float(ours @ other), 1.0))) < 0.003


@pytest.mark.parametrize(
    ("latitude", "longitude", "when", "height", "azimuth"),
    [
        (60, 25, "2025-06-21T10:20", 53.4352, 179.2907),
        (60, 25, "2025-12-21T10:20", 6.5586, 180.4272),
        (-35, 149, "2025-06-21T02:00", 31.5436, 1.5520),
        (52, 0, "2025-12-21T12:00", 14.5584, 180.4303),
    ],
)
def test_the_sun_at_the_solstices(latitude: float, longitude: float, when: str, height: float, azimuth: float) -> None:
    # computed with a third implementation (pvlib, NREL algorithm) at sea level without refraction
    found_azimuth, found_height = at(latitude, longitude, when)
    assert found_height[0] == pytest.approx(height, abs=2e-3)
    assert found_azimuth[0] == pytest.approx(azimuth, abs=3e-3)


@pytest.mark.parametrize(
    ("latitude", "month", "noon"), [(60, 6, 53.44), (60, 12, 6.56), (-35, 12, 78.44), (0, 6, 66.56)]
)
def test_the_greatest_height_at_a_solstice_follows_from_the_tilt_of_the_earth(
    latitude: float, month: int, noon: float
) -> None:
    # 90 - |latitude - declination| with the tilt 23.44°
    times = np.arange(f"2025-{month:02}-21", f"2025-{month:02}-22", dtype="datetime64[m]")
    assert positions(latitude, 0, times)[1].max() == pytest.approx(noon, abs=0.02)


@pytest.mark.parametrize(
    "when", ["2025-06-21T00:55:45", "2025-06-21T19:47:54", "2025-12-21T07:22:02", "2025-12-21T13:14:15"]
)
def test_at_sunrise_and_sunset_the_sun_stands_where_they_are_defined(when: str) -> None:
    # 60 N 25 E, times computed with pvlib, whole seconds; defined as 0.8333° below the horizon (NREL/TP-560-34302)
    assert at(60, 25, when)[1][0] == pytest.approx(-0.8333, abs=0.004)


def window(x: tuple[float, float], heights: tuple[float, float], away: float) -> Pane:
    return Pane((x[0], away, heights[0]), (x[1] - x[0], 0, 0), (0, 0, heights[1] - heights[0]))


@pytest.mark.parametrize(
    ("height", "turn", "away", "z", "x", "up"),
    [
        (20, 0, 3, 1.0, 0, 2.0919),
        (20, 20, 3, 1.0, 1.0919, 2.1620),
        (10, 10, 4, 1.2, 0.7053, 1.9162),
        (45, 0, 1, 0.9, 0, 1.9),
    ],
)
def test_a_ray_meets_the_window_where_the_tangents_say(
    height: float, turn: float, away: float, z: float, x: float, up: float
) -> None:
    # x = D tan g, z = z_p + D / cos g tan el, by hand
    towards = directions(np.array([180.0 + turn]), np.array([float(height)]), 180.0)
    far = reach((0, 0, z), towards, window((-9, 9), (0, 9), away))[0]
    assert (far * towards[0, 0], z + far * towards[0, 2]) == pytest.approx((x, up), abs=5e-5)
    assert far * towards[0, 0] == pytest.approx(away * tan(radians(turn)), abs=1e-9)


def minutes_on(
    place: tuple[float, float],
    pane: Pane,
    outward: float,
    point: Vector,
    day: tuple[date, float],
) -> float:
    """Give the lit minutes of a day, its clock so many hours ahead of UTC."""
    sun = track(*place, day[0] - timedelta(days=1), 3, 1)
    found = exposure(sun, lit(point, sun, [pane], outward), day[1]).days
    return next((each.minutes for each in found if each.day == day[0]), 0.0)


NORTHERN, SOUTHERN = (60.0, 25.0), (-35.0, 149.0)
LOW, WIDE, MIDDLE = (
    window((-0.6, 0.6), (0.9, 2.1), 3),
    window((-1, 1), (0.9, 2.1), 4),
    window((-0.9, 0.9), (0.9, 2.1), 3),
)
NEAR = window((-0.9, 0.9), (0.9, 2.1), 2.5)
MIDWINTER, MIDSUMMER = date(2025, 12, 21), date(2025, 6, 21)


@pytest.mark.parametrize(
    ("place", "pane", "outward", "z", "day", "minutes"),
    [
        (NORTHERN, LOW, 180, 1.5, (MIDWINTER, 2), 98),
        (NORTHERN, WIDE, 300, 1.2, (MIDSUMMER, 2), 90),
        (NORTHERN, WIDE, 270, 1.2, (MIDSUMMER, 2), 0),
        (SOUTHERN, NEAR, 0, 0.5, (MIDSUMMER, 10), 151),
        (SOUTHERN, NEAR, 0, 1.0, (MIDSUMMER, 10), 0),
        (SOUTHERN, MIDDLE, 270, 1.0, (MIDWINTER, 10), 9),
        (SOUTHERN, MIDDLE, 90, 1.0, (MIDWINTER, 10), 9),
    ],
)
def test_minutes_of_sun_through_a_window(
    place: tuple[float, float], pane: Pane, outward: float, z: float, day: tuple[date, float], minutes: float
) -> None:
    # simulated minute by minute with a third library and the tangents above; two minutes for either edge
    assert minutes_on(place, pane, outward, (0, 0, z), day) == pytest.approx(minutes, abs=2)


@given(st.floats(-66, 66), st.floats(0, 360), st.floats(0.5, 6), st.floats(0.0, 0.5))
def test_a_point_above_the_head_of_a_window_is_never_lit(
    latitude: float, north: float, away: float, above: float
) -> None:
    # towards the sun a ray only rises
    sun = track(latitude, 0.0, date(2025, 6, 1), 20, 60)
    assert not lit((0, 0, 2.1 + above), sun, [window((-3, 3), (0.2, 2.1), away)], north).any()


@given(st.floats(-180, 180), st.floats(0.5, 4), st.floats(0.1, 2.0), st.floats(0, 360))
def test_turning_the_plan_and_its_north_together_changes_nothing(
    turn: float, away: float, z: float, north: float
) -> None:
    sun = track(52.0, 0.0, date(2025, 1, 1), 365, 30)
    here = window((-1, 1), (0.4, 2.1), away)
    c, s = cos(radians(turn)), sin(radians(turn))

    def turned(v: Sequence[float]) -> Vector:  # clockwise, as bearings grow
        return v[0] * c + v[1] * s, -v[0] * s + v[1] * c, v[2]

    there = Pane(turned(here.corner), turned(here.across), turned(here.up))
    one = lit((0.3, 0, z), sun, [here], north, 10.0)
    other = lit(turned((0.3, 0, z)), sun, [there], north - turn, 10.0 + turn)
    # a ray that grazes an edge may fall on either side of it by the last digit of the arithmetic
    assert np.count_nonzero(one != other) <= 2


def test_a_thick_wall_lets_less_in_than_a_thin_one() -> None:
    sun = track(54.0, -2.8, date(2026, 1, 1))
    inner, outer = window((-0.6, 0.6), (0.9, 2.1), 2.0), window((-0.6, 0.6), (0.9, 2.1), 2.3)
    thin, thick = lit((0, 0, 1.5), sun, [inner], 180.0), lit((0, 0, 1.5), sun, [inner, outer], 180.0)
    assert 0 < thick.sum() < thin.sum()
    assert not (thick & ~thin).any()


def test_a_detector_that_looks_away_from_the_sun_is_not_lit() -> None:
    sun = track(54.0, -2.8, date(2026, 1, 1), step=30)
    pane = window((-2, 2), (0.1, 2.3), 2.0)
    assert lit((0, 0, 1.0), sun, [pane], 180.0, 0.0).any()
    assert not lit((0, 0, 1.0), sun, [pane], 180.0, 180.0).any()


def test_a_pane_in_the_plane_of_the_point_or_behind_it_is_not_met() -> None:
    towards = directions(np.array([0.0]), np.array([10.0]))
    assert meets((0, 0, 1.0), towards, window((-1, 1), (0, 2), 2.0)).tolist() == [True]
    assert meets((0, 0, 1.0), towards, window((-1, 1), (0, 2), 0.0)).tolist() == [False]
    assert meets((0, 0, 1.0), towards, window((-1, 1), (0, 2), -2.0)).tolist() == [False]


def test_the_matrix_sums_to_the_hours_and_to_the_days() -> None:
    sun = track(54.0, -2.8, date(2026, 1, 1))
    found: Exposure = exposure(sun, lit((0, 0, 1.2), sun, [LOW], 180.0), 0.0)
    assert found.hours > 0
    assert sum(map(sum, found.matrix)) == pytest.approx(found.hours, abs=0.02)
    assert sum(day.minutes for day in found.days) / 60 == pytest.approx(found.hours)
    assert [len(row) for row in found.matrix] == [24] * 12
    assert found.worst is not None
    assert found.worst.minutes == max(day.minutes for day in found.days)
    assert found.worst.first < found.worst.last
    # a low sun through a window that looks south: about midday in winter, never in the height of summer
    assert sum(found.matrix[5]) == 0 < sum(found.matrix[0])


def test_no_sun_is_no_day() -> None:
    sun = track(54.0, -2.8, date(2026, 1, 1), 2)
    found = exposure(sun, np.zeros(len(sun.times), dtype=bool))
    assert (found.hours, found.days, found.worst) == (0.0, (), None)


HOME = """\
record: 1
home: {label: Bungalow, place: [54.0, -2.8], plan-north: NORTH}
storeys:
  - id: ground
    height: 2.40
    rooms:
ROOMS
    openings:
OPENINGS
devices:
  MD1: {kind: motion detector, WHERE}
  MD2: {kind: motion detector}
"""
ONE_ROOM = "      - {id: living, use: living, corner: [0, 0], size: [6, 4]}"


def sun_in(where: str, openings: str, rooms: str = ONE_ROOM, north: str = "0", drop: str = "") -> HomeSun:
    text = HOME.replace("NORTH", north).replace("ROOMS", rooms).replace("OPENINGS", openings).replace("WHERE", where)
    home = read_text(text.replace(drop, "").encode() if drop else text.encode(), Path("record.yml"))
    assert home.home is not None, [trouble.sentence for trouble in home.troubles]
    dwelling, problems = survey(home.home)
    assert dwelling is not None, problems
    return sun_of(home.home, dwelling, date(2026, 5, 1))


SOUTH = "      - {window: living south, id: w, from-west: 2, width: 2, sill: 0.9, height: 1.3}"


def test_a_low_detector_opposite_a_south_window_is_lit_in_winter_and_a_high_one_never() -> None:
    (low,) = sun_in("in: living, wall: north, from-west: 3, height: 1.0", SOUTH).detectors
    assert set(low.panes) == {"w"}
    assert low.total.hours == low.panes["w"].hours > 0
    assert low.total.worst is not None
    assert low.total.worst.day.month in (11, 12, 1, 2)
    assert low.working.result.value == low.total.hours
    (high,) = sun_in("in: living, wall: north, from-west: 3, height: 2.25", SOUTH).detectors
    assert (high.total.hours, dict(high.panes)) == (0.0, {})


def test_turning_the_home_by_a_right_angle_with_its_north_leaves_the_hours() -> None:
    (one,) = sun_in("in: living, wall: north, from-west: 3, height: 1.0", SOUTH).detectors
    room = "      - {id: living, use: living, corner: [0, 0], size: [4, 6]}"
    west = "      - {window: living west, id: w, from-south: 2, width: 2, sill: 0.9, height: 1.3}"
    # the south window is now on the plan's west side: the plan's upper edge points to 270°
    (other,) = sun_in("in: living, wall: east, from-south: 3, height: 1.0", west, room, "-90").detectors
    assert one.total.hours > 0
    assert other.total.hours == pytest.approx(one.total.hours, abs=0.2)


def test_a_rooflight_lets_the_summer_sun_down_to_a_detector_of_any_height() -> None:
    room = (
        "      - {id: living, use: loft, corner: [0, 0], size: [6, 4],"
        " height: {sloping: {low: 1.2, high: 3.2, rises: north}}}"
    )
    light = "      - {rooflight: living, id: r, from-west: 3, from-south: 1.5, width: 1.2, height: 1.2}"
    (found,) = sun_in("in: living, wall: north, from-west: 3, height: 1.6", light, room).detectors
    assert found.panes["r"].hours > 0


def test_a_wall_between_the_window_and_the_detector_keeps_the_sun_out() -> None:
    ell = """\
      - id: living
        use: living
        walk: {from: [0, 0], legs: [E 6.00, N 3.00, W 3.00, N 3.00, W 3.00, S 6.00], by: laser}"""
    south = "      - {window: living south, id: w, from-west: 3.6, width: 2.2, sill: 0.1, height: 2.2}"
    # from 0.3 m the whole window is seen past the inner corner at (3, 3); from 2.7 m none of it
    (seen,) = sun_in("in: living, wall: north-1, from-west: 0.3, height: 0.3", south, ell).detectors
    (hidden,) = sun_in("in: living, wall: north-1, from-west: 2.7, height: 0.3", south, ell).detectors
    assert seen.total.hours > hidden.total.hours == 0


def test_sun_comes_through_an_archway_but_not_through_a_door() -> None:
    rooms = """\
      - {id: living, use: living, corner: [0, 0], size: [6, 3]}
      - {id: hall, use: circulation, corner: [0, 3.1], size: [6, 3]}"""
    through = "      - {KIND: living - hall, id: a, from-west: 1.5, width: 3, height: 2.3}\n" + SOUTH
    where = "in: hall, wall: north, from-west: 3, height: 0.5"
    (arch,) = sun_in(where, through.replace("KIND", "archway"), rooms).detectors
    (door,) = sun_in(where, through.replace("KIND", "door"), rooms).detectors
    assert arch.total.hours > door.total.hours == 0


def test_what_is_missing_is_asked_for() -> None:
    found = sun_in("in: living, wall: north, from-west: 3, height: 1.6", SOUTH, drop=", place: [54.0, -2.8]")
    assert (found.detectors, found.without_place) == ((), ("MD2",))
    assert "place" in found.ask
    (taken,) = sun_in("in: living, wall: north, from-west: 3", SOUTH, drop=", plan-north: 0").detectors
    assert {given.symbol for given in taken.working.assumed} == {"N", "z"}
    assert all(given.ask for given in taken.working.assumed)


def test_a_detector_outdoors_or_not_fitted_yet_has_no_sun_through_panes() -> None:
    outdoors = sun_in("outside: living south, from-west: 3, height: 1.6", SOUTH)
    later = sun_in("in: living, wall: north, from-west: 3, height: 1.0, fitted: 2026-05-02", SOUTH)
    today = sun_in("in: living, wall: north, from-west: 3, height: 1.0, fitted: 2026-05-01", SOUTH)
    assert [len(found.detectors) for found in (outdoors, later, today)] == [0, 0, 1]
    assert outdoors.without_place == ("MD2",)


def test_the_bearing_of_the_plan_moves_the_result() -> None:
    text = HOME.replace("NORTH", "20").replace("ROOMS", ONE_ROOM).replace("OPENINGS", SOUTH)
    home = read_text(
        text.replace("WHERE", "in: living, wall: north, from-west: 3, height: 1.0").encode(), Path("record.yml")
    ).home
    assert home is not None
    dwelling = survey(home)[0]
    assert dwelling is not None
    swings = sensitivity(
        lambda inputs: work(dwelling, "MD1", inputs, date(2026, 5, 1)), inputs_of(home, dwelling.spots["MD1"])
    )
    assert {swing.given.symbol: swing.size > 0 for swing in swings}["N"]
