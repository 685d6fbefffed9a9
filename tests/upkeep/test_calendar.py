from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
import recurring_ical_events
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from asfitted.upkeep.calendar import calendar, recurrence, uid
from asfitted.upkeep.calendar_file import begin
from asfitted.upkeep.due import coming, due_by, grouped
from asfitted.upkeep.intervals import intervals
from asfitted.upkeep.schedule import schedule
from asfitted.upkeep.task import Task
from tests.upkeep.homes import home, smoke

STAMP = date(2026, 11, 25)
MADE = begin(STAMP)
UNTIL = date(2035, 12, 31)


def days(*texts: str) -> list[date]:
    return [date.fromisoformat(text) for text in texts]


def counted(starts: date, months: int, tag: str | None = "SA1", weeks: int = 0) -> Task:
    interval = replace(intervals()["press-button"], months=months, weeks=weeks)
    due = next(coming(Task(interval, tag, starts, starts + timedelta(days=1), "", starts), date.max))
    return Task(interval, tag, starts, due, f"since {starts}", starts)


def read_back(written: bytes, until: date = UNTIL) -> dict[str, list[date]]:
    """Read a file as a calendar program would: every day of every event, by the event's name."""
    found: dict[str, list[date]] = {}
    file: Any = Calendar.from_ical(written)
    for event in recurring_ical_events.of(file).between(date(1990, 1, 1), until + timedelta(days=1)):
        found.setdefault(str(event["UID"]), []).append(event["DTSTART"].dt)
    return {name: sorted(dates) for name, dates in found.items()}


# -- what the standard and two libraries say of recurrence ---------------------------------------------------

# Start, rule, days. RFC 5545, 3.8.5.3, examples (the lists as in public test suites that copy them); the rest, from
# 2024 on and 2096, follow from 3.3.10: "invalid dates are ignored and not counted".
RECURRENCES = [
    (
        "2007-01-15",
        "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
        days("2007-01-15", "2007-01-30", "2007-02-15", "2007-03-15", "2007-03-30"),
    ),
    (
        "1997-09-28",
        "FREQ=MONTHLY;BYMONTHDAY=-3;COUNT=6",
        days("1997-09-28", "1997-10-29", "1997-11-28", "1997-12-29", "1998-01-29", "1998-02-26"),
    ),
    (
        "1997-09-30",
        "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
        days(
            "1997-09-30",
            "1997-10-01",
            "1997-10-31",
            "1997-11-01",
            "1997-11-30",
            "1997-12-01",
            "1997-12-31",
            "1998-01-01",
            "1998-01-31",
            "1998-02-01",
        ),
    ),
    (
        "1997-09-29",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2;COUNT=7",
        days("1997-09-29", "1997-10-30", "1997-11-27", "1997-12-30", "1998-01-29", "1998-02-26", "1998-03-30"),
    ),
    (
        "1997-08-05",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        days("1997-08-05", "1997-08-10", "1997-08-19", "1997-08-24"),
    ),
    (
        "1997-08-05",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        days("1997-08-05", "1997-08-17", "1997-08-19", "1997-08-31"),
    ),
    (
        "1997-09-05",
        "FREQ=MONTHLY;COUNT=4;BYDAY=1FR",
        days("1997-09-05", "1997-10-03", "1997-11-07", "1997-12-05"),
    ),
    (
        "1997-09-22",
        "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
        days("1997-09-22", "1997-10-20", "1997-11-17", "1997-12-22", "1998-01-19", "1998-02-16"),
    ),
    (
        "1997-05-12",
        "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO;COUNT=3",
        days("1997-05-12", "1998-05-11", "1999-05-17"),
    ),
    (
        "1997-01-01",
        "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200",
        days("1997-01-01", "1997-04-10", "1997-07-19", "2000-01-01", "2000-04-09", "2000-07-18")
        + days("2003-01-01", "2003-04-10", "2003-07-19", "2006-01-01"),
    ),
    (
        "1996-11-05",
        "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8;COUNT=3",
        days("1996-11-05", "2000-11-07", "2004-11-02"),
    ),
    ("2096-02-29", "FREQ=YEARLY;COUNT=3", days("2096-02-29", "2104-02-29", "2108-02-29")),
    (
        "2025-11-30",
        "FREQ=MONTHLY;INTERVAL=3;COUNT=5",
        days("2025-11-30", "2026-05-30", "2026-08-30", "2026-11-30", "2027-05-30"),
    ),
    (
        "2024-01-31",
        "FREQ=MONTHLY;COUNT=6",
        days("2024-01-31", "2024-03-31", "2024-05-31", "2024-07-31", "2024-08-31", "2024-10-31"),
    ),
    (
        "2024-01-31",
        "FREQ=MONTHLY;BYMONTHDAY=-1;COUNT=6",
        days("2024-01-31", "2024-02-29", "2024-03-31", "2024-04-30", "2024-05-31", "2024-06-30"),
    ),
    ("2024-02-29", "FREQ=YEARLY;COUNT=4", days("2024-02-29", "2028-02-29", "2032-02-29", "2036-02-29")),
    (
        "2024-02-29",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=-1;COUNT=5",
        days("2024-02-29", "2025-02-28", "2026-02-28", "2027-02-28", "2028-02-29"),
    ),
    ("2025-08-31", "FREQ=MONTHLY;INTERVAL=6;COUNT=4", days("2025-08-31", "2026-08-31", "2027-08-31", "2028-08-31")),
    (
        "2023-01-31",
        "FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1;COUNT=4",
        days("2023-01-31", "2023-02-28", "2023-03-31", "2023-04-30"),
    ),
]


