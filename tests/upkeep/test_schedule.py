from datetime import date
from random import Random

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.upkeep.schedule import schedule, undated
from asfitted.upkeep.task import Task
from tests.upkeep.homes import PLACE, home, ids, smoke, task

PRESSED = "tests: {SA1: {button: sounded}}"


def visit(day: str, kind: str = "service", more: str = PRESSED) -> str:
    return f"{{date: {day}, kind: {kind}, by: technician 4, {more}}}"


# -- the calendar ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("anchor", "step", "expected"),
    [
        # dateutil documentation, relativedelta: the day is clamped to the last of the month, never carried over
        ("2024-01-31", relativedelta(months=1), "2024-02-29"),
        ("2024-01-31", relativedelta(months=3), "2024-04-30"),
        ("2024-02-29", relativedelta(years=1), "2025-02-28"),
        ("2016-02-29", relativedelta(years=10), "2026-02-28"),
        ("2023-08-31", relativedelta(months=6), "2024-02-29"),
    ],
)
def test_the_library_clamps_to_the_end_of_the_month(anchor: str, step: relativedelta, expected: str) -> None:
    assert date.fromisoformat(anchor) + step == date.fromisoformat(expected)


@pytest.mark.parametrize(
    ("pressed", "due"), [("2026-01-31", "2026-02-28"), ("2024-01-31", "2024-02-29"), ("2026-03-04", "2026-04-04")]
)
def test_a_button_is_due_a_calendar_month_after_it_was_pressed(pressed: str, due: str) -> None:
    found = task(home(smoke(), visit(pressed)), "press-button-sa1", on="2026-11-25")
    assert (found.last, found.due) == (date.fromisoformat(pressed), date.fromisoformat(due))
    assert found.because == f"every month since the button was last pressed on {pressed}"


def test_case_of_dates_on_a_given_day() -> None:
    # Invented dates, intervals of the sources named beside them. Made 2017-03-10, commissioned 2017-06-01, today
    # 2026-11-25: ten years from manufacture are 2027-03-10 (fire services' ten years, read; counted from manufacture
    # since NFPA 72-2007, read, secondary). Last pressed 2026-10-01: by the month it is overdue by 24 days on
    # 2026-11-25 (31 days counted; 2026-11-01 on the calendar). Last serviced 2025-09-20: a year is 2026-09-20.
    found = home(
        smoke(more="made: 2017-03-10, fitted: 2017-06-01"),
        visit("2017-06-01", "commissioning") + "," + visit("2025-09-20") + "," + visit("2026-10-01", "household test"),
    )
    on = date(2026, 11, 25)
    assert task(found, "replace-alarm-sa1").due == date(2027, 3, 10)
    assert (on - task(found, "press-button-sa1").due).days == 24
    assert task(found, "service").due == date(2026, 9, 20)


# -- last done ------------------------------------------------------------------------------------------------


def test_the_latest_visit_counts_wherever_it_stands_in_the_record() -> None:
    found = home(smoke(), visit("2026-05-02") + "," + visit("2026-03-04"))
    assert task(found, "press-button-sa1").last == date(2026, 5, 2)


def test_a_visit_in_the_future_is_not_yet_made() -> None:
    found = home(smoke(), visit("2026-03-04") + "," + visit("2026-05-02"))
    assert task(found, "press-button-sa1", on="2026-05-01").last == date(2026, 3, 4)
    assert task(found, "press-button-sa1", on="2026-05-02").last == date(2026, 5, 2)


def test_a_failed_press_counts_as_a_press_but_a_cleaning_left_undone_does_not_count() -> None:
    found = home(smoke(), visit("2026-03-04", more="tests: {SA1: {button: silent, cleaned: no}}"))
    assert task(found, "press-button-sa1").last == date(2026, 3, 4)
    assert task(found, "clean-alarm-sa1").last is None


