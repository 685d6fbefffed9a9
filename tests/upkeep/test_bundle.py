from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from asfitted.model.home import Home
from asfitted.upkeep.board import HomePlan, board, forecast, household_needs
from asfitted.upkeep.bundle import Plan, plan_visits
from asfitted.upkeep.parts import UNNAMED, Part, counted
from asfitted.upkeep.schedule import schedule
from tests.upkeep.homes import home, smoke

ON = date(2026, 11, 25)
UNTIL = date(2031, 11, 25)
UNIT = "CU1: {kind: control unit, in: hall, wall: north, from-west: 1, height: 1.5, standby-battery: yes, standby: 12 h, fitted: 2024-10-14"
SERVICED = "{date: 2024-10-15, kind: commissioning, by: t}, {date: 2026-10-06, kind: service, by: t, tests: {CU1: {mains-off: held}}}"


def planned(found: Home, on: date = ON, until: date = UNTIL) -> Plan:
    return plan_visits(found, schedule(found, on), on, until)


def days(plan: Plan) -> list[str]:
    return [str(visit.day) for visit in plan.visits]


def test_a_home_is_visited_once_a_year_on_its_usual_day_and_all_else_falls_in_with_it() -> None:
    alarms = smoke("SA1", "made: 2018-04, fitted: 2018-05-01")
    plan = planned(home(f"{UNIT}}}, {alarms}", SERVICED))
    assert days(plan) == ["2027-10-06", "2028-10-06", "2029-10-06", "2030-10-06", "2031-10-06"]
    assert plan.proven
    assert [str(visit.day) for visit in plan.visits for task in visit.tasks if task.tag == "SA1"] == ["2027-10-06"]
    assert plan.visits[0].parts == (
        Part("device", "smoke alarm", 1),
    )  # ten years from April 2018 end before October 2028


def test_what_is_overdue_is_planned_within_a_fortnight_and_brings_along_what_is_open() -> None:
    visits = "{date: 2016-05-02, kind: commissioning, by: t}, {date: 2026-01-08, kind: service, by: t}"
    plan = planned(home(smoke("SA1", "made: 2016-01, fitted: 2016-05-01"), visits))
    first = plan.visits[0]
    assert first.day <= date(2026, 12, 9)  # planning.toml: 14 days (common practice, no source)
    assert [task.interval.id for task in first.tasks] == [
        "service",
        "replace-alarm",
    ]  # the service is open since October
    assert first.parts == (Part("device", "smoke alarm", 1),)


def test_two_yearly_tasks_out_of_step_are_brought_together_by_coming_sooner_once() -> None:
    visits = (
        "{date: 2024-10-15, kind: commissioning, by: t}, {date: 2026-01-25, kind: service, by: t}, "
        "{date: 2026-07-20, kind: call-out, by: t, tests: {CU1: {mains-off: held}}}"
    )
    plan = planned(home(f"{UNIT}}}", visits), until=date(2029, 11, 25))
    assert plan.proven
    assert len(plan.visits) == 4  # each as late as it may be, the two would ask for six
    assert {task.interval.id for task in plan.visits[2].tasks} >= {"service", "hold-without-mains"}


def test_the_last_visit_of_a_plan_does_what_would_not_last_until_the_next() -> None:
    unit = f"{UNIT}, battery: {{type: rechargeable pack, life: 4 years, fitted: 2025-09-23}}}}"
    short, long = (planned(home(unit, SERVICED), until=date(year, 11, 25)) for year in (2028, 2031))
    assert days(short) == days(long)[:2]
    assert short.visits == long.visits[:2]
    assert short.visits[1].parts == (
        Part("battery", "rechargeable pack", 1),
    )  # lasts to 2029-09-23, next is in October


def test_nothing_is_planned_for_a_home_with_nothing_in_it() -> None:
    plan = planned(home())
    assert (plan.visits, plan.least, plan.proven) == ((), 0, True)


def test_nobody_comes_to_keep_up_what_is_only_planned() -> None:
    surveyed = home(smoke("SA1"), "{date: 2026-11-01, kind: survey, by: t}")
    assert [task.id for task in schedule(surveyed, ON)][-1] == "service"
    assert planned(surveyed).visits == ()


def test_batteries_are_counted_by_type() -> None:
    assert counted("2 x AA") == ("AA", 2)
    assert counted("4 × D") == ("D", 4)
    assert counted("rechargeable pack") == ("rechargeable pack", 1)
    assert planned(home(f"{UNIT}}}", SERVICED)).visits[1].parts == (
        Part("battery", UNNAMED, 1),
    )  # four years from 2024


