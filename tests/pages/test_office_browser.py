"""The office pages in a real browser, opened from disk."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from asfitted.rules.catalogue import catalogue
from asfitted.rules.finding import Verdict
from tests.pages.office_site import OWN_RULE, demo

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
PHONE, DESK = {"width": 360, "height": 740}, {"width": 1280, "height": 900}
HOME = next(dossier for dossier in demo() if dossier.count(Verdict.FAILS))
OVER_ALL = ("homes/index", "due", "short", "rules", "rules/sets", "rules/smoke-clear-of-wall", "record")
OF_A_HOME = tuple(
    f"homes/{HOME.id}/{page}" for page in ("index", "findings", "rooms", "visits", "calculations", "calculations/radio")
)
SOME = ("rules/smoke-clear-of-wall", f"homes/{HOME.id}/findings", f"homes/{HOME.id}/calculations/radio", "homes/index")
"""Pages that between them have every colour."""
FEW = """for (const kind of ['.finding', 'main li', 'main tr', 'main details'])
    [...document.querySelectorAll(kind)].slice(40).forEach(one => one.remove())"""
"""Leaves a few of what stands on a page by the hundred; they are made alike."""

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine"),
    # Playwright leaves its event loop's sockets to the garbage collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]


@pytest.fixture(scope="module")
def site(demo_site: Path) -> Path:
    return demo_site


@contextmanager
def browsing(user: Path, size: dict[str, int], scheme: str = "light", **more: Any) -> "Iterator[BrowserContext]":
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            str(user),
            executable_path=CHROMIUM,
            args=["--no-sandbox", "--disable-background-networking"],
            viewport=size,  # type: ignore[arg-type]
            color_scheme=scheme,  # type: ignore[arg-type]
            **more,
        )
        try:
            yield context
        finally:
            context.close()


def watched(context: "BrowserContext", site: Path) -> "tuple[Page, list[str]]":
    """Give a page, and the list in which whatever it should not do turns up."""
    page = context.new_page()
    bad: list[str] = []
    allowed = (site.as_uri(), "data:", "blob:")
    page.on("console", lambda said: bad.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: bad.append(str(error)))
    page.on("dialog", lambda dialog: bad.append(f"dialog {dialog.message}"))
    page.on("request", lambda asked: None if asked.url.startswith(allowed) else bad.append(asked.url))
    return page, bad


def address(site: Path, name: str, anchor: str = "") -> str:
    return f"{(site / name).as_uri()}.html{anchor}"


def shown(page: "Page", look: str = "") -> int:
    """Count the findings that can be seen, of all verdicts or of one."""
    selector = f".finding{f'.finding--{look}' if look else ''}"
    count: int = page.evaluate(
        "selector => [...document.querySelectorAll(selector)].filter(e => e.getClientRects().length).length", selector
    )
    return count


@pytest.mark.parametrize(
    ("size", "scheme", "rules"),
    # What a page is made of does not depend on the scheme; its colours do, and take half as long to look at.
    [(PHONE, "light", {}), (DESK, "dark", {"runOnly": ["color-contrast"]})],
    ids=["phone in light", "desk in dark"],
)
def test_every_page_opens_without_error_foreign_request_sideways_scroll_or_broken_accessibility_rule(
    site: Path, tmp_path: Path, size: dict[str, int], scheme: str, rules: dict[str, Any]
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    looked_at = {"exclude": [["svg.drawing"]]} if rules else None  # the colours of drawings have a test of their own
    with browsing(tmp_path, size, scheme) as context:
        page, bad = watched(context, site)
        for name in (*OVER_ALL, *OF_A_HOME) if not rules else SOME:
            page.goto(address(site, name))
            page.wait_for_load_state("load")
            page.evaluate("location.hash = 'only-fails'")  # a few findings stand for all; elsewhere it names nothing
            page.evaluate("[...document.querySelectorAll('details.sum')].slice(0, 2).forEach(part => part.open = true)")
            assert page.evaluate("document.documentElement.scrollWidth") <= size["width"], name
            assert page.locator("h1").is_visible(), name
            assert page.evaluate("document.body.dataset.mdColorScheme") == {"light": "default", "dark": "slate"}[scheme]
            if name in ("short", "record"):
                continue  # made of the same pieces
            page.evaluate(FEW)
            costly = {} if name in SOME else {"rules": {"color-contrast": {"enabled": False}}}
            found = Axe().run(page, looked_at, options={**rules, **costly, "preload": False}).response["violations"]
            assert found == [], (name, [(v["id"], v["nodes"][0]["html"][:200]) for v in found])
        assert bad == []


def test_a_result_leads_to_its_working_and_on_paper_every_working_stands_open(site: Path, tmp_path: Path) -> None:
    closed = "document.querySelectorAll('details.sum:not([open])').length"
    with browsing(tmp_path, DESK) as context:
        page, bad = watched(context, site)
        page.goto(address(site, f"homes/{HOME.id}/calculations/radio"))
        every = page.evaluate(closed)
        assert every == page.locator("details.sum").count() > 1
        page.locator(".sum-table a").nth(1).click()
        page.wait_for_function(f"{closed} === {every - 1}")
        assert page.locator("details.sum[open] .sum__formula").first.is_visible()
        page.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert page.evaluate(closed) == 0
        page.evaluate("dispatchEvent(new Event('afterprint'))")
        assert page.evaluate(closed) == every - 1
        assert bad == []


def test_findings_are_sifted_by_verdict_with_the_keyboard_alone(site: Path, tmp_path: Path) -> None:
    with browsing(tmp_path, DESK) as context:
        page, bad = watched(context, site)
        page.goto(address(site, f"homes/{HOME.id}/findings"))
        assert shown(page) == len(HOME.findings)
        assert page.locator(".only a[aria-current]").inner_text().startswith("all")
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.hash") == "#only-fails":
                break
        page.keyboard.press("Enter")
        assert shown(page) == shown(page, "fails") == HOME.count(Verdict.FAILS) > 0
        assert "does not conform" in page.locator(".only a[aria-current]").inner_text()
        page.keyboard.press("Tab")  # from the place that the address names, which stands before the links
        page.keyboard.press("Enter")
        assert shown(page) == len(HOME.findings)
        assert bad == []


def test_findings_are_sifted_without_scripts_and_by_the_address(site: Path, tmp_path: Path) -> None:
    with browsing(tmp_path, PHONE, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, f"homes/{HOME.id}/findings", "#only-unproven"))
        assert shown(page) == shown(page, "unproven") == HOME.count(Verdict.NOT_VERIFIED) > 0
        page.locator(".only a").first.click()
        assert shown(page) == len(HOME.findings)


def test_findings_are_sifted_by_family_of_rules_without_scripts(site: Path, tmp_path: Path) -> None:
    of_fire = sum(finding.rule.family == "fire" for finding in HOME.findings)
    with browsing(tmp_path, DESK, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, f"homes/{HOME.id}/findings", "#only-of-fire"))
        assert 0 < shown(page) == of_fire < len(HOME.findings)


def test_rules_are_sifted_by_rule_set_and_all_are_there_without_scripts(site: Path, tmp_path: Path) -> None:
    with browsing(tmp_path, PHONE, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "rules"))
        lines = page.locator(".rule-line:visible")
        whole = lines.count()
        assert whole >= len(catalogue().rules)
        page.locator('.only a[href="#only-sallowby"]').click()
        assert 0 < lines.count() < whole
        assert page.locator("#smoke-clear-of-wall").is_visible()
        page.locator('.only a[href="#all"]').click()
        assert lines.count() == whole


def test_a_rule_s_page_shows_its_drawing_and_its_examples_on_a_phone(site: Path, tmp_path: Path) -> None:
    with browsing(tmp_path, PHONE) as context:
        page, bad = watched(context, site)
        page.goto(address(site, "rules/smoke-clear-of-wall"))
        assert page.locator("figure.sheet svg").is_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        assert bad == []


def test_a_link_from_what_falls_short_leads_to_the_finding_in_sight(site: Path, tmp_path: Path) -> None:
    with browsing(tmp_path, DESK) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "short"))
        page.locator(".short__where a").first.click()
        page.wait_for_load_state("load")
        target = page.locator(".finding:target")
        assert target.is_visible()
        box = target.bounding_box()
        assert box
        assert 0 <= box["y"] < DESK["height"]


def test_homes_are_sifted_by_reference_and_all_are_there_without_scripts(site: Path, tmp_path: Path) -> None:
    reference = HOME.home.home.reference
    assert reference
    with browsing(tmp_path / "with", DESK) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "homes/index"))
        page.get_by_label("Show only homes with").fill(reference.lower())
        seen = page.locator(".home:visible")
        assert seen.count() == 1
        assert HOME.home.home.label in seen.inner_text()
        assert page.get_by_role("status").first.inner_text() == f"1 of {len(demo())}"
    with browsing(tmp_path / "without", DESK, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "homes/index"))
        assert page.locator(".home:visible").count() == len(demo())
        assert not page.locator(".sift").is_visible()


def test_hostile_text_runs_nothing_and_moves_nothing_sideways(hostile_site: Path, tmp_path: Path) -> None:
    made = hostile_site
    with browsing(tmp_path / "user", PHONE) as context:
        page, bad = watched(context, made)
        # Of the pages of rules, made alike, those that hold text of a firm or of a home.
        some = {OWN_RULE, "sets", "smoke-in-bedroom", "device-named"}
        files = [
            file
            for file in sorted(made.rglob("*.html"))
            if "a_20_b" not in file.as_posix() and (file.parent.name != "rules" or file.stem in some)
        ]
        assert len(files) > 8
        for file in files:
            page.goto(file.as_uri())
            page.wait_for_load_state("load")
            assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], file
        assert bad == []