@pytest.mark.parametrize(("start", "rule", "expected"), RECURRENCES)
def test_two_libraries_read_recurrence_as_the_standard_does(start: str, rule: str, expected: list[date]) -> None:
    first = datetime.combine(date.fromisoformat(start), time())
    assert [moment.date() for moment in rrulestr(rule, dtstart=first)] == expected
    written = (
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:test\r\nBEGIN:VEVENT\r\nUID:one\r\nDTSTAMP:20260101T000000Z\r\n"
        f"DTSTART;VALUE=DATE:{first:%Y%m%d}\r\nRRULE:{rule}\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    assert read_back(written.encode(), date(2110, 1, 1)) == {"one": expected}


# -- our file, read back --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("starts", "months", "expected"),
    [
        # the trap: plain six months from 31 August would skip every February and come once a year (RFC 5545, 3.3.10)
        ("2025-08-31", 6, days("2026-02-28", "2026-08-31", "2027-02-28", "2027-08-31", "2028-02-29")),
        ("2025-01-31", 1, days("2025-02-28", "2025-03-31", "2025-04-30", "2025-05-31", "2025-06-30")),
        ("2025-01-29", 1, days("2025-02-28", "2025-03-29", "2025-04-29", "2025-05-29", "2025-06-29")),
        ("2025-01-28", 1, days("2025-02-28", "2025-03-28", "2025-04-28", "2025-05-28", "2025-06-28")),
        ("2025-11-30", 3, days("2026-02-28", "2026-05-30", "2026-08-30", "2026-11-30", "2027-02-28")),
        ("2024-02-29", 12, days("2025-02-28", "2026-02-28", "2027-02-28", "2028-02-29", "2029-02-28")),
        ("2024-02-29", 48, days("2028-02-29", "2032-02-29", "2036-02-29", "2040-02-29", "2044-02-29")),
    ],
)
def test_no_month_is_skipped_in_a_file_of_ours(starts: str, months: int, expected: list[date]) -> None:
    entry = counted(date.fromisoformat(starts), months)
    (found,) = read_back(calendar("millrace", "Home", [entry], MADE), date(2045, 1, 1)).values()
    assert found[:5] == expected
    assert list(coming(entry, date(2045, 1, 1))) == found


@given(st.dates(date(2019, 1, 1), date(2026, 12, 31)), st.sampled_from([1, 2, 3, 6, 12, 18, 24, 48]))
def test_a_calendar_program_sees_the_days_that_we_count(starts: date, months: int) -> None:
    entry = counted(starts, months)
    assert read_back(calendar("millrace", "Home", [entry], MADE)) == {
        uid("millrace", "press-button"): list(coming(entry, UNTIL))
    }


def test_weekly_tasks_and_tasks_that_come_once() -> None:
    weekly = counted(date(2026, 3, 4), 0, weeks=2)
    assert recurrence(weekly) == "FREQ=WEEKLY;INTERVAL=2"
    (found,) = read_back(calendar("millrace", "Home", [weekly], MADE), date(2026, 4, 30)).values()
    assert found == days("2026-03-18", "2026-04-01", "2026-04-15", "2026-04-29")
    once = Task(intervals()["replace-alarm"], "SA1", None, date(2036, 1, 31), "", date(2026, 1, 31))
    assert read_back(calendar("millrace", "Home", [once], MADE), date(2050, 1, 1)) == {
        "replace-alarm-sa1@millrace.asfitted.invalid": [date(2036, 1, 31)]
    }
    assert list(coming(once, date(2036, 1, 30))) == []


