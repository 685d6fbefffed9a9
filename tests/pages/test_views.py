"""What the views choose and how they say it."""

from datetime import date
from types import NoneType
from typing import Literal, get_args, get_origin

import pytest

from asfitted.model.device import Battery
from asfitted.model.visit import Test as Reading
from asfitted.model.words import DEVICE_KINDS, VisitKind
from asfitted.pages.views.dates import jobs, next_days, rounds, year_ahead
from asfitted.pages.views.devices import device_cards
from asfitted.pages.views.rooms import room_views, ways_out
from asfitted.pages.views.visits import visit_lines
from asfitted.pages.wording import (
    as_shown,
    battery_words,
    counted,
    kinds,
    listed,
    place_words,
    result_words,
    results,
    span,
    visit_words,
)
from asfitted.upkeep.task import Interval, Task, Who
from tests.pages.homes import ON, RECORD, dossier, home

YEAR = 365.25 * 86400


def task(
    name: str, due: date, *, months: int = 1, weeks: int = 0, tag: str | None = "SA1", who: Who = "household"
) -> Task:
    interval = Interval(name, name.capitalize(), "how", who, ("smoke alarm",), months, weeks, "none", "common practice")
    return Task(interval, tag, None, due, "because", due)


def test_every_kind_of_device_and_visit_has_plain_words() -> None:
    assert set(kinds()) == set(DEVICE_KINDS)
    for words in kinds().values():
        assert words.test
        assert words.family in ("fire", "gas", "intruder", "water", "system")
    assert all(visit_words(kind) for kind in get_args(VisitKind))


@pytest.mark.parametrize("field", sorted(results()))
def test_every_result_a_record_may_hold_has_plain_words(field: str) -> None:
    kind = Reading.model_fields[field].annotation
    words = {value for part in (kind, *get_args(kind)) if get_origin(part) is Literal for value in get_args(part)}
    expected = words or ({"yes"} if "bool" in repr(kind) else {"given"})
    assert expected <= set(results()[field])


def test_every_result_that_proves_something_is_told() -> None:
    told = set(results())
    plain = {"level", "at_one_metre", "doors", "steps", "at", "gap", "held_for", "charging", "signal", "note"}
    assert set(Reading.model_fields) - told == plain
    assert NoneType in get_args(Reading.model_fields["button"].annotation)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (8, "8 seconds"),
        (90, "90 seconds"),
        (60, "1 minute"),
        (12 * 3600, "12 hours"),
        (10 * YEAR, "10 years"),
        (2.5, "2.5 seconds"),
    ],
)
def test_a_span_is_told_in_its_largest_whole_unit(seconds: float, words: str) -> None:
    assert span(seconds) == words


def test_counts_and_lists_read_as_sentences_do() -> None:
    assert counted(1, "device", "devices") == "one device"
    assert counted(13, "device", "devices") == "13 devices"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed([]) == ""


def test_a_sealed_battery_is_never_to_be_changed() -> None:
    assert (
        battery_words(Battery(type="sealed", life=10 * YEAR))
        == "Sealed in for life, said to last 10 years; never to be changed"
    )
    assert battery_words(Battery(type="2 x AA", life=2 * YEAR)) == "2 x AA, said to last 2 years"
    assert battery_words(None) == ""


def test_places_are_told_so_that_someone_in_the_room_finds_the_device() -> None:
    of = dossier(home())
    told = {tag: place_words(of.dwelling, spot) for tag, spot in of.dwelling.spots.items()}
    assert told["SA1"] == "On the ceiling of the living room, ground floor"
    assert told["CO1"] == "On the east wall of the living room, ground floor"
    assert told["MD1"] == "In a corner of the living room, ground floor"
    assert told["OC1"] == "On the front door, hall, ground floor"
    assert told["OS1"] == "Outside, on the south wall of the hall, ground floor"


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("Test it, as you were shown, so that all know.", "Test it (ask your installer how) so that all know."),
        ("Test it as you were shown, then stop.", "Test it (ask your installer how), then stop."),
        ("Test it, as you were shown.", "Test it (ask your installer how)."),
    ],
)
def test_an_instruction_points_to_the_installer_where_nobody_was_shown(text: str, asked: str) -> None:
    assert as_shown(text, shown=False) == asked
    assert as_shown(text, shown=True) == text


def test_readings_are_told_in_plain_words() -> None:
    assert result_words(Reading(button="sounded", smoke=8)) == [
        "the test button made it sound",
        "it sounded after 8 seconds in test smoke",
    ]
    assert result_words(Reading(sounded=False, battery=2.9)) == [
        "it stayed silent when the control unit told it to sound"
    ]


