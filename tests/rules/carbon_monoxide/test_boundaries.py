"""Just inside, on and just outside the limits of the carbon monoxide rules, and where an alarm may go."""

import pytest
from shapely import Point

from asfitted.rules.checks import PLACINGS
from asfitted.rules.examples import case_of
from asfitted.rules.placing import Candidate, Trial, surfaces, zone
from tests.rules.carbon_monoxide.homes import B, C, F, N, Verdict, X, said, verdict
from tests.rules.homes import written

ROOM = "{id: room, use: living, corner: [0, 0], size: [6.0, 5.0]}"
WINDOW = "{window: room west, id: w1, from-south: 1.0, width: 1.0, sill: 0.9, height: 1.2}"
STOVE = "{stove: room, wall: north, from-west: 3.0, burns: wood, by: laser}"


def ceiling(west: float, north: float, more: str = "") -> str:
    at = f"on: ceiling of room, from-west: {west}, from-north: {north}, by: laser"
    return f"CO1: {{kind: carbon monoxide alarm, {at}{more}}}"


def wall(height: float, more: str = "") -> str:
    at = f"in: room, wall: south, from-west: 3.0, height: {height}, by: laser"
    return f"CO1: {{kind: carbon monoxide alarm, {at}{more}}}"


def of(rule: str, device: str, **parts: str) -> Verdict | None:
    return verdict(rule, "CO1", **{"rooms": ROOM, "openings": WINDOW, "fittings": STOVE, "devices": device, **parts})


# Both by laser: tolerance 0.01 * sqrt(2) = 0.0141 m.
@pytest.mark.parametrize(
    ("north", "given"),
    [(0.98, F), (0.99, B), (1.0, B), (1.01, B), (1.02, C), (2.98, C), (2.99, B), (3.0, B), (3.01, B), (3.02, F)],
)
def test_one_to_three_metres_from_the_appliance(north: float, given: Verdict) -> None:
    assert of("co-from-appliance", ceiling(3.0, north)) is given


def test_a_room_without_an_appliance_has_no_distance_to_keep() -> None:
    for fittings in ("", "{cooker: room, from-west: 1.0, from-south: 1.0, burns: gas}"):
        for rule in ("co-from-appliance", "co-below-ceiling", "co-above-openings", "co-high-side", "co-fixed"):
            assert of(rule, wall(1.0), fittings=fittings) is X


def test_an_appliance_or_alarm_without_a_place_is_not_verified() -> None:
    assert of("co-from-appliance", ceiling(3.0, 2.0), fittings="{stove: room, burns: wood}") is N
    assert of("co-from-appliance", "CO1: {kind: carbon monoxide alarm, in: room}") is N
    assert of("co-below-ceiling", "CO1: {kind: carbon monoxide alarm, in: room}") is N
    assert of("co-fixed", "CO1: {kind: carbon monoxide alarm, in: room}") is N


# Alarm 0.12 m tall: its top is 0.06 m above its middle. Ceiling 2.40 m, window head 2.10 m.
@pytest.mark.parametrize(("height", "given"), [(2.17, C), (2.179, C), (2.185, B), (2.19, B), (2.199, B), (2.21, F)])
def test_the_top_is_fifteen_centimetres_below_the_ceiling(height: float, given: Verdict) -> None:
    assert of("co-below-ceiling", wall(height, ", across: 0.12")) is given


@pytest.mark.parametrize(("height", "given"), [(2.14, F), (2.149, F), (2.155, B), (2.16, B), (2.165, B), (2.17, C)])
def test_the_bottom_is_above_the_window(height: float, given: Verdict) -> None:
    assert of("co-above-openings", wall(height, ", across: 0.12")) is given


def test_a_window_without_a_height_leaves_the_head_open() -> None:
    bare = "{window: room west, id: w1, from-south: 1.0, width: 1.0}"
    door = "{door: room south, id: d1, from-west: 0.5, width: 0.9}"
    assert of("co-above-openings", wall(2.2), openings=f"{bare}, {door}") is N
    assert of("co-above-openings", wall(1.8), openings=f"{bare}, {door}") is F


