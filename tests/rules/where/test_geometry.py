"""Zones against closed forms, shapely's own distances, and the same home turned, mirrored and scaled."""

from dataclasses import replace
from math import pi, sin

import pytest
from shapely import LineString, Point

from asfitted.rules.case import Case
from asfitted.rules.checks import PLACINGS
from asfitted.rules.examples import case_of
from asfitted.rules.obstacles import SIDES
from asfitted.rules.placing import Candidate, Surface, Trial, Zone, surfaces, zone
from asfitted.rules.where import best_place, where
from tests.rules.where.homes import ACROSS, shortfalls, with_device

SMOKE = Candidate("smoke alarm")
# Area of a regular polygon over that of its circle, n = 4 * SIDES: sin(2 pi / n) / (2 pi / n), any geometry handbook.
ROUND = sin(2 * pi / (4 * SIDES)) / (2 * pi / (4 * SIDES))
SIDE = {"north": "north", "east": "east", "south": "south", "west": "west"}
TURNED = {"east": "north", "north": "west", "west": "south", "south": "east"}
MIRRORED = {**SIDE, "east": "west", "west": "east"}
CHANGES = {
    "turned once": TURNED,
    "turned twice": {side: TURNED[TURNED[side]] for side in SIDE},
    "turned back": {side: TURNED[TURNED[TURNED[side]]] for side in SIDE},
    "mirrored": MIRRORED,
    "mirrored and turned": {side: TURNED[MIRRORED[side]] for side in SIDE},
}


def den(to: dict[str, str] = SIDE, k: float = 1.0, fittings: str = "", height: str = "2.40") -> Case:
    """Lay out a den of 4.40 by 3.60 m with a light, a vent and a window, its sides renamed and its lengths times k."""

    def tapes(west: float, south: float) -> str:
        return f"from-{to['west']}: {west * k:.4f}, from-{to['south']}: {south * k:.4f}, by: laser"

    size = (4.4 * k, 3.6 * k) if to["east"] in ("east", "west") else (3.6 * k, 4.4 * k)
    things = f"{{light: den, {tapes(1.9, 1.5)}}}, {{air-vent: den, {tapes(3.7, 2.9)}}}"
    window = f"{{window: den {to['west']}, id: pane, from-{to['south']}: {0.4 * k}, width: {0.8 * k}, sill: {0.9 * k}, "
    return case_of(
        "record: 1\nhome: {label: Den}\nstoreys:\n  - id: ground\n    height: 2.40\n"
        f"    rooms: [{{id: den, use: living, corner: [0, 0], size: [{size[0]:.4f}, {size[1]:.4f}], height: {height}}}]\n"
        f"    openings: [{window}height: {1.1 * k}}}]\n    fittings: [{fittings or things}]\n"
        "devices: {D1: {kind: smoke alarm, in: den, by: laser}}\n"
    )


def ridged(to: dict[str, str], k: float) -> str:
    """Write a ceiling whose ridge runs from west to east before the sides are renamed."""
    run = "east-west" if to["east"] in ("east", "west") else "north-south"
    return f"{{ridged: {{ridge: {run}, low: {1.8 * k}, high: {3.0 * k}}}}}"


def scaled_limits(case: Case, k: float) -> Case:
    """Ask for k times every distance."""
    limits = {
        name: replace(limit, least=None if limit.least is None else limit.least * k, most=limit.most and limit.most * k)
        if limit.unit == "m"
        else limit
        for name, limit in case.rules.limits.items()
    }
    return replace(case, rules=replace(case.rules, limits=limits))


def areas(case: Case) -> dict[str, float]:
    """Give the area of the zone of each surface, by which way it looks; the ceiling is up."""
    return {found.surface.called: found.shape.area for found in where(case, SMOKE, case.dwelling.rooms["den"])}


def ceiling(case: Case, candidate: Candidate = SMOKE, spare: float = 0.0) -> Zone:
    """Give the zone of the ceiling."""
    return zone(Trial(case, candidate, Surface(case.dwelling.rooms["den"]), spare), PLACINGS)


