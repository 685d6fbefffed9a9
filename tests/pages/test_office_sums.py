"""The calculation sheets of the office edition: their figures, sources, gaps and looks."""

import re
from functools import cache
from html import unescape
from pathlib import Path

import pytest

from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import SiteConfig
from asfitted.pages.formula import formula, notation, symbol
from asfitted.pages.office import office_tree
from asfitted.pages.quantity import clock, quantity
from asfitted.pages.views.office_sums import PLAIN, Sheet, asks, sheets
from asfitted.reckon.asks import asks_of, record_of
from asfitted.reckon.of_home import reckoned
from asfitted.reckon.sums import TOPICS, Sum, sums_of
from asfitted.reckon.working import sensitivity
from tests.pages.homes import HOSTILE, RECORD, dossier, home
from tests.pages.office_site import Page, demo, hostile_dossier


@cache
def every() -> tuple[tuple[Dossier, Sum], ...]:
    """Give every calculation of every demo home."""
    return tuple((made, one) for made in demo() for topic in TOPICS for one in sums_of(made.reckoned, topic))


def text_of(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", "", html)).replace("\xa0", " ").split())


@pytest.fixture(scope="module")
def made() -> dict[str, tuple[Sheet, ...]]:
    return {home.id: sheets(home) for home in demo()}


@pytest.fixture(scope="module")
def tree(demo_site: Path) -> dict[str, str]:
    """Read what the site was built from."""
    docs = demo_site.parent / "tree" / "docs"
    found = {path.relative_to(docs).as_posix(): path.read_text(encoding="utf-8") for path in docs.rglob("*.md")}
    assert found
    return found


def sheet_texts(tree: dict[str, str]) -> dict[str, str]:
    return {path: text_of(content) for path, content in tree.items() if "/calculations/" in path}


# ---------------------------------------------------------------- the figures


def test_every_demo_home_has_an_index_and_a_sheet_for_every_topic(tree: dict[str, str]) -> None:
    for dossier_ in demo():
        index = tree[f"homes/{dossier_.id}/calculations.md"]
        for topic in TOPICS:
            assert f'href="calculations/{topic}.html"' in index
            assert f"homes/{dossier_.id}/calculations/{topic}.md" in tree


def test_every_result_and_every_intermediate_value_on_a_page_is_that_of_the_working(tree: dict[str, str]) -> None:
    texts = sheet_texts(tree)
    assert len(every()) > 400
    for dossier_, one in every():
        shown = texts[f"homes/{dossier_.id}/calculations/{one.topic}.md"]
        for step in one.working.steps:
            value = quantity(step.value, step.unit).replace("\xa0", " ")
            assert f"= {value}" in shown, (dossier_.id, one.about, step)
        for given in one.working.inputs:
            assert quantity(given.value, given.unit).replace("\xa0", " ") in shown, (one.about, given)


def test_the_works_of_a_sheet_are_those_of_the_topic_in_order(made: dict[str, tuple[Sheet, ...]]) -> None:
    for dossier_ in demo():
        for sheet in made[dossier_.id]:
            sums = sums_of(dossier_.reckoned, sheet.topic)
            assert [work.about for work in sheet.works] == [one.about for one in sums]
            for work, one in zip(sheet.works, sums, strict=True):
                assert work.result == quantity(one.working.result.value, one.working.result.unit)
                assert [line.value for line in work.lines] == [quantity(s.value, s.unit) for s in one.working.steps]
                assert [given.origin for given in work.inputs] == [given.origin for given in one.working.inputs]


def test_every_step_shows_its_source_or_that_it_needs_none(tree: dict[str, str]) -> None:
    texts = sheet_texts(tree)
    for dossier_, one in every():
        shown = texts[f"homes/{dossier_.id}/calculations/{one.topic}.md"]
        for step in one.working.steps:
            assert f"Source: {' '.join(step.source.split()) or PLAIN}" in shown, step
    for path, content in tree.items():
        if "/calculations/" in path:
            assert content.count('class="sum__formula"') == content.count('class="sum__source"')


def test_every_input_says_how_it_is_known_and_where_it_comes_from() -> None:
    for _, one in every():
        for given in one.working.inputs:
            assert given.known in ("measured", "stated", "assumed", "standard")
            assert given.origin, (one.about, given.symbol)


def test_a_trial_of_a_calculation_gives_the_result_of_its_working() -> None:
    for dossier_, one in every():
        if one.model is not None:
            again = one.model(one.inputs).result.value
            assert again == pytest.approx(one.working.result.value, abs=1e-9), (dossier_.id, one.about)


def test_bars_are_ranked_and_as_long_as_what_the_input_moves(made: dict[str, tuple[Sheet, ...]]) -> None:
    seen = 0
    for home_sheets in made.values():
        for work in (work for sheet in home_sheets for work in sheet.works):
            shares = [bar.share for bar in work.bars]
            assert shares == sorted(shares, reverse=True)
            assert not shares or max(shares) in (0.0, 100.0)
            assert all(share >= 5.0 or share == 0.0 for share in shares)
            seen += len(shares)
    assert seen > 200


def test_the_bars_of_a_link_are_its_sensitivity() -> None:
    _, one = next((made_, one) for made_, one in every() if one.topic == "radio")
    assert one.model is not None
    assert one.swings == sensitivity(one.model, one.inputs)
    assert one.swings[0].size == pytest.approx(abs(one.swings[0].high - one.swings[0].low))


def test_a_reading_stands_beside_the_prediction_with_the_difference(made: dict[str, tuple[Sheet, ...]]) -> None:
    compared = 0
    for dossier_ in demo():
        for sheet in made[dossier_.id]:
            read = [one.reading for one in sums_of(dossier_.reckoned, sheet.topic) if one.reading is not None]
            found = [("at least " if one.at_least else "") + quantity(one.found, one.unit) for one in read]
            assert [line.found for line in sheet.compared] == found
            told = [line.difference == "not told" for line in sheet.compared]
            assert told == [one.at_least and one.found <= one.predicted for one in read]
            assert [line.predicted for line in sheet.compared] == [quantity(one.predicted, one.unit) for one in read]
            compared += len(read)
    assert compared > 10


def test_no_sentence_of_the_index_gives_a_verdict(made: dict[str, tuple[Sheet, ...]]) -> None:
    for home_sheets in made.values():
        for sheet in home_sheets:
            assert sheet.says.endswith("."), sheet.says
            assert not re.search(r"conform|borderline|not verified|too (little|far|low|high)|fail", sheet.says), (
                sheet.says
            )


def test_every_row_that_leads_to_a_working_leads_to_one_that_is_there(tree: dict[str, str]) -> None:
    led = 0
    for path, content in tree.items():
        if "/calculations/" in path:
            ids = re.findall(r' id="(sum-[^"]+)"', content)
            assert len(ids) == len(set(ids)), path
            links = re.findall(r'href="#(sum-[^"]+)"', content)
            assert set(links) <= set(ids), path
            led += len(links)
    assert led > 200


# ---------------------------------------------------------------- what to measure


def test_every_assumed_input_that_can_be_measured_is_asked_for_once(made: dict[str, tuple[Sheet, ...]]) -> None:
    for dossier_ in demo():
        asked = asks(dossier_)
        said = [ask.says for ask in asked]
        assert len(said) == len(set(said))
        wanted = {
            given.ask
            for topic in TOPICS
            for one in sums_of(dossier_.reckoned, topic)
            for given in one.working.assumed
            if given.ask and one.tag and not (one.reading and topic in ("radio", "sound"))
        }
        assert wanted <= set(said)
        assert all(ask.topics and ask.results for ask in asked)


def test_a_home_with_little_recorded_asks_for_place_height_and_the_home_s_position() -> None:
    record = RECORD.replace(", place: [54.0, -2.8]", "").replace(", height: 210 cm}", "}")
    asked = {ask.says: ask for ask in asks(dossier(home(record)))}
    assert asked["Measure its height above the floor, and record it."].record == "devices, MD1, height"
    place = next(ask for says, ask in asked.items() if says.startswith("Record place"))
    assert place.record == "home, place"


def test_a_home_that_has_it_measured_is_not_asked_again() -> None:
    assert not any("height above the floor" in ask.says for ask in asks(dossier(home())))


def test_the_asks_of_some_topics_leave_the_others_alone() -> None:
    known = demo()[0].reckoned
    some = asks_of(known, ("power",))
    assert some
    assert {topic for ask in some for topic in ask.topics} == {"power"}


@pytest.mark.parametrize(
    ("topic", "name", "place"),
    [
        ("sound", "R3", "visits, tests, {tag}, level and doors"),
        ("power", "I", "devices, {tag}, current"),
        ("power", "I2", "devices, {tag}, battery, life"),
        ("radio", "sigma", "visits, tests, {tag}, signal"),
        ("ways-out", "l_1", ""),
    ],
)
def test_an_input_is_recorded_where_its_symbol_says(topic: str, name: str, place: str) -> None:
    assert record_of(topic, name) == place  # type: ignore[arg-type]


# ---------------------------------------------------------------- nothing heavy before it is asked for


def test_a_home_is_reckoned_once_and_only_where_asked() -> None:
    one = demo()[0]
    known = reckoned(one.home, one.dwelling, one.on)
    assert set(vars(known)) == {"home", "dwelling", "on"}
    assert known.radio is known.radio
    assert set(vars(known)) == {"home", "dwelling", "on", "radio"}


# ---------------------------------------------------------------- formulas


@pytest.mark.parametrize(
    ("written", "names", "html"),
    [
        ("L_0 + W", (), "<var>L<sub>0</sub></var> + <var>W</var>"),
        ("Umin", ("Umin",), "<var>U<sub>min</sub></var>"),
        ("M − z(p) sigma", ("sigma",), "<var>M</var> − <var>z</var>(<var>p</var>) <var>σ</var>"),
        ("π R²", (), "π <var>R</var>²"),
        ("visibility polygon", (), "visibility polygon"),
        ("U − ΔU", ("ΔU",), "<var>U</var> − <var>ΔU</var>"),
        ("10 lg(10^(L_SA1/10))", (), None),
    ],
)
def test_a_formula_is_set_with_variables_indices_and_powers(
    written: str, names: tuple[str, ...], html: str | None
) -> None:
    found = str(formula(written, names))
    if html is None:
        assert "10<sup>" in found
        assert "<var>L<sub>SA1</sub></var>/10</sup>)" in found
        assert "to the power of" in found
    else:
        assert found == html


def test_every_formula_of_the_demo_homes_keeps_its_characters_and_closes_what_it_opens() -> None:
    for _, one in every():
        names = [*(given.symbol for given in one.working.inputs), *(step.symbol for step in one.working.steps)]
        for step in one.working.steps:
            set_ = str(formula(step.formula, names))
            for tag in ("var", "sub", "sup", "span"):
                assert set_.count(f"<{tag}") == set_.count(f"</{tag}>"), set_
            letters = re.sub(r"[^\d+/·−]", "", text_of(set_))
            assert letters == re.sub(r"[^\d+/·−]", "", step.formula)


@pytest.mark.parametrize("written", [HOSTILE, "<b>^(<i>", "^", "x^((", "a_<b>", "10^</sup><script>"])
def test_hostile_text_in_a_formula_stays_text(written: str) -> None:
    for html in (str(formula(written)), str(symbol(written))):
        assert not re.search(r"<(?!/?(var|sub|sup|span)\b)", html), html
        assert not re.search(r"<\w+ (?!class=\"aloud\")", html), html


def test_signs_are_explained_where_a_formula_uses_them() -> None:
    assert [sign for sign, _ in notation(["20 lg f", "L / 2"])] == ["a b", "lg"]
    assert notation(["L_0 + W + L_f"]) == ()


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (77.0525, "%", "77.05\xa0%"),
        (0.0, "m", "0\xa0m"),
        (-33.009, "dBm", "\N{MINUS SIGN}33.01\xa0dBm"),
        (1234.56, "h", "1235\xa0h"),
        (195.0, "°", "195°"),
        (0.95, "", "0.95"),
        (float("inf"), "m", "none"),
    ],
)
def test_a_figure_has_four_digits_and_its_unit(value: float, unit: str, shown: str) -> None:
    assert quantity(value, unit) == shown


