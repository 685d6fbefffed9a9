"""A household's pages in a real browser, opened from disk as the household opens them."""

import re
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.pages.household import household_tree
from tests.pages.browser import DESK, PHONE, browsing, in_chromium, watched
from tests.pages.homes import FIRM, RECORD, dossier, home
from tests.pages.office_site import build

if TYPE_CHECKING:
    from playwright.sync_api import Browser

KINDS = ("index", "sounds", "devices", "dates", "how-to", "batteries", "visits", "safety", "words", "rooms/bedroom")
NOW = datetime(2026, 3, 30, 9, tzinfo=UTC)

pytestmark = in_chromium


@pytest.fixture(scope="module")
def site(household_site: Path) -> Path:
    return household_site


@pytest.fixture(scope="module")
def nothing_late(tmp_path_factory: pytest.TempPathFactory) -> Path:
    record = RECORD.replace("      CU1: {m", "      OS1: {sounded: yes}\n      CU1: {m")
    return build(household_tree(dossier(home(record)), FIRM), tmp_path_factory.mktemp("nothing-late"))


def test_due_dates_are_counted_on_the_reader_s_own_day(nothing_late: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE, timezone_id="Europe/London") as context:
        page, _ = watched(context, nothing_late)
        page.clock.set_fixed_time(NOW)
        page.goto((nothing_late / "index.html").as_uri())
        first = page.locator(".date time.due").first
        assert first.inner_text().split("\n")[0].startswith("4 April 2026")
        assert page.locator(".date .due__left").first.inner_text() == "in 5 days"
        assert page.locator(".standing__passed").is_hidden()
        page.clock.set_fixed_time(datetime(2026, 4, 6, 23, 30, tzinfo=UTC))  # already the 7th by summer time
        page.reload()
        assert page.locator(".date .due__left").first.inner_text() == "3 days overdue"
        assert page.locator(".standing__passed").is_visible()


def test_dates_stand_without_scripts(nothing_late: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE, java_script_enabled=False) as context:
        page, _ = watched(context, nothing_late)
        page.goto((nothing_late / "index.html").as_uri())
        assert page.locator(".date time.due").first.inner_text() == "4 April 2026"


@pytest.mark.parametrize(("asked", "found"), [("SA1", "SA1"), ("living room", "Living room")])
def test_search_finds_a_tag_and_a_room_from_disk(site: Path, chromium: "Browser", asked: str, found: str) -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, site)
        page.goto((site / "index.html").as_uri())
        page.locator('label.md-header__button[for="__search"]').click()
        page.locator(".md-search__input").press_sequentially(asked)
        result = page.locator(".md-search-result__link").first
        result.wait_for()
        assert found in page.locator(".md-search-result__list").inner_text()
        result.click()
        page.wait_for_load_state()
        assert bad == []


def test_hostile_text_runs_nowhere_not_even_in_the_search(hostile_household_site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, hostile_household_site)
        for name in KINDS:
            page.goto((hostile_household_site / f"{name}.html").as_uri())
            page.wait_for_load_state()
        page.goto((hostile_household_site / "index.html").as_uri())
        page.locator('label.md-header__button[for="__search"]').click()
        page.locator(".md-search__input").press_sequentially("alert")
        page.locator(".md-search-result__link").first.wait_for()
        page.wait_for_timeout(300)
        assert page.locator(".md-search-result script, .md-search-result img").count() == 0
        assert bad == []


