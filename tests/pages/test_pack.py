"""The hand-over pack as a page: it says what the sites say, and carries all it needs."""

import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser

import pytest
import tinycss2
from hypothesis import given
from hypothesis import strategies as st
from markdown import markdown

from asfitted.pages.household import household_tree
from asfitted.pages.pack import FIRST, LAST, as_css, hand_over_pack
from asfitted.pages.views.dates import year_ahead
from asfitted.rules.finding import Verdict
from tests.pages.homes import FIRM, HOSTILE, RECORD, home, hostile_home
from tests.pages.papers import DIGEST, NOTHING, judged, section, varied, words

MADE = varied()


@pytest.fixture(scope="module")
def page() -> str:
    return hand_over_pack(MADE, FIRM, DIGEST)


@pytest.fixture(scope="module")
def site() -> dict[str, str]:
    """The household's pages as the site has them, rendered with nothing of ours."""
    tree = household_tree(MADE, FIRM)
    shown = {name: tree[f"docs/{name}.md"] for name in (*FIRST, *LAST) if f"docs/{name}.md" in tree}
    return {
        name: markdown(str(text).split("\n---\n", 1)[1], extensions=["admonition", "attr_list", "toc"])
        for name, text in shown.items()
    }


def test_every_device_stands_in_the_list_and_among_the_test_results(page: str) -> None:
    for chapter in ("devices", "tests"):
        told = section(page, chapter)
        assert {tag for tag in MADE.home.devices if f'<span class="plate">{tag}</span>' not in told} == set(), chapter


def test_what_does_not_plainly_conform_stands_in_full_with_its_source(page: str) -> None:
    told = words(section(page, "statement"))
    listed = [found for found in MADE.findings if found.verdict not in (Verdict.CONFORMS, Verdict.NOT_APPLICABLE)]
    assert len(listed) > 50
    for found in listed:
        assert " ".join(found.says.split()) in told, found.key
        assert " ".join(found.remedy.split()) in told, found.key
        assert " ".join(found.limit.source.title.split()) in told, found.key


def test_every_verdict_is_counted_by_family_and_over_all(page: str) -> None:
    rows = re.findall(r"<tr.*?</tr>", section(page, "statement").split("</table>")[0], re.DOTALL)
    numbers = [[int(cell) for cell in re.findall(r"<td>(\d+)</td>", row)] for row in rows[1:]]
    counted = Counter(found.verdict for found in MADE.findings)
    assert numbers[-1] == [*(counted[verdict] for verdict in Verdict), len(MADE.findings)]
    assert [sum(column) for column in zip(*numbers[:-1], strict=True)] == numbers[-1]


def test_the_rule_set_and_what_the_statement_is_not_are_said_with_it(page: str) -> None:
    told = words(section(page, "statement"))
    assert f"{MADE.rules.facts.title} ({MADE.rules.facts.name})" in told
    assert "It is not a certificate of conformity" in told
    assert "Makers' instructions, local codes and licensed practice come first." in told
    assert "What the record cannot show" in told


def test_every_variation_stands_in_the_register_with_its_state(page: str) -> None:
    told = section(page, "statement")
    register = words(told[told.index("statement-register") :])
    for agreed in MADE.home.variations:
        assert agreed.why in register
        assert agreed.agreed in register
    assert "in force" in register
    assert "lapsed" in register


def test_readings_say_what_was_read_on_which_day_and_by_whom(page: str) -> None:
    told = words(section(page, "tests"))
    assert "SA1 Smoke alarm 4 March 2026 technician 4 button: sounded ; smoke: 8 s ; link: all sounded" in told
    assert "button: silent against it" in told
    assert "never tested" in told


def test_the_year_ahead_has_every_day_that_the_site_has(page: str) -> None:
    told = section(page, "dates")
    days = [day.due.isoformat() for month in year_ahead(MADE.tasks, MADE.on) for day in month.days]
    assert len(days) > 10
    assert [day for day in days if f'datetime="{day}"' not in told] == []


@pytest.mark.parametrize("name", ["sounds", "how-to", "batteries", "safety", "words"])
def test_the_household_reads_on_paper_what_the_site_says(page: str, site: dict[str, str], name: str) -> None:
    html = re.sub(r'<ul class="doors.*?</ul>', "", site[name], flags=re.DOTALL)
    for left_out in (*FIRST.get(name, ()), *LAST.get(name, ())):
        html = re.sub(rf'<h2 id="{left_out}".*?(?=<h2|\Z)', "", html, flags=re.DOTALL)
    said = [words(line) for line in re.findall(r"<(?:li|dd|h2|h3)\b[^>]*>(.*?)</(?:li|dd|h2|h3)>", html, re.DOTALL)]
    told = words(section(page, name))
    assert len(said) > 3
    assert [line for line in said if line not in told] == []