# Ceiling edge 300 mm from walls.
@pytest.mark.parametrize(("west", "given"), [(0.34, F), (0.351, B), (0.36, B), (0.369, B), (0.371, C)])
def test_thirty_centimetres_from_the_wall_to_the_edge(west: float, given: Verdict) -> None:
    assert of("co-clear-of-wall", ceiling(west, 2.0, ", across: 0.12")) is given


@pytest.mark.parametrize(("north", "given"), [(2.4, C), (2.6, N)])
def test_the_high_side_is_the_higher_half_as_this_project_reads_it(north: float, given: Verdict) -> None:
    slope = "{sloping: {low: 2.2, high: 3.4, rises: north}}"
    assert of("co-high-side", ceiling(3.0, north), height=slope) is given


@pytest.mark.parametrize(("north", "given"), [(1.2, N), (1.3, C), (3.7, C), (3.8, N)])
def test_under_a_ridge_the_high_side_is_the_middle(north: float, given: Verdict) -> None:
    ridge = "{ridged: {low: 2.2, high: 3.4, ridge: east-west}}"
    assert of("co-high-side", ceiling(3.0, north), height=ridge) is given


# Wales counts gas cookers; England, Scotland and Northern Ireland do not (read in each set's own source).
@pytest.mark.parametrize(("rules", "given"), [("uk-wales", F), ("uk-england", None), ("uk-scotland", None)])
def test_a_gas_cooker_counts_in_wales_alone(rules: str, given: Verdict | None) -> None:
    cooker = "{cooker: room, from-west: 1.0, from-south: 1.0, burns: gas}"
    assert verdict("co-with-appliance", "room", rules=rules, rooms=ROOM, fittings=cooker) is given


def test_ireland_leaves_out_a_balanced_flue() -> None:
    for flue, given in (("balanced", None), ("open", F), ("none", F)):
        boiler = f"{{boiler: room, wall: north, from-west: 1.0, burns: gas, flue: {flue}}}"
        assert verdict("co-with-appliance", "room", rules="ie", rooms=ROOM, fittings=boiler) is given


def test_in_scotland_an_alarm_outside_serves_a_bathroom_with_an_appliance() -> None:
    rooms = f"{ROOM}, {{id: bath, use: bathroom, corner: [6.1, 0], size: [2.0, 2.0]}}"
    parts = {
        "rooms": rooms,
        "openings": "{door: room - bath, id: d1, from-south: 0.5, width: 0.8}",
        "fittings": "{boiler: bath, wall: east, from-south: 1.0, burns: gas}",
        "devices": "CO1: {kind: carbon monoxide alarm, in: room}",
    }
    assert verdict("co-with-appliance", "bath", rules="uk-scotland", **parts) is C
    assert verdict("co-with-appliance", "bath", rules="uk-england", **parts) is F
    inside = {**parts, "devices": "CO1: {kind: carbon monoxide alarm, in: bath}"}
    assert verdict("co-not-in-bathroom", "CO1", rules="uk-scotland", **inside) is F


# 5 m on foot to the bedroom door (TGD J, quoted); the door's middle is at (5.5, 0), reached straight along the hall.
@pytest.mark.parametrize(
    ("rules", "west", "given"),
    [
        ("ie", 0.45, F),
        ("ie", 0.5, B),
        ("ie", 0.55, C),
        ("ca", 0.45, F),
        ("us", 0.9, F),
        ("us", 0.93, B),
        ("us", 0.96, C),
    ],
)
def test_the_walk_to_the_bedroom_door(rules: str, west: float, given: Verdict) -> None:
    rooms = (
        "{id: hall, use: circulation, corner: [0, 0], size: [6.0, 1.2]}, "
        "{id: bed, use: bedroom, corner: [0, -4.1], size: [6.0, 4.0]}"
    )
    parts = {
        "rooms": rooms,
        "openings": "{door: hall - bed, id: d1, from-west: 5.1, width: 0.8}",
        "fittings": "{boiler: hall, wall: west, from-south: 0.3, burns: gas, flue: open}",
        "devices": f"CO1: {{kind: carbon monoxide alarm, in: hall, wall: south, from-west: {west}, height: 1.5, by: laser}}",
    }
    assert verdict("co-near-bedrooms", "bed", rules=rules, **parts) is given
    inside = {**parts, "devices": "CO1: {kind: carbon monoxide alarm, in: bed}"}
    assert verdict("co-near-bedrooms", "bed", rules=rules, **inside) is C
    electric = {**parts, "fittings": ""}
    assert verdict("co-near-bedrooms", "bed", rules=rules, **electric) is X


