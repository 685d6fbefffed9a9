"""Dates of a record that contradict one another."""

from pathlib import Path

import pytest

from asfitted.model.dates import date_problems
from asfitted.record.reader import read_text

HEAD = """\
record: 1
home: {label: Flat}
storeys:
  - {id: ground, height: 2.40, rooms: [{id: hall, use: circulation, corner: [0, 0], size: [4, 4]}]}
"""


def told(rest: str) -> list[str]:
    """Give what is wrong with the dates of a record."""
    reading = read_text(f"{HEAD}{rest}\n".encode(), Path("record.yml"))
    assert reading.home, [trouble.sentence for trouble in reading.troubles]
    return [reading.locate(problem).sentence for problem in date_problems(reading.home)]


def visits(*days: str) -> list[str]:
    """Give what is wrong with visits; ``2026-03-05>2026-03-04`` is a correction of the second day."""
    lines = []
    for written in days:
        day, _, corrects = written.partition(">")
        kind = f", corrects: {corrects}" if corrects else ""
        lines.append(f"{{date: {day}, kind: service, by: technician 4{kind}}}")
    return told(f"visits: [{', '.join(lines)}]")


@pytest.mark.parametrize(
    "days",
    [
        (),
        ("2026-03-04",),
        ("2026-03-04", "2026-03-04", "2026-05-01"),
        ("2026-03-04", "2026-03-05>2026-03-04"),
        ("2026-03-04", "2026-03-04>2026-03-04"),
        ("2026-03-04", "2026-03-05>2026-03-04", "2026-03-06>2026-03-05"),
        ("2026-03-04", "2026-06-01>2026-03-04", "2026-05-01"),  # a correction stands where it was written
        ("2026-03-04", "2149-01-01"),  # a visit that is still to come
    ],
)
def test_visits_in_order_and_corrections_of_them_are_right(days: tuple[str, ...]) -> None:
    assert visits(*days) == []


def test_correction_of_a_day_without_a_visit_names_the_nearest() -> None:
    assert visits("2025-03-04", "2026-03-04", "2026-03-09>2026-03-05") == [
        (
            "visits[2].corrects: found 2026-03-05, a day without an earlier visit; expected the day of the visit it corrects. "
            "The nearest one is of 2026-03-04."
        )
    ]


def test_correction_with_nothing_to_correct_is_told() -> None:
    (only,) = visits("2026-03-09>2026-03-05")
    assert only.endswith("Leave “corrects” out: there is none to correct.")


@pytest.mark.parametrize("days", [("2026-03-04>2026-03-04",), ("2026-03-01", "2026-02-01>2026-03-01")])
def test_correction_speaks_neither_of_itself_nor_of_a_later_visit(days: tuple[str, ...]) -> None:
    assert [problem.partition(":")[0] for problem in visits(*days)] == [f"visits[{len(days) - 1}].corrects"]


def test_visit_below_a_later_one_is_told() -> None:
    assert visits("2026-03-04", "2026-01-10", "2026-02-01", "2026-05-01") == [
        f"visits[{place}].date: found the visit of {day} below that of 2026-03-04; expected the visits in the order of "
        "their days, the oldest first. Correct the day, or move the visit up."
        for place, day in ((1, "2026-01-10"), (2, "2026-02-01"))
    ]


def agreed(on: str, until: str) -> list[str]:
    return told(f"variations: [{{rule: r, room: hall, why: narrow, agreed: householder, on: {on}, until: {until}}}]")


def test_variation_may_not_end_before_it_was_agreed() -> None:
    assert agreed("2026-03-04", "2026-03-04") == []
    assert agreed("2026-03-04", "2027-03-04") == []
    assert agreed("2026-03-04", "2026-02-02") == [
        (
            "variations[0].until: found an end on 2026-02-02, 30 days before it was agreed on 2026-03-04; expected an end on "
            "the day it was agreed, or later. Correct one of the two, or leave “until” out if it has no end."
        )
    ]


@pytest.mark.parametrize(
    ("made", "fitted", "wrong"),
    [
        ("2026-03", "2026-03-01", False),
        ("2026-03-20", "2026-03-01", False),  # to the month: a label tells no more
        ("2026-03", "2026-02-28", True),
        ("2026-03", "2030-01-01", False),
    ],
)
def test_device_may_not_be_fitted_before_it_was_made(made: str, fitted: str, *, wrong: bool) -> None:
    problems = told(f"devices: {{SA1: {{kind: smoke alarm, in: hall, made: {made}, fitted: {fitted}}}}}")
    sentence = (
        f"devices.SA1.fitted: found fitted on {fitted}, before it was made in {made}; expected a day in the month it was "
        "made, or later. Read the device again; after an exchange both are those of the new one."
    )
    assert problems == ([sentence] if wrong else [])