def test_a_sounder_that_stayed_silent_was_tested() -> None:
    sounder = f"IS1: {{kind: indoor sounder, {PLACE}}}"
    found = home(sounder, visit("2026-03-04", more="tests: {IS1: {sounded: no}}"))
    assert task(found, "sound-sounder-is1").last == date(2026, 3, 4)


def test_what_was_done_to_an_earlier_device_of_the_same_tag_does_not_count() -> None:
    found = home(smoke(more="fitted: 2026-06-10"), visit("2026-03-04"))
    assert task(found, "press-button-sa1").last is None
    assert task(found, "press-button-sa1").due == date(2026, 6, 10)


def test_a_correction_takes_a_test_back_from_the_day_it_corrects() -> None:
    wrong = visit("2026-03-04", more="tests: {SA1: {button: sounded}, SA2: {button: sounded}}")
    right = visit(
        "2026-03-09", more="corrects: 2026-03-04, not-tested: [{what: alarm, device: SA1, why: bed in the way}]"
    )
    found = home(smoke() + "," + smoke("SA2"), wrong + "," + right)
    assert task(found, "press-button-sa1").last is None
    assert task(found, "press-button-sa2").last == date(2026, 3, 4)
    assert task(found, "press-button-sa1", on="2026-03-08").last == date(2026, 3, 4)


def test_a_correction_adds_a_test_on_the_day_it_corrects() -> None:
    found = home(
        smoke(),
        visit("2026-03-04", more="note: hall only")
        + ","
        + visit("2026-03-09", more=f"corrects: 2026-03-04, {PRESSED}"),
    )
    assert task(found, "press-button-sa1").last == date(2026, 3, 4)


def test_a_correction_of_a_correction_speaks_of_the_first_day() -> None:
    chain = [
        visit("2026-03-04"),
        visit("2026-03-09", more="corrects: 2026-03-04, tests: {SA1: {}}"),
        visit("2026-03-12", more=f"corrects: 2026-03-09, {PRESSED}"),
    ]
    assert task(home(smoke(), ",".join(chain[:2])), "press-button-sa1").last is None
    assert task(home(smoke(), ",".join(chain)), "press-button-sa1").last == date(2026, 3, 4)


def test_a_correction_changes_the_kind_of_its_own_visit_only() -> None:
    service, own = visit("2026-03-04"), visit("2026-03-04", "household test")
    never = visit("2026-03-09", "call-out", "corrects: 2026-03-04")
    typo = visit("2026-03-09", "household test", "corrects: 2026-03-04")
    assert task(home(smoke(), f"{service},{never}"), "service").last is None
    assert task(home(smoke(), f"{service},{own},{typo}"), "service").last == date(2026, 3, 4)


def test_corrections_that_point_at_each_other_do_not_go_round_for_ever() -> None:
    found = home(
        smoke(),
        visit("2026-03-04", more="corrects: 2026-03-09") + "," + visit("2026-03-09", more="corrects: 2026-03-04"),
    )
    assert len(standing(found.visits, date(2026, 11, 25))) == 2


# -- counted from ---------------------------------------------------------------------------------------------


def test_a_test_never_made_is_due_since_the_fitting_else_the_commissioning_else_today() -> None:
    commissioned = visit("2026-03-04", "commissioning", "note: none")
    installed = visit("2026-03-02", "installation", "note: none")
    fitted = task(home(smoke(more="fitted: 2026-03-03"), commissioned), "press-button-sa1")
    assert fitted.due == date(2026, 3, 3)
    assert fitted.because.startswith("since it was fitted on 2026-03-03, never recorded as done")
    assert task(home(smoke(), f"{installed},{commissioned}"), "press-button-sa1").due == date(2026, 3, 4)
    assert task(home(smoke(), installed), "press-button-sa1").due == date(2026, 3, 2)
    assert task(home(smoke()), "press-button-sa1").due == date(2026, 11, 25)