def test_a_rectangle_less_its_margins_less_a_disc_has_the_area_of_the_closed_form() -> None:
    # (4.40 - 2 * 0.50) * (3.60 - 2 * 0.50) - pi * 0.30 ** 2, by the two rules about walls and lights alone.
    case = den(fittings="{light: den, from-west: 2.2, from-south: 1.8}")
    only = replace(
        case,
        rules=replace(
            case.rules,
            rules={k: v for k, v in case.rules.rules.items() if k in ("smoke-clear-of-wall", "smoke-clear-of-light")},
        ),
    )
    assert ceiling(only).shape.area == pytest.approx(3.4 * 2.6 - pi * 0.30**2 * ROUND, abs=1e-9)
    wide = ceiling(only, Candidate("smoke alarm", across=0.12))
    assert wide.shape.area == pytest.approx((4.4 - 1.12) * (3.6 - 1.12) - pi * 0.36**2 * ROUND, abs=1e-9)


def test_spare_counts_like_a_greater_limit_with_the_tolerance_of_the_obstacle_in_it() -> None:
    # The walls have no tolerance of their own; the light is taped to 0.02 m: hypot(0.02, 0.02).
    case = den(fittings="{light: den, from-west: 2.2, from-south: 1.8, by: tape}")
    only = replace(
        case,
        rules=replace(
            case.rules,
            rules={k: v for k, v in case.rules.rules.items() if k in ("smoke-clear-of-wall", "smoke-clear-of-light")},
        ),
    )
    disc = pi * (0.30 + 0.02 * 2**0.5) ** 2 * ROUND
    assert ceiling(only, spare=0.02).shape.area == pytest.approx(3.36 * 2.56 - disc, abs=1e-9)


def test_bans_hold_exactly_the_points_nearer_than_the_limit_by_shapely_own_distance() -> None:
    found = ceiling(den())
    assert len(found.bans) > 5
    for ban in found.bans:
        assert ban.of is not None
        assert ban.limit.least is not None
        for x in range(1, 44):
            for y in range(1, 36):
                point = Point(x / 10 + 0.0007, y / 10 + 0.0003)
                away = ban.of.shape.distance(point) - ban.limit.least
                if abs(away) > 0.001:
                    assert ban.shape.covers(point) == (away < 0)


def test_a_ridge_keeps_its_distance_down_the_slope_in_closed_form() -> None:
    # Rise 1.2 m over a run of 1.8 m: 1.00 m down the slope is 1.00 * cos(atan(1.2 / 1.8)) = 0.832 m on the plan.
    found = ceiling(den(height=ridged(SIDE, 1.0)))
    (ban,) = (ban for ban in found.bans if ban.rule.id == "smoke-below-ridge")
    _, south, _, north = ban.shape.bounds
    assert (north - south) / 2 == pytest.approx(0.83205, abs=1e-5)
    assert (north + south) / 2 == pytest.approx(1.8)


def test_a_wall_ends_under_the_slope_and_leaves_out_its_window() -> None:
    case = den(height=ridged(SIDE, 1.0))
    walls = {found.called: found for found in surfaces(case.dwelling, case.dwelling.rooms["den"])}
    assert walls["north wall"].outline.area == pytest.approx(4.4 * 1.8)
    assert walls["east wall"].outline.area == pytest.approx(3.6 * 1.8 + 3.6 * 1.2 / 2)
    assert walls["west wall"].outline.area == pytest.approx(3.6 * 1.8 + 3.6 * 1.2 / 2 - 0.8 * 1.1)


def test_under_cuts_a_wall_where_its_line_lies_in_the_shape_at_any_angle() -> None:
    case = case_of(
        "record: 1\nhome: {label: Den}\nstoreys:\n  - id: ground\n    height: 2.40\n    rooms:\n"
        "      - {id: den, use: living, walk: {from: [0, 0], legs: [E 4, N 2, 315 deg 2.8284, W 2, S 4]}}\n"
        "devices: {D1: {kind: smoke alarm, in: den}}\n"
    )
    slant = next(s for s in surfaces(case.dwelling, case.dwelling.rooms["den"]) if s.wall and abs(s.wall.along[0]) < 0.9
                 and abs(s.wall.along[1]) < 0.9)  # fmt: skip
    assert slant.wall is not None
    middle = slant.wall.at(slant.wall.length / 2)
    strip = slant.under(Point(middle).buffer(0.5, quad_segs=SIDES))
    west, _, east, _ = strip.bounds
    assert (west, east) == pytest.approx((slant.wall.length / 2 - 0.5, slant.wall.length / 2 + 0.5), abs=0.001)
    assert slant.under(Point(0, 0).buffer(0.5)).is_empty
    assert slant.under(LineString([slant.wall.at(0.0), slant.wall.at(1.0)])).bounds[2] == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("slope", ["flat", "ridged"])
