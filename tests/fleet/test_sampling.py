"""How many homes to draw, how they are spread, and which: against scipy, published tables and brute force."""

import hashlib
from fractions import Fraction
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom

from asfitted.fleet.sampling import (
    chance_of_at_most,
    chance_unseen,
    equally,
    in_order,
    in_proportion,
    most_faulty,
    most_unseen,
    place_of,
    size_for,
)

CONFIDENCES = (Fraction(80, 100), Fraction(95, 100), Fraction(99, 100))


@pytest.mark.parametrize("homes", [1, 2, 7, 30, 143, 600])
@pytest.mark.parametrize("accept", [0, 1, 3])
def test_the_size_is_the_smallest_that_scipy_finds_good_enough(homes: int, accept: int) -> None:
    for faulty in {accept + 1, accept + 2, homes // 10, homes // 3, homes}:
        if not accept < faulty <= homes:
            continue
        # scipy.stats.hypergeom(M, n, N): population, faulty among them, drawn
        chances = hypergeom(homes, faulty, np.arange(1, homes + 1)).cdf(accept)
        for confidence in CONFIDENCES:
            left = float(1 - confidence)
            # equal within the rounding of a float: the fractions decide, so that one is left out of the comparison
            if any(abs(chance - left) < 1e-9 for chance in chances):
                continue
            wanted = next(size for size, chance in enumerate(chances, start=1) if chance <= left)
            assert size_for(homes, faulty, confidence, accept) == wanted


@pytest.mark.parametrize(("homes", "drawn"), [(1, 1), (9, 4), (60, 20), (500, 56)])
def test_the_bound_after_the_audit_is_the_largest_that_scipy_cannot_rule_out(homes: int, drawn: int) -> None:
    for found in {0, 1, 2, drawn}:
        if found > drawn:
            continue
        possible = np.arange(found, homes - drawn + found + 1)
        chances = hypergeom(homes, possible, drawn).cdf(found)
        for confidence in CONFIDENCES:
            left = float(1 - confidence)
            wanted = possible[chances > left + 1e-9].max()
            assert most_faulty(homes, drawn, found, confidence) == wanted


# ISPM 31, Methodologies for sampling of consignments (IPPC, FAO), appendix 2, table 1: the fewest units to draw so that
# a lot with so many per cent infested is told, by the hypergeometric distribution; full detection. From memory.
ISPM_31 = [
    # lot, then 5 %, 2 %, 1 %, 0.5 % at 95 % confidence, and the same at 99 %; None where it is no whole unit
    (100, (45, 78, 95, None), (59, 90, 99, None)),
    (200, (51, 105, 155, 190), (73, 136, 180, 198)),
    (400, (55, 124, 211, 311), (81, 174, 273, 360)),
    (1000, (57, 138, 258, 450), (86, 204, 368, 601)),
]


@pytest.mark.parametrize(("lot", "at_95", "at_99"), ISPM_31)
def test_the_table_of_a_published_standard_comes_out(
    lot: int, at_95: tuple[int | None, ...], at_99: tuple[int | None, ...]
) -> None:
    for confidence, row in ((Fraction(95, 100), at_95), (Fraction(99, 100), at_99)):
        for per_mille, wanted in zip((50, 20, 10, 5), row, strict=True):
            if wanted is not None:
                assert size_for(lot, lot * per_mille // 1000, confidence) == wanted


def test_published_worked_examples_come_out() -> None:
    # A lot of 100 with 20 defective, 10 selected: zero to two defective has probability 0.6812; and 0 to 5 one by one.
    # mathworks.com/help/stats/hygecdf.html and hygepdf.html, read.
    assert float(chance_of_at_most(2, 10, 20, 100)) == pytest.approx(0.6812, abs=5e-5)
    one_by_one = [chance_of_at_most(found, 10, 20, 100) for found in range(6)]
    steps = [one_by_one[0], *(after - before for before, after in pairwise(one_by_one))]
    assert [round(float(step), 4) for step in steps] == [0.0951, 0.2679, 0.3182, 0.2092, 0.0841, 0.0215]
    # Batches of 1,000 with 10 defective, 50 sampled: to accept 99 % of them, allow 3. The same, hygeinv.html, read.
    assert chance_of_at_most(3, 50, 10, 1000) >= Fraction(99, 100) > chance_of_at_most(2, 50, 10, 1000)


def test_the_usual_approximation_is_never_below_and_close() -> None:
    # n = N (1 - (1 - confidence)^(1/d)) rounded up. Sizes as printed in the manual of the R package RSurveillance,
    # n.hypergeo, example output, read: at 95 % for these N and d; then N = 100, d = 5 at 50, 80, 90 and 95 %.
    printed = {(100, 1): 95, (200, 2): 156, (500, 5): 226, (1000, 10): 259, (10000, 100): 296}
    printed |= {(80, 1): 76, (80, 2): 63, (80, 5): 37, (80, 10): 21}
    for (homes, faulty), size in printed.items():
        assert 0 <= size - size_for(homes, faulty, Fraction(95, 100)) <= 2
    for per_cent, size in ((50, 13), (80, 28), (90, 37), (95, 46)):
        assert 0 <= size - size_for(100, 5, Fraction(per_cent, 100)) <= 1


def test_the_chances_are_those_of_every_sample_written_out() -> None:
    for homes, faulty, drawn in product(range(1, 7), range(7), range(7)):
        if faulty > homes or drawn > homes:
            continue
        samples = [sum(home < faulty for home in sample) for sample in combinations(range(homes), drawn)]
        for found in range(drawn + 1):
            share = Fraction(sum(count <= found for count in samples), len(samples))
            assert chance_of_at_most(found, drawn, faulty, homes) == share


def test_at_a_chance_that_is_exactly_what_is_left_the_sample_is_big_enough() -> None:
    assert size_for(20, 1, Fraction(95, 100)) == 19
    assert most_faulty(20, 19, 0, Fraction(95, 100)) == 0


@pytest.mark.parametrize(("homes", "faulty", "accept"), [(5, 6, 0), (5, 0, 0), (5, 2, 2), (5, 2, -1)])
def test_what_no_sample_can_tell_is_refused(homes: int, faulty: int, accept: int) -> None:
    with pytest.raises(ValueError, match="faulty"):
        size_for(homes, faulty, Fraction(95, 100), accept)


STRATA = st.lists(st.integers(1, 6).flatmap(lambda n: st.tuples(st.just(n), st.integers(0, n))), min_size=1, max_size=3)


@given(STRATA, st.integers(0, 8), st.sampled_from(CONFIDENCES))
def test_the_faulty_homes_are_put_where_they_are_hardest_to_find(
    strata: list[tuple[int, int]], faulty: int, confidence: Fraction
) -> None:
    def worst(count: int) -> Fraction:
        ways = product(*(range(homes + 1) for homes, _ in strata))
        return max(
            (
                _all([chance_of_at_most(0, n, f, homes) for f, (homes, n) in zip(way, strata, strict=True)])
                for way in ways
                if sum(way) == count
            ),
            default=Fraction(0),
        )

    assert chance_unseen(strata, faulty) == worst(faulty)
    total = sum(homes for homes, _ in strata)
    wanted = max(count for count in range(total + 1) if worst(count) > 1 - confidence)
    assert most_unseen(strata, confidence) == wanted


def _all(chances: list[Fraction]) -> Fraction:
    chance = Fraction(1)
    for factor in chances:
        chance *= factor
    return chance


def test_without_strata_the_hardest_place_is_the_only_one() -> None:
    assert chance_unseen([(40, 21)], 4) == chance_of_at_most(0, 21, 4, 40)
    assert most_unseen([(40, 21)], Fraction(95, 100)) == most_faulty(40, 21, 0, Fraction(95, 100))


SIZES = st.lists(st.integers(1, 40), min_size=1, max_size=8).flatmap(
    lambda homes: st.tuples(st.just(homes), st.integers(len(homes), sum(homes)))
)


@given(SIZES)
def test_every_home_of_the_sample_is_given_to_a_stratum_that_has_it(case: tuple[list[int], int]) -> None:
    homes, size = case
    for given_out in (in_proportion(homes, size), equally(homes, size)):
        assert sum(given_out) == size
        assert all(1 <= count <= there for count, there in zip(given_out, homes, strict=True))


@given(SIZES)
def test_a_share_is_off_by_less_than_one_home_where_each_is_owed_one(case: tuple[list[int], int]) -> None:
    homes, size = case
    owed = [Fraction(size * there, sum(homes)) for there in homes]
    given_out = in_proportion(homes, size)
    if min(owed) >= 1:
        assert all(abs(count - share) < 1 for count, share in zip(given_out, owed, strict=True))
    even = equally(homes, size)
    room = [count for count, there in zip(even, homes, strict=True) if count < there]
    assert not room or max(even) - min(room) <= 1


def test_the_largest_remainder_gets_what_is_left() -> None:
    assert in_proportion([50, 30, 20], 7) == [4, 2, 1]  # owed 3.5, 2.1, 1.4
    assert in_proportion([96, 2, 2], 5) == [3, 1, 1]  # owed 4.8, 0.1, 0.1: the small ones get their one
    assert in_proportion([5, 5], 3) == [2, 1]  # of equals the earlier


@pytest.mark.parametrize("allocate", [in_proportion, equally])
@pytest.mark.parametrize("size", [2, 13])
def test_a_size_that_cannot_reach_every_stratum_or_is_too_large_is_refused(allocate: object, size: int) -> None:
    with pytest.raises(ValueError, match="at least one"):
        allocate([4, 4, 4], size)  # type: ignore[operator]


def test_the_order_of_drawing_can_be_done_by_hand() -> None:
    # printf '%s' '4-1-6/gable-hatch' | sha256sum, by the sha256sum of GNU coreutils
    assert place_of("4-1-6", "gable-hatch") == "2e4d2e033716d0ac656e3d0120c4a6bb3057cf4fa49f8dc435fb778632c5c0f9"
    assert place_of("1", "höf") == hashlib.sha256(b"1/h\xc3\xb6f").hexdigest()


@given(
    st.sets(st.from_regex(r"[a-z]{1,6}", fullmatch=True), max_size=12), st.sampled_from(["1", "2", "7-7"]), st.data()
)
def test_other_homes_never_change_the_order_of_those_that_stay(homes: set[str], seed: str, data: st.DataObject) -> None:
    kept = data.draw(st.sets(st.sampled_from(sorted(homes)))) if homes else set()
    order = in_order(seed, homes)
    assert [home for home in order if home in kept] == in_order(seed, sorted(kept, reverse=True))


def test_every_home_is_drawn_about_as_often_as_any_other() -> None:
    homes = [f"home-{number}" for number in range(10)]
    times = dict.fromkeys(homes, 0)
    for seed in range(2000):
        for home in in_order(str(seed), homes)[:3]:
            times[home] += 1
    # 600 each; chi-square with 9 degrees of freedom, less for being drawn without putting back: 27.9 is its 99.9 %
    assert sum((count - 600) ** 2 / (600 * 0.7) * 0.9 for count in times.values()) < 27.9
