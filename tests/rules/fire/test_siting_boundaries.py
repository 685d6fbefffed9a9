"""Siting rules just inside their limits, on them, just outside, and without evidence; figures worked out by hand.

What each limit rests on stands in the rule data; here it is tested that the right distance is taken, and from where.
The laser is out by up to 0.01 m, two readings together by 0.0141 m.
"""

import pytest

from asfitted.rules.examples import case_of
from tests.rules.fire.homes import findings, home, verdict

C, F, B, N, X = "conforms", "does not conform", "borderline", "not verified", "not applicable"
NONE = "nothing asked"

ROOM = "{id: room, use: living, corner: [0, 0], size: [6.0, 5.0]}"


def smoke(west: float, south: float, more: str = "") -> str:
    return f"SA1: {{kind: smoke alarm, on: ceiling of room, from-west: {west}, from-south: {south}, by: laser{more}}}"


def on_wall(height: float, more: str = ", across: 0.10", wall: str = "west", along: str = "from-south: 2.0") -> str:
    return f"SA1: {{kind: smoke alarm, in: room, wall: {wall}, {along}, height: {height}, by: laser{more}}}"


# 0.10 across: the edge is 0.05 nearer to the wall than the middle.
@pytest.mark.parametrize(("south", "expected"), [(0.33, F), (0.345, B), (0.35, B), (0.361, C)])
def test_the_edge_of_the_alarm_counts_for_walls(south: float, expected: str) -> None:
    assert (
        verdict("smoke-clear-of-wall", "SA1", home(ROOM, smoke(3.0, south, ", across: 0.10"), rules="uk-england"))
        == expected
    )


# Twice the depth of 0.15 is 0.30; a tenth of 2.40 is 0.24, from which on the beam is a wall, 0.30 in the UK.
@pytest.mark.parametrize(
    ("depth", "away", "expected"),
    [
        (0.15, 0.32, C),
        (0.15, 0.30, B),
        (0.15, 0.28, F),
        (0.24, 0.46, F),
        (0.24, 0.50, C),
        (0.25, 0.32, C),
        (0.25, 0.28, F),
    ],
)
def test_shallow_beams_twice_their_depth_and_deep_ones_as_walls(depth: float, away: float, expected: str) -> None:
    fitting = f"{{beam: room, from-west: 3.0, depth: {depth}, by: laser}}"
    text = home(ROOM, smoke(3.0 + away, 2.5), rules="uk-england", fittings=fitting)
    assert verdict("alarm-clear-of-beam", "SA1", text) == expected


@pytest.mark.parametrize(("depth", "expected"), [(0.24, C), (0.241, F)])
def test_a_beam_deeper_than_a_tenth_of_the_height_parts_the_room(depth: float, expected: str) -> None:
    fitting = f"{{beam: room, from-west: 3.0, depth: {depth}}}"
    assert (
        verdict("alarm-each-side-of-beam", "room", home(ROOM, smoke(1.5, 2.5), rules="uk-england", fittings=fitting))
        == expected
    )


# German fields: beams of 0.20 are passed over, and of 0.21 where no field has more than 36 m².
@pytest.mark.parametrize(("width", "depth", "expected"), [(14.0, 0.21, C), (14.8, 0.21, F), (14.8, 0.20, C)])
def test_german_fields_of_more_than_36_square_metres(width: float, depth: float, expected: str) -> None:
    room = f"{{id: room, use: living, corner: [0, 0], size: [{width}, 5.0]}}"
    fitting = f"{{beam: room, from-west: {width / 2}, depth: {depth}}}"
    assert (
        verdict("alarm-each-side-of-beam", "room", home(room, smoke(1.5, 2.5), rules="de", fittings=fitting))
        == expected
    )


