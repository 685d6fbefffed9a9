"""The office pages about revisions: timelines, comparisons, all commits, the register of variations."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.fleet.stories import load_stories
from asfitted.history.story import Stories
from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import SiteConfig
from asfitted.pages.office import office_site_tree
from asfitted.rules.catalogue import catalogue
from tests.pages.browser import DESK, browsing, needs_chromium, watched
from tests.pages.homes import HOSTILE
from tests.pages.office_site import Page, pages
from tests.pages.revisions import ON, firm, told

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture(scope="module")
def firm_s(tmp_path_factory: pytest.TempPathFactory) -> tuple[Dossier, Stories]:
    return told(firm(tmp_path_factory.mktemp("firm")))


@pytest.fixture(scope="module")
def dossier(firm_s: tuple[Dossier, Stories]) -> Dossier:
    return firm_s[0]


@pytest.fixture(scope="module")
def stories(firm_s: tuple[Dossier, Stories]) -> Stories:
    return firm_s[1]


@pytest.fixture(scope="module")
def built(revisions_site: Path) -> dict[str, Page]:
    return pages(revisions_site)


def words(page: Page) -> str:
    return re.sub(r"\s+", " ", page.text)


def test_the_timeline_tells_every_revision_with_what_it_did(built: dict[str, Page], stories: Stories) -> None:
    page = built["homes/a/history.html"]
    ids = [chapter.id for chapter in stories.told["a"].chapters]
    assert [found for found in page.ids if found in ids] == ids
    assert len(ids) == 4
    assert ids[0] == "working-copy"
    said = words(page)
    for expected in (
        "device moved", "newly does not conform 1", "past visit edited", "technician 9, committed by office; not signed",
        "first record of the home", "variation changed",
    ):  # fmt: skip
        assert expected in said


def test_both_texts_of_an_edit_after_the_fact_stand_on_the_timeline(built: dict[str, Page]) -> None:
    said = words(built["homes/a/history.html"])
    assert "smoke 9 s" in said
    assert "smoke 7 s" in said
    assert "Written of a past day and changed later" in said


def test_every_comparison_has_a_page_that_links_causes_to_changes(built: dict[str, Page], stories: Stories) -> None:
    moved = stories.told["a"].chapters[2]
    page = built[f"homes/a/history/{moved.id}.html"]
    assert "change-1" in page.ids
    assert "#change-1" in page.addresses
    assert "Because of change 1 (device moved)" in words(page)
    assert {item.rule for item in moved.report.verdicts or ()} >= {"smoke-clear-of-wall"}
    assert any(element == "svg" for element, _ in page.elements), "the move is drawn"


def test_the_last_commissioning_is_compared_with_the_day_of_the_pages(built: dict[str, Page]) -> None:
    said = words(built["homes/a/history/since-commissioning.html"])
    assert "as it stands on 1 June 2026" in said
    assert "Dates before and after" in said


def test_all_commits_stand_on_one_page_with_homes_that_are_gone(built: dict[str, Page]) -> None:
    page = built["changes.html"]
    days = [given["data-day"] for _, given in page.elements if "data-day" in given]
    assert days == ["2025-07-01", "2025-06-01", "2025-05-12"]
    said = words(page)
    assert "gonethe record was taken away" in said.replace(" ", "").replace(
        "therecordwastakenaway", "the record was taken away"
    )
    alarming = [given for _, given in page.elements if "commit--alarming" in given.get("class", "")]
    assert len(alarming) == 2, "one makes an alarm fail, one edits a past visit"
    assert "On disk, not committed" in said


def test_the_register_says_which_revision_brought_a_variation_in(built: dict[str, Page], stories: Stories) -> None:
    said = words(built["variations.html"])
    first = stories.told["a"].chapters[-1].commit
    assert first is not None
    assert f"In the record since {first.words}, by technician 2" in said
    assert "Not needed" in said, "the alarm conforms without it"
    assert "Withdrawn" in said, "that of the home that is gone"


def test_text_of_commits_and_records_stays_text(built: dict[str, Page]) -> None:
    for path, page in built.items():
        if "history" in path or path in ("changes.html", "variations.html"):
            assert not [given for _, given in page.elements if "onerror" in given or "onclick" in given], path
            assert not [address for address in page.addresses if address.startswith(("javascript:", "http:"))], path
            assert "49" not in re.findall(r"\S+", page.text), path
    assert HOSTILE in built["homes/a/history.html"].text


def test_without_a_repository_the_pages_say_so(dossier: Dossier, tmp_path: Path, some_rule_pages: None) -> None:
    tree = office_site_tree([dossier], (), SiteConfig("Records"), {}, ON)
    assert "in no git repository" in str(tree["docs/homes/a/history.md"])
    assert "in no git repository" in str(tree["docs/changes.md"])
    assert "Smoke alarm clear of walls" in str(tree["docs/variations.md"])
    assert load_stories(tmp_path, ON, [], catalogue()) is None


@needs_chromium
def test_commits_are_sifted_by_day_and_by_what_alarms(revisions_site: Path, chromium: "Browser") -> None:
    with browsing(chromium, DESK) as context:
        page, bad = watched(context, revisions_site)
        page.goto((revisions_site / "changes.html").as_uri())
        seen = page.locator(".commit:visible")
        assert seen.count() == 3
        page.get_by_label("Only since").fill("2025-06-01")
        assert seen.count() == 2
        assert page.locator("#since-found").inner_text() == "2 of 3 commits"
        assert page.locator(".month-log:visible").count() == 2
        page.get_by_label("Only since").fill("")
        page.locator('.only a[href="#only-alarming"]').click()
        assert seen.count() == page.locator(".commit--alarming:visible").count() == 2
        assert bad == []
