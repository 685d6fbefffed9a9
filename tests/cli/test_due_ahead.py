"""The visits and purchases ahead, as ``asfitted due`` prints them."""

import csv
import io
import json

import pytest

from tests.conftest import BROKEN, GOOD, Run

ON = ("--on", "2026-11-25")
OLD = GOOD.replace("made: 2026-01", "made: 2017-06")


def test_visits_are_listed_with_their_windows_and_what_to_bring_in_80_columns(run: Run) -> None:
    done = run("due", "--visits", "--years", "2", *ON, homes={"old": OLD})
    assert done.exit_code == 0
    assert done.stdout.splitlines() == [
        "old",
        "  2 visits up to 2028-11-25; no plan has fewer.",
        "  2027-03-04  not before 2026-12-04, not after 2027-03-04",
        "    Have the whole system serviced",
        "    Replace the smoke or heat alarm: SA1",
        "    Bring: 1 x smoke alarm",
        "  2028-03-04  not before 2027-12-04, not after 2028-03-04",
        "    Have the whole system serviced",
    ]
    assert max(map(len, done.stdout.splitlines())) < 80


def test_visits_as_json_say_for_each_task_when_it_may_be_done(run: Run) -> None:
    said = json.loads(run("due", "old", "--visits", "--format", "json", *ON, homes={"old": OLD}).stdout)
    (home,) = said["homes"]
    assert (said["on"], said["until"], home["home"], home["proven"]) == ("2026-11-25", "2029-11-25", "old", True)
    alarm = home["visits"][0]["tasks"][-1]
    assert alarm == {
        "id": "replace-alarm-sa1",
        "title": "Replace the smoke or heat alarm",
        "on": "SA1",
        "earliest": "2026-06-01",
        "due": "2027-06-01",
        "latest": "2027-06-01",
    }
    assert home["visits"][0]["parts"] == [{"kind": "device", "name": "smoke alarm", "count": 1}]


def test_visits_as_csv_have_a_row_a_task(run: Run) -> None:
    said = run("due", "--visits", "--years", "1", "--format", "csv", *ON, homes={"old": OLD}).stdout
    rows = list(csv.DictReader(io.StringIO(said)))
    assert [(row["home"], row["visit"], row["on"], row["latest"]) for row in rows] == [
        ("old", "2027-03-04", "system", "2027-03-04"),
        ("old", "2027-03-04", "SA1", "2027-06-01"),
    ]


@pytest.mark.parametrize("form", ["text", "csv", "json"])
def test_a_forecast_counts_what_to_buy_by_quarter_and_text_of_a_record_stays_text(run: Run, form: str) -> None:
    sensor = "  MD1: {kind: motion detector, in: cabin, corner: north-east, height: 2.1, fitted: 2026-03-04, battery: {type: '2 x =AA', life: 1 year}}\nvisits:"
    said = run(
        "due", "--forecast", "--years", "1", "--format", form, *ON, homes={"old": OLD.replace("visits:", sensor)}
    )
    assert said.exit_code == 0
    if form == "text":
        assert [line.split() for line in said.stdout.splitlines()[3:5]] == [
            ["2027", "Q1", "technician", "device", "smoke", "alarm", "1"],
            ["2027", "Q1", "household", "battery", "=AA", "2"],
        ]
    elif form == "csv":
        assert said.stdout.splitlines()[2] == "2027 Q1,household,battery,'=AA,2"
    else:
        assert json.loads(said.stdout)["quarters"][1] == {
            "quarter": "2027 Q1", "task of": "household", "kind": "battery", "what": "=AA", "count": 2,
        }  # fmt: skip


def test_one_broken_home_does_not_stop_the_others_and_the_exit_status_says_so(run: Run) -> None:
    done = run("due", "--visits", *ON, homes={"old": OLD, "broken": BROKEN})
    assert done.exit_code == 2
    assert done.stdout.startswith("old\n")
    assert "knid" in done.stderr


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--visits", "--forecast"], "two lists"),
        (["--visits", "--by", "2027-01-01"], "--years"),
        (["--forecast", "--who", "household"], "--who"),
        (["--format", "json"], "belongs to"),
        (["--visits", "--years", "0"], "1<=x<=20"),
    ],
)
def test_options_that_do_not_go_together_are_refused(run: Run, options: list[str], says: str) -> None:
    done = run("due", *options, *ON, homes={"old": OLD})
    assert done.exit_code == 2
    assert says in done.stderr


def test_nothing_ahead_is_said(run: Run) -> None:
    empty = GOOD[: GOOD.index("devices:")]
    assert "No visit up to 2027-11-25" in run("due", "--visits", "--years", "1", *ON, homes={"bare": empty}).stdout
    assert run("due", "--forecast", "--years", "1", *ON).stdout == "Nothing is wanted by 2027-11-25.\n"