def test_the_file_of_a_home_holds_every_task_once() -> None:
    facts = "made: 2026-01, fitted: 2026-03-04"
    tasks = schedule(home(smoke("SA1", facts) + "," + smoke("SA2", facts)), STAMP)
    file: Any = Calendar.from_ical(calendar("millrace", "Home", tasks, MADE))
    assert (file["PRODID"], file["VERSION"], file["X-WR-CALNAME"]) == (
        "-//asfitted//upkeep of a home//EN",
        "2.0",
        "Home",
    )
    events = {str(event["UID"]).split("@")[0]: event for event in file.walk("VEVENT")}
    assert set(events) == {
        "press-button",
        "clean-alarm",
        "replace-alarm-sa1",
        "replace-alarm-sa2",
        "service",
        "commission",
    }
    press = events["press-button"]
    assert str(press["SUMMARY"]) == "Press the test button: SA1, SA2"
    assert press["DTSTART"].dt == date(2026, 3, 4)
    assert press["DTSTART"].params["VALUE"] == "DATE"
    assert press["DTSTAMP"].to_ical() == b"20261125T000000Z"
    assert press["RRULE"].to_ical() == b"FREQ=MONTHLY;INTERVAL=1"
    assert "never test with a naked flame" in press["DESCRIPTION"]
    assert "fitted on 2026-03-04" in press["DESCRIPTION"]
    assert str(events["service"]["SUMMARY"]).endswith("(technician)")
    assert not file.walk("VALARM")


def test_same_input_gives_the_same_bytes_and_lines_are_short_and_ended_as_the_standard_asks() -> None:
    tasks = schedule(home(smoke(more="made: 2026-01")), STAMP)
    written = calendar("millrace", "Häuschen " * 20, tasks, MADE)
    assert written == calendar("millrace", "Häuschen " * 20, tasks, MADE)
    lines = written.split(b"\r\n")
    assert lines[-1] == b""
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(map(len, lines)) == 75  # RFC 5545, 3.1: 75 octets without the line break
    for line in lines:
        line.decode()  # no character is cut in two


HOSTILE = [
    "Mill\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:evil",
    "a\nATTACH:file",
    "a\rATTACH:file",
    "a\u2028ATTACH:file\x85ATTACH:file\x0bATTACH:file",
    'semi;colon,comma\\nback\\slash"quote',
    "BEGIN:VEVENT",
    "\x00\x1b[31m",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_cannot_add_a_property(text: str) -> None:
    entry = counted(date(2026, 3, 4), 1)
    interval = replace(entry.interval, title=text, how=text)
    hostile = replace(entry, interval=interval, tag=text, because=text)
    written = calendar(text, text, [hostile], MADE)
    file: Any = Calendar.from_ical(written)
    (event,) = file.walk("VEVENT")
    assert set(file) == {"PRODID", "VERSION", "NAME", "X-WR-CALNAME", "REFRESH-INTERVAL", "X-PUBLISHED-TTL"}
    assert set(event) == {
        "UID",
        "DTSTAMP",
        "LAST-MODIFIED",
        "SEQUENCE",
        "DTSTART",
        "SUMMARY",
        "DESCRIPTION",
        "TRANSP",
        "RRULE",
    }
    unfolded = written.decode().replace("\r\n ", "")
    assert len(unfolded.splitlines()) == 6 + 1 + 9 + 1 + 2
    assert not event.errors


@given(st.text(max_size=80))
def test_no_text_whatever_adds_a_line(text: str) -> None:
    entry = replace(counted(date(2026, 3, 4), 1), because=text)
    plain = calendar("millrace", "x", [replace(entry, because="x")], MADE)
    written = calendar("millrace", text, [entry], MADE)

    def properties(file: bytes) -> list[str]:
        return [line.split(":")[0] for line in file.decode().replace("\r\n ", "").splitlines()]

    assert properties(written) == properties(plain)


# -- due together, by a day -----------------------------------------------------------------------------------


def test_what_is_due_together_is_one_group_with_its_tags_in_the_order_of_their_numbers() -> None:
    march = date(2026, 3, 4)
    tasks = [counted(march, 1, tag) for tag in ("SA10", "SA2", "CO1")] + [counted(date(2026, 3, 5), 1, "SA3")]
    assert [group.tags for group in grouped(tasks)] == [("CO1", "SA2", "SA10"), ("SA3",)]
    assert grouped(tasks) == grouped(tasks[::-1])


def test_tasks_that_meet_in_february_and_part_in_march_stay_apart() -> None:
    tasks = [counted(date(2026, 1, 31), 1, "SA1"), counted(date(2026, 1, 28), 1, "SA2")]
    assert {entry.due for entry in tasks} == {date(2026, 2, 28)}
    found = read_back(calendar("millrace", "Home", tasks, MADE), date(2026, 3, 31))
    assert sorted(found.values()) == [days("2026-02-28", "2026-03-28"), days("2026-02-28", "2026-03-31")]


def test_a_task_of_the_system_has_no_tags() -> None:
    (group,) = grouped([replace(counted(date(2026, 3, 4), 1), tag=None)])
    assert group.tags == ()


def test_due_by_a_day_includes_the_day() -> None:
    entry = counted(date(2026, 3, 4), 1)
    assert due_by([entry], entry.due) == (entry,)
    assert due_by([entry], entry.due - timedelta(days=1)) == ()
