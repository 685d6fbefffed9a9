"""Where devices, fittings and stairs end up; and that turning a home turns them all alike."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.dwelling.tapes import reach
from tests.dwelling.homes import dwelling_of, lay_out, lay_out_text

ROOMS = """
{id: hall, use: circulation, corner: [0, 0], size: [2, 4]}
{id: living, use: living, beside: "east of hall, flush south", size: [4, 3]}
"""
OPENINGS = """openings:
  - {door: hall south, id: front-door, from-west: 0.4, width: 0.9, hinge: west}
  - {door: hall - living, id: living-door, from-south: 1.2, width: 0.8}
"""


def spot(place: str, kind: str = "motion detector", height: str = "2.40") -> Spot:
    return dwelling_of(ROOMS, OPENINGS, height=height, after=f"devices:\n  MD1: {{kind: {kind}, {place}}}\n").spots[
        "MD1"
    ]


@pytest.mark.parametrize(
    ("place", "room", "point", "z", "fixed", "facing"),
    [
        ("on: ceiling of living, from-west: 1, from-south: 2", "living", (3.1, 2), 2.4, "ceiling", None),
        ("on: ceiling of living", "living", None, None, "ceiling", None),
        ("in: living", "living", None, None, "unknown", None),
        ("in: living, from-east: 1, from-north: 2", "living", (5.1, 1), None, "floor", None),
        ("in: living, wall: east, from-south: 1, height: 210 cm", "living", (6.1, 1), 2.1, "wall", 270),
        ("in: living, wall: north, from-east: 1, height: 2.1", "living", (5.1, 3), 2.1, "wall", 180),
        ("in: living, wall: north, height: 2.1, facing: south-east", "living", None, 2.1, "wall", 135),
        ("in: living, corner: north-east, height: 2.1", "living", (6.1, 3), 2.1, "corner", 225),
        ("in: living, corner: south-west, height: 2.1", "living", (2.1, 0), 2.1, "corner", 45),
        ("in: living, corner: north-west, facing: 100 deg", "living", (2.1, 3), None, "corner", 100),
        ("in: living, corner: north-west, facing: -190", "living", (2.1, 3), None, "corner", 170),
        ("on: front-door, height: 1.9", "hall", (0.85, 0), 1.9, "opening", 0),
        ("on: living-door", "hall", (2, 1.6), None, "opening", 270),
        ("outside: living east, from-south: 1, height: 3", "living", (6.4, 1), 3, "outside", 90),
        ("outside: hall north, from-east: 0.5", "hall", (1.5, 4.3), None, "outside", 0),
        ("outside: hall west", "hall", None, None, "outside", 270),
    ],
)
def test_spot_of_a_place(
    place: str, room: str, point: tuple[float, float] | None, z: float | None, fixed: str, facing: float | None
) -> None:
    found = spot(place)
    assert (found.room, found.fixed) == (room, fixed)
    assert found.point == (None if point is None else pytest.approx(point))
    assert found.z == (None if z is None else pytest.approx(z))
    assert found.facing == (None if facing is None else pytest.approx(facing))


@pytest.mark.parametrize(("edge", "x"), [("hinge side", 0.4), ("lock side", 1.3), ("top", 0.85)])
def test_contact_sits_at_the_edge_named(edge: str, x: float) -> None:
    assert spot(f"on: front-door, edge: {edge}", "opening contact").point == pytest.approx((x, 0))


def test_ceiling_device_under_a_slope_hangs_at_the_height_there() -> None:
    found = spot(
        "on: ceiling of living, from-west: 1, from-south: 1.5", height="{ridged: {low: 2, high: 3, ridge: east-west}}"
    )
    assert found.z == pytest.approx(3.0)


def test_height_that_was_measured_beats_the_ceiling_of_the_record() -> None:
    assert spot("on: ceiling of living, from-west: 1, from-south: 1.5, height: 2.35").z == 2.35


@pytest.mark.parametrize(("by", "tolerance"), [("laser", 0.01), ("tape", 0.02), ("eye", 0.15)])
def test_tolerance_follows_the_instrument(by: str, tolerance: float) -> None:
    assert spot(f"in: living, wall: east, from-south: 1, by: {by}").tolerance == tolerance


def fitting(text: str, more: str = "") -> Dwelling:
    return dwelling_of(ROOMS, f"{OPENINGS}fittings:\n  - {{{text}}}\n{more}")


@pytest.mark.parametrize(
    ("text", "bounds", "fixed"),
    [
        ("light: living, from-west: 1, from-south: 2", (3.1, 2, 3.1, 2), "ceiling"),
        ("bed: living, from-west: 1, from-south: 0, size: [1, 2]", (3.1, 0, 4.1, 2), "floor"),
        ("bed: living, corner: north-east, size: [1, 2]", (5.1, 1, 6.1, 3), "corner"),
        ("bed: living, corner: south-west, size: [1, 2]", (2.1, 0, 3.1, 2), "corner"),
        ("tall-furniture: living, wall: north, from-west: 0.2, size: [1.8, 0.45]", (2.3, 2.55, 4.1, 3), "wall"),
        ("tall-furniture: living, wall: east, from-south: 0.2, size: [0.45, 1.8]", (5.65, 0.2, 6.1, 2), "wall"),
        ("beam: living, from-north: 1", (2.1, 2, 6.1, 2), "ceiling"),
        ("beam: living, from-west: 1", (3.1, 0, 3.1, 3), "ceiling"),
        ("socket: living, wall: south, from-west: 0.5", (2.6, 0, 2.6, 0), "wall"),
    ],
)
def test_plan_of_a_fitting(text: str, bounds: tuple[float, ...], fixed: str) -> None:
    (placed,) = fitting(text).fittings_of("living")
    assert placed.shape is not None
    assert placed.shape.bounds == pytest.approx(bounds)
    assert placed.spot.fixed == fixed


def test_fitting_whose_place_is_not_said_has_no_plan() -> None:
    (placed,) = fitting("heater: living").fittings_of("living", "heater")
    assert placed.shape is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("bed: living, from-west: 3.5, from-south: 0, size: [1, 2]", "0.50 m out of living"),
        ("tall-furniture: living, wall: east, from-south: 1.5, size: [0.45, 1.8]", "0.30 m out of living"),
        ("tall-furniture: living, wall: east, from-south: 0.2, size: [4.45, 1.8]", "0.45 m out of living"),
        ("light: living, from-west: 1", "only 1.00 m from west"),
        ("beam: living, from-north: 1, from-west: 1", "a beam with 2 distances"),
        ("beam: living, from-north: 3.2", "one that crosses the room once"),
    ],
)
def test_fitting_that_does_not_fit_is_refused(text: str, words: str) -> None:
    _, problems = lay_out(ROOMS, f"fittings:\n  - {{{text}}}")
    assert len(problems) == 1
    assert words in problems[0]


def refused(place: str, openings: str = OPENINGS, rooms: str = ROOMS, kind: str = "motion detector") -> str:
    """Give the one trouble of a device."""
    dwelling, problems = lay_out(rooms, openings, after=f"devices:\n  MD1: {{kind: {kind}, {place}}}\n")
    assert dwelling is None
    assert len(problems) == 1
    return problems[0]


MEASURED = """openings:
  - {door: hall south, id: front-door, from-west: 0.4, width: 0.9, height: 2.0}
  - {window: living south, id: window, from-west: 0.4, width: 0.9, sill: 0.9, height: 1.1}
  - {window: living north, id: no-sill, from-west: 0.4, width: 0.9, height: 1.1}
  - {window: living east, id: no-height, from-south: 0.4, width: 0.9, sill: 0.9}
  - {rooflight: living, id: skylight, from-west: 1, from-south: 1, width: 0.6, height: 0.8}