def test_a_home_turned_or_mirrored_has_the_same_zones_and_verdicts(change: str, slope: str) -> None:
    to = CHANGES[change]
    one = den(height=ridged(SIDE, 1.0) if slope == "ridged" else "2.40")
    other = den(to, height=ridged(to, 1.0) if slope == "ridged" else "2.40")
    expected = {to.get(name.split()[0], "") + name[-4:]: area for name, area in areas(one).items()}
    assert {
        name.split()[0] + name[-4:] if "wall" in name else name[-4:]: area for name, area in areas(other).items()
    } == (pytest.approx(expected, abs=1e-6))
    here, there = (surfaces(case.dwelling, case.dwelling.rooms["den"])[0] for case in (one, other))
    for west, south in ((0.3, 0.9), (1.6, 1.4), (2.9, 1.2), (3.3, 2.6), (1.2, 2.2)):
        moved = turned((west, south), to)
        before = shortfalls(with_device(one, "smoke alarm", here, (west, south)))
        after = shortfalls(with_device(other, "smoke alarm", there, moved))
        assert after == pytest.approx(before, abs=1e-9)


def turned(point: tuple[float, float], to: dict[str, str]) -> tuple[float, float]:
    """Give the point at the same distances from the sides as renamed."""
    wide, deep = (4.4, 3.6) if to["east"] in ("east", "west") else (3.6, 4.4)
    away = {to["west"]: point[0], to["south"]: point[1]}
    x = away["west"] if "west" in away else wide - away["east"]
    y = away["south"] if "south" in away else deep - away["north"]
    return x, y


@pytest.mark.parametrize("k", [0.5, 2.0])
def test_a_home_and_its_limits_scaled_have_zones_scaled_by_the_square(k: float) -> None:
    one, other = den(height=ridged(SIDE, 1.0)), scaled_limits(den(SIDE, k, height=ridged(SIDE, k)), k)
    assert areas(other) == pytest.approx({name: area * k * k for name, area in areas(one).items()}, rel=1e-6, abs=1e-6)
    here, there = (surfaces(case.dwelling, case.dwelling.rooms["den"])[0] for case in (one, other))
    for x, y in ((0.3, 0.9), (1.6, 1.4), (2.9, 1.2), (3.3, 2.6)):
        before = shortfalls(with_device(one, "smoke alarm", here, (x, y)))
        after = shortfalls(with_device(other, "smoke alarm", there, (x * k, y * k), across=ACROSS * k))
        assert after == pytest.approx({rule: (margin or 0.0) * k for rule, margin in before.items()}, abs=1e-9)


def test_the_best_place_of_a_plain_room_is_its_middle() -> None:
    case = den(fittings="{bed: den, from-west: 0.1, from-south: 0.1, size: [0.9, 1.9]}")
    found = ceiling(case)
    place = best_place(found)
    assert place is not None
    room_middle = LineString([(0.0, 1.8), (4.4, 1.8)])  # as far from the north wall as from the south wall
    assert room_middle.distance(Point(place.plan)) <= 0.01
    assert place.clear == pytest.approx(1.3, abs=0.011)


def test_stretches_of_a_wall_are_cut_at_its_window() -> None:
    case = den(fittings="{bed: den, from-west: 0.1, from-south: 0.1, size: [0.9, 1.9]}")
    surface = next(s for s in surfaces(case.dwelling, case.dwelling.rooms["den"]) if s.called == "west wall")
    found = Zone(surface, surface.outline, ())
    # from the wall's end a, in the north: 3.60 - 0.40 - 0.80 = 2.40 m of plain wall, the window, and 0.40 m again
    assert [(round(s.length, 3), s.heights) for s in found.stretches] == [
        (2.4, ((0.0, 2.4),)),
        (0.8, ((0.0, 0.9), (2.0, 2.4))),
        (0.4, ((0.0, 2.4),)),
    ]
    assert found.plan.area == pytest.approx(3.6 * 0.12)


def test_the_order_of_devices_does_not_matter() -> None:
    case = den()
    device = case.home.devices["D1"]
    spot = replace(
        with_device(case, "smoke alarm", Surface(case.dwelling.rooms["den"]), (0.3, 0.9)).dwelling.spots["D1"]
    )
    zones = []
    for tags in (("D1", "D2"), ("D2", "D1")):
        home = case.home.model_copy(update={"devices": dict.fromkeys(tags, device)})
        twice = replace(case, home=home, dwelling=replace(case.dwelling, spots=dict.fromkeys(tags, spot)))
        zones.append([found.shape.wkb for found in where(twice, SMOKE, case.dwelling.rooms["den"])])
    assert zones[0] == zones[1]
