"""The office pages in a real browser, opened from disk."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.rules.catalogue import catalogue
from asfitted.rules.finding import Verdict
from tests.pages.browser import DESK, PHONE, browsing, in_chromium, watched
from tests.pages.office_site import OWN_RULE, demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

HOME = next(dossier for dossier in demo() if dossier.count(Verdict.FAILS))
pytestmark = in_chromium


@pytest.fixture(scope="module")
def site(demo_site: Path) -> Path:
    return demo_site


def address(site: Path, name: str, anchor: str = "") -> str:
    return f"{(site / name).as_uri()}.html{anchor}"


def shown(page: "Page", look: str = "") -> int:
    """Count the findings that can be seen, of all verdicts or of one."""
    selector = f".finding{f'.finding--{look}' if look else ''}"
    count: int = page.evaluate(
        "selector => [...document.querySelectorAll(selector)].filter(e => e.getClientRects().length).length", selector
    )
    return count


def test_a_result_leads_to_its_working_and_on_paper_every_working_stands_open(site: Path, chromium: "Browser") -> None:
    closed = "document.querySelectorAll('details.sum:not([open])').length"
    with browsing(chromium, DESK) as context:
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


def test_findings_are_sifted_by_verdict_with_the_keyboard_alone(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, DESK) as context:
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


def test_findings_are_sifted_without_scripts_and_by_the_address(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, f"homes/{HOME.id}/findings", "#only-unproven"))
        assert shown(page) == shown(page, "unproven") == HOME.count(Verdict.NOT_VERIFIED) > 0
        page.locator(".only a").first.click()
        assert shown(page) == len(HOME.findings)


def test_findings_are_sifted_by_family_of_rules_without_scripts(site: Path, chromium: "Browser") -> None:
    of_fire = sum(finding.rule.family == "fire" for finding in HOME.findings)
    with browsing(chromium, DESK, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, f"homes/{HOME.id}/findings", "#only-of-fire"))
        assert 0 < shown(page) == of_fire < len(HOME.findings)


def test_rules_are_sifted_by_rule_set_and_all_are_there_without_scripts(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE, java_script_enabled=False) as context:
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


def test_a_rule_s_page_shows_its_drawing_and_its_examples_on_a_phone(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, site)
        page.goto(address(site, "rules/smoke-clear-of-wall"))
        assert page.locator("figure.sheet svg").is_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        assert bad == []


def test_a_link_from_what_falls_short_leads_to_the_finding_in_sight(site: Path, chromium: "Browser") -> None:
    with browsing(chromium, DESK) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "short"))
        page.locator(".short__where a").first.click()
        page.wait_for_load_state("load")
        target = page.locator(".finding:target")
        assert target.is_visible()
        box = target.bounding_box()
        assert box
        assert 0 <= box["y"] < DESK["height"]


def test_homes_are_sifted_by_reference_and_all_are_there_without_scripts(site: Path, chromium: "Browser") -> None:
    reference = HOME.home.home.reference
    assert reference
    with browsing(chromium, DESK) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "homes/index"))
        page.get_by_label("Show only homes with").fill(reference.lower())
        seen = page.locator(".home:visible")
        assert seen.count() == 1
        assert HOME.home.home.label in seen.inner_text()
        assert page.get_by_role("status").first.inner_text() == f"1 of {len(demo())}"
    with browsing(chromium, DESK, java_script_enabled=False) as context:
        page, _ = watched(context, site)
        page.goto(address(site, "homes/index"))
        assert page.locator(".home:visible").count() == len(demo())
        assert not page.locator(".sift").is_visible()


def test_hostile_text_runs_nothing_and_moves_nothing_sideways(hostile_site: Path, chromium: "Browser") -> None:
    made = hostile_site
    with browsing(chromium, PHONE) as context:
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
