"""The pages of the rules: an index, a page each, and the rule sets."""

import re
from pathlib import Path

import pytest

from asfitted.pages.office import Unreadable, office_tree
from asfitted.pages.views.office_rules import rule_lines, rule_pages, set_lines, settle
from asfitted.pages.views.rule_examples import judged_examples, record_text, split
from asfitted.rules.catalogue import COMMON, catalogue
from asfitted.rules.examples import examples
from asfitted.rules.finding import Verdict
from tests.pages.office_site import ON, OWN_RULE, Page, config, demo, hostile_rules


@pytest.fixture(scope="module")
def built(demo_pages: dict[str, Page]) -> dict[str, Page]:
    return demo_pages


@pytest.mark.parametrize("rule", catalogue().rules.values(), ids=lambda rule: rule.id)
def test_a_rule_has_a_page_made_from_its_data(built: dict[str, Page], rule: object) -> None:
    rule = catalogue().rules[getattr(rule, "id", "")]
    text = " ".join(built[f"rules/{rule.id}.html"].text.split())
    for words in (rule.why, rule.remedy, rule.id, *rule.applies_to):
        assert " ".join(words.split()) in text
    for limit in rule.limits.values():
        for words in (limit.rule_set, limit.status, limit.severity, limit.figure, limit.clause, limit.note):
            assert " ".join(words.split()) in text
        assert limit.source.title[1:] in text
        assert limit.confidence == "high" or f"{limit.confidence} confidence" in text


def test_the_index_leads_to_every_rule_and_keeps_its_anchor(built: dict[str, Page]) -> None:
    index = built["rules.html"]
    for rule_id in catalogue().rules:
        assert f"rules/{rule_id}.html" in index.addresses
        assert rule_id in index.ids


def test_every_rule_set_stands_in_the_overview_with_what_it_holds(built: dict[str, Page]) -> None:
    lines = set_lines(catalogue(), settle(catalogue()))
    assert [line.name for line in lines] == catalogue().names()
    assert set(catalogue().names()) <= set(built["rules/sets.html"].ids)
    for line in lines:
        counts = line.counts
        assert counts.own + counts.handed_on + counts.borrowed + counts.nothing == counts.rules
        assert sum(counts.known_by.values()) == counts.asks
    assert next(line for line in lines if line.name == COMMON).counts.borrowed == 0


def test_each_rule_set_asks_borrows_or_asks_nothing_by_each_rule_and_the_page_says_which() -> None:
    settled = settle(catalogue())
    for page in rule_pages(catalogue(), settled, ()):
        asking = {name for row in page.limits for name in (row.limit.rule_set, *row.handed_to)}
        assert asking | set(page.lent) | set(page.silent) >= set(settled)
        assert not asking & set(page.lent)
        assert not set(page.lent) & set(page.silent)


def test_the_filter_by_rule_set_holds_what_is_not_borrowed() -> None:
    settled = settle(catalogue())
    for _, _, lines in rule_lines(catalogue(), settled):
        for line in lines:
            for name, rules in settled.items():
                limit = rules.limits[line.rule.id]
                assert (name in line.asked_by) == (not limit.nothing and not limit.borrowed_by)


def test_the_page_of_a_rule_lists_the_homes_that_fall_short_with_the_way_there(built: dict[str, Page]) -> None:
    for dossier in demo():
        for finding in dossier.findings:
            if finding.verdict in (Verdict.FAILS, Verdict.NOT_VERIFIED, Verdict.BORDERLINE, Verdict.VARIATION):
                found = built[f"rules/{finding.rule.id}.html"].addresses
                assert any(address.startswith(f"../homes/{dossier.id}/findings.html#") for address in found)


WITH = [rule_id for rule_id, given in examples().items() if given.given and rule_id in catalogue().rules]


@pytest.mark.parametrize("rule_id", WITH)
def test_the_examples_on_a_page_have_the_verdicts_they_claim(rule_id: str) -> None:
    shown = judged_examples(rule_id).shown
    for example in examples()[rule_id].given:
        same = [item for item in shown if item.verdict is example.verdict and not item.never]
        assert same, example.verdict
        assert all(item.says for item in same)
    fails = [item for item in shown if item.verdict is Verdict.FAILS and not item.never]
    assert not fails or any(item.verdict is Verdict.VARIATION for item in shown)


def test_a_rule_without_examples_has_a_page_all_the_same() -> None:
    made = office_tree([], [], config(), ON, hostile_rules())
    assert "no examples here" in str(made[f"rules/{OWN_RULE}.md"])


def test_a_rule_set_that_cannot_be_used_stands_on_the_page_of_the_sets() -> None:
    made = office_tree([], [], config(), ON, catalogue(), [Unreadable("broken", ("line 3: found <b>",))])
    assert "line 3&#58; found &#60;b&#62;" in str(made["rules/sets.md"])
    assert "cannot be used" in str(made["rules.md"])


@pytest.mark.parametrize(
    ("flow", "parts"),
    [
        (
            "SA1: {kind: smoke alarm, on: ceiling of x}, SA2: {kind: y}",
            ["SA1: {kind: smoke alarm, on: ceiling of x}", "SA2: {kind: y}"],
        ),
        ("{a: 'x, y', b: [1, 2]}, {c: \"}, {\"}", ["{a: 'x, y', b: [1, 2]}", '{c: "}, {"}']),
        ("", []),
    ],
)
def test_flow_text_is_parted_where_a_technician_would_break_the_line(flow: str, parts: list[str]) -> None:
    assert split(flow) == parts


def test_a_part_of_a_record_is_shown_as_it_is_typed() -> None:
    text = record_text(
        {"rules": "us", "devices": "SA1: {kind: x}, SA2: {kind: y}", "system": "{grade: 2}", "home": ", rented: yes"}
    )
    assert text == "devices:\n  SA1: {kind: x}\n  SA2: {kind: y}\nsystem: {grade: 2}\n# home: {..., rented: yes}"


def test_no_rule_page_is_in_the_navigation(demo_site: Path) -> None:
    written = (demo_site.parent / "tree/mkdocs.yml").read_text(encoding="utf-8")
    assert "  rules/*" in written
    assert not re.search(r"nav:.*rules/", written)
