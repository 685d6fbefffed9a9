"""Lives, batteries, the strip of months and what is not known: each against dates worked out apart."""

import re
from dataclasses import replace
from datetime import date, datetime
from html import unescape as plain

import pytest
import recurring_ical_events
from icalendar import Calendar

from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import EngineFailed, site_config
from asfitted.pages.household import household_tree
from asfitted.pages.views.batteries import battery_list
from asfitted.pages.views.dates import next_days, rounds, subscription, year_ahead
from asfitted.pages.views.devices import device_cards
from asfitted.pages.views.how_to import how_to, words
from asfitted.pages.views.life import life
from asfitted.pages.views.overview import overview
from asfitted.upkeep.calendar import calendar
from asfitted.upkeep.calendar_file import begin
from asfitted.upkeep.schedule import undated
from tests.pages.homes import FIRM, ON, RECORD, dossier, home

MIXED = (
    RECORD.replace(
        'battery: "2 x AA, 2 years"}', "battery: {type: 2 x AA, life: 2 years, fitted: 2025-09-10}, fitted: 2025-09-10}"
    )
    .replace(
        "kind: motion detector,",
        "kind: motion detector, battery: {type: 1 x CR123, life: 3 years, fitted: 2024-06-01},",
    )
    .replace(
        "kind: opening contact,", "kind: opening contact, battery: {type: 2 x AA, life: 1 year, fitted: 2025-12-01},"
    )
    .replace(
        "kind: outdoor sounder,", "kind: outdoor sounder, battery: {type: 4 x D, life: 4 years, fitted: 2024-06-01},"
    )
)
BOILER = RECORD.replace(
    "  - id: first\n", "    fittings: [{boiler: hall, wall: west, from-north: 0.40, height: 1.50}]\n  - id: first\n"
)


@pytest.fixture(scope="module")
def mixed() -> Dossier:
    of = home(MIXED)
    return replace(dossier(of), undated=undated(of))


@pytest.fixture(scope="module")
def pages(mixed: Dossier) -> dict[str, str]:
    tree = household_tree(mixed, FIRM)
    return {name.removeprefix("docs/"): plain(text) for name, text in tree.items() if isinstance(text, str)}


def test_life_bars_agree_with_the_dates_beside_them(mixed: Dossier, pages: dict[str, str]) -> None:
    bars = re.findall(r'data-from="([0-9-]+)" data-to="([0-9-]+)" style="--gone: ([0-9.]+)%"', pages["devices.md"])
    assert len(bars) == 3  # SA1, SA2 and CO1 have a first and a last day
    for first, last, gone in bars:
        start, end = (datetime.strptime(day, "%Y-%m-%d").date() for day in (first, last))  # noqa: DTZ007 - days only
        assert float(gone) == pytest.approx(
            100 * (ON.toordinal() - start.toordinal()) / (end.toordinal() - start.toordinal()), abs=0.06
        )
    # SA1 was made in November 2025 and lasts ten years, its sealed battery from the commissioning on 4 March 2026.
    assert bars[0][:2] == ("2025-11-01", "2035-11-01")


@pytest.mark.parametrize(
    ("on", "share"),
    [
        (date(2025, 1, 1), 0.0),
        (date(2026, 1, 1), 0.0),
        (date(2031, 1, 1), 0.5),
        (date(2036, 1, 1), 1.0),
        (date(2050, 1, 1), 1.0),
    ],
)
def test_a_life_has_its_share_between_nothing_and_all(on: date, share: float) -> None:
    alarm = home().devices["SA1"].model_copy(update={"made": date(2026, 1, 1), "fitted": None})
    found = life(alarm, date(2036, 1, 1), on)
    assert found is not None
    assert found.gone == pytest.approx(share, abs=0.001)
    assert found.over is (share == 1.0)
    assert not found.fitted


