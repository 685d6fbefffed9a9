"""A household's pages in another language, opened from disk in a real browser."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.pages.engine import render_site
from asfitted.pages.household import household_tree
from asfitted.pages.tree import write_tree
from tests.pages.browser import PHONE, browsing, in_chromium, watched
from tests.pages.homes import FIRM, ON, RECORD, dossier, home
from tests.pages.test_household_browser import NOW

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = in_chromium


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("german")
    record = RECORD.replace("reference: LL-7", "reference: LL-7, language: de").replace(
        "name: living room", "name: Stube"
    )
    write_tree(household_tree(dossier(home(record)), FIRM), folder / "tree")
    (folder / "site").mkdir()
    render_site(folder / "tree", folder / "site", ON)
    return folder / "site"


def test_a_site_keeps_of_the_search_just_what_its_language_needs(german: Path) -> None:
    kept = {file.name for file in (german / "assets/javascripts/lunr").rglob("*.js")}
    assert kept == {"lunr.de.min.js", "lunr.stemmer.support.min.js"}


def test_a_page_says_its_language_counts_days_in_it_and_finds_a_tag_and_a_room(
    german: Path, chromium: "Browser"
) -> None:
    with browsing(chromium, PHONE, timezone_id="Europe/Berlin", locale="en-GB") as context:
        page, bad = watched(context, german)
        page.clock.set_fixed_time(NOW)
        page.goto((german / "index.html").as_uri())
        assert page.locator("html").get_attribute("lang") == "de"
        left = page.locator("time.due .due__left").all_inner_texts()
        assert any(words.startswith("in ") and words.endswith(" Tagen") for words in left), left
        for asked, found in (("SA1", "SA1"), ("Stube", "Stube")):
            page.goto((german / "index.html").as_uri())
            page.locator('label.md-header__button[for="__search"]').click()
            page.locator(".md-search__input").press_sequentially(asked)
            page.locator(".md-search-result__link").first.wait_for()
            assert found in page.locator(".md-search-result__list").inner_text()
        assert not bad
