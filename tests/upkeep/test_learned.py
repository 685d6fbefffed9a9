"""Rates with exact limits, lives of things still in use, and what they are counted from."""

import math
import warnings
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from asfitted.model.home import Home
from asfitted.upkeep.experience import experience, places_of
from asfitted.upkeep.learned import Lives, Rate, Spell, kaplan_meier, poisson_limits
from tests.upkeep.homes import home, smoke

ON = date(2026, 11, 25)

# -- exact limits of a count -------------------------------------------------------------------------------------

# Garwood 1936, limits of 95 in 100 as tables of epidemiology print them (from memory).
GARWOOD = [
    (0, 0.0, 3.689),
    (1, 0.0253, 5.572),
    (2, 0.242, 7.225),
    (3, 0.619, 8.767),
    (4, 1.090, 10.242),
    (5, 1.623, 11.668),
    (10, 4.795, 18.390),
    (20, 12.217, 30.888),
    (50, 37.11, 65.92),
    (100, 81.36, 121.63),
]


@pytest.mark.parametrize(("events", "low", "high"), GARWOOD)
def test_limits_of_a_count_are_those_of_the_printed_table(events: int, low: float, high: float) -> None:
    assert poisson_limits(events) == pytest.approx((low, high), abs=6e-4 if events < 50 else 6e-3)


# The help page of a statistics program works 25 counted at three levels (read): address
# "graphpad.com/support/faq/how-quickcalcs-computes-the-confidence-interval-of-a-count".
@pytest.mark.parametrize(
    ("confidence", "low", "high"), [(0.90, 17.38, 34.92), (0.95, 16.18, 36.90), (0.99, 14.00, 41.00)]
)
def test_limits_at_other_levels_are_those_of_a_worked_example(confidence: float, low: float, high: float) -> None:
    assert poisson_limits(25, confidence) == pytest.approx((low, high), abs=6e-3)


@given(st.integers(0, 3000), st.sampled_from([0.5, 0.9, 0.95, 0.999]))
def test_limits_are_half_the_quantiles_of_chi_square(events: int, confidence: float) -> None:
    tail = (1 - confidence) / 2
    low = stats.chi2.ppf(tail, 2 * events) / 2 if events else 0.0
    high = stats.chi2.ppf(1 - tail, 2 * events + 2) / 2
    assert poisson_limits(events, confidence) == pytest.approx((low, high), rel=1e-9)


def test_a_rate_says_nothing_below_the_stated_sample() -> None:
    assert Rate(5, 20.0).enough
    assert not Rate(4, 500.0).enough
    assert not Rate(50, 19.9).enough
    assert Rate(10, 40.0).per_year == 0.25
    assert Rate(10, 40.0).limits == pytest.approx((4.795 / 40, 18.390 / 40), abs=1e-4)


# -- lives -------------------------------------------------------------------------------------------------------

# Remission in weeks under 6-MP, Freireich et al., Blood 21 (1963), 699-716; the times as in an introductory book of
# biostatistics, example 11.1 (read). + is still in remission.
REMISSION = "6 6 6 7 10 13 16 22 23 6+ 9+ 10+ 11+ 17+ 19+ 20+ 25+ 32+ 32+ 34+ 35+"
SPELLS = [Spell(float(word.rstrip("+")), not word.endswith("+")) for word in REMISSION.split()]
# Weeks, at risk, share, standard error: as text books print the product-limit table of these data (from memory).
TABLE = [
    (6, 21, 0.857, 0.0764),
    (7, 17, 0.807, 0.0869),
    (10, 15, 0.753, 0.0963),
    (13, 12, 0.690, 0.1068),
    (16, 11, 0.627, 0.1141),
    (22, 7, 0.538, 0.1282),
    (23, 6, 0.448, 0.1346),
]


def test_the_curve_of_the_classic_remission_data_is_the_printed_one() -> None:
    steps = kaplan_meier(SPELLS)
    assert [(step.at, step.at_risk) for step in steps] == [row[:2] for row in TABLE]
    assert [step.share for step in steps] == pytest.approx([row[2] for row in TABLE], abs=6e-4)
    assert [step.error for step in steps] == pytest.approx([row[3] for row in TABLE], abs=6e-5)
    assert Lives(tuple(SPELLS), 100.0).median == (23, 13, None)  # 23 weeks; the lower limit as R's log-log gives it


