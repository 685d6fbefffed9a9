from itertools import combinations

import networkx as nx
import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from asfitted.upkeep.stabbing import Days, Duty, Window, at_least, chosen, completed, fewest, start

Again = tuple[int, int]
Spec = tuple[Window, Again | None]
LAST = 11


def duty(spec: Spec) -> Duty:
    first, again = spec
    return Duty(first, (lambda day: (day + again[0], day + again[1])) if again else None)


def meets(one: Duty, days: tuple[int, ...], until: int, window: Window | None = None) -> bool:
    """Tell by the definition, trying every choice, whether a duty can be done on some of the days."""
    opens, closes = window or one.first
    if closes > until:
        return True
    return any(
        opens <= day <= closes and (one.after is None or meets(one, days, until, one.after(day))) for day in days
    )


def by_trying(duties: list[Duty], until: int) -> int:
    """Count the fewest days by trying every set of days, the small ones first."""
    for number in range(until + 1):
        if any(all(meets(one, days, until) for one in duties) for days in combinations(range(1, until + 1), number)):
            return number
    raise AssertionError("every day of all must do")


@st.composite
def specs(draw: st.DrawFn, *, rolling: bool = True) -> Spec:
    opens = draw(st.integers(1, 7))
    window = opens, opens + draw(st.integers(0, 4))
    if not rolling or draw(st.integers(0, 3)) == 0:
        return window, None
    soonest = draw(st.integers(1, 6))
    return window, (soonest, soonest + draw(st.integers(0, 4)))


# -- fixed windows: the textbook's greedy rule -----------------------------------------------------------------


def test_the_points_of_a_textbook_are_covered_by_as_few_days() -> None:
    # Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms, exercise on the fewest unit-length closed intervals
    # that hold a given set of points (16.2-5 in the third edition; from memory; the points are ours). A point x is held by
    # an interval that ends within [x, x + 1]; in tenths, by hand: [3, 13] holds 3, 6, 9; [14, 24] 14, 22; [25, 35] 25, 31.
    points = [3, 6, 9, 14, 22, 25, 31, 40]
    assert fewest([Duty((x, x + 10)) for x in points], 60) == Days((13, 24, 35, 50), 4)


def test_windows_that_do_not_overlap_force_a_day_each() -> None:
    # Kleinberg and Tardos, Algorithm Design, 4.1 (from memory): the most intervals of which no two overlap, found by the
    # earliest end first, are as many as the days that the rule comes on.
    windows = [(0, 6), (1, 4), (3, 5), (3, 8), (4, 7), (5, 9), (6, 10), (8, 11)]
    found = fewest([Duty(window) for window in windows], 20)
    assert found == Days((4, 9), 2)
    apart = [(1, 4), (5, 9)]
    assert set(apart) <= set(windows)
    assert len(found.days) == len(apart)


@given(st.lists(specs(rolling=False), max_size=6))
def test_fixed_windows_are_met_on_as_few_days_as_a_solver_finds(given_: list[Spec]) -> None:
    duties = [duty(spec) for spec in given_]
    found = fewest(duties, LAST)
    assert found.proven
    days = np.arange(1, LAST + 1)
    rows = np.array([(days >= one.first[0]) & (days <= one.first[1]) for one in duties if one.first[1] <= LAST], float)
    if not rows.size:
        assert found.days == ()
        return
    # the set cover as an integer programme, solved by HiGHS (scipy)
    solved = milp(
        np.ones(LAST), constraints=LinearConstraint(rows, lb=1), bounds=Bounds(0, 1), integrality=np.ones(LAST)
    )
    assert len(found.days) == round(solved.fun)