def test_minutes_from_midnight_are_a_time_of_day() -> None:
    assert clock(485.0) == "08:05"


# ---------------------------------------------------------------- records with nothing, and hostile ones


BARE = """
record: 1
home: {label: Bare, reference: B-1}
storeys:
  - id: ground
    height: 2.40
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [1.80, 4.20]}
"""


def test_a_home_without_devices_says_why_nothing_is_worked_out() -> None:
    for sheet in sheets(dossier(home(BARE))):
        assert sheet.says.startswith("Nothing is worked out"), sheet
        assert not any(work.bars for work in sheet.works)


def test_hostile_text_of_a_record_stays_text_on_every_sheet() -> None:
    bad = hostile_dossier()
    tree = office_tree([bad], (), SiteConfig("Records"), bad.on)
    shown = {path: content for path, content in tree.items() if "calculations" in path and isinstance(content, str)}
    assert len(shown) == 1 + len(TOPICS)
    assert any("alert" in content for content in shown.values())
    for path, content in shown.items():
        body = re.sub(
            r"<svg.*?</svg>", "", content.split("---\n", 2)[2], flags=re.DOTALL
        )  # drawings have their own test
        assert not re.search(r"<(script|img|iframe)|onerror=|\{\{|\{%|javascript:", body), path
        assert not re.search(r"\n[ \t]*\n[^<#{\w\n]", body), path


