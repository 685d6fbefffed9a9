"""Two calendars of one home compared."""

from collections import Counter
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from asfitted.upkeep.compared import TURNS, TaskChange, Turn, compare_tasks
from asfitted.upkeep.intervals import intervals
from asfitted.upkeep.schedule import schedule
from asfitted.upkeep.task import Task
from tests.upkeep.homes import PLACE, home, smoke

DAY = date(2026, 1, 1)
ON = date(2026, 11, 25)
PRESSED = "{{date: {}, kind: service, by: technician 4, tests: {{SA1: {{button: sounded}}, SA2: {{button: sounded}}}}}}"
TWO = f"{smoke('SA1')}, {smoke('SA2')}"


def found(old: str, new: str, visits: tuple[str, str], title: str = "") -> list[TaskChange]:
    """Compare the calendars of two homes, and give the changes of a kind of task."""
    before, after = (schedule(home(devices, day), ON) for devices, day in zip((old, new), visits, strict=True))
    return [change for change in compare_tasks(before, after).changes if title in change.interval.id]


def test_the_same_calendar_has_no_changes() -> None:
    tasks = schedule(home(TWO, PRESSED.format("2026-03-04")), ON)
    compared = compare_tasks(tasks, tasks)
    assert (compared.changes, compared.unchanged) == ((), len(tasks))


def test_what_was_done_again_is_later_and_told_once_for_all_devices() -> None:
    (change,) = found(TWO, TWO, (PRESSED.format("2026-03-04"), PRESSED.format("2026-06-04")), "press-button")
    assert (change.turn, change.tags) == ("later", ("SA1", "SA2"))
    assert change.was is not None
    assert change.now is not None
    assert (change.was.due, change.now.due) == (date(2026, 4, 4), date(2026, 7, 4))
    assert change.days == 91  # 26 days of April, 31, 30, and 4 of July
    assert change.says.endswith("SA1, SA2: due 2026-07-04, was 2026-04-04; done 2026-06-04.")


def test_what_was_shown_not_to_be_done_is_earlier() -> None:
    (change,) = found(TWO, TWO, (PRESSED.format("2026-06-04"), PRESSED.format("2026-03-04")), "press-button")
    assert (change.turn, change.days) == ("earlier", -91)


def test_tasks_of_a_new_device_are_new_and_of_a_removed_one_gone() -> None:
    visit = PRESSED.format("2026-03-04")
    assert {(c.turn, c.tags) for c in found(smoke("SA1"), TWO, (visit, visit))} == {("new", ("SA2",))}
    assert {(c.turn, c.tags) for c in found(TWO, smoke("SA1"), (visit, visit))} == {("gone", ("SA2",))}


def test_a_device_with_another_tag_keeps_its_tasks() -> None:
    visit = PRESSED.format("2026-03-04")
    before, after = schedule(home(smoke("SA1"), visit), ON), schedule(home(smoke("SA2"), visit), ON)
    assert compare_tasks(before, after, {"SA1": "SA2"}).changes == ()
    assert {c.turn for c in compare_tasks(before, after, {}).changes} == {"new", "gone"}


def test_a_removed_device_whose_tag_another_took_is_gone() -> None:
    visit = PRESSED.format("2026-03-04")
    before, after = schedule(home(TWO, visit), ON), schedule(home(smoke("SA2"), visit), ON)
    compared = compare_tasks(before, after, {"SA1": "SA2"})
    assert {(change.turn, change.tags) for change in compared.changes if change.tags} == {("gone", ("SA2",))}


def test_another_interval_on_the_same_day_is_told() -> None:
    keypad = "KP1: {{kind: keypad, {}, battery: {{type: 2 x AA, fitted: {}, life: {}}}}}"
    old, new = keypad.format(PLACE, "2022-05-01", "4 years"), keypad.format(PLACE, "2024-05-01", "2 years")
    (change,) = found(old, new, ("", ""), "battery")
    assert (change.turn, change.days) == ("at another interval", 0)
    assert "due 2026-05-01 as before; every 2 years, was every 4 years" in change.says


def test_tags_are_in_the_order_in_which_people_count() -> None:
    interval = intervals()["press-button"]
    new = [Task(interval, f"SA{n}", None, DAY, "") for n in (10, 2, 1)]
    (change,) = compare_tasks([], new).changes
    assert change.tags == ("SA1", "SA2", "SA10")


MIRROR: dict[Turn, Turn] = {"new": "gone", "gone": "new", "earlier": "later", "later": "earlier"}


def mirrored(change: TaskChange) -> TaskChange:
    return TaskChange(MIRROR.get(change.turn, change.turn), change.tags, change.now, change.was)


@st.composite
def calendars(draw: st.DrawFn) -> list[Task]:
    """Give some tasks, each kind and device once."""
    kinds = list(intervals().values())[:4]
    pairs = draw(st.lists(st.tuples(st.sampled_from(kinds), st.sampled_from(["SA1", "SA2", None])), unique=True))
    day = st.integers(0, 3).map(lambda days: DAY + timedelta(days=days))
    return [Task(kind, tag, draw(st.none() | day), draw(day), "") for kind, tag in pairs]


@settings(max_examples=25)
@given(calendars(), calendars())
def test_comparing_the_other_way_mirrors_and_every_task_is_told_once(old: list[Task], new: list[Task]) -> None:
    there, back = compare_tasks(old, new), compare_tasks(new, old)
    assert there.unchanged == back.unchanged
    assert {mirrored(change) for change in there.changes} == set(back.changes)
    told = Counter((change.interval.id, tag) for change in there.changes for tag in change.tags or (None,))
    keys = {(task.interval.id, task.tag) for task in (*old, *new)}
    assert set(told.values()) <= {1}
    assert told.keys() <= keys
    assert len(told) + there.unchanged == len(keys)
    assert [TURNS.index(change.turn) for change in there.changes] == sorted(
        TURNS.index(change.turn) for change in there.changes
    )