def test_devices_stand_room_by_room_and_say_how_they_did() -> None:
    cards = device_cards(dossier(home()))
    assert [card.tag for card in cards] == ["OC1", "OS1", "CU1", "SA1", "CO1", "MD1", "SA2"]
    assert {card.tag: card.state for card in cards} == {
        "OC1": "works", "OS1": "untested", "CU1": "works", "SA1": "works", "CO1": "works", "MD1": "works", "SA2": "fails",
    }  # fmt: skip


def test_only_rooms_with_devices_have_a_page() -> None:
    of = dossier(home(RECORD.replace("on: ceiling of bedroom", "on: ceiling of living")))
    assert [room.id for room in room_views(of.dwelling, device_cards(of))] == ["hall", "living"]


def test_the_ways_out_are_the_outer_doors() -> None:
    [way] = ways_out(dossier(home()).dwelling)
    assert (way.name, way.room, way.to) == ("Front door", "hall, ground floor", "outside")


def test_devices_that_did_alike_stand_together_at_a_visit() -> None:
    record = RECORD.replace("SA1: {button: sounded, smoke: 8 s, link: all sounded}", "SA1: {button: sounded}").replace(
        "SA2: {button: silent}", "SA2: {button: sounded}"
    )
    [visit] = visit_lines(dossier(home(record)))
    assert visit.tested[0].tags == ("SA1", "SA2")
    assert visit.tested[0].name == "Smoke alarms, each"


def test_a_visit_after_the_day_of_the_pages_is_not_shown() -> None:
    assert visit_lines(dossier(home(), on=date(2026, 3, 3))) == ()


def test_what_was_missed_again_and_again_stands_once() -> None:
    missed = task("press", date(2026, 1, 10))
    days = [job.due for job in jobs([missed], ON, date(2026, 5, 31))]
    assert days == [date(2026, 1, 10), date(2026, 3, 10), date(2026, 4, 10), date(2026, 5, 10)]


def test_the_next_days_are_three_different_days() -> None:
    tasks = [
        task("press", date(2026, 4, 1)),
        task("walk", date(2026, 4, 1), tag="MD1"),
        task("serve", date(2026, 4, 20), months=12, tag=None, who="technician"),
    ]
    days = next_days(tasks, ON)
    assert [day.due for day in days] == [date(2026, 4, 1), date(2026, 4, 20)]
    assert days[0].monthly == ("SA1", "MD1")
    assert days[0].jobs == ()
    assert [job.interval.id for job in days[1].jobs] == ["serve"]


def test_a_monthly_round_stands_once_and_lets_rarer_things_be_seen() -> None:
    tasks = [
        task("press", date(2026, 4, 1)),
        task("walk", date(2026, 4, 1), tag="MD1"),
        task("clean", date(2026, 9, 1), months=6),
        task("serve", date(2027, 2, 20), months=12, tag=None, who="technician"),
    ]
    assert [day.due for day in next_days(tasks, ON)] == [date(2026, 4, 1), date(2026, 9, 1), date(2027, 2, 20)]


def test_the_year_ahead_includes_the_same_day_a_year_on_and_nothing_after_it() -> None:
    tasks = [task("serve", date(2027, 3, 10), months=12), task("clean", date(2027, 3, 11), months=12)]
    found = [day for month in year_ahead(tasks, ON) for day in month.days]
    assert [(day.due, [job.interval.id for job in day.jobs]) for day in found] == [(date(2027, 3, 10), ["serve"])]


def test_a_single_monthly_test_keeps_its_name() -> None:
    [day] = next_days([task("press", date(2026, 4, 1))], ON)
    assert day.monthly == ()
    assert day.jobs[0].which == "SA1"


def test_the_year_ahead_holds_what_is_overdue_in_its_first_month_and_leaves_out_what_is_weekly() -> None:
    tasks = [task("serve", date(2026, 2, 1), months=12), task("look", date(2026, 3, 12), months=0, weeks=1)]
    year = year_ahead(tasks, ON)
    assert [month.first for month in year] == [date(2026 + m // 12, m % 12 + 1, 1) for m in range(2, 15)]
    assert [[day.due for day in month.days] for month in year if month.days] == [[date(2026, 2, 1)], [date(2027, 2, 1)]]


def test_tasks_of_one_kind_stand_together_with_each_day_they_are_due() -> None:
    tasks = [
        task("press", date(2026, 4, 1)),
        task("press", date(2026, 4, 9), tag="SA2"),
        task("serve", date(2026, 4, 2), who="technician"),
    ]
    [found] = rounds(tasks, "household", ON)
    assert [(job.due, job.tags) for job in found.jobs] == [(date(2026, 4, 1), ("SA1",)), (date(2026, 4, 9), ("SA2",))]