@pytest.mark.parametrize(
    ("lamp", "away", "expected"),
    [
        (", lamp: fluorescent", 1.48, F),
        (", lamp: fluorescent", 1.52, C),
        (", lamp: other", 0.30, X),
        ("", 1.0, N),
        ("", 1.6, C),
    ],
)
def test_fluorescent_lamps_in_queensland(lamp: str, away: float, expected: str) -> None:
    fitting = f"{{light: room, from-west: 1.0, from-south: 2.5, by: laser{lamp}}}"
    text = home(ROOM, smoke(1.0 + away, 2.5), rules="au-queensland", fittings=fitting)
    assert verdict("smoke-clear-of-fluorescent", "SA1", text) == expected


# 10 ft = 3.048 m, 20 ft = 6.096 m, 6 ft = 1.829 m.
@pytest.mark.parametrize(
    ("sensing", "away", "expected"),
    [
        ("optical, silences: no", 3.07, C), ("optical, silences: no", 3.02, N), ("optical, silences: no", 1.80, F),
        ("ionisation, silences: yes", 3.07, C), ("ionisation, silences: no", 3.07, F),
        ("ionisation", 4.5, F), ("optical and heat", 4.5, C),
    ],
)  # fmt: skip
def test_american_cookers_by_sensing_and_silence(sensing: str, away: float, expected: str) -> None:
    cooker = "{cooker: room, from-west: 0.5, from-south: 2.5, by: laser}"
    text = home(ROOM, smoke(0.5 + away, 2.5, f", sensing: {sensing}"), rules="us", fittings=cooker)
    assert verdict("smoke-clear-of-cooker", "SA1", text) == expected


def test_american_cookers_without_the_sensing_in_the_record() -> None:
    cooker = "{cooker: room, from-west: 0.5, from-south: 2.5, by: laser}"
    finding = findings("smoke-clear-of-cooker", home(ROOM, smoke(4.5, 2.5), rules="us", fittings=cooker))["SA1"]
    assert finding.verdict.value == N
    assert "sensing" in finding.remedy


# Pitch 45 degrees: 2.5 m of run, 2.5 m of rise; 0.60 straight down is 0.60 on the plan.
@pytest.mark.parametrize(("south", "expected"), [(1.92, C), (1.90, B), (1.88, F), (2.5, C)])
def test_six_hundred_straight_down_from_the_ridge(south: float, expected: str) -> None:
    height = "{ridged: {low: 1.60, high: 4.10, ridge: east-west}}"
    assert (
        verdict("smoke-below-ridge", "SA1", home(ROOM, smoke(3.0, south), rules="uk-england", height=height))
        == expected
    )


# United States: at most 36 in = 0.914 on the plan, at least 4 in = 0.102 straight down, both at 45 degrees.
@pytest.mark.parametrize(("off", "expected"), [(0.08, F), (0.13, C), (0.90, C), (0.914, B), (0.94, F)])
def test_american_peaks_have_two_figures(off: float, expected: str) -> None:
    height = "{ridged: {low: 1.60, high: 4.10, ridge: east-west}}"
    assert verdict("smoke-below-ridge", "SA1", home(ROOM, smoke(3.0, 2.5 - off), rules="us", height=height)) == expected


# Germany: up to 20 degrees a slope is flat. Over 5.0 m a rise of 1.80 is 19.8 degrees, of 1.85 it is 20.3.
@pytest.mark.parametrize(("high", "expected"), [(4.00, X), (4.05, F)])
def test_german_slopes_of_up_to_twenty_degrees_are_flat(high: float, expected: str) -> None:
    height = f"{{sloping: {{low: 2.20, high: {high}, rises: north}}}}"
    assert verdict("smoke-below-ridge", "SA1", home(ROOM, smoke(3.0, 1.0), rules="de", height=height)) == expected


def test_an_american_ceiling_that_rises_one_way_fails_nothing_on_memory() -> None:
    height = "{sloping: {low: 2.20, high: 4.20, rises: north}}"
    assert verdict("smoke-below-ridge", "SA1", home(ROOM, smoke(3.0, 1.0), rules="us", height=height)) == N