@given(st.lists(specs(rolling=False), max_size=6))
def test_fixed_windows_need_as_many_days_as_windows_lie_apart(given_: list[Spec]) -> None:
    # An interval graph is perfect, so the fewest cliques that cover it, which are the days, are as many as its largest set
    # of windows of which no two overlap; that set by a library for graphs.
    windows = [window for window, _ in given_ if window[1] <= LAST]
    apart = nx.Graph()
    apart.add_nodes_from(range(len(windows)))
    apart.add_edges_from(
        (i, j) for i, a in enumerate(windows) for j, b in enumerate(windows) if i < j and (a[1] < b[0] or b[1] < a[0])
    )
    largest = max((len(found) for found in nx.find_cliques(apart)), default=0)
    assert len(fewest([duty(spec) for spec in given_], LAST).days) == largest


# -- rolling windows --------------------------------------------------------------------------------------------


@given(st.lists(specs(), max_size=4))
def test_rolling_windows_are_met_on_the_fewest_days_there_are(given_: list[Spec]) -> None:
    duties = [duty(spec) for spec in given_]
    found = fewest(duties, LAST, tries=10**6)
    assert found.proven
    assert len(found.days) == by_trying(duties, LAST)
    assert list(found.days) == sorted(set(found.days))
    assert all(meets(one, found.days, LAST) for one in duties)


@given(st.lists(specs(), max_size=4))
def test_the_bound_and_the_rule_lie_on_either_side_of_the_truth(given_: list[Spec]) -> None:
    duties = [duty(spec) for spec in given_]
    ruled = completed(duties, start(duties), LAST)
    assert at_least(duties, start(duties), LAST) <= by_trying(duties, LAST) <= len(ruled)
    assert all(meets(one, ruled, LAST) for one in duties)


def test_coming_sooner_can_save_days_that_the_textbook_rule_takes() -> None:
    # Every second day from day 1 or 2, and a window on day 3 alone that comes again after 4 to 7 days: begun on day 1, the
    # odd days serve both; begun as late as it can be, on day 2, day 3 costs a day of its own.
    duties = [Duty((1, 2), lambda day: (day + 2, day + 2)), Duty((3, 3), lambda day: (day + 4, day + 7))]
    assert completed(duties, start(duties), 12) == (2, 3, 4, 6, 8, 10, 12)
    assert fewest(duties, 12) == Days((1, 3, 5, 7, 9, 11), 6)
    assert by_trying(duties, 12) == 6


def test_a_search_that_gives_up_says_below_what_no_plan_can_be() -> None:
    duties = [Duty((1, 2), lambda day: (day + 2, day + 2)), Duty((3, 3), lambda day: (day + 4, day + 7))]
    found = fewest(duties, 12, tries=1)
    assert not found.proven
    assert found.least <= 6 < len(found.days)


def test_a_duty_is_done_as_seldom_as_it_can_be_and_then_as_late() -> None:
    yearly = Duty((5, 12), lambda day: (day + 8, day + 12))
    assert chosen(yearly, (6, 11, 15, 20, 23), 24) == (11, 23)
    assert chosen(yearly, (6, 11, 15, 20, 23), 24, soon=True) == (6, 15)


@given(specs(), st.lists(st.integers(1, LAST), unique=True).map(sorted))
def test_the_days_chosen_lie_in_their_windows_and_none_fewer_would_do(spec: Spec, days: list[int]) -> None:
    one = duty(spec)
    if not meets(one, tuple(days), LAST):
        return
    found, window = chosen(one, days, LAST), one.first
    for day in found:
        assert day in days
        assert window[0] <= day <= window[1] <= LAST
        window = one.after(day) if one.after else (LAST + 1, LAST + 1)
    assert window[1] > LAST
    fewer = (some for number in range(len(found)) for some in combinations(days, number))
    assert not any(meets(one, some, LAST) for some in fewer)


def test_the_same_duties_give_the_same_days_in_any_order() -> None:
    duties = [Duty((1, 2), lambda day: (day + 2, day + 2)), Duty((3, 3), lambda day: (day + 4, day + 7)), Duty((4, 9))]
    assert fewest(duties, 12) == fewest(duties[::-1], 12)