def test_an_alarm_of_unknown_age_is_said_to_be_of_unknown_age() -> None:
    of = home(RECORD.replace('made: 2025-11, battery: "sealed, 10 years", linked: [SA2]', "linked: [SA2]"))
    given = replace(dossier(of), undated=undated(of))
    card = next(card for card in device_cards(given) if card.tag == "SA1")
    assert (card.life, card.undated) == (None, True)
    written = str(household_tree(given, FIRM)["docs/devices.md"])
    shown = written[written.index("{: #sa1") :].split("{: #", 2)[1]
    assert "When to replace it is not known." in shown
    assert "Nobody has written down when it was made." in shown


def test_battery_list_says_how_many_of_which_type_for_which_device_by_when(mixed: Dossier) -> None:
    found = battery_list(mixed, device_cards(mixed))
    due = {task.tag: task.due for task in mixed.tasks if task.interval.counts_from == "battery"}
    assert [(of.name, of.count, [(need.card.tag, need.count) for need in of.needs]) for of in found.buy] == [
        ("AA", 4, [("OC1", 2), ("CO1", 2)]),
        ("CR123", 1, [("MD1", 1)]),
    ]
    assert all(need.due == due[need.card.tag] for of in found.buy + found.brought for need in of.needs)
    # By hand: a year from 1 December 2025, two from 10 September 2025, three from 1 June 2024.
    assert [need.due for of in found.buy for need in of.needs] == [
        date(2026, 12, 1),
        date(2027, 9, 10),
        date(2027, 6, 1),
    ]
    assert [of.name for of in found.brought] == ["D"]
    assert [card.tag for card in found.sealed] == ["SA1", "SA2"]


def test_every_battery_task_of_the_household_stands_on_the_list_and_what_is_sealed_is_not_for_buying(
    mixed: Dossier, pages: dict[str, str]
) -> None:
    shop, rest = pages["batteries.md"].split("## The technician brings these")
    own = {t.tag for t in mixed.tasks if t.interval.counts_from == "battery" and t.interval.who == "household"}
    assert own == set(re.findall(r">([A-Z]{2}[0-9])</a>", shop))
    assert "Sealed in, not for buying" in rest
    assert "SA1" in rest
    assert "OS1" in rest


def test_strip_of_months_agrees_with_the_calendar_file_read_by_another_library(mixed: Dossier) -> None:
    file = Calendar.from_ical(calendar("millside", "Home", mixed.tasks, begin(ON)))
    months = {month.first: month for month in year_ahead(mixed.tasks, ON)}
    told: dict[date, set[str]] = {first: set() for first in months}
    for event in recurring_ical_events.of(file).between(ON, date(2027, 3, 11)):
        day, title = event["DTSTART"].dt, str(event["SUMMARY"])
        usual = ("Press the test", "Walk past", "Open the door", "Sound the sounder")
        told[day.replace(day=1)].add(
            "firm" if "(technician)" in title else "tests" if title.startswith(usual) else "more"
        )
    late = {t.interval.who for t in mixed.tasks if t.due < ON}
    for first, month in months.items():
        shown = {name for name, there in (("tests", month.tests), ("more", month.more), ("firm", month.firm)) if there}
        overdue = first == min(months) and bool(late)
        assert told[first] <= shown if overdue else told[first] == shown, first
    assert {"tests", "more"} <= set().union(*told.values())


def test_each_mark_of_the_strip_is_a_word_and_leads_to_its_month(mixed: Dossier, pages: dict[str, str]) -> None:
    written = pages["dates.md"]
    strip = written[written.index('<ol class="strip">') :].split("</ol>")[0].split("<li>")[1:]
    for entry, month in zip(strip, year_ahead(mixed.tasks, ON), strict=True):
        assert f'href="#{month.anchor}"' in entry
        assert f'id="{month.anchor}"' in written
        words_of = set(re.findall(r'<span class="mark mark--[a-z]+">([a-z]+)</span>', entry))
        assert words_of == {
            w for w, there in (("tests", month.tests), ("more", month.more), ("firm", month.firm)) if there
        } or words_of == {"nothing"}


def test_each_next_date_leads_to_what_to_do(mixed: Dossier, pages: dict[str, str]) -> None:
    for day in next_days(mixed.tasks, ON):
        for job in day.jobs:
            name, _, anchor = job.page.partition(".html#")
            assert f"{{: #{anchor} " in pages[f"{name}.md"], job.page