@pytest.mark.parametrize(("height", "expected"), [(2.195, B), (2.17, C), (2.21, F), (2.07, C), (2.03, F)])
def test_wall_mounted_a_hundred_and_fifty_to_three_hundred_to_the_upper_edge(height: float, expected: str) -> None:
    assert verdict("smoke-wall-mounted", "SA1", home(ROOM, on_wall(height), rules="uk-england")) == expected


def test_wall_mounted_without_its_size_is_not_verified() -> None:
    assert verdict("smoke-wall-mounted", "SA1", home(ROOM, on_wall(2.15, ""), rules="uk-england")) == N
    assert verdict("smoke-wall-mounted", "SA1", home(ROOM, on_wall(2.15, ""), rules="uk-scotland")) == F


@pytest.mark.parametrize(
    ("along", "expected"), [("from-south: 0.33", F), ("from-south: 0.37", C), ("from-north: 0.33", F)]
)
def test_three_hundred_from_the_side_wall(along: str, expected: str) -> None:
    assert (
        verdict("smoke-clear-of-side-wall", "SA1", home(ROOM, on_wall(2.15, along=along), rules="uk-england"))
        == expected
    )


@pytest.mark.parametrize(("height", "expected"), [(2.39, F), (2.36, C), (1.82, C), (1.78, F)])
def test_smoke_sensor_25_to_600_below_the_ceiling(height: float, expected: str) -> None:
    assert (
        verdict("smoke-below-ceiling", "SA1", home(ROOM, smoke(3.0, 2.5, f", height: {height}"), rules="uk-england"))
        == expected
    )


# The furthest corner of 6.0 by 5.0 from a point on the middle line: 7.5² - 2.5² = 7.07², so no place is too far; of a
# room 10.0 by 5.0 the alarm must be 2.93 to 7.07 from the west wall.
@pytest.mark.parametrize(("west", "expected"), [(2.90, F), (2.93, B), (2.95, C), (7.05, C), (7.10, F)])
def test_seven_and_a_half_metres_to_every_point(west: float, expected: str) -> None:
    room = "{id: room, use: living, corner: [0, 0], size: [10.0, 5.0]}"
    assert verdict("smoke-covers-room", "room", home(room, smoke(west, 2.5), rules="uk-england")) == expected


def test_the_uncovered_point_is_said_and_marked() -> None:
    room = "{id: room, use: living, corner: [0, 0], size: [10.0, 5.0]}"
    finding = findings("smoke-covers-room", home(room, smoke(2.0, 2.0), rules="uk-england"))["room"]
    assert "0.00 m from the north and 0.00 m from the east wall" in finding.says
    assert finding.mark is not None
    assert finding.mark.at == pytest.approx((10.0, 5.0))


def test_the_kitchen_of_an_open_plan_may_be_left_to_its_heat_alarm() -> None:
    rooms = "{id: room, use: living, corner: [0, 0], size: [6.0, 5.0]}, {id: kitchen, use: kitchen, corner: [6.1, 0], size: [4.0, 5.0]}"
    arch = "{archway: room - kitchen, id: arch, from-south: 1.0, width: 3.0, height: 2.4}"
    heat = ", HA1: {kind: heat alarm, on: ceiling of kitchen, from-west: 2.0, from-south: 2.5, by: laser}"
    for devices, expected in ((smoke(1.5, 2.5), F), (smoke(1.5, 2.5) + heat, C)):
        assert verdict("smoke-covers-room", "room", home(rooms, devices, rules="uk-england", openings=arch)) == expected


@pytest.mark.parametrize(("width", "expected"), [(11.99, C), (12.01, F)])
def test_sixty_square_metres_for_each_alarm(width: float, expected: str) -> None:
    room = f"{{id: room, use: living, corner: [0, 0], size: [{width}, 5.0]}}"
    assert verdict("smoke-area-per-alarm", "room", home(room, smoke(3.0, 2.5), rules="de")) == expected
    assert verdict("smoke-area-per-alarm", "ground", home(room, smoke(3.0, 2.5), rules="fi")) == expected


