from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from asfitted.dwelling.survey import survey
from asfitted.model.home import Home
from asfitted.rules.catalogue import catalogue
from asfitted.rules.judge import judge
from asfitted.rules.rule_set import RuleSet, rule_set
from asfitted.upkeep.conditions import conditions
from asfitted.upkeep.intervals import intervals
from asfitted.upkeep.put_right import planning, put_right
from asfitted.upkeep.schedule import schedule
from asfitted.upkeep.servicing import visits_asked
from asfitted.upkeep.task import Leeway, Task
from tests.upkeep.homes import PLACE, home, ids, smoke, task

ON = date(2026, 11, 25)


def put(found: Home, **facts: object) -> Home:
    """Give a home with other facts about the home, or about its one room."""
    room = {key: value for key, value in facts.items() if key in ("use", "dusty")}
    rest = {key: value for key, value in facts.items() if key not in room}
    storey = found.storeys[0]
    rooms = (storey.rooms[0].model_copy(update=room),)
    return found.model_copy(
        update={
            "home": found.home.model_copy(update=rest),
            "storeys": (storey.model_copy(update={"rooms": rooms}),),
        }
    )


# -- windows -------------------------------------------------------------------------------------------------------


def test_a_window_lies_round_the_due_day_by_the_data() -> None:
    found = task(home(smoke("SA1", "fitted: 2026-03-31, made: 2026-01")), "replace-alarm-sa1")
    assert (found.earliest, found.due, found.latest) == (date(2035, 1, 1), date(2036, 1, 1), date(2036, 1, 1))
    cleaned = task(home(smoke("SA1", "fitted: 2026-08-31")), "clean-alarm-sa1")
    assert (cleaned.earliest, cleaned.due, cleaned.latest) == (date(2026, 12, 28), date(2027, 2, 28), date(2027, 3, 28))


@pytest.mark.parametrize("name", intervals())
def test_a_window_is_open_after_it_was_last_done_and_says_what_it_rests_on(name: str) -> None:
    interval = intervals()[name]
    assert interval.window_source
    if interval.months:
        done = date(2026, 1, 31)
        due = done + interval.step
        assert done < due - interval.early.step <= due <= due + interval.late.step
        assert due + interval.late.step < due + interval.step


def test_what_ends_or_is_asked_for_by_insurers_and_law_is_never_late() -> None:
    none = [name for name, each in intervals().items() if each.counts_from in ("made", "battery", "fitting")]
    for name in (*none, "service", "check-remotely"):
        assert intervals()[name].late == Leeway(), name


def test_a_leeway_reads_as_words() -> None:
    assert [Leeway(months=1).words, Leeway(months=3).words, Leeway(days=14).words, Leeway().words] == [
        "1 month", "3 months", "14 days", "none",
    ]  # fmt: skip


# -- conditions ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("facts", "months"),
    [
        ({}, 6),
        ({"use": "kitchen"}, 3),  # conditions.toml: half (common practice, no source)
        ({"use": "garage"}, 3),
        ({"use": "garage", "dusty": False}, 6),
        ({"use": "living", "dusty": True}, 3),
        ({"coastal": True}, 6),  # the sea is for what hangs outside
    ],
)
def test_dust_and_cooking_bring_the_cleaning_forward(facts: dict[str, object], months: int) -> None:
    found = put(home(smoke("SA1", "fitted: 2026-03-04")), **facts)
    assert task(found, "clean-alarm-sa1").interval.months == months
    assert task(found, "press-button-sa1").interval.months == 1


def test_a_cooker_in_an_open_room_counts_as_cooking() -> None:
    plain = home(smoke("SA1", "fitted: 2026-03-04"))
    storey = plain.storeys[0]
    cooker = type(storey).model_fields["fittings"].annotation.__args__[0].model_validate({"cooker": "hall"})  # type: ignore[union-attr]
    found = plain.model_copy(update={"storeys": (storey.model_copy(update={"fittings": (cooker,)}),)})
    cleaned = task(found, "clean-alarm-sa1").interval
    assert cleaned.months == 3
    assert "Sooner here" in cleaned.note


def test_the_sea_shortens_the_life_of_a_battery_outside_only() -> None:
    battery = "battery: {type: 4 x D, life: 4 years, fitted: 2025-09-23}, fitted: 2025-09-23"
    sounder = f"OS1: {{kind: outdoor sounder, outside: hall north, from-west: 1, height: 2, {battery}}}"
    contact = f"MD1: {{kind: motion detector, in: hall, corner: north-east, height: 2.1, {battery}}}"
    inland, coastal = home(f"{sounder}, {contact}"), put(home(f"{sounder}, {contact}"), coastal=True)
    assert task(inland, "change-sounder-battery-os1").due == date(2029, 9, 23)
    assert task(coastal, "change-sounder-battery-os1").due == date(2028, 9, 23)  # three quarters of four years
    assert task(coastal, "change-battery-md1") == task(inland, "change-battery-md1")


def test_no_condition_lengthens_an_interval_and_each_speaks_of_tasks_there_are() -> None:
    for name, condition in conditions().items():
        assert 0 < condition.share <= 1, name
        assert set(condition.tasks) <= set(intervals()), name


