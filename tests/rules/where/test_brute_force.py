"""The zone against the checks themselves, asked at every point of a grid over every surface of many small homes."""

from itertools import combinations

import pytest
from shapely import Point

from asfitted.rules.checks import PLACINGS
from asfitted.rules.placing import Trial, left_by, surfaces, zone
from asfitted.rules.where import best_place, conflict, where
from tests.conftest import THOROUGH
from tests.rules.where.homes import KINDS, SLACK, candidate, grid, made, may, shortfalls, with_device

SEEDS = range(16 if THOROUGH else 3)
ROOM = "den"


@pytest.mark.parametrize("seed", SEEDS)
def test_zone_and_checks_agree_at_every_point_of_every_surface(seed: int) -> None:
    case = made(seed)
    asked = 0
    for kind in KINDS:
        for surface in surfaces(case.dwelling, case.dwelling.rooms[ROOM]):
            found = zone(Trial(case, candidate(kind), surface), PLACINGS)
            for point in grid(surface, 0.23 if surface.wall is None else 0.41):
                allowed = may(with_device(case, kind, surface, point), SLACK)
                if allowed is not None:
                    asked += 1
                    assert found.shape.covers(Point(point)) == allowed, (kind, surface.called, point)
    assert asked > 100


@pytest.mark.parametrize("seed", SEEDS)
def test_best_place_lies_inside_its_zone_and_meets_every_rule_with_the_spare_asked(seed: int) -> None:
    case = made(seed)
    for kind in KINDS:
        for found in where(case, candidate(kind), case.dwelling.rooms[ROOM], spare=0.02):
            place = best_place(found)
            assert (place is not None) == found.has_place
            if place is not None:
                assert found.shape.covers(Point(place.point))
                margins = shortfalls(with_device(case, kind, found.surface, place.point)).values()
                assert all(margin is not None and margin >= 0.02 - SLACK for margin in margins)


@pytest.mark.parametrize("seed", SEEDS)
def test_best_place_is_as_clear_of_every_limit_as_any_point_of_the_grid(seed: int) -> None:
    case = made(seed)
    for found in where(case, candidate("smoke alarm"), case.dwelling.rooms[ROOM]):
        place = best_place(found)
        if place is not None:
            inside = [Point(p) for p in grid(found.surface, 0.1) if found.shape.covers(Point(p))]
            most = max((found.shape.boundary.distance(point) for point in inside), default=0.0)
            assert place.clear >= most - 0.015  # the place is moved by up to 1 cm each way, so that a tape shows it


@pytest.mark.parametrize("seed", range(36 if THOROUGH else 9))
def test_rules_named_as_in_conflict_leave_no_place_and_without_any_one_of_them_there_is_one(seed: int) -> None:
    case = made(seed)
    for kind in KINDS:
        for found in where(case, candidate(kind), case.dwelling.rooms[ROOM], spare=0.25):
            named = {ban.rule.id for ban in conflict(found)}
            assert bool(named) == (not found.has_place)
            for fewer in combinations(sorted(named), len(named) - 1) if named else ():
                bans = [ban for ban in found.bans if ban.rule.id in fewer]
                assert not left_by(found.surface, bans).is_empty
            if named:
                bans = [ban for ban in found.bans if ban.rule.id in named]
                assert left_by(found.surface, bans).is_empty


def test_a_conflict_is_one_by_the_checks_too() -> None:
    seen, sizes = 0, set()
    for seed in range(30 if THOROUGH else 16):
        case = made(seed)
        for found in where(case, candidate("smoke alarm"), case.dwelling.rooms[ROOM]):
            named = {ban.rule.id for ban in conflict(found)}
            points = list(grid(found.surface, 0.37 if THOROUGH else 0.61)) if named else []
            for point in points:
                margins = shortfalls(with_device(case, "smoke alarm", found.surface, point))
                worst = [margins[rule] for rule in named if rule in margins]
                assert any(margin is None or margin < SLACK for margin in worst), (seed, found.surface.called, point)
            seen += bool(points)
            sizes.add(len(named))
    assert seen > 3
    assert max(sizes) > 1