@pytest.mark.parametrize(("width", "expected"), [(2.0, C), (2.01, "silent")])
def test_a_british_corridor_is_no_wider_than_two_metres(width: float, expected: str) -> None:
    room = f"{{id: room, use: circulation, corner: [0, 0], size: [10.0, {width}]}}"
    assert verdict("smoke-along-corridor", "room", home(room, smoke(5.0, 1.0), rules="uk-england")) == expected


@pytest.mark.parametrize(("apart", "expected"), [(9.98, C), (10.0, B), (10.02, F)])
def test_danish_alarms_ten_metres_apart(apart: float, expected: str) -> None:
    room = "{id: room, use: living, corner: [0, 0], size: [14.0, 5.0]}"
    other = smoke(1.0 + apart, 2.5).replace("SA1", "SA2")
    assert verdict("smoke-spacing", "ground", home(room, f"{smoke(1.0, 2.5)}, {other}", rules="dk")) == expected


@pytest.mark.parametrize("rules", ["us", "no", "dk", "fi", "au", "common"])
def test_sets_without_a_radius_ask_for_none(rules: str) -> None:
    assert verdict("smoke-covers-room", "room", home(ROOM, smoke(3.0, 2.5), rules=rules)) == NONE


def test_where_only_the_ceiling_will_do_a_place_on_it_is_named() -> None:
    finding = findings("smoke-wall-mounted", home(ROOM, on_wall(2.15), rules="uk-scotland"))["SA1"]
    assert "The ceiling has one: " in finding.remedy
    assert finding.mark is not None
    assert finding.mark.move_to is not None


def test_an_american_cooker_names_the_code_that_asks_for_twenty_feet() -> None:
    cooker = "{cooker: room, from-west: 0.5, from-south: 2.5, by: laser}"
    text = home(ROOM, smoke(3.6, 2.5, ", sensing: ionisation, silences: no"), rules="us", fittings=cooker)
    assert "at least 6.10 m (20 ft) (907.2.11.3 of the 2021" in findings("smoke-clear-of-cooker", text)["SA1"].says


# On a ceiling of 15 degrees the window of NCC 9.5.4, 0.5 to 1.5 m, is 1.87 to 5.60 m on the plan if it is meant straight
# down, and 0.48 to 1.45 m if down the slope: no place pleases all readings, and one beyond 1.5 m on the plan and short of
# 1.87 m pleases none.
@pytest.mark.parametrize(("south", "expected"), [(3.4, F), (3.3, F), (3.9, N), (4.3, N), (1.5, N)])
def test_where_the_readings_cannot_agree_a_move_leads_to_where_two_do(south: float, expected: str) -> None:
    height = "{sloping: {low: 2.0, high: 3.3397, rises: north}}"  # 5.0 tan 15 deg = 1.3397
    finding = findings("smoke-below-ridge", home(ROOM, smoke(3.0, south), rules="au", height=height))["SA1"]
    assert finding.verdict.value == expected
    if expected == F:
        assert finding.mark is not None
        assert finding.mark.move_to is not None
        assert 0.5 <= 5.0 - finding.mark.move_to[1] <= 1.4489


def test_in_a_hall_exactly_twice_the_distance_wide_the_centre_line_is_named_as_enough() -> None:
    hall = "{id: room, use: circulation, corner: [0, 0], size: [5.0, 1.0]}"
    finding = findings("smoke-clear-of-wall", home(hall, smoke(2.5, 0.30), rules="common"))["SA1"]
    assert finding.verdict.value == F
    assert "only the centre line has as much" in finding.says
    assert verdict("smoke-clear-of-wall", "SA1", home(hall, smoke(2.5, 0.50), rules="common")) == B