def test_two_things_of_one_name_have_workings_of_their_own(made: dict[str, tuple[Sheet, ...]]) -> None:
    for home_sheets in made.values():
        for sheet in home_sheets:
            anchors = [work.anchor for work in sheet.works]
            assert len(anchors) == len(set(anchors))


# ---------------------------------------------------------------- the built pages


@pytest.fixture(scope="module")
def built(demo_pages: dict[str, Page]) -> dict[str, Page]:
    return {path: page for path, page in demo_pages.items() if "/calculations" in path}


def test_the_sheets_are_reached_from_the_pages_of_the_home_and_lead_back(
    built: dict[str, Page], demo_site: Path
) -> None:
    folder = demo()[0].id
    assert "calculations.html" in Page(demo_site / "homes" / folder / "index.html").addresses
    sheet = built[f"homes/{folder}/calculations/radio.html"]
    for address in ("../index.html", "../calculations.html", "../findings.html", "../../index.html"):
        assert address in sheet.addresses


def test_the_sheets_need_nothing_but_html(built: dict[str, Page]) -> None:
    for path, page in built.items():
        names = {name for name, _ in page.elements}
        assert not {"math", "canvas", "iframe", "object"} & names, path
        assert not [address for address in page.addresses if re.match(r"(https?:)?//", address)], path


def test_a_working_is_a_details_element_with_its_inputs_in_a_table(built: dict[str, Page]) -> None:
    for dossier_ in demo():
        sheet = built[f"homes/{dossier_.id}/calculations/walks.html"]
        folds = [given for name, given in sheet.elements if name == "details" and given.get("class") == "sum"]
        assert len(folds) == len(sums_of(dossier_.reckoned, "walks"))