def test_a_garage_that_opens_into_the_home_asks_for_alarms_in_the_united_states() -> None:
    rooms = (
        "{id: hall, use: circulation, corner: [0, 0], size: [6.0, 1.2]}, "
        "{id: bed, use: bedroom, corner: [0, -4.1], size: [6.0, 4.0]}, "
        "{id: garage, use: garage, corner: [0, 1.3], size: [6.0, 4.0]}"
    )
    door = "{door: hall - bed, id: d1, from-west: 5.0, width: 0.8}"
    both = f"{door}, {{door: hall - garage, id: d2, from-west: 1.0, width: 0.8}}"
    assert verdict("co-near-bedrooms", "bed", rules="us", rooms=rooms, openings=both) is F
    assert verdict("co-near-bedrooms", "bed", rules="us", rooms=rooms, openings=door) is X


def _zones(candidate_on: str, **parts: str) -> dict[str, object]:
    text = written(**{"rooms": ROOM, "openings": WINDOW, "fittings": STOVE, "rules": "uk-england", **parts})
    case = case_of(text)
    candidate = Candidate("carbon monoxide alarm", None, 0.12)
    found = {
        s.called: zone(Trial(case, candidate, s), PLACINGS)
        for s in surfaces(case.dwelling, case.dwelling.rooms["room"])
    }
    return {name: found_zone.shape for name, found_zone in found.items() if name == candidate_on}


# On the north wall a strip between the head of the window (2.10 + 0.06) and 0.15 + 0.06 below the ceiling of 2.40 is
# left, from 1 m to 3 m on either side of the stove at 3.0 m: the wall runs from its east end.
def test_the_zone_on_a_wall_is_the_strip_that_the_checks_leave() -> None:
    shape = _zones("north wall")["north wall"]
    assert shape.covers(Point(4.5, 2.175))  # type: ignore[attr-defined]
    for outside in ((4.5, 2.15), (4.5, 2.20), (3.5, 2.175), (3.0, 2.175)):
        assert not shape.covers(Point(*outside))  # type: ignore[attr-defined]


def test_the_zone_on_a_ceiling_is_a_ring_round_the_appliance() -> None:
    shape = _zones("ceiling")["ceiling"]
    assert shape.covers(Point(3.0, 3.0))  # type: ignore[attr-defined]
    for outside in ((3.0, 4.5), (3.0, 1.5), (0.3, 3.0), (3.0, 4.9)):
        assert not shape.covers(Point(*outside))  # type: ignore[attr-defined]


def test_a_move_puts_a_low_alarm_right() -> None:
    finding = said("co-above-openings", "CO1", rules="uk-england", rooms=ROOM, openings=WINDOW, fittings=STOVE,
                   devices=wall(1.0, ", across: 0.12").replace("south", "north").replace("from-west: 3.0", "from-west: 1.5"))  # fmt: skip
    assert finding is not None
    assert finding.verdict is F
    assert "aise it by 1.1" in finding.remedy


# IRC 2024 R311.3: inside a bedroom where a fuel-burning appliance is in it or in its bathroom.
def test_in_the_united_states_a_bathroom_of_its_own_counts_with_the_bedroom() -> None:
    parts = {
        "rules": "us",
        "rooms": "{id: bed, use: bedroom, corner: [0, 0], size: [4.0, 4.0]}, "
        "{id: bath, use: bathroom, corner: [4.1, 0], size: [2.0, 2.0]}, "
        "{id: hall, use: circulation, corner: [0, 4.1], size: [4.0, 1.2]}",
        "openings": "{door: bed - bath, id: d1, from-south: 0.5, width: 0.8}, "
        "{door: bed - hall, id: d2, from-west: 1.0, width: 0.8}",
    }
    boiler = "{boiler: %s, wall: south, from-west: 1.0, burns: gas}"
    found = {
        room: verdict("co-with-appliance", "bed", fittings=boiler % room, **parts) for room in ("bed", "bath", "hall")
    }
    assert found == {"bed": F, "bath": F, "hall": None}