@pytest.mark.parametrize("more", ["made: 2026-01, fitted: 2026-12-01", ""])
def test_a_device_not_yet_in_its_place_has_only_an_end_of_life(more: str) -> None:
    waiting = f"SA1: {{kind: smoke alarm, {'made: 2026-01' if not more else PLACE + ', ' + more}}}"
    assert ids(home(waiting)) == {"replace-alarm-sa1", "service"}


def test_a_device_that_is_not_enrolled_has_nothing_to_test_yet() -> None:
    detector = f"MD1: {{kind: motion detector, {PLACE}, enrolled: {{}}}}"
    assert "walk-test-md1" in ids(home(detector.replace("{}", "yes")))
    assert "walk-test-md1" not in ids(home(detector.replace("{}", "no")))


def test_a_system_is_due_for_commissioning_from_its_first_day_of_fitting_until_it_is_done() -> None:
    fitted = smoke(more="fitted: 2026-03-03") + "," + smoke("SA2", "fitted: 2026-03-02")
    assert task(home(fitted), "commission").due == date(2026, 3, 2)
    assert "commission" not in ids(home(fitted, visit("2026-03-04", "commissioning", "note: none")))
    assert "commission" in ids(home(fitted, visit("2026-03-04", "commissioning", "note: none")), "2026-03-03")
    assert "commission" not in ids(home(smoke()))


def test_a_standby_battery_that_is_not_in_has_no_day_of_change() -> None:
    unit = "CU1: {kind: control unit, in: hall, wall: north, from-west: 1, height: 1.4, standby-battery: {}}"
    assert "change-standby-battery-cu1" in ids(home(unit.replace("{}", "yes")))
    without = ids(home(unit.replace("{}", "no")))
    assert "change-standby-battery-cu1" not in without
    assert "hold-without-mains-cu1" not in without


def test_a_device_without_a_place_does_not_age_from_a_visit_that_did_not_fit_it() -> None:
    spare = 'SA1: {kind: smoke alarm, made: 2026-01, battery: "sealed, 5 years"}'
    found = home(spare, visit("2020-03-04", "commissioning", "note: none"))
    assert task(found, "replace-alarm-sa1").because == "10 years after it was made in 2026-01"
    assert ids(home("SA1: {kind: smoke alarm, name: spare}")) == {"service"}


def test_an_empty_home_has_nothing_to_do() -> None:
    assert schedule(home(), date(2026, 11, 25)) == ()


def test_keyholders_are_asked_again_a_year_after_they_were_confirmed() -> None:
    asked = home(household="keyholders: {named: 2, confirmed: 2026-03-04}")
    assert task(asked, "confirm-keyholders").due == date(2027, 3, 4)
    assert task(asked, "confirm-keyholders", on="2026-03-03").last is None
    assert "confirm-keyholders" not in ids(home(household="keyholders: {named: 0}"))


# -- end of life and batteries --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "facts", "due"),
    [
        # ten years, Royal Berkshire Fire and Rescue Service (read); clamped as dateutil does
        ("smoke alarm", "made: 2016-02-29", "2026-02-28"),
        ("heat alarm", "made: 2026-01", "2036-01-01"),
        ("smoke alarm", "made: 2026-01, replace-by: 2034-06", "2034-06-01"),
        ("smoke alarm", "replace-by: 2038-06, made: 2026-01", "2038-06-01"),
        ("carbon monoxide alarm", "made: 2026-01", "2033-01-01"),  # seven years, from memory
        ("smoke alarm", 'made: 2026-01, fitted: 2026-03-04, battery: "sealed, 5 years"', "2031-03-04"),
        ("smoke alarm", 'made: 2026-01, fitted: 2026-03-04, battery: "sealed, 10 years"', "2036-01-01"),
        ("motion detector", "replace-by: 2034-06", "2034-06-01"),
    ],
)
def test_end_of_life(kind: str, facts: str, due: str) -> None:
    found = home(f"XX1: {{kind: {kind}, {PLACE}, {facts}}}")
    (end,) = [task for task in schedule(found, date(2026, 11, 25)) if task.once and task.tag]
    assert end.due == date.fromisoformat(due)
    assert end.interval.counts_from == "made"


