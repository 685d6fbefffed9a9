"""A household's pages in a real browser, opened from disk as the household opens them."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from asfitted.pages.household import household_tree
from tests.pages.homes import FIRM, RECORD, dossier, home, hostile_home
from tests.pages.test_household import build

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Dialog, Page, Request

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
PHONE, DESK = {"width": 360, "height": 740}, {"width": 1280, "height": 900}
KINDS = ("index", "sounds", "devices", "tests", "visits", "safety", "rooms/bedroom")
NOW = datetime(2026, 3, 30, 9, tzinfo=UTC)

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine"),
    # Playwright leaves its event loop's sockets to the garbage collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(household_tree(dossier(home()), FIRM), tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="module")
def nothing_late(tmp_path_factory: pytest.TempPathFactory) -> Path:
    record = RECORD.replace("      CU1: {m", "      OS1: {sounded: yes}\n      CU1: {m")
    return build(household_tree(dossier(home(record)), FIRM), tmp_path_factory.mktemp("nothing-late"))


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(household_tree(dossier(hostile_home()), FIRM), tmp_path_factory.mktemp("hostile"))


@pytest.fixture(scope="module")
def chromium() -> "Iterator[Browser]":
    """One browser for all tests; every context is a new profile that nobody used before."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-background-networking"]
        )
        yield browser
        browser.close()


@contextmanager
def browsing(
    browser: "Browser", size: dict[str, int], scheme: str = "light", **more: Any
) -> "Iterator[BrowserContext]":
    context = browser.new_context(viewport=size, color_scheme=scheme, **more)  # type: ignore[arg-type]
    yield context
    context.close()


def watched(context: "BrowserContext", site: Path) -> "tuple[Page, list[str]]":
    """Give a page, and the list in which whatever it should not do turns up."""
    page = context.new_page()
    bad: list[str] = []
    home_of_it = site.as_uri()

    def heard(said: "ConsoleMessage") -> None:
        if said.type in ("error", "warning"):
            bad.append(said.text)

    def asked(request: "Request") -> None:
        if not request.url.startswith((home_of_it, "data:", "blob:")):
            bad.append(request.url)

    def stopped(dialog: "Dialog") -> None:
        bad.append(f"dialog {dialog.message}")
        dialog.dismiss()

    page.on("console", heard)
    page.on("pageerror", lambda error: bad.append(str(error)))
    page.on("dialog", stopped)
    page.on("request", asked)
    return page, bad


def test_every_page_opens_from_disk_on_a_phone_without_error_foreign_request_or_sideways_scroll(
    site: Path, chromium: "Browser"
) -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, site)
        for name in KINDS:
            page.goto((site / f"{name}.html").as_uri())
            page.wait_for_load_state()
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= PHONE["width"], name
        assert bad == []


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


def test_hostile_text_runs_nowhere_not_even_in_the_search(hostile_site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, hostile_site)
        for name in KINDS:
            page.goto((hostile_site / f"{name}.html").as_uri())
            page.wait_for_load_state()
        page.goto((hostile_site / "index.html").as_uri())
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
        for name in KINDS:
            if name == "sounds":
                continue
            page.goto((site / f"{name}.html").as_uri())
            page.locator("a.urgent").click()
            page.wait_for_url("**/sounds.html")
            assert page.locator("h1").inner_text() == "When it sounds"


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


@pytest.mark.parametrize(
    ("size", "scheme", "kinds"),
    [(PHONE, "light", KINDS), (DESK, "dark", KINDS[:4])],
    ids=["phone light", "desk dark"],
)
def test_axe_finds_nothing(
    site: Path, chromium: "Browser", size: dict[str, int], scheme: str, kinds: tuple[str, ...]
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    axe = Axe()
    with browsing(chromium, size, scheme) as context:
        page, _ = watched(context, site)
        for name in kinds:
            page.goto((site / f"{name}.html").as_uri())
            page.wait_for_load_state()
            assert page.evaluate("document.body.dataset.mdColorScheme") == ("slate" if scheme == "dark" else "default")
            found = axe.run(page).response["violations"]
            assert [(v["id"], [n["html"] for n in v["nodes"]]) for v in found] == [], name
