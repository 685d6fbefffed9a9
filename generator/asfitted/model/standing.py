"""The visits as they stand: corrections applied, since the record itself is append-only."""

from collections.abc import Iterable, Sequence
from datetime import date

from asfitted.model.device import Device
from asfitted.model.visit import Test, Visit


def standing(visits: Iterable[Visit], on: date) -> tuple[Visit, ...]:
    """Give the visits made by a day, each under the day it was made, with corrections applied.

    A visit dated after ``on`` counts as not yet made, and so does a correction written after ``on``. A
    correction speaks of the day it corrects: for every device it names, tested or not tested, it says the
    whole of what was done on that day, and its kind takes the place of the corrected visit's. What it does
    not name stands. A later correction beats an earlier one; of two written on one day, the one further down
    the record.
    """
    known = [visit for visit in visits if visit.date <= on and (visit.corrects or visit.date) <= on]
    plain = [visit for visit in known if visit.corrects is None]
    corrections = sorted((visit for visit in known if visit.corrects), key=lambda visit: visit.date)
    days = {visit.date for visit in plain}
    behind = {
        visit.date: visit.corrects
        for visit in corrections
        if visit.corrects and visit.corrects < visit.date and visit.date not in days
    }
    found = plain
    for correction in corrections:
        day = correction.corrects or correction.date
        while day in behind:  # a correction of a correction speaks of the day the first one spoke of
            day = behind[day]
        same_kind = any(visit.date == day and visit.kind == correction.kind for visit in found)
        named = {*correction.tests, *(item.device for item in correction.not_tested if item.device)}
        found = [
            visit.model_copy(
                update={
                    "kind": correction.kind,
                    "tests": {tag: test for tag, test in visit.tests.items() if tag not in named},
                }
            )
            if visit.date == day and (visit.kind == correction.kind or not same_kind)
            else visit
            for visit in found
        ]
        found.append(correction.model_copy(update={"date": day, "corrects": None}))
    return tuple(sorted(found, key=lambda visit: visit.date))


def tests_of(tag: str, device: Device, visits: Sequence[Visit]) -> list[tuple[Visit, Test]]:
    """Give the tests of a device since it was fitted, in the order of the visits: one before was made on another.

    Args:
        tag: the device's tag.
        device: the device as it is now.
        visits: as :func:`standing` gives them.
    """
    return [
        (visit, visit.tests[tag])
        for visit in visits
        if tag in visit.tests and (device.fitted is None or visit.date >= device.fitted)
    ]