def test_what_paper_leaves_out_is_there_on_the_site(site: dict[str, str]) -> None:
    for name, left_out in {**FIRST, **LAST}.items():
        for anchor in left_out if name in site else ():
            assert f'id="{anchor}"' in site[name], f"{name}: {anchor}"


def test_links_lead_to_places_in_the_document_and_ids_are_used_once(page: str) -> None:
    ids = Counter(re.findall(r'\sid="([^"]+)"', page))
    assert [name for name, number in ids.items() if number > 1] == []
    targets = re.findall(r'\shref="([^"]+)"', page)
    assert "#devices-sa1" in targets
    assert [to for to in targets if not to.startswith("tel:") and to.removeprefix("#") not in ids] == []


def test_nothing_is_fetched(page: str) -> None:
    assert re.findall(r"\ssrc=|url\((?!#)|@import|<link|<script", page) == []
    assert "default-src &#39;none&#39;" in page or "default-src 'none'" in page


def test_the_cover_names_the_record_so_that_it_can_be_matched(page: str) -> None:
    cover = page[page.index('<header class="cover">') : page.index("</header>")]
    assert re.sub(r"<[^>]+>|\s", "", cover).count(DIGEST) == 1
    assert f"asfitted compare millside {DIGEST[:12]}" in words(cover)
    assert "4f1c2ab of 2026-03-10" in words(cover)
    assert "LL-7" in words(cover)


def test_a_household_of_another_language_finds_the_way_in_its_own_words_on_the_cover() -> None:
    page = hand_over_pack(
        judged(home(RECORD.replace("reference: LL-7", "reference: LL-7, language: de"))), FIRM, DIGEST
    )
    cover = page[page.index('<header class="cover">') : page.index("</header>")]
    assert '<html lang="en">' in page
    assert '<section class="chapter chapter--sounds" lang="de">' in page
    assert '<section class="chapter chapter--devices">' in page
    assert "Wenn ein Alarm ertönt" in cover
    assert "Lebensgefahr: 112" in words(cover)


def test_people_sign_by_role_and_no_name_is_asked_for(page: str) -> None:
    told = words(section(page, "signatures"))
    assert [role for role in ("Technician", "Reviewer for the firm", "Householder") if role not in told] == []
    assert not re.search(r"\bname\b", told, re.IGNORECASE)


def test_the_same_home_and_day_give_the_same_page(page: str) -> None:
    assert hand_over_pack(varied(), FIRM, DIGEST) == page


class Tags(HTMLParser):
    """Every element of a page with its attributes, as a browser would see them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.names: set[str] = set()
        self.attributes: set[tuple[str, str]] = set()
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        self.attributes |= {(name, value or "") for name, value in attrs}


def test_hostile_text_stays_text() -> None:
    page = hand_over_pack(judged(hostile_home()), replace(FIRM, name=HOSTILE), DIGEST)
    tags = Tags(page)
    assert tags.names.isdisjoint({"script", "img", "iframe", "object"})
    assert [name for name, _ in tags.attributes if name.startswith("on")] == []
    assert [value for name, value in tags.attributes if name == "href" and not value.startswith(("#", "tel:"))] == []
    assert "alert(" not in page[page.index("<style>") : page.index("</style>")]
    assert page.count("</style>") == 1
    assert "alert(1)" in words(section(page, "devices"))


def test_a_home_with_nothing_has_a_pack_that_says_so() -> None:
    page = hand_over_pack(judged(home(NOTHING)), FIRM, DIGEST)
    assert "No device is in the record." in words(section(page, "devices"))
    assert "No reading is in the record." in words(section(page, "tests"))
    assert "No departure from a rule has been agreed." in words(section(page, "statement"))
    assert "ways-out" not in re.findall(r'<h2 id="([^"]+)"', page)


@given(st.text(max_size=40))
def test_words_in_a_stylesheet_read_back_as_they_were(said: str) -> None:
    # Read back by tinycss2, which follows CSS Syntax Level 3, section 4.3.5.
    (token,) = tinycss2.parse_component_value_list(as_css(said))
    assert token.type == "string"
    plain = " ".join(said.split())
    assert token.value == "".join("\ufffd" if c == "\0" or "\ud800" <= c <= "\udfff" else c for c in plain)
