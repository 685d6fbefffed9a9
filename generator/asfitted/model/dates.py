"""Dates of a record that contradict one another."""

from collections.abc import Iterator
from datetime import date

from asfitted.model.base import Problem
from asfitted.model.home import Home


def date_problems(home: Home) -> list[Problem]:
    """Find dates that contradict one another, whatever day it is: a date that is still to come is none of them."""
    return [*_corrections(home), *_order_of_visits(home), *_variations(home), *_fittings(home)]


def _corrections(home: Home) -> Iterator[Problem]:
    for index, visit in enumerate(home.visits):
        others = (*home.visits[:index], *home.visits[index + 1 :])
        earlier = sorted({other.date for other in others if other.date <= visit.date})
        if visit.corrects and visit.corrects not in earlier:
            yield Problem(
                ("visits", index, "corrects"),
                f"{visit.corrects}, a day without an earlier visit",
                "the day of the visit it corrects",
                _nearest(visit.corrects, earlier),
            )


def _nearest(day: date, days: list[date]) -> str:
    if not days:
        return "Leave “corrects” out: there is none to correct."
    return f"The nearest one is of {min(days, key=lambda other: abs(other - day))}."


def _order_of_visits(home: Home) -> Iterator[Problem]:
    """Visits are only ever added below; a correction may be written at any time after what it corrects."""
    latest: date | None = None
    for index, visit in enumerate(home.visits):
        if visit.corrects is not None:
            continue
        if latest and visit.date < latest:
            yield Problem(
                ("visits", index, "date"),
                f"the visit of {visit.date} below that of {latest}",
                "the visits in the order of their days, the oldest first",
                "Correct the day, or move the visit up.",
            )
        latest = max(latest or visit.date, visit.date)


def _variations(home: Home) -> Iterator[Problem]:
    for index, agreed in enumerate(home.variations):
        if agreed.until and agreed.until < agreed.on:
            yield Problem(
                ("variations", index, "until"),
                f"an end on {agreed.until}, {(agreed.on - agreed.until).days} days before it was agreed on {agreed.on}",
                "an end on the day it was agreed, or later",
                "Correct one of the two, or leave “until” out if it has no end.",
            )


def _fittings(home: Home) -> Iterator[Problem]:
    for tag, device in home.devices.items():
        if device.fitted and device.made and device.fitted < device.made.replace(day=1):
            yield Problem(
                ("devices", tag, "fitted"),
                f"fitted on {device.fitted}, before it was made in {device.made:%Y-%m}",
                "a day in the month it was made, or later",
                "Read the device again; after an exchange both are those of the new one.",
            )