def test_the_reason_of_an_end_of_life_says_where_the_date_comes_from() -> None:
    printed = task(home(smoke(more="replace-by: 2034-06")), "replace-alarm-sa1")
    made = task(home(smoke(more="made: 2026-01")), "replace-alarm-sa1")
    sealed = task(
        home(smoke(more='made: 2026-01, fitted: 2026-03-04, battery: "sealed, 5 years"')), "replace-alarm-sa1"
    )
    assert printed.because == "by the date printed on it, 2034-06"
    assert made.because == "10 years after it was made in 2026-01"
    assert sealed.because == "when its sealed battery ends, 5 years from 2026-03-04"


def test_an_alarm_of_unknown_age_has_no_end_of_life_and_is_named() -> None:
    found = home(
        smoke(more='battery: "sealed, 10 years", fitted: 2026-03-04') + f", MD1: {{kind: motion detector, {PLACE}}}"
    )
    assert not any(task.once and task.tag for task in schedule(found, date(2026, 11, 25)))
    assert [(item.tag, item.interval.id, item.why) for item in undated(found)] == [
        ("SA1", "replace-alarm", "the record does not say when it was made")
    ]


def test_a_sealed_battery_is_never_changed() -> None:
    found = home(smoke(more='battery: "sealed, 10 years", made: 2026-01'))
    assert not any(name.startswith("change") for name in ids(found))
    assert undated(found) == ()


@pytest.mark.parametrize(
    ("battery", "visits", "due"),
    [
        # yearly unless it is a ten-year alarm: Royal Berkshire Fire and Rescue Service (read)
        ("{type: 2 x AA, fitted: 2026-03-04}", "", "2027-03-04"),
        ("{type: 2 x AA, fitted: 2026-03-04, life: 2 years}", "", "2028-03-04"),
        ("{type: 2 x AA, life: 18 months}", "", "2027-08-01"),  # from the fitting, 2026-02-01
        (
            "{type: 2 x AA, fitted: 2026-03-04, life: 2 years}",
            visit("2026-09-01", more="tests: {SA1: {battery-changed: yes}}"),
            "2028-09-01",
        ),
        (
            "{type: 2 x AA, fitted: 2026-10-01, life: 2 years}",
            visit("2026-09-01", more="tests: {SA1: {battery-changed: yes}}"),
            "2028-10-01",
        ),
        (
            "{type: 2 x AA, fitted: 2026-03-04}",
            visit("2026-09-01", more="tests: {SA1: {battery-changed: no}}"),
            "2027-03-04",
        ),
        ("{type: 2 x AA, fitted: 2027-03-04}", "", "2027-02-01"),  # written ahead: not yet in
    ],
)
def test_a_replaceable_battery_is_due_by_its_life_or_yearly(battery: str, visits: str, due: str) -> None:
    found = home(smoke(more=f"fitted: 2026-02-01, battery: {battery}"), visits)
    assert task(found, "change-alarm-battery-sa1").due == date.fromisoformat(due)


def test_a_battery_of_which_nothing_is_known_is_named_and_not_guessed() -> None:
    found = home(smoke(more="made: 2026-01") + f', MD1: {{kind: motion detector, {PLACE}, battery: "2 x AA"}}')
    assert not any("battery" in name for name in ids(found))
    assert [(item.tag, item.why) for item in undated(found)] == [
        ("MD1", "the record does not say how long its battery lasts"),
        ("SA1", "the record does not say what battery it has"),
    ]


def test_the_life_in_the_record_is_named_as_the_source() -> None:
    found = task(home(smoke(more='battery: "2 x AA, 2 years"')), "change-alarm-battery-sa1")
    assert (found.interval.every, found.interval.source) == (
        "every 2 years",
        "the battery life this home's record gives",
    )


