"""A firm's own rule sets: what they may say, and what is said of those that cannot be used."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.record.located import Located
from asfitted.rules.catalogue import Catalogue, catalogue
from asfitted.rules.examples import case_of, home_text
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judge import judge, rule_problems
from asfitted.rules.own import LARGEST, own_sets
from asfitted.rules.rule_set import rule_set

HEAD = 'title = "Our way"\nabout = "What we ask."\nextends = "common"\n'
LIMIT = '[limits.smoke-clear-of-wall]\nleast = 0.40\nsource = "our sheet 3"\nstatus = "read"\nseverity = "advice"\n'
RULE = """
[rules.heat-clear-of-wall-by-us]
family = "fire"
title = "heat alarm clear of walls"
says = "A heat alarm stands {limit} from every wall."
why = "Room for a ladder."
measured = "horizontally"
remedy = "Move it away from the wall."
applies-to = ["heat alarm"]
unit = "m"
check = "clear-of"
options = { of = "walls", thing = "wall" }
[limits.heat-clear-of-wall-by-us]
least = 0.40
source = "common-practice"
status = "common practice"
severity = "advice"
"""


def read(**files: str) -> tuple[Catalogue, tuple[Located, ...]]:
    """Read files by the name of their set, with hyphens for underscores."""
    paths = {Path(f"rule-sets/{name.replace('_', '-')}.toml"): text.encode() for name, text in files.items()}
    return own_sets(paths, catalogue())


def wrong(text: str) -> Located:
    """Give the one trouble of a file, and see that its set is left out."""
    rules, troubles = read(ours=text)
    assert len(troubles) == 1, [trouble.sentence for trouble in troubles]
    assert rules == catalogue()
    return troubles[0]


def found(rules: Catalogue, name: str, rule: str, devices: str) -> Finding:
    case = case_of(home_text(rules=name, devices=devices), rules=rules)
    return next(f for f in judge(case.home, case.dwelling, case.on, case.rules, (rule,)) if f.subject.id == "A1")


def test_a_set_overrides_a_limit_and_everything_else_stays_as_the_set_it_builds_on_has_it() -> None:
    rules, troubles = read(ours=HEAD.replace("common", "uk-england") + LIMIT)
    assert troubles == ()
    mine, base = rule_set(rules, "ours"), rule_set(rules, "uk-england")
    assert mine.limits["smoke-clear-of-wall"].least == 0.40
    assert mine.limits["smoke-clear-of-wall"].source.called == "our sheet 3"
    for rule_id, limit in base.limits.items():
        if rule_id != "smoke-clear-of-wall" and not limit.borrowed_by and not limit.nothing:
            assert mine.limits[rule_id] is limit


def test_a_finding_by_an_own_limit_names_the_firm_s_source() -> None:
    rules, _ = read(ours=HEAD + LIMIT)
    near = "A1: {kind: smoke alarm, on: ceiling of living, from-west: 3.0, from-south: 0.31}"
    finding = found(rules, "ours", "smoke-clear-of-wall", near)
    assert finding.verdict is Verdict.FAILS
    assert "at least 0.40 m (our sheet 3)" in finding.says


def test_a_set_adds_a_rule_that_only_it_and_those_that_build_on_it_have() -> None:
    rules, troubles = read(ours=HEAD + RULE, child=HEAD.replace("common", "ours"))
    assert troubles == ()
    for name, has in (("ours", True), ("child", True), ("common", False), ("uk-england", False)):
        assert ("heat-clear-of-wall-by-us" in rule_set(rules, name).rules) is has
    near = "A1: {kind: heat alarm, on: ceiling of living, from-west: 3.0, from-south: 0.31}"
    assert found(rules, "child", "heat-clear-of-wall-by-us", near).verdict is Verdict.FAILS


def test_a_set_builds_on_another_of_the_firm_s_whatever_the_order_of_the_files() -> None:
    chain = {"a": "z", "z": "m", "m": "de"}
    rules, troubles = read(**{name: HEAD.replace("common", on) for name, on in chain.items()})
    assert troubles == ()
    assert rules.chain("a") == ("a", "z", "m", "de", "eu")


def test_a_set_is_borrowed_for_as_every_other_is() -> None:
    rules, _ = read(ours=HEAD.replace("common", "us"))
    only_common = next(r.id for r in rules.rules.values() if set(r.limits) == {"common"} and not r.never_borrowed)
    assert rule_set(rules, "ours").limits[only_common].borrowed_by == "Our way"


def test_sets_that_build_on_one_another_in_a_circle_are_named_and_the_others_stand() -> None:
    rules, troubles = read(
        a=HEAD.replace("common", "b"), b=HEAD.replace("common", "a"), c=HEAD.replace("common", "a"), good=HEAD
    )
    assert [trouble.file.stem for trouble in troubles] == ["a", "b", "c"]
    assert "found a → b → a" in troubles[0].sentence
    assert "cannot itself" in troubles[2].sentence
    assert all(trouble.mark == (3, 1) for trouble in troubles)
    assert {name for name, facts in rules.sets.items() if facts.own} == {"good"}


def test_a_broken_set_takes_those_that_build_on_it_along_and_no_other() -> None:
    rules, troubles = read(a=HEAD + "[limits.nothing-known]\n", b=HEAD.replace("common", "a"), good=HEAD + LIMIT)
    assert [trouble.file.stem for trouble in troubles] == ["a", "b"]
    assert {name for name, facts in rules.sets.items() if facts.own} == {"good"}


def test_only_a_home_that_names_a_broken_set_is_held_up() -> None:
    rules, _ = read(ours="title = ")
    home = case_of(home_text()).home
    assert rule_problems(home, rules) == []
    named = home.model_copy(update={"home": home.home.model_copy(update={"rules": "ours"})})
    assert [problem.path for problem in rule_problems(named, rules)] == [("home", "rules")]


BROKEN = {
    "a misspelt rule": (HEAD + LIMIT.replace("of-wall", "of-wal"), (4, 2), "Did you mean smoke-clear-of-wall?"),
    "a misspelt key": (HEAD + LIMIT.replace("least", "leest"), (5, 1), "Did you mean least?"),
    "a misspelt status": (HEAD + LIMIT.replace('"read"', '"red"'), (7, 1), "expected one of: read"),
    "a wrong type": (HEAD + LIMIT.replace("0.40", '"0.40"'), (5, 1), "expected a number"),
    "yes for a number": (HEAD + LIMIT.replace("0.40", "true"), (5, 1), "expected a number"),
    "no number": (HEAD + LIMIT.replace("0.40", "nan"), (5, 1), "expected a number"),
    "a key that is not there": (HEAD + LIMIT.replace('severity = "advice"\n', ""), (4, 2), "severity: found nothing"),
    "an unknown source": (HEAD + LIMIT.replace("our sheet 3", "comon-practice"), (6, 1), "Did you mean common-practice?"),
    "an unknown set": (HEAD.replace("common", "uk-englnd"), (3, 1), "Did you mean uk-england?"),
    "memory without confidence": (HEAD + LIMIT.replace('"read"', '"from memory"'), (4, 2), "since the figure is from memory"),
    "the wrong side": (HEAD + LIMIT.replace("least", "most"), (5, 1), "expected least"),
    "no figure": (HEAD + LIMIT.replace("least = 0.40\n", ""), (4, 2), "a figure: least, in m"),
    "a figure for nothing": (HEAD + LIMIT + "nothing = true\n", (5, 1), "since nothing is asked"),
    "an unknown option": (HEAD + LIMIT + 'options = { off = "walls" }\n', (9, 13), "Did you mean of?"),
    "an option of a wrong type": (HEAD + LIMIT + "options = { of = 3 }\n", (9, 13), "found “3”"),
    "an option the check cannot work with": (HEAD + LIMIT + 'options = { of = "moons" }\n', (9, 1), "cannot work with"),
    "broken TOML": (HEAD + "[limits.smoke-clear-of-wall\n", (4, 28), "broken TOML"),
    "a text not closed": (HEAD + 'note = "x\n', (4, 10), "broken TOML"),
    "a key twice": (HEAD + 'title = "again"\n', (4, 16), "broken TOML"),
    "an unknown part": (HEAD + "[limit.smoke-clear-of-wall]\n", (4, 2), "Did you mean limits?"),
    "a limit that is no table": (HEAD + "limits.smoke-clear-of-wall = 3\n", (4, 1), "expected a table"),
    "a rule that is there": (HEAD + RULE.replace("heat-clear-of-wall-by-us", "smoke-clear-of-wall"), (5, 2), "an id that no other rule has"),
    "a rule without a limit": (HEAD + RULE.partition("[limits")[0], (5, 2), "limits.heat-clear-of-wall-by-us"),
    "an unknown check": (HEAD + RULE.replace('"clear-of"', '"clear-off"'), (14, 1), "Did you mean clear-of?"),
    "a subject of another kind": (HEAD + RULE.replace('["heat alarm"]', '["heat alarms"]'), (12, 1), "Did you mean heat alarm?"),
    "another unit": (HEAD + RULE.replace('unit = "m"', 'unit = "ft"'), (13, 1), "the unit in which the check"),
    "a sentence that reaches into the program": (
        HEAD + RULE.replace("{limit}", "{limit.__class__}"), (8, 1), "no braces but {limit}"),
    "a sentence without its figure": (HEAD + RULE.replace("{limit}", "far"), (8, 1), "where the figure goes"),
    "an unknown family": (HEAD + RULE.replace('"fire"', '"fires"'), (6, 1), "Did you mean fire?"),
    "options that are missing": (HEAD + RULE.replace('of = "walls", ', ""), (15, 1), "the options that the check"),
}  # fmt: skip


@pytest.mark.parametrize("what", BROKEN)
def test_what_is_wrong_is_told_with_its_place_and_what_was_expected(what: str) -> None:
    text, mark, said = BROKEN[what]
    trouble = wrong(text)
    assert said in trouble.sentence
    assert trouble.mark == mark, trouble.place
    assert trouble.file == Path("rule-sets/ours.toml")


def test_a_limit_that_the_law_sets_can_be_made_stricter_and_never_looser() -> None:
    rule = catalogue().rules["smoke-clear-of-wall"]
    law = replace(rule.limits["common"], rule_set="us", severity="law", least=0.30)
    rules = {**catalogue().rules, rule.id: replace(rule, limits={**rule.limits, "us": law})}
    shipped = Catalogue(rules, catalogue().sets)

    def said(limit: str) -> list[str]:
        text = HEAD.replace("common", "us") + limit
        return [trouble.sentence for trouble in own_sets({Path("ours.toml"): text.encode()}, shipped)[1]]

    as_law = LIMIT.replace("advice", "law")
    assert said(as_law) == []
    assert "what the law asks or more: at least 0.30 m" in said(as_law.replace("0.40", "0.29"))[0]
    assert "law, as the limit of us" in said(LIMIT)[0]
    assert "what the law asks or more" in said(as_law.replace("least = 0.40", "nothing = true"))[0]


@pytest.mark.parametrize("name", ["Ours", "our set", "ours_2", "-x", "x" * 61, "uk", "uk-england", "common"])
def test_a_file_is_called_as_a_new_rule_set_may_be(name: str) -> None:
    rules, troubles = own_sets({Path(f"{name}.toml"): HEAD.encode()}, catalogue())
    assert len(troubles) == 1
    assert rules == catalogue()


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"\x00", b"# " + b"x" * LARGEST, b"a = " + b"[" * 100_000])
def test_a_file_of_anything_at_all_is_a_trouble_and_no_traceback(content: bytes) -> None:
    rules, troubles = own_sets({Path("ours.toml"): content}, catalogue())
    assert troubles
    assert rules == catalogue()


@given(st.text())
def test_any_text_gives_a_set_or_troubles(text: str) -> None:
    rules, troubles = own_sets({Path("ours.toml"): text.encode("utf-8", "surrogatepass")}, catalogue())
    assert ("ours" in rules.sets) is not bool(troubles)


@given(
    st.sampled_from(["title", "extends", "limits", "rules"]),
    st.sampled_from(["3", "true", "[1]", "{x = 1}", '""', "{smoke-clear-of-wall = 1}"]),
)
def test_a_value_of_any_type_at_the_top_is_a_trouble(key: str, value: str) -> None:
    lines = [line for line in HEAD.splitlines() if not line.startswith(key)]
    _, troubles = own_sets({Path("ours.toml"): "\n".join([*lines, f"{key} = {value}"]).encode()}, catalogue())
    assert troubles


def test_the_order_in_which_files_are_given_does_not_show() -> None:
    files = {Path(f"{name}.toml"): (HEAD + text).encode() for name, text in (("a", LIMIT), ("b", RULE), ("c", "x"))}
    assert own_sets(files, catalogue()) == own_sets(dict(reversed(files.items())), catalogue())