def test_an_alarm_over_a_light_is_no_less_than_nothing_from_it() -> None:
    light = "{light: room, from-west: 3.0, from-south: 2.5, by: laser}"
    text = home(ROOM, smoke(3.0, 2.5, ", across: 0.10"), rules="uk-england", fittings=light)
    assert "is 0.00 m from the light" in findings("smoke-clear-of-light", text)["SA1"].says


HALL_AND_BEDROOM = (
    "{id: hall, use: circulation, corner: [0, 0], size: [2.0, 4.0]}, "
    "{id: bedroom, use: bedroom, corner: [2.1, 0], size: [3.0, 4.0]}"
)
BEDROOM_DOOR = "{door: hall - bedroom, id: d1, from-south: 1.0, width: 0.8}"


@pytest.mark.parametrize(
    ("device", "expected"),
    [
        ("SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-south: 1.4}", C),
        ("SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-south: 1.4, fitted: 2027-01-01}", F),
        ("SA1: {kind: smoke alarm, outside: hall south, from-west: 1.0, height: 2.2}", F),
    ],
)
def test_an_alarm_outdoors_or_not_up_yet_watches_over_no_door_floor_or_storey(device: str, expected: str) -> None:
    text = home(HALL_AND_BEDROOM, device, rules="uk-england", openings=BEDROOM_DOOR)
    assert verdict("smoke-near-bedroom-door", "bedroom", text) == expected
    assert verdict("smoke-near-room-door", "bedroom", text) == expected
    assert verdict("smoke-area-per-alarm", "ground", text.replace("uk-england", "fi")) == expected


# Approved Document B is of England and Wales: Scotland has its own law, and nothing of it as code.
@pytest.mark.parametrize("rule", ["alarm-not-over-stairs", "alarm-above-door-head", "smoke-on-every-storey"])
def test_a_document_of_england_is_no_more_than_advice_in_scotland(rule: str) -> None:
    limit = case_of(home(ROOM, smoke(3.0, 2.5), rules="uk-scotland")).rules.limits[rule]
    assert limit.severity == "advice"


def test_queensland_asks_the_distance_from_walls_by_law() -> None:
    limits = case_of(home(ROOM, smoke(3.0, 2.5), rules="au-queensland")).rules.limits
    assert limits["smoke-clear-of-wall"].severity == "law"
    assert limits["smoke-clear-of-wall"].status == "from memory"


def test_a_height_above_the_ceiling_is_told_as_one() -> None:
    assert "0.05 m above the ceiling" in findings("smoke-wall-mounted", home(ROOM, on_wall(2.40)))["SA1"].says


# SR (NI) 2024/123 speaks of a kitchen's heat alarm in an open-plan room, not of one in a garage.
@pytest.mark.parametrize(("use", "expected"), [("garage", "silent"), ("kitchen", "silent"), ("living", F)])
def test_a_heat_alarm_in_a_garage_stands_for_no_open_plan_room(use: str, expected: str) -> None:
    room = f"{{id: room, use: {use}, corner: [0, 0], size: [12.0, 5.0]}}"
    device = "HA1: {kind: heat alarm, on: ceiling of room, from-west: 1.0, from-south: 2.5}"
    assert verdict("heat-alone-in-open-plan", "room", home(room, device, rules="uk-northern-ireland")) == expected


# AD B 2000 1.14a speaks of alarms in circulation spaces; a home without any is for the other rules.
def test_a_home_without_a_hall_is_not_blamed_for_having_no_alarm_in_one() -> None:
    rooms = HALL_AND_BEDROOM.replace("use: circulation", "use: living")
    device = "SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-south: 1.4}"
    text = home(rooms, device, rules="uk-england", openings=BEDROOM_DOOR)
    assert verdict("smoke-near-room-door", "bedroom", text) == X
    assert verdict("smoke-near-bedroom-door", "bedroom", text) == C