def test_a_control_unit_with_standby_gets_a_new_battery_every_four_years_and_a_yearly_run_without_mains() -> None:
    unit = f"CU1: {{kind: control unit, {PLACE}, standby: 12 h, fitted: 2026-03-04}}"
    found = home(unit, visit("2026-09-01", more="tests: {CU1: {mains-off: lost}}"))
    assert task(found, "change-standby-battery-cu1").due == date(2030, 3, 4)
    assert task(found, "hold-without-mains-cu1").due == date(2027, 9, 1)


# -- properties -----------------------------------------------------------------------------------------------

DAYS = st.dates(date(2020, 1, 1), date(2027, 12, 31))
KINDS = {
    "SA": "smoke alarm",
    "HA": "heat alarm",
    "CO": "carbon monoxide alarm",
    "MD": "motion detector",
    "OS": "outdoor sounder",
}
READINGS = [
    "button: sounded",
    "button: silent",
    "cleaned: yes",
    "battery-changed: yes",
    "walk: detected",
    "sounded: yes",
]
BATTERIES = ["", 'battery: "sealed, 10 years"', 'battery: "2 x AA, 2 years"', 'battery: "2 x AA"']


@st.composite
def homes(draw: st.DrawFn) -> Home:
    tags = draw(st.lists(st.tuples(st.sampled_from(sorted(KINDS)), st.integers(1, 12)), max_size=5, unique=True))
    devices = []
    for letters, number in tags:
        facts = [f"kind: {KINDS[letters]}", PLACE, draw(st.sampled_from(BATTERIES))]
        facts += [f"{key}: {draw(DAYS)}" for key in ("made", "fitted") if draw(st.booleans())]
        devices.append(f"{letters}{number}: {{{', '.join(fact for fact in facts if fact)}}}")
    visits = []
    for day in draw(st.lists(DAYS, max_size=5, unique=True)):
        kind = draw(st.sampled_from(["commissioning", "service", "household test"]))
        tests = ", ".join(f"{a}{b}: {{{draw(st.sampled_from(READINGS))}}}" for a, b in tags if draw(st.booleans()))
        corrects = f"corrects: {draw(DAYS)}, " if draw(st.integers(0, 4)) == 0 else ""
        visits.append(visit(str(day), kind, f"{corrects}tests: {{{tests}}}"))
    return home(", ".join(devices), ", ".join(visits))


@given(homes(), DAYS)
def test_what_was_done_lies_in_the_past_and_is_due_again_later(found: Home, on: date) -> None:
    for entry in schedule(found, on):
        assert entry.last is None or entry.last <= on
        assert entry.last is None or entry.due > entry.last
        assert entry.starts is not None
        assert entry.due >= entry.starts


@given(homes(), DAYS, st.randoms(use_true_random=False))
def test_the_order_of_devices_and_visits_does_not_matter(found: Home, on: date, shuffle: Random) -> None:
    devices, visits = list(found.devices.items()), list(found.visits)
    shuffle.shuffle(devices)
    shuffle.shuffle(visits)
    other = found.model_copy(update={"devices": dict(devices), "visits": tuple(visits)})
    assert schedule(other, on) == schedule(found, on)
    assert undated(other) == undated(found)


@given(homes(), DAYS)
def test_tasks_are_sorted_and_no_two_share_an_id(found: Home, on: date) -> None:
    tasks = schedule(found, on)
    assert list(tasks) == sorted(tasks, key=lambda entry: (entry.due, entry.id))
    assert len({entry.id for entry in tasks}) == len(tasks)


@given(homes(), DAYS)
def test_another_device_leaves_the_tasks_of_the_others_alone(found: Home, on: date) -> None:
    added = home(smoke("ZZ99")).devices
    with_it = found.model_copy(update={"devices": {**found.devices, **added}})

    def of_devices(tasks: tuple[Task, ...]) -> list[Task]:
        return [entry for entry in tasks if entry.tag not in (None, "ZZ99")]

    assert of_devices(schedule(with_it, on)) == of_devices(schedule(found, on))