def test_a_battery_that_reads_low_is_due_from_that_day_until_it_is_changed_or_reads_well() -> None:
    sensor = f"MD1: {{kind: motion detector, {PLACE}, battery: {{type: 1 x CR123, life: 3 years, fitted: 2026-01-01}}, fitted: 2026-01-01}}"
    low = "{date: 2026-06-01, kind: service, by: t, tests: {MD1: {battery: low}}}"
    found = task(home(sensor, low), "change-battery-md1")
    assert (found.due, found.because) == (date(2026, 6, 1), "its battery read low on 2026-06-01")
    for after in ("battery-changed: yes", "battery: good"):
        later = f"{{date: 2026-07-01, kind: call-out, by: t, tests: {{MD1: {{{after}}}}}}}"
        assert task(home(sensor, f"{low}, {later}"), "change-battery-md1").due > date(2028, 12, 1)


# -- grade and whom it tells -----------------------------------------------------------------------------------------


def settled(name: str) -> RuleSet:
    return rule_set(catalogue(), name)


def graded(**facts: object) -> Home:
    found = home("CU1: {kind: control unit, in: hall, wall: north, from-west: 1, height: 1.5, fitted: 2026-01-01}")
    return found.model_copy(update={"system": found.system.model_copy(update=facts)})


@pytest.mark.parametrize(
    ("rules", "facts", "visits", "over_line"),
    [
        # CLC/TS 50131-7 (from memory, medium): grade 1 one visit; grades 2 and 3 two, or one and a remote one; grade 4 two
        ("eu", {"intruder_grade": "1", "tells": "receiving centre"}, 1, False),
        ("eu", {"intruder_grade": "2", "tells": "receiving centre"}, 2, True),
        ("eu", {"intruder_grade": "2", "tells": "household"}, 2, False),
        ("eu", {"intruder_grade": "3", "tells": "receiving centre"}, 2, True),
        ("eu", {"intruder_grade": "4", "tells": "receiving centre"}, 2, False),
        # BS 9263:2016, 6.4 (from memory): one where it only sounds, two where it signals, one of which may be remote
        ("uk-england", {"intruder_grade": "2", "tells": "household"}, 1, False),
        ("uk-england", {"intruder_grade": "2", "tells": "receiving centre"}, 2, True),
        ("common", {"intruder_grade": "4", "tells": "receiving centre"}, 1, False),  # names nothing here
    ],
)
def test_visits_in_a_year_follow_grade_or_receiver_as_the_rule_set_asks(
    rules: str,
    facts: dict[str, object],
    visits: int,
    over_line: bool,  # noqa: FBT001 - a column of the table above
) -> None:
    found = graded(**facts)
    assert visits_asked(found, settled(rules)) == (visits, over_line)
    tasks = {each.interval.id: each for each in schedule(found, ON, settled(rules))}
    assert tasks["service"].interval.months == (12 if over_line else 12 // visits)
    assert ("check-remotely" in tasks) == over_line


def test_fire_alarms_alone_are_serviced_yearly_whatever_the_grade() -> None:
    assert visits_asked(home(smoke()), settled("eu")) == (1, False)


def test_a_visit_over_the_line_is_no_service_in_the_home() -> None:
    devices = "CU1: {kind: control unit, in: hall, wall: north, from-west: 1, height: 1.5, fitted: 2026-01-01}"
    visits = "{date: 2026-01-05, kind: service, by: t}, {date: 2026-07-06, kind: service, by: t, remote: yes}"
    found = home(devices, visits)
    found = found.model_copy(
        update={"system": found.system.model_copy(update={"intruder_grade": "2", "tells": "receiving centre"})}
    )
    due = {each.interval.id: each.due for each in schedule(found, ON, settled("eu"))}
    assert (due["service"], due["check-remotely"]) == (date(2027, 1, 5), date(2027, 1, 6))
    assert "check-remotely" not in ids(found)  # nothing is asked where no rule set is


# -- put right -------------------------------------------------------------------------------------------------------


def findings_as_tasks(found: Home, on: date, rules: str = "common") -> dict[str, Task]:
    dwelling, _ = survey(found)
    assert dwelling
    return {each.id: each for each in put_right(found, judge(found, dwelling, on, settled(rules)), on)}


def test_a_finding_that_fails_is_a_task_open_at_once_with_a_day_by_what_its_limit_is() -> None:
    near = smoke("SA1", "fitted: 2026-03-04, made: 2026-01").replace("from-west: 1", "from-west: 0.3")
    found = home(near, "{date: 2026-03-04, kind: commissioning, by: t}")
    wall = findings_as_tasks(found, ON)["put-right-smoke-clear-of-wall-sa1"]
    assert (wall.interval.who, wall.tag, wall.once) == ("technician", "SA1", True)
    assert wall.earliest == date(2026, 3, 4)
    assert wall.latest == date(2026, 3, 4) + timedelta(days=planning()["put-right"]["advice"])
    assert wall.interval.title == "Put right: smoke alarm clear of walls"
    assert findings_as_tasks(found, ON + relativedelta(days=1))[wall.id].due == wall.due  # it does not slip


def test_the_more_a_finding_presses_the_sooner_it_is_wanted() -> None:
    figures = planning()["put-right"]
    assert figures["law"] < figures["code"] < figures["advice"]


def test_what_the_calendar_asks_for_anyway_is_not_to_be_put_right_as_well() -> None:
    old = home(smoke("SA1", "fitted: 2010-03-04, made: 2010-01"), "{date: 2010-03-04, kind: commissioning, by: t}")
    assert "replace-alarm-sa1" in ids(old)
    assert not [name for name in findings_as_tasks(old, ON) if "within-life" in name or "in-time" in name]


def test_of_a_system_that_is_only_planned_nothing_is_to_be_put_right() -> None:
    near = smoke("SA1").replace("from-west: 1", "from-west: 0.3")
    assert findings_as_tasks(home(near, "{date: 2026-10-01, kind: survey, by: t}"), ON) == {}
