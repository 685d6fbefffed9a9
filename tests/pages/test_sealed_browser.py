"""The sealed edition in a real browser, opened from disk as the household opens it."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.pages.household import household_tree
from tests.pages.browser import DESK, PHONE, browsing, in_chromium, watched
from tests.pages.homes import FIRM, dossier, home
from tests.pages.sealing import PASSPHRASE, opened

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

pytestmark = in_chromium
WRONG = PASSPHRASE.replace("four", "five")


def unlocked(context: "BrowserContext", file: Path) -> "tuple[Page, list[str]]":
    """Open the file and give the passphrase, with the keyboard alone."""
    page, bad = watched(context, file)
    page.goto(file.as_uri())
    page.keyboard.type(PASSPHRASE)
    page.keyboard.press("Enter")
    page.wait_for_selector("article")
    return page, bad


@pytest.fixture(scope="module")
def desk(sealed_file: Path, chromium: "Browser") -> "Iterator[tuple[Page, list[str]]]":
    """Open the pages once for what changes nothing in them."""
    with browsing(chromium, DESK) as context:
        yield unlocked(context, sealed_file)


def test_before_the_passphrase_nothing_of_the_home_shows_and_a_wrong_one_is_told_and_may_be_tried_again(
    sealed_file: Path, chromium: "Browser"
) -> None:
    with browsing(chromium, PHONE, locale="en-GB") as context:
        page, bad = watched(context, sealed_file)
        page.goto(sealed_file.as_uri())
        assert page.title() == page.locator("h1").inner_text() == "Sealed pages"
        assert "mill" not in page.locator("body").inner_text()
        trouble, field = page.get_by_role("alert"), page.get_by_label("Passphrase", exact=True)
        page.keyboard.press("Enter")
        assert trouble.inner_text() == "Enter the passphrase first."
        for _ in range(2):
            field.fill(WRONG)
            page.keyboard.press("Enter")
            page.locator("#trouble:not(:empty)").wait_for()
            assert "does not open the pages" in trouble.inner_text()
            assert field.input_value() == WRONG
            assert page.evaluate("document.activeElement.id") == "passphrase"
            assert field.get_attribute("aria-invalid") == "true"
            assert field.get_attribute("aria-describedby") == trouble.get_attribute("id")
        page.get_by_label("Show what I type").check()
        assert field.get_attribute("type") == "text"
        field.fill(f" {PASSPHRASE}  ".replace("ü", "u\u0308"))
        page.get_by_role("button", name="Open").click()
        page.wait_for_selector("article")
        assert page.evaluate("[localStorage.length, sessionStorage.length, document.cookie]") == [0, 0, ""]
        assert PASSPHRASE not in page.content()
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        page.get_by_role("button", name="Close and seal again").click()
        page.locator("#passphrase").wait_for()
        assert "mill" not in page.content().split('id="sealed"', maxsplit=1)[0]
        assert bad == []


def test_the_form_speaks_the_language_of_the_reader(sealed_file: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE, locale="nb-NO") as context:
        page, _ = watched(context, sealed_file)
        page.goto(sealed_file.as_uri())
        assert page.locator("h1").inner_text() == "Forseglede sider"
        assert page.evaluate("document.documentElement.lang") == "nb"


def test_a_file_cut_short_on_its_way_is_told_to_be_damaged(
    sealed_file: Path, chromium: "Browser", tmp_path: Path
) -> None:
    text = sealed_file.read_text(encoding="utf-8")
    (tmp_path / "cut.html").write_text(text.replace('"content": "', '"content": "*', 1), encoding="utf-8")
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, tmp_path)
        page.goto((tmp_path / "cut.html").as_uri())
        page.keyboard.type(PASSPHRASE)
        page.keyboard.press("Enter")
        page.locator("#trouble:not(:empty)").wait_for()
        assert "damaged or incomplete" in page.get_by_role("alert").inner_text()
        assert bad == []


def test_every_page_shows_what_the_plain_site_shows_with_its_drawings(
    sealed_file: Path, desk: "tuple[Page, list[str]]"
) -> None:
    page, bad = desk
    site = opened(sealed_file.read_text(encoding="utf-8"), PASSPHRASE)
    seen = 0
    for name in sorted(name for name in site if name.endswith(".html")):
        link = page.locator(f'.md-nav--primary .md-nav__link[data-page="{name}"]').first
        title = re.findall(r"<title>(.*?)</title>", site[name].decode())[0]
        link.evaluate("link => link.click()")
        page.locator(f'.md-nav__link--active[data-page="{name}"]').first.wait_for(state="attached")
        assert page.title() == title
        assert page.evaluate("document.activeElement.tagName") == "H1"
        drawn = re.findall(r'<svg[^>]*class="drawing"', site[name].decode())
        assert page.locator("svg.drawing").count() == len(drawn), name
        seen += len(drawn)
        if drawn:
            assert page.locator("svg.drawing").first.bounding_box()["width"] > 200  # type: ignore[index]
    assert seen >= 4
    assert bad == []


def test_links_back_and_the_scripts_of_the_pages_work(desk: "tuple[Page, list[str]]") -> None:
    page, bad = desk
    page.locator('.md-nav--primary .md-nav__link[data-page="index.html"]').first.click()
    page.locator('.md-nav__link--active[data-page="index.html"]').first.wait_for()
    page.locator("a.urgent").click()
    page.get_by_role("heading", level=1, name="When it sounds").wait_for()
    page.go_back()
    page.get_by_role("heading", level=1, name="House by the mill").wait_for()
    assert page.locator("time.due .due__left").first.inner_text() != ""
    page.locator('article [data-page="devices.html"][href="#sa1"], article [data-page="devices.html"]').first.click()
    page.locator('.md-nav__link--active[data-page="devices.html"]').first.wait_for()
    page.locator('article [data-page="rooms/living.html"]').first.click()
    page.get_by_role("heading", level=1, name="Living room").wait_for()
    with page.expect_popup() as popped:
        page.locator("article figcaption a[target=_blank]").first.click()
    assert popped.value.locator("svg").first.is_visible()
    popped.value.close()
    page.emulate_media(media="print")
    assert page.locator("svg.drawing").first.is_visible()
    assert page.get_by_role("button", name="Close and seal again").is_hidden()
    page.emulate_media(media="screen")
    assert bad == []


@pytest.mark.parametrize(
    ("asked", "found", "leads"),
    [("SA1", "SA1", "devices.html"), ("living ROOM", "Living room", "rooms/living.html"), ("bedrom", "", "")],
)
def test_search_finds_a_tag_and_a_room_and_says_how_many(
    desk: "tuple[Page, list[str]]", asked: str, found: str, leads: str
) -> None:
    page, bad = desk
    field = page.locator(".md-search__input")
    field.focus()
    field.fill("")
    page.keyboard.type(asked)
    says = page.get_by_role("status")
    says.filter(has_text=re.compile(r"Found: \d+")).wait_for()
    results = page.locator(".md-search-result__link")
    if not found:
        assert says.inner_text().strip() == "Found: 0"
        assert results.count() == 0
        page.keyboard.press("Escape")
        return
    result = page.locator(f'.md-search-result__link[data-page="{leads}"]').first
    assert found in result.inner_text()
    result.focus()
    page.keyboard.press("Enter")
    page.locator(f'.md-nav__link--active[data-page="{leads}"]').first.wait_for()
    assert not page.locator("#__search").is_checked()
    assert bad == []


def test_the_calendar_is_saved_as_the_plain_edition_has_it(
    sealed_file: Path, desk: "tuple[Page, list[str]]", tmp_path: Path
) -> None:
    from icalendar import Calendar

    def days(calendar: bytes) -> list[tuple[str, str]]:
        events = Calendar.from_ical(calendar).walk("VEVENT")
        return sorted((str(event["SUMMARY"]), str(event.decoded("DTSTART"))) for event in events)

    page, bad = desk
    plain = household_tree(dossier(home()), FIRM)["docs/calendar.ics"]
    site = opened(sealed_file.read_text(encoding="utf-8"), PASSPHRASE)
    name = next(name for name, text in site.items() if name.endswith(".html") and b'href="calendar.ics"' in text)
    page.locator(f'.md-nav--primary .md-nav__link[data-page="{name}"]').first.evaluate("link => link.click()")
    page.locator(f'.md-nav__link--active[data-page="{name}"]').first.wait_for(state="attached")
    with page.expect_download() as saving:
        page.locator("article a[download]").first.click()
    assert saving.value.suggested_filename == "calendar.ics"
    saving.value.save_as(tmp_path / "calendar.ics")
    saved = (tmp_path / "calendar.ics").read_bytes()
    assert saved == site["calendar.ics"]
    assert isinstance(plain, bytes)
    assert len(days(saved)) > 3
    assert days(saved) == days(plain)
    assert bad == []


def test_menu_and_search_work_with_the_keyboard_on_a_phone_and_axe_finds_nothing_in_light_or_dark(
    sealed_file: Path, chromium: "Browser"
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    def faults() -> list[object]:
        return [(one["id"], [node["html"] for node in one["nodes"]]) for one in axe.run(page).response["violations"]]

    axe = Axe()
    with browsing(chromium, PHONE, reduced_motion="reduce") as context:
        page, bad = watched(context, sealed_file)
        page.goto(sealed_file.as_uri())
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert faults() == [], scheme
        page.keyboard.type(PASSPHRASE)
        page.keyboard.press("Enter")
        page.wait_for_selector("article")
        for scheme, body in (("light", "default"), ("dark", "slate")):
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            page.locator(f"body[data-md-color-scheme={body}]").wait_for()
            assert faults() == [], scheme
        page.get_by_role("button", name="Search").focus()
        page.keyboard.press("Enter")
        page.keyboard.type("SA2")
        page.locator(".md-search-result__link").first.wait_for()
        assert faults() == []
        page.keyboard.press("Escape")
        assert not page.locator("#__search").is_checked()
        page.get_by_role("button", name="Navigation").focus()
        page.keyboard.press(" ")
        assert page.locator("#__drawer").is_checked()
        assert bad == []