def test_the_menu_opens_by_keyboard_on_a_small_screen(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, _ = watched(context, site)
        page.goto((site / "index.html").as_uri())
        page.locator('label.md-header__button[for="__drawer"]').focus()
        page.keyboard.press("Enter")
        assert page.locator("#__drawer").is_checked()
        assert page.get_by_role("link", name="When it sounds").first.is_visible()


def test_what_to_do_is_one_tap_from_every_page(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, _ = watched(context, site)
        for name in KINDS[::3]:
            if name == "sounds":
                continue
            page.goto((site / f"{name}.html").as_uri())
            page.locator("a.urgent").click()
            page.wait_for_url("**/sounds.html")
            assert page.locator("h1").inner_text() == "When it sounds"


def test_whether_all_is_well_whom_to_call_and_the_next_date_stand_on_the_first_screen_of_a_phone(
    site: Path, chromium: "Browser"
) -> None:
    with browsing(chromium, PHONE) as context:
        page, _ = watched(context, site)
        page.goto((site / "index.html").as_uri())
        for part in (".standing__answer", ".standing__grounds", ".call-line", ".date >> nth=0"):
            box = page.locator(part).bounding_box()
            assert box is not None, part
            assert box["y"] + box["height"] <= PHONE["height"], part


def test_how_and_when_to_test_one_alarm_is_two_taps_from_the_overview(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, site)
        page.clock.set_fixed_time(NOW)
        page.goto((site / "index.html").as_uri())
        page.locator(".protects a.plate", has_text="SA1").click()  # the first tap, and no second
        page.wait_for_url("**/devices.html#sa1")
        card = page.locator("#sa1 + .card")
        assert "Press and hold the test button" in card.locator(".device__how").inner_text()
        assert "Your next test" in card.inner_text()
        assert "4 April 2026" in card.inner_text()
        page.goto((site / "index.html").as_uri())
        page.locator(".doors a", has_text="Test an alarm").click()
        page.locator("#test-smoke-alarm").wait_for(state="visible")
        page.goto((site / "index.html").as_uri())
        page.locator(".date a", has_text="monthly tests").first.click()
        page.wait_for_url("**/how-to.html#test")
        assert bad == []


def test_where_each_device_is_is_two_taps_from_the_overview(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, site)
        page.goto((site / "index.html").as_uri())
        page.locator(".doors a", has_text="See where everything is").click()
        top = page.locator("#plan").bounding_box()
        assert top is not None
        assert 0 <= top["y"] < PHONE["height"]
        page.goto((site / "index.html").as_uri())
        page.locator(".doors a", has_text="Look up a device").click()
        for tag in ("SA1", "SA2", "CO1", "MD1", "OC1", "OS1", "CU1"):
            page.locator(".jump a", has_text=tag).click()
            where = page.locator(f"#{tag.lower()} + .card dl").first.inner_text()
            assert re.search(r"(ceiling|wall|corner|door|room|hall)", where), tag
        assert bad == []


def test_a_life_bar_goes_on_with_the_reader_s_day(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE, timezone_id="Europe/London") as context:
        page, _ = watched(context, site)
        page.clock.set_fixed_time(datetime(2030, 10, 31, 12, tzinfo=UTC))
        page.goto((site / "devices.html").as_uri() + "#sa1")
        life = page.locator("#sa1 + .card .life")
        first, last = (date.fromisoformat(str(life.get_attribute(f"data-{end}"))) for end in ("from", "to"))
        share = (date(2030, 10, 31) - first) / (last - first)
        assert page.evaluate(
            "e => parseFloat(e.style.getPropertyValue('--gone'))", life.element_handle()
        ) == pytest.approx(100 * share, abs=0.06)
        bar, gone = (life.locator(part).bounding_box() for part in (".life__bar", ".life__bar > span"))
        assert bar is not None
        assert gone is not None
        assert gone["width"] / bar["width"] == pytest.approx(share, abs=0.02)


def test_days_left_are_for_the_screen_only(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, DESK) as context:
        page, _ = watched(context, site)
        page.goto((site / "index.html").as_uri())
        assert page.locator(".date .due__left").first.is_visible()
        page.emulate_media(media="print")
        assert page.locator(".date .due__left").first.is_hidden()


def test_drawings_are_printed_at_their_true_size(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, DESK) as context:
        page, _ = watched(context, site)
        page.goto((site / "index.html").as_uri())
        page.emulate_media(media="print")
        sheet = page.locator(".drawing-frame > svg").first
        width, said = page.evaluate(
            "s => [s.getBoundingClientRect().width, s.getAttribute('width')]", sheet.element_handle()
        )
        assert width * 25.4 / 96 == pytest.approx(float(said.removesuffix("mm")), abs=0.1)  # CSS: 96 px are 25.4 mm