@given(
    st.lists(
        st.tuples(st.integers(1, 12), st.booleans()).map(lambda pair: Spell(float(pair[0]), pair[1])),
        min_size=1,
        max_size=25,
    )
)
def test_curve_and_limits_are_those_of_scipy(spells: list[Spell]) -> None:
    ended = [spell.length for spell in spells if spell.ended]
    data = stats.CensoredData(uncensored=ended, right=[spell.length for spell in spells if not spell.ended])
    with np.errstate(all="ignore"), warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of steps at which nothing is left
        curve = stats.ecdf(data).sf
        limits = curve.confidence_interval(0.95, method="log-log") if ended else None
    for step in kaplan_meier(spells):
        assert step.share == pytest.approx(float(curve.evaluate(step.at)), abs=1e-12)
        assert step.ended == ended.count(step.at)
        assert limits is not None
        low, high = (float(limit.evaluate(step.at)) for limit in (limits.low, limits.high))
        if step.share and not math.isnan(low):
            assert (step.low, step.high) == pytest.approx((low, high), abs=1e-9)
        assert 0 <= step.low <= step.share <= step.high <= 1
    assert len(kaplan_meier(spells)) == len(set(ended))


def test_lives_say_what_they_were_watched_long_enough_to_say() -> None:
    def lives(*spells: tuple[float, bool]) -> Lives:
        return Lives(tuple(Spell(*spell) for spell in spells), 30.0)

    assert lives((0.4, True), (0.5, False)).lasting() is None  # none was watched for a whole life
    assert lives((1.2, True), (1.5, True)).lasting() is None  # none ended by then
    gone = lives((0.4, True), (0.5, True)).lasting()
    assert gone is not None
    assert gone.share == 0
    half = lives((0.4, True), (1.1, False)).lasting()
    assert half is not None
    assert half.share == 0.5
    assert lives((0.4, True), (1.1, False), (1.2, False)).median is None
    assert lives(*[(0.5, True)] * 5).enough
    assert not lives(*[(0.5, True)] * 4, (0.6, False)).enough


# -- what is counted ---------------------------------------------------------------------------------------------

SENSOR = "kind: motion detector, in: hall, corner: north-east, height: 2.1"


def visit(day: str, tests: str = "", kind: str = "service", more: str = "") -> str:
    return f"{{date: {day}, kind: {kind}, by: t 1, tests: {{{tests}}}{more}}}"


def false_alarm(day: str, tests: str) -> str:
    return visit(day, tests, "call-out", ", cause: false alarm")


def watched(visits: str, devices: str = "") -> Home:
    own = f"MD1: {{{SENSOR}, fitted: 2020-01-01, battery: {{type: 1 x AA, life: 2 years}}}}"
    return home(f"{own}, {smoke('SA1', 'fitted: 2020-01-01')}{devices}", visits)


def test_devices_are_watched_from_their_fitting_to_the_last_visit_of_the_firm() -> None:
    seen = experience([watched(f"{visit('2024-01-01')}, {visit('2026-06-01', kind='household test')}")], ON)
    assert seen.devices == 2
    assert seen.years == pytest.approx(2 * 1461 / 365.25)  # four years, one of them a leap year
    assert seen.false_by_kind == {"motion detector": Rate(0, 4.0), "smoke alarm": Rate(0, 4.0)}
    assert seen.low_by_kind == {"motion detector": Rate(0, 4.0)}  # of the alarm no battery is recorded
    assert experience([watched("")], ON).devices == 0
    assert (
        experience(
            [watched("", ", SA2: {kind: smoke alarm, on: ceiling of hall, from-west: 2, from-south: 2}")], ON
        ).undated
        == 3
    )
    assert experience([watched(visit("2024-01-01"))], date(2023, 12, 31)).devices == 0


def test_a_false_alarm_counts_for_a_kind_and_a_place_only_where_the_record_tells() -> None:
    seen = experience(
        [
            watched(
                ", ".join(
                    [
                        false_alarm("2021-01-01", "SA1: {button: sounded}"),
                        false_alarm("2022-01-01", "SA1: {button: sounded}, MD1: {walk: detected}"),
                        false_alarm("2023-01-01", ""),
                        visit("2023-06-01", "SA1: {button: sounded}", "call-out", ", cause: genuine"),
                        visit("2024-01-01"),
                    ]
                )
            )
        ],
        ON,
    )
    assert (seen.false_alarms, seen.not_told) == (3, 2)
    assert seen.false_by_kind["smoke alarm"] == Rate(1, 4.0)
    assert seen.false_by_kind["motion detector"] == Rate(0, 4.0)
    assert seen.false_by_place["smoke alarm, circulation"] == Rate(1, 4.0)


