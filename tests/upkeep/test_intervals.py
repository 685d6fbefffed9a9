import pytest

from asfitted.model.words import DEVICE_KINDS
from asfitted.upkeep.intervals import intervals, read_intervals

GOOD = """
[press]
title = "Press"
how = "Press it."
who = "household"
applies-to = ["smoke alarm"]
months = 1
weeks = 0
tested-by = ["button"]
source = "common practice, no source"
status = "common practice"
early = "14 days"
late = "none"
window-source = "common practice, no source"
window-status = "common practice"
"""


def test_every_kind_of_device_can_reach_the_end_of_its_life() -> None:
    ends = [kind for i in intervals().values() if i.counts_from == "made" for kind in i.applies_to]
    assert sorted(ends) == sorted(DEVICE_KINDS)


@pytest.mark.parametrize(
    ("name", "months", "life", "status"),
    [
        # Lincolnshire County Council, fire alarms and carbon monoxide detectors: at least monthly (read)
        ("press-button", 1, 0, "read"),
        # Royal Berkshire Fire and Rescue Service, smoke alarms (read): vacuum twice a year, change the batteries once
        # a year unless it is a ten-year alarm, replace the entire alarm every ten years
        ("clean-alarm", 6, 0, "read"),
        ("change-alarm-battery", 12, 0, "read"),
        ("replace-alarm", 0, 120, "read"),
        ("replace-carbon-monoxide-alarm", 0, 84, "from memory"),
        ("change-standby-battery", 48, 0, "common practice"),  # common practice, no source
        ("service", 12, 0, "from memory"),  # BS 9263:2016, 6.4, from memory
    ],
)
def test_intervals_are_those_of_their_sources(name: str, months: int, life: int, status: str) -> None:
    interval = intervals()[name]
    assert (interval.months, interval.life_months, interval.status) == (months, life, status)


def test_what_was_read_says_where_and_work_that_can_hurt_carries_its_caution() -> None:
    for interval in intervals().values():
        assert interval.address or interval.status != "read" or "record" in interval.source, interval.id
    assert "never test with a naked flame" in intervals()["press-button"].how
    assert "ear protection" in intervals()["sound-sounder"].how
    for name in ("replace-alarm", "hold-without-mains", "change-standby-battery", "service"):
        assert "competent electrician" in intervals()[name].how


def test_a_good_table_is_read_with_its_readings_as_the_record_spells_them() -> None:
    (interval,) = read_intervals(GOOD.replace('["button"]', '["mains-off"]')).values()
    assert interval.tested_by == ("mains_off",)
    assert interval.every == "every month"


@pytest.mark.parametrize(
    ("old", "new", "named"),
    [
        ('"household"', '"milkman"', "who"),
        ('"smoke alarm"', '"smok alarm"', "applies-to"),
        ('["button"]', '["buton"]', "tested-by"),
        ('\nstatus = "common practice"', '\nstatus = "sure"', "status"),
        ('"none"', '"a while"', "late"),
        ('"14 days"', '"1 month"', "early"),
        ('window-status = "common practice"', 'window-status = "sure"', "window-status"),
        ('window-source = "common practice, no source"', 'window-source = ""', "window-source"),
        ("weeks = 0", "weeks = 1", "months or weeks"),
        ("months = 1", "months = -1", "below 0"),
        ('how = "Press it."', 'how = ""', "how"),
        ("months = 1", "month = 1", "month"),
    ],
)
def test_a_wrong_word_in_the_data_is_refused_by_name(old: str, new: str, named: str) -> None:
    with pytest.raises(ValueError, match=named) as caught:
        read_intervals(GOOD.replace(old, new))
    assert str(caught.value).startswith("press: ")


@pytest.mark.parametrize(
    ("months", "weeks", "words"),
    [
        (1, 0, "every month"),
        (6, 0, "every 6 months"),
        (12, 0, "every year"),
        (18, 0, "every 18 months"),
        (48, 0, "every 4 years"),
        (0, 1, "every week"),
        (0, 2, "every 2 weeks"),
        (0, 0, ""),
    ],
)
def test_how_often_reads_as_words(months: int, weeks: int, words: str) -> None:
    table = GOOD.replace("months = 1", f"months = {months}").replace("weeks = 0", f"weeks = {weeks}")
    assert read_intervals(table)["press"].every == words
