"""Calendars as feeds: names that stay, sequence numbers that rise, and what other programs read in them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta, timezone
from itertools import combinations
from typing import Any

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from asfitted.model.home import Home
from asfitted.upkeep.board import HomePlan, plan_home
from asfitted.upkeep.calendar import calendar, entries, last_change, recurrence
from asfitted.upkeep.calendar_file import Entry, begin, calendar_file, sequence
from asfitted.upkeep.calendar_of_visits import visit_calendar, visit_entries
from asfitted.upkeep.due import coming
from asfitted.upkeep.schedule import schedule
from tests.upkeep.homes import home, smoke

ON = date(2026, 11, 25)
MADE = begin(ON)
OLD = "made: 2026-01, fitted: 2026-03-04"
PANEL = "CU1: {kind: control unit, in: hall, corner: north-east, height: 1.6, fitted: 2026-03-04, standby-battery: yes}"


def read(written: bytes) -> dict[str, Any]:
    """Read the entries of a file by the library, by their names."""
    file: Any = Calendar.from_ical(written)
    found = {str(event["UID"]): event for event in file.walk("VEVENT")}
    assert len(found) == len(file.walk("VEVENT"))
    return found


def feed(found: Home, on: date = ON) -> tuple[Entry, ...]:
    tasks = schedule(found, on)
    return entries("flat", tasks, last_change(found, tasks, on))


def planned(found: Home, on: date = ON, years: int = 2) -> HomePlan:
    return plan_home("flat", found, schedule(found, on), (), on, on.replace(year=on.year + years))


# -- names ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("added", ["AA1", "SA3", "ZZ9"])
def test_a_device_that_joins_a_round_changes_its_title_and_not_its_name(added: str) -> None:
    two = [smoke("SA1", OLD), smoke("SA2", OLD)]
    before = {entry.uid: entry for entry in feed(home(",".join(two)))}
    after = {entry.uid: entry for entry in feed(home(",".join([*two, smoke(added, OLD)])))}
    assert after.keys() - before.keys() == {f"replace-alarm-{added.lower()}@flat.asfitted.invalid"}
    assert before.keys() <= after.keys()
    assert before["press-button@flat.asfitted.invalid"].summary == "Press the test button: SA1, SA2"
    assert added in after["press-button@flat.asfitted.invalid"].summary


def test_a_device_that_falls_out_of_step_gets_a_second_round_and_comes_back_without_a_trace() -> None:
    def rounds(visits: str) -> dict[str, tuple[date, str]]:
        found = home(smoke("SA1", OLD) + "," + smoke("SA2", OLD), visits)
        return {e.uid.split("@")[0]: (e.day, e.summary[-8:]) for e in feed(found) if e.uid.startswith("press")}

    one = "{date: 2026-11-04, kind: household test, by: householder, tests: {SA1: {button: sounded}}}"
    both = "{date: 2026-11-10, kind: household test, by: householder, tests: {SA1: {button: sounded}, SA2: {button: sounded}}}"
    assert rounds("") == {"press-button": (date(2026, 3, 4), "SA1, SA2")}
    assert rounds(one) == {
        "press-button": (date(2026, 3, 4), "ton: SA2"),
        "press-button-2": (date(2026, 12, 4), "ton: SA1"),
    }
    assert rounds(f"{one}, {both}") == {"press-button": (date(2026, 12, 10), "SA1, SA2")}


def test_the_order_of_the_tasks_does_not_show() -> None:
    tasks = schedule(home(",".join(smoke(tag, OLD) for tag in ("SA10", "SA2", "SA1"))), ON)
    assert calendar("flat", "Flat", tasks, MADE) == calendar("flat", "Flat", tasks[::-1], MADE)


def test_what_is_gone_is_left_out_and_nothing_is_called_off() -> None:
    before = home(smoke("SA1", OLD) + "," + smoke("SA2", OLD))
    after = home(smoke("SA1", OLD))
    gone = {e.uid for e in feed(before)} - {e.uid for e in feed(after)}
    assert gone == {"replace-alarm-sa2@flat.asfitted.invalid"}
    assert b"CANCELLED" not in calendar("flat", "Flat", schedule(after, ON), MADE)


# -- sequence numbers --------------------------------------------------------------------------------------------


@dataclass
class Life:
    """A home over the years, as its firm and its household change the record."""

    devices: dict[str, str] = field(default_factory=lambda: {"SA1": "2026-01", "SA2": "2026-01"})
    fitted: dict[str, date] = field(default_factory=dict)
    visits: list[str] = field(default_factory=list)
    panel: bool = True

    def change(self, what: str, tag: str, day: date) -> None:
        if what == "tested":
            self.visits.append(f"{{date: {day}, kind: household test, by: h, tests: {{{tag}: {{button: sounded}}}}}}")
        elif what == "serviced":
            self.visits.append(f"{{date: {day}, kind: service, by: t 1, tests: {{{tag}: {{cleaned: yes}}}}}}")
        elif what == "corrected" and self.visits:
            of = self.visits[-1].split(",")[0].removeprefix("{date: ")
            kind = self.visits[-1].split("kind: ")[1].split(",")[0]
            self.visits.append(f"{{date: {day}, kind: {kind}, by: t 1, corrects: {of}, tests: {{{tag}: {{note: n}}}}}}")
        elif what == "made":
            self.devices[tag] = f"{2015 + day.day % 12}-0{1 + day.month % 9}"
        elif what == "fitted":
            self.devices.setdefault(tag, "2026-01")
            self.fitted[tag] = day
        elif what == "fitted later":
            self.fitted[tag] = day + timedelta(days=20)
        elif what == "gone":
            self.devices.pop(tag, None)

    def home(self) -> Home:
        alarms = [
            smoke(tag, f"made: {made}" + (f", fitted: {self.fitted[tag]}" if tag in self.fitted else ""))
            for tag, made in sorted(self.devices.items())
        ]
        return home(",".join([*alarms, PANEL] if self.panel else alarms), ", ".join(self.visits))


CHANGES = ["tested", "serviced", "corrected", "made", "fitted", "fitted later", "gone", "none"]
STEPS = st.lists(
    st.tuples(
        st.sampled_from(CHANGES),
        st.sampled_from(["SA1", "SA2", "AA1"]),
        st.sampled_from([timedelta(seconds=1), timedelta(hours=5), timedelta(days=1), timedelta(days=40)]),
    ),
    min_size=2,
    max_size=6,
)


def fed(life: Life, now: datetime, zone: timezone, committed: datetime | None) -> tuple[Entry, ...]:
    found, on = life.home(), now.astimezone(zone).date()
    tasks = schedule(found, on)
    made = entries("flat", tasks, last_change(found, tasks, on, committed))
    return (*made, *visit_entries(found, plan_home("flat", found, tasks, (), on, on.replace(year=2029)), on, committed))


@settings(max_examples=60, deadline=None)
@given(
    STEPS,
    st.sampled_from(["git", "a folder"]),
    st.sampled_from(["panel", "none"]),
    st.sampled_from([-11, 0, 1, 14]),
    st.integers(0, 86399),
)
def test_the_sequence_never_falls_and_rises_with_every_change(
    steps: Sequence[tuple[str, str, timedelta]], kept_in: str, panel: str, hours: int, second: int
) -> None:
    """Each step changes the record, commits it where there is git, and makes the feeds; one is made before all."""
    git, zone, life = kept_in == "git", timezone(timedelta(hours=hours)), Life(panel=panel == "panel")
    now = datetime.combine(date(2026, 3, 4), time(), UTC) + timedelta(seconds=second)
    feeds = [fed(life, now, zone, now.astimezone(zone) if git else None)]
    committed = now.astimezone(zone)
    for what, tag, later in steps:
        now += later if git else max(later, timedelta(days=1))  # without git, once a day
        if what != "none":
            life.change(what, tag, now.astimezone(zone).date())
            committed = now.astimezone(zone)
        feeds.append(fed(life, now, zone, committed if git else None))
    for earlier, after in combinations(feeds, 2):
        known = {entry.uid: entry for entry in earlier}
        for new in after:
            if old := known.get(new.uid):
                assert sequence(new.revised) >= sequence(old.revised), (old, new)
                if (old.day, old.rule, old.summary) != (new.day, new.rule, new.summary):
                    assert sequence(new.revised) > sequence(old.revised), (old, new)


def test_nothing_changes_in_the_file_of_a_household_on_a_day_on_which_nothing_happens() -> None:
    found = home(smoke("SA1", OLD), "{date: 2026-03-04, kind: commissioning, by: t 1}")
    committed = datetime(2026, 11, 20, 9, 30, tzinfo=UTC)

    def made(on: date, *, changed: bool = False) -> bytes:
        tasks = schedule(found, on)
        return calendar("flat", "Flat", tasks, last_change(found, tasks, on, committed, changed=changed))

    assert made(ON) == made(ON + timedelta(days=30))
    assert made(ON) != made(ON, changed=True)  # not the record that was committed: the day itself counts


def test_a_sequence_is_a_whole_number_that_the_standard_can_hold() -> None:
    assert sequence(datetime(2020, 1, 1, 0, 1, tzinfo=UTC)) == 60
    assert sequence(datetime(1999, 1, 1, tzinfo=UTC)) == 0
    assert sequence(datetime(8999, 1, 1, tzinfo=UTC)) == 2**31 - 1  # RFC 5545, 3.3.8


def test_a_day_begins_by_the_clock_of_whoever_committed() -> None:
    ahead = timezone(timedelta(hours=14))  # the most of any place: Kiribati, Line Islands (tz database)
    assert begin(ON, datetime(2026, 11, 25, 9, tzinfo=ahead)) == datetime(2026, 11, 24, 10, tzinfo=UTC)
    assert begin(ON) == datetime(2026, 11, 25, tzinfo=UTC)


# -- planned visits ----------------------------------------------------------------------------------------------


def test_every_planned_visit_is_an_all_day_entry_that_says_it_is_not_agreed() -> None:
    found = home(smoke("SA1", "made: 2017-06, fitted: 2026-03-04") + "," + PANEL)
    plan = planned(found)
    made = read(visit_calendar("Firm", visit_entries(found, plan, ON)))
    assert [event["DTSTART"].dt for event in made.values()] == [visit.day for visit in plan.plan.visits]
    first = next(iter(made.values()))
    assert first["DTSTART"].params["VALUE"] == "DATE"
    assert str(first["STATUS"]) == "TENTATIVE"
    assert str(first["SUMMARY"]) == "Visit: Flat"
    assert "Replace the smoke or heat alarm: SA1" in first["DESCRIPTION"]
    assert "Bring: 1 x smoke alarm" in first["DESCRIPTION"]
    assert f"not after {plan.plan.visits[0].not_after}" in first["DESCRIPTION"]


def test_a_visit_that_was_made_leaves_and_the_next_keeps_its_name() -> None:
    devices = smoke("SA1", OLD)
    serviced = "{date: 2027-02-20, kind: service, by: t 1, tests: {SA1: {button: sounded}}}"
    call = "{date: 2027-02-22, kind: call-out, by: t 1}"
    before = [e.uid.split("@")[0] for e in visit_entries(home(devices), planned(home(devices)), ON)]
    done, day = home(devices, f"{serviced}, {call}"), date(2027, 3, 1)
    after = [e.uid.split("@")[0] for e in visit_entries(done, planned(done, day), day)]
    assert before == ["visit-1", "visit-2"]
    assert after[0] == "visit-2"


def test_homes_of_one_firm_have_names_of_their_own() -> None:
    found = home(smoke("SA1", OLD))
    plans = [replace(planned(found), id=name) for name in ("ash", "beech")]
    every = [entry for plan in plans for entry in visit_entries(found, plan, ON)]
    assert len(read(visit_calendar("Firm", every))) == len(every) > 2
    assert visit_calendar("Firm", every) == visit_calendar("Firm", every[::-1])


# -- the file, read by others ------------------------------------------------------------------------------------


def unfolded(written: bytes) -> list[str]:
    return written.decode().replace("\r\n ", "").split("\r\n")


def example(summary: str = "x", description: Sequence[str] = ("x",), rule: str = "") -> Entry:
    return Entry("one@flat.asfitted.invalid", ON, summary, tuple(description), MADE, rule)


def test_text_is_escaped_and_lines_are_folded_as_in_the_standard_s_examples() -> None:
    # RFC 5545, 3.3.11, example (from memory)
    review = example(description=("Project XYZ Final Review", "Conference Room - 3B", "Come Prepared."))
    line = r"DESCRIPTION:Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert line in unfolded(calendar_file("x", [review]))
    # RFC 7986, 5.7: REFRESH-INTERVAL;VALUE=DURATION:P1W (from memory); ours is a day
    assert "REFRESH-INTERVAL;VALUE=DURATION:P1D" in unfolded(calendar_file("x", [review]))
    written = calendar_file("x", [example("a" * 200)])
    assert b"SUMMARY:" + b"a" * 66 + b"\r\n " + b"a" * 74 + b"\r\n " + b"a" * 60 + b"\r\n" in written


def days_of(entry: Entry, until: date) -> Iterator[date]:
    rule: Any = rrulestr(entry.rule, dtstart=datetime.combine(entry.day, time()))
    for moment in rule:
        if moment.date() > until:
            return
        yield moment.date()


def test_the_second_library_counts_the_days_of_every_rule_of_a_feed_as_we_do() -> None:
    until = date(2032, 1, 1)
    found = home(smoke("SA1", "made: 2026-01, fitted: 2026-03-31") + "," + PANEL)
    tasks = {(task.due, recurrence(task)): task for task in schedule(found, ON) if not task.once}
    again = [entry for entry in feed(found) if entry.rule]
    assert {entry.rule for entry in again} >= {"FREQ=MONTHLY;INTERVAL=1;BYMONTHDAY=28,29,30,31;BYSETPOS=-1"}
    for entry in again:
        assert list(days_of(entry, until)) == list(coming(tasks[entry.day, entry.rule], until))


@given(st.text(max_size=150), st.lists(st.text(max_size=90), min_size=1, max_size=3))
def test_whatever_the_text_the_library_reads_it_and_writes_the_same_lines(title: str, lines: list[str]) -> None:
    written = calendar_file(title, [example(title, lines)])
    file: Any = Calendar.from_ical(written)
    assert unfolded(file.to_ical(sorted=True)) == unfolded(written)
    (event,) = file.walk("VEVENT")
    shown = "".join(c for c in " ".join(title.split()) if c.isprintable())
    assert str(event["SUMMARY"]) == shown
    assert max(map(len, written.split(b"\r\n"))) <= 75
    for line in written.split(b"\r\n"):
        line.decode()  # no character is cut in two


def test_the_library_reads_every_kind_of_file_and_writes_the_same_lines() -> None:
    found = home(smoke("SA1", OLD) + "," + PANEL)
    visits = visit_calendar("Firm", visit_entries(found, planned(found), ON))
    for written in (calendar("flat", "Flat", schedule(found, ON), MADE), visits):
        file: Any = Calendar.from_ical(written)
        assert unfolded(file.to_ical(sorted=True)) == unfolded(written)
        assert not file.walk("VTIMEZONE")