"""


@pytest.mark.parametrize(
    ("on", "height", "words"),
    [
        ("front-door", 2.15, ""),
        ("front-door", 2.16, "a height of 2.16 m above the floor on the front door, which ends at 2.00 m"),
        ("front-door", 2.60, "expected a height from 0.00 to 2.15 m"),
        ("front-door", 0.0, ""),
        ("window", 2.15, ""),
        ("window", 2.16, "which ends at 2.00 m; expected a height from 0.85 to 2.15 m"),
        ("window", 0.85, ""),
        ("window", 0.84, "a height of 0.84 m above the floor on the window, which begins at 0.90 m"),
        ("no-sill", 2.30, ""),  # a sill or height that nobody measured is no evidence
        ("no-height", 2.30, ""),
        ("skylight", 2.35, ""),
    ],
)
def test_device_on_an_opening_must_be_at_a_height_within_it(on: str, height: float, words: str) -> None:
    place = f"on: {on}, height: {height}"
    if words:
        assert words in refused(place, MEASURED, kind="opening contact")
    else:
        after = f"devices:\n  MD1: {{kind: opening contact, {place}}}\n"
        assert dwelling_of(ROOMS, MEASURED, after=after).spots["MD1"].z == height


def test_assumed_height_of_a_door_is_no_evidence_against_a_device_on_it() -> None:
    assert spot("on: front-door, height: 2.3", "opening contact").z == 2.3


@pytest.mark.parametrize(
    ("place", "facing"),
    [
        ("wall: east, facing: 180 deg", 180),
        ("wall: east, facing: 0 deg", 0),
        ("wall: east, facing: west", 270),
        ("corner: north-west, facing: 85 deg", 85),
        ("corner: north-west, facing: 185 deg", 185),
        ("corner: south-west, facing: 355 deg", 355),
        ("corner: south-east, facing: 5 deg", 5),
    ],
)
def test_facing_within_the_room_is_kept(place: str, facing: float) -> None:
    assert spot(f"in: living, {place}").facing == pytest.approx(facing)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (
            "wall: east, facing: 179 deg",
            "facing 179°, which points out of living, 1° past the wall; expected a bearing from 180° clockwise to 0°.",
        ),
        ("wall: east, facing: 1 deg", "1° past the wall; expected a bearing from 180° clockwise to 0°"),
        ("wall: east, facing: east", "facing east, 90°, which points out of living, 90° past the wall"),
        ("wall: north, facing: north", "without “facing” that is 180°, straight into the room"),
        ("corner: north-west, facing: 84 deg", "6° past the wall; expected a bearing from 90° clockwise to 180°"),
        ("corner: north-west, facing: 186 deg", "6° past the wall"),
        ("corner: north-west, facing: north-west", "facing north-west, 315°, which points out of living, 135° past"),
        ("corner: south-east, facing: 6 deg", "expected a bearing from 270° clockwise to 0°"),
        ("corner: south-west, facing: 353 deg", "7° past the wall"),
    ],
)
def test_facing_out_of_the_room_is_refused_with_the_figure(place: str, words: str) -> None:
    assert words in refused(f"in: living, {place}")


# A right triangle, its legs along the south and west: the corner in the south-east has 45 degrees, between the bearings
# 270 (along the south wall) and 315 (along the slanted wall).
TRIANGLE = "{id: attic, use: study, walk: {from: [0, 0], legs: [E 3, 315 deg 4.2426, S 3]}}"


@pytest.mark.parametrize(("facing", "inside"), [(265, True), (300, True), (320, True), (264, False), (321, False)])
def test_facing_from_a_corner_is_held_against_the_walls_that_meet_there(facing: int, *, inside: bool) -> None:
    after = f"devices:\n  MD1: {{kind: motion detector, in: attic, corner: south-east, facing: {facing} deg}}\n"
    dwelling, problems = lay_out(TRIANGLE, after=after)
    assert (dwelling is not None) == inside
    assert len(problems) == (0 if inside else 1)


@pytest.mark.parametrize(
    ("text", "z", "fixed"),
    [
        ("light: living, from-west: 1, from-south: 2, height: 0.6", 0.6, "floor"),
        ("light: living, wall: north, from-west: 1, height: 1.7", 1.7, "wall"),
        ("light: living, from-west: 1, from-south: 2", 2.4, "ceiling"),
        ("decoration: living, from-west: 1, from-south: 2, height: 0.9", 0.9, "floor"),
        ("ceiling-fan: living, from-west: 1, from-south: 2, height: 2.1", 2.1, "ceiling"),
        ("ceiling-fan: living, from-west: 1, from-south: 2", 2.4, "ceiling"),
    ],
)
def test_lamp_with_a_height_of_its_own_is_not_taken_for_one_on_the_ceiling(text: str, z: float, fixed: str) -> None:
    (placed,) = fitting(text).fittings_of("living")
    assert (placed.spot.z, placed.spot.fixed) == (z, fixed)
    assert placed.shape is not None


def test_room_that_is_not_there_is_told_with_the_nearest_name() -> None:
    told = refused("in: livin")
    assert "“livin”, which is no room of this storey; expected one of hall, living. Did you mean living?" in told


# --- the same home turned a quarter to the left: north becomes west, east becomes north ---

TURN = {"north": "west", "west": "south", "south": "east", "east": "north"}
SIDE = re.compile(r"\b(north|south)-(east|west)\b|\b(north|south|east|west)\b")


def turned_words(text: str) -> str:
    """Swap the sides of a text for those a quarter to the left."""

    def turn(match: re.Match[str]) -> str:
        if match[3]:
            return TURN[match[3]]
        one, other = TURN[match[1]], TURN[match[2]]
        return f"{other}-{one}" if other in ("north", "south") else f"{one}-{other}"

    return SIDE.sub(turn, text)


def record(places: list[str], *, turned: bool) -> str:
    def plan(corner: tuple[float, float], size: tuple[float, float]) -> str:
        if not turned:
            return f"corner: [{corner[0]}, {corner[1]}], size: [{size[0]}, {size[1]}]"
        return f"corner: [{-corner[1] - size[1]}, {corner[0]}], size: [{size[1]}, {size[0]}]"

    say = turned_words if turned else str
    legs = ["E 4", "N 1.2", "W 2.8", "N 2.8", "W 1.2", "S 4"]
    if turned:
        legs = [{"E": "N", "N": "W", "W": "S", "S": "E"}[leg[0]] + leg[1:] for leg in legs]
    start = [0, 6] if not turned else [-6, 0]
    lines = [
        "record: 1",
        "home: {label: Turned}",
        "storeys:",
        "  - id: ground",
        "    height: 2.4",
        "    rooms:",
        f"      - {{id: hall, use: circulation, {plan((0, 0), (2, 5.9))}}}",
        say(
            f'      - {{id: living, use: living, beside: "east of hall, flush south", size: {[3, 4] if turned else [4, 3]}}}'
        ),
        f"      - {{id: studio, use: living, walk: {{from: {start}, legs: [{', '.join(legs)}]}}}}",
        "    openings:",
        say("      - {door: hall south, id: front-door, from-west: 0.4, width: 0.9, hinge: west}"),
        say("      - {door: hall - living, id: living-door, from-south: 1.2, width: 0.8}"),
        "devices:",
        *(say(f"  MD{number}: {{kind: motion detector, {place}}}") for number, place in enumerate(places, start=1)),
    ]
    return "\n".join(lines) + "\n"


def spots(places: list[str], *, turned: bool) -> dict[str, Spot]:
    dwelling, problems = lay_out_text(record(places, turned=turned))
    assert problems == []
    assert dwelling is not None
    return dict(dwelling.spots)


def one_place() -> st.SearchStrategy[str]:
    share = st.floats(0.05, 1.1).map(lambda value: f"{value:.3f}")
    corner = st.sampled_from(["north-east", "south-east", "south-west", "north-west"])
    upright, level = st.sampled_from(["north", "south"]), st.sampled_from(["east", "west"])
    room = st.sampled_from(["hall", "living"])
    ceiling = st.builds("on: ceiling of {}, from-{}: {}, from-{}: {}".format, room, upright, share, level, share)
    wall = st.builds("in: {}, wall: {}, from-{}: {}, height: 2.1".format, room, level, upright, share)
    corners = st.builds("in: {}, corner: {}, height: 2.1".format, room, corner)
    studio = st.builds("on: ceiling of studio, from-west: {}, from-south: {}".format, share, share)
    outside = st.builds("outside: hall {}, from-{}: {}".format, st.just("west"), upright, share)
    doors = st.sampled_from(["on: front-door", "on: living-door, height: 1.9"])
    return st.one_of(ceiling, wall, corners, studio, outside, doors)


@given(st.lists(one_place(), min_size=1, max_size=6))
def test_turning_the_home_turns_every_spot_alike(places: list[str]) -> None:
    here, there = spots(places, turned=False), spots(places, turned=True)
    for tag, before in here.items():
        after = there[tag]
        assert (before.room, before.z, before.fixed) == (after.room, after.z, after.fixed)
        assert before.point is not None
        assert after.point == pytest.approx((-before.point[1], before.point[0]), abs=1e-6)
        if before.facing is None:
            assert after.facing is None
        else:
            assert after.facing == pytest.approx((before.facing - 90) % 360)


def test_tapes_of_a_turned_home_are_the_same() -> None:
    here, _ = lay_out_text(record(["in: hall"], turned=False))
    there, _ = lay_out_text(record(["in: hall"], turned=True))
    assert here is not None
    assert there is not None
    for room in ("hall", "living", "studio"):
        point = (here.rooms[room].outline.bounds[0] + 0.7, here.rooms[room].outline.bounds[1] + 0.6)
        turned = (-point[1], point[0])
        for side in ("north", "south", "east", "west"):
            assert reach(there.rooms[room], turned, TURN[side]) == pytest.approx(reach(here.rooms[room], point, side))  # type: ignore[arg-type]