def test_a_place_is_the_use_of_the_room_and_what_holds_there() -> None:
    text = "SA1: {kind: heat alarm, on: ceiling of hall, from-west: 1, from-south: 1}"
    found = home(text)
    assert list(places_of(found, found.devices["SA1"])) == ["circulation"]
    kitchen = found.model_copy(
        update={
            "storeys": tuple(
                storey.model_copy(
                    update={"rooms": tuple(room.model_copy(update={"use": "kitchen"}) for room in storey.rooms)}
                )
                for storey in found.storeys
            )
        }
    )
    assert list(places_of(kitchen, kitchen.devices["SA1"])) == ["kitchen", "near cooking"]


def test_a_low_battery_counts_once_until_it_is_changed_or_reads_well() -> None:
    readings = ["good", "low", "low", "good", "low"]
    visits = [visit(f"202{year}-01-01", f"MD1: {{battery: {word}}}") for year, word in enumerate(readings, start=1)]
    changed = visit("2026-01-01", "MD1: {battery: low, battery-changed: yes}")
    again = visit("2026-02-01", "MD1: {battery: low}")
    seen = experience([watched(", ".join([*visits, changed, again]))], ON)
    assert seen.low_by_kind["motion detector"].events == 3


def test_a_battery_lives_from_its_putting_in_to_its_first_low_reading_or_is_known_to_have_lasted() -> None:
    visits = [
        visit("2021-01-01", "MD1: {battery: good}"),
        visit("2022-01-01", "MD1: {battery: low, battery-changed: yes}"),  # 731 days
        visit("2023-01-01", "MD1: {battery: good, battery-changed: yes}"),  # 365 days, changed before it was low
        visit("2024-01-01", "MD1: {battery: low}"),  # 365 days
        visit("2024-03-01", "MD1: {battery-changed: yes}"),
        visit("2024-09-01", "MD1: {walk: detected}"),  # 184 days, still in
        visit("2026-01-01"),  # not looked at
    ]
    (lives,) = experience([watched(", ".join(visits))], ON).lives.values()
    foretold = 2 * 365.25
    assert [(round(spell.length * foretold), spell.ended) for spell in lives.spells] == [
        (731, True),
        (365, False),
        (365, True),
        (184, False),
    ]
    assert lives.years == pytest.approx((731 + 365 + 365 + 184) / 365.25)


def test_a_battery_that_a_household_changed_begins_a_new_life_on_its_recorded_day() -> None:
    own = f"MD1: {{{SENSOR}, fitted: 2020-01-01, battery: {{type: 1 x AA, life: 2 years, fitted: 2021-06-01}}}}"
    found = home(own, f"{visit('2021-01-01', 'MD1: {battery: good}')}, {visit('2022-06-01', 'MD1: {battery: good}')}")
    (lives,) = experience([found], ON).lives.values()
    assert [round(spell.length * 2 * 365.25) for spell in lives.spells] == [517, 365]
    assert lives.ended == 0


def test_a_fleet_whose_batteries_do_not_last_as_foretold_is_seen_to() -> None:
    # Forty sensors said to last two years; after each half year eight of them read low, two were last seen good.
    fleet = []
    for number in range(40):
        low_at = 1 + number % 4  # half years
        days = [f"{2020 + half // 2}-0{1 + 6 * (half % 2)}-01" for half in range(1, low_at + 1)]
        words = ["good"] * (low_at - 1) + ["low" if number % 5 else "good"]
        fleet.append(watched(", ".join(visit(d, f"MD1: {{battery: {w}}}") for d, w in zip(days, words, strict=True))))
    (lives,) = experience(fleet, ON).lives.values()
    assert (len(lives.spells), lives.ended, lives.enough) == (40, 32, True)
    assert lives.median is not None
    middle, low, high = lives.median
    assert middle == pytest.approx(0.75, abs=0.01)
    assert low == pytest.approx(0.5, abs=0.01)
    assert high == pytest.approx(1.0, abs=0.01)
    step = lives.lasting()
    assert step is not None
    assert step.share == pytest.approx((1 - 8 / 40) * (1 - 8 / 30) * (1 - 8 / 20))