@st.composite
def homes(draw: st.DrawFn) -> Home:
    day = st.dates(date(2019, 1, 1), date(2026, 11, 1))
    alarms = [
        smoke(f"SA{n}", f"made: {made:%Y-%m}, fitted: {made}")
        for n, made in enumerate(draw(st.lists(day, min_size=1, max_size=3)), 1)
    ]
    put_in, life = draw(day), draw(st.integers(1, 5))
    battery = f"battery: {{type: 4 x D, life: {life} years, fitted: {put_in}}}, fitted: {put_in}"
    sounder = f"OS1: {{kind: outdoor sounder, outside: hall north, from-west: 1, height: 2, {battery}}}"
    services = sorted(draw(st.lists(day, max_size=3)))
    visits = [f"{{date: {each}, kind: service, by: t, tests: {{CU1: {{mains-off: held}}}}}}" for each in services]
    return home(", ".join([*alarms, sounder, f"{UNIT}}}"]), ", ".join(visits))


@given(homes())
def test_every_task_of_a_plan_is_done_in_its_window_and_comes_again_in_time(found: Home) -> None:
    tasks, plan = schedule(found, ON), planned(found)
    done: dict[str, list[tuple[date, date, date]]] = {}
    for visit in plan.visits:
        assert ON <= visit.day <= UNTIL
        assert visit.not_before <= visit.day <= visit.not_after
        for task in visit.tasks:
            late_already = task.latest <= ON
            assert task.earliest <= visit.day
            assert visit.day <= task.latest or late_already
            done.setdefault(task.id, []).append((visit.day, task.due, task.latest))
    for task in tasks:
        if task.interval.who != "technician":
            assert task.id not in done
            continue
        times = done.get(task.id, [])
        assert times or task.latest > UNTIL
        for (day, _, _), (_, due, _) in pairwise(times):
            assert due == day + task.interval.step  # counted from the day it was done
        if times and not task.once:
            left = times[-1][0] + task.interval.step + task.interval.late.step
            assert left > UNTIL
    assert plan.least <= len(plan.visits)


@given(homes())
def test_a_plan_is_the_same_whatever_the_order_of_its_tasks(found: Home) -> None:
    tasks = schedule(found, ON)
    assert plan_visits(found, tasks, ON, UNTIL) == plan_visits(found, tasks[::-1], ON, UNTIL)


# -- the firm ------------------------------------------------------------------------------------------------------


def plans() -> Sequence[HomePlan]:
    unit = f"{UNIT}, battery: {{type: rechargeable pack, life: 4 years, fitted: 2025-09-23}}}}"
    sensor = "MD1: {kind: motion detector, in: hall, corner: north-east, height: 2.1, battery: {type: 2 x AA, life: 2 years, fitted: 2026-02-10}, fitted: 2026-02-10}"
    found = home(f"{unit}, {sensor}", SERVICED)
    plan, own = planned(found), household_needs(found, schedule(found, ON), ON, UNTIL)
    return [HomePlan("wharf", "Wharf", plan, own), HomePlan("attic", "attic", plan, own)]


def test_the_board_puts_the_homes_of_a_month_together_by_day_and_name() -> None:
    months = board(plans())
    assert [str(month.first) for month in months[:2]] == ["2027-10-01", "2028-10-01"]
    second = months[1]
    assert [entry.id for entry in second.visits] == ["attic", "wharf"]
    assert (second.homes, second.batteries, second.tasks) == (2, 2, 6)  # service, run without mains, pack; twice
    assert second.parts == (Part("battery", "rechargeable pack", 2),)


def test_what_to_buy_is_counted_by_quarter_the_technician_s_first() -> None:
    bought = [(each.words, each.who, each.part.name, each.part.count) for each in forecast(plans())]
    assert bought == [
        ("2028 Q1", "household", "AA", 4),  # two in each home, two years from February 2026
        ("2028 Q4", "technician", "rechargeable pack", 2),
        ("2030 Q1", "household", "AA", 4),
    ]


def test_a_battery_of_the_household_that_is_overdue_is_wanted_now_and_once() -> None:
    sensor = "MD1: {kind: motion detector, in: hall, corner: north-east, height: 2.1, battery: {type: 2 x AA, life: 1 year, fitted: 2022-02-10}, fitted: 2022-02-10}"
    found = home(sensor)
    needs = household_needs(found, schedule(found, ON), ON, date(2027, 12, 31))
    assert needs == ((ON, Part("battery", "AA", 2)), (date(2027, 2, 10), Part("battery", "AA", 2)))