# Scotland and Northern Ireland: carbon monoxide alarms need not be linked; IRC 2024 R311.5: all of several.
@pytest.mark.parametrize(("rules", "given"), [("us", F), ("ca", F), ("uk-scotland", X), ("uk-northern-ireland", X)])
def test_whether_carbon_monoxide_alarms_are_linked(rules: str, given: Verdict) -> None:
    two = ", ".join(f"CO{n}: {{kind: carbon monoxide alarm, in: room, linked: []}}" for n in (1, 2))
    assert verdict("co-linked", "CO1", rules=rules, rooms=ROOM, devices=two) is given


def test_a_boiler_of_unknown_fuel_is_not_taken_for_one_that_burns_none() -> None:
    boiler = "{boiler: room, wall: north, from-west: 3.0}"
    for rule in ("co-from-appliance", "co-below-ceiling", "co-above-openings", "co-fixed"):
        finding = said(rule, "CO1", rooms=ROOM, fittings=boiler, devices=wall(1.0))
        assert finding is not None
        assert finding.verdict is N
        assert "does not say what the boiler in the room burns" in finding.says


BEDROOM = ROOM + ", {id: bedroom, use: bedroom, corner: [6.1, 0], size: [3.0, 5.0]}"
DOOR = "{door: room - bedroom, id: d1, from-south: 1.0, width: 0.8}"


@pytest.mark.parametrize(("burns", "given"), [("", N), (", burns: gas", F)])
def test_unknown_fuel_leaves_bedrooms_and_storeys_in_doubt(burns: str, given: Verdict) -> None:
    parts = {"rooms": BEDROOM, "openings": DOOR, "fittings": f"{{boiler: room, wall: north, from-west: 3.0{burns}}}"}
    assert verdict("co-near-bedrooms", "bedroom", rules="ca", **parts) is given
    assert verdict("co-on-every-storey", "ground", rules="ca", **parts) is given
    assert verdict("co-near-bedrooms", "bedroom", rules="ca", rooms=BEDROOM, openings=DOOR) is X


def test_an_alarm_near_enough_is_enough_whatever_is_not_known_of_another() -> None:
    near = "CO1: {kind: carbon monoxide alarm, on: ceiling of room, from-east: 1.0, from-south: 1.4, by: laser}"
    lost = "CO2: {kind: carbon monoxide alarm, in: room}"
    parts = {"rules": "ca", "rooms": BEDROOM, "openings": DOOR, "fittings": STOVE}
    assert verdict("co-near-bedrooms", "bedroom", devices=f"{near}, {lost}", **parts) is C
    assert verdict("co-near-bedrooms", "bedroom", devices=lost, **parts) is N


@pytest.mark.parametrize(
    "place", ["outside: bedroom south, from-west: 1.0, height: 1.5", "in: bedroom, fitted: 2027-01-01"]
)
def test_an_alarm_outdoors_or_not_up_yet_wakes_nobody(place: str) -> None:
    device = f"CO1: {{kind: carbon monoxide alarm, {place}}}"
    parts = {"rules": "ca", "rooms": BEDROOM, "openings": DOOR, "fittings": STOVE, "devices": device}
    assert verdict("co-near-bedrooms", "bedroom", **parts) is F


# EN 50292 is of all European sets; that an alarm is fixed is Approved Document J, of England and Wales.
def test_limits_stand_with_the_sets_whose_they_are() -> None:
    for rules, lights, fixed in (
        ("de", "code", "advice"),
        ("uk-england", "code", "code"),
        ("uk-scotland", "code", "advice"),
    ):
        limits = case_of(written(rules=rules, rooms=ROOM)).rules.limits
        assert limits["co-clear-of-light"].severity == lights
        assert limits["co-clear-of-light"].borrowed_by == ""
        assert limits["co-fixed"].severity == fixed