def test_a_calendar_is_subscribed_to_only_where_the_firm_gives_an_address(
    pages: dict[str, str], mixed: Dossier
) -> None:
    assert "webcal" not in pages["dates.md"]
    firm = replace(FIRM, sites="https://pages.example.org/homes/")
    assert subscription("mill side", firm) == "webcal://pages.example.org/homes/mill%20side/calendar.ics"
    written = plain(str(household_tree(mixed, firm)["docs/dates.md"]))
    assert 'href="webcal://pages.example.org/homes/millside/calendar.ics"' in written
    assert 'href="calendar.ics" download' in written


@pytest.mark.parametrize(
    "address", ["http://pages.example.org", "pages.example.org", "javascript:alert(1)", "https://"]
)
def test_an_address_that_is_not_private_is_refused(address: str) -> None:
    config = type("Config", (), {"extra": {"firm": {"sites": address}}, "site_name": "x", "nav": []})
    with pytest.raises(EngineFailed, match="https://"):
        site_config(config)


def test_a_boiler_of_unknown_fuel_without_an_alarm_is_told_gently() -> None:
    given = dossier(home(BOILER))
    view = overview(given, FIRM, device_cards(given))
    (note,) = view.unknown
    assert note.about == "Hall"
    assert note.says.startswith("It is not known what the boiler burns.")
    assert note.says.endswith("tell Lantern & Latch.")
    for known in (
        BOILER.replace("height: 1.50}", "height: 1.50, burns: gas}"),
        RECORD,
        BOILER.replace("carbon monoxide alarm, in: living", "carbon monoxide alarm, in: hall").replace(
            "wall: east, from-south: 0.80", "wall: east, from-south: 3.80"
        ),
    ):
        other = dossier(home(known))
        assert overview(other, FIRM, device_cards(other)).unknown == ()


def test_what_comes_at_different_intervals_says_so_beside_each_date() -> None:
    # An alarm in a room with a cooker is cleaned twice as often (conditions.toml), so no one interval holds for all.
    cooker = "    fittings: [{cooker: living, from-west: 1.0, from-south: 1.0}]\n"
    of = home(RECORD.replace("  - id: first\n", f"{cooker}  - id: first\n"))
    alike, apart = (
        next(found for found in rounds(dossier(one).tasks, "household", ON) if found.interval.id == "clean-alarm")
        for one in (home(), of)
    )
    assert alike.often == "every 6 months"
    assert apart.often == ""
    page = str(household_tree(dossier(of), FIRM)["docs/dates.md"])
    assert [page.count(f">{often}<") for often in ("every 3 months", "every 6 months")] == [1, 1]


def test_the_grounds_of_the_answer_are_the_last_test_and_the_next_date(mixed: Dossier, pages: dict[str, str]) -> None:
    view = overview(mixed, FIRM, device_cards(mixed))
    assert view.tested == date(2026, 3, 4)
    assert view.yours == min(task.due for task in mixed.tasks if task.interval.who == "household")
    assert 'Latest test: <time datetime="2026-03-04">' in pages["index.md"]


def test_how_to_has_the_steps_of_each_kind_and_says_what_its_intervals_rest_on(
    mixed: Dossier, pages: dict[str, str]
) -> None:
    view = how_to(mixed, device_cards(mixed))
    kinds = {device.kind for device in mixed.home.devices.values()}
    assert {test.words.name for test in view.tests} == kinds
    written = pages["how-to.md"]
    for words_of in (
        "step ladder",
        "licensed electrician",
        "common practice",
        "leaflet",
        "no paint",
        "Never take out a battery",
        "Lincolnshire County Council",
    ):
        assert words_of in written, words_of
    assert "flood" not in written.lower()


def test_only_the_words_a_home_needs_are_explained_in_alphabetical_order(mixed: Dossier) -> None:
    found = [entry.word for entry in words(device_cards(mixed))]
    assert found == sorted(found, key=str.casefold)
    assert "Tag" in found
    alone = dossier(home(RECORD[: RECORD.index("  MD1:")] + "visits: []\n"))
    assert "Tamper" not in [entry.word for entry in words(device_cards(alone))]
