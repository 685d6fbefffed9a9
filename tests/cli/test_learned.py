"""``asfitted learned`` as the office uses it."""

import json

from tests.conftest import BROKEN, GOOD, Run

ON = ("--on", "2026-11-25")
SERVED = GOOD.replace('"sealed, 10 years"', '{type: "2 x AA [red] `x`", life: 2 years}') + (
    "  - {date: 2026-09-04, kind: call-out, by: technician 1, cause: false alarm, tests: {SA1: {battery: low}}}\n"
)


def test_few_homes_give_their_counts_and_no_figure(run: Run) -> None:
    done = run("learned", *ON, homes={"ash": SERVED})
    assert done.exit_code == 0
    assert "in 1 home: 1 device, 0.5 device-years" in done.stdout
    assert "2 x AA [red] `x`" in done.stdout
    assert "1 in all; of 0 of them" in done.stdout
    assert "There is too little to say anything yet" in done.stdout
    assert "Figures from 5 events and 20 years on" in done.stdout
    assert "makers' lives, rules and local codes come first" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_as_json_every_figure_comes_with_its_counts(run: Run) -> None:
    said = json.loads(run("learned", *ON, "--format", "json", homes={"ash": SERVED}).stdout)
    assert (said["on"], said["homes"], said["least events"], said["least years"]) == ("2026-11-25", 1, 5, 20)
    assert said["rates"] == [
        {"of": of, "by": "kind", "name": "smoke alarm", "events": 1, "years": "0.5", "says": "too few to say"}
        for of in ("False alarms", "Low batteries")
    ]
    assert [(life["name"], life["ended"]) for life in said["lives"]] == [("smoke alarm, 2 x AA [red] `x`", 1)]


def test_a_home_that_cannot_be_used_is_named_and_the_others_are_counted(run: Run) -> None:
    done = run("learned", *ON, homes={"ash": GOOD, "broken": BROKEN})
    assert done.exit_code == 2
    assert "in 1 home:" in done.stdout
    assert "knid" in done.stderr


def test_no_home_at_all_is_no_trouble(run: Run) -> None:
    empty = GOOD[: GOOD.index("devices:")]
    done = run("learned", *ON, homes={"bare": empty})
    assert done.exit_code == 0
    assert "0 devices" in done.stdout
