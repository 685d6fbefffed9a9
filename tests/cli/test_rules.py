"""What ``asfitted rules`` prints, with the firm's own rule sets."""

from pathlib import Path

import pytest

from asfitted.rules.catalogue import catalogue
from tests.conftest import GOOD, Run

OWN = """
title = "Our way"
about = "What we ask."
extends = "uk-england"
[limits.smoke-clear-of-wall]
least = 0.40
source = "our sheet 3"
status = "read"
severity = "advice"
"""
ON = ("--on", "2026-11-25")


@pytest.fixture
def own(run: Run, tmp_path: Path) -> Path:
    """Write a rule set of a firm beside the homes, and give its file."""
    file = tmp_path / "homes/rule-sets/ours.toml"
    file.parent.mkdir(parents=True)
    file.write_text(OWN, encoding="utf-8")
    return file


def test_rules_of_a_family_are_listed_with_weight_status_and_what_is_borrowed(run: Run) -> None:
    said = run("rules", "--family", "control").stdout
    assert "smoke-clear-of-wall" not in said
    assert all(f"  {rule.id}: " in said for rule in catalogue().rules.values() if rule.family == "control")
    assert "borrowed from common" in run("rules", "--set", "us").stdout
    assert "borrowed from common" not in run("rules").stdout


def test_the_set_may_stand_before_or_behind_show(run: Run) -> None:
    before = run("rules", "--set", "nz", "show", "device-tested")
    behind = run("rules", "show", "device-tested", "--set", "nz")
    assert before.exit_code == behind.exit_code == 0
    assert before.stdout == behind.stdout
    assert "Rule set nz (New Zealand)" in before.stdout


def test_show_says_first_what_the_set_asks_then_what_all_sets_ask(run: Run, own: Path) -> None:
    said = run("rules", "show", "smoke-clear-of-wall", "--set", "ours").stdout
    assert said.index("at least 0.40 m") < said.index("Why: ") < said.index("All rule sets") < said.index("common: ")
    assert "Rests on: our sheet 3." in said


def test_a_borrowed_limit_is_marked_wherever_it_is_shown(run: Run) -> None:
    borrowed = next(r.id for r in catalogue().rules.values() if set(r.limits) == {"common"} and not r.never_borrowed)
    said = run("rules", "show", borrowed, "--set", "us").stdout
    assert "borrowed from common: us has none of its own here" in said
    assert "Borrow the common limit: " in said
    line = next(line for line in run("rules", "--set", "us").stdout.splitlines() if f" {borrowed}: " in line)
    assert "borrowed from common" in line


def test_sets_lists_every_rule_set_with_what_it_builds_on_and_how_its_limits_are_known(run: Run, own: Path) -> None:
    said = run("rules", "sets").stdout
    for name in catalogue().names():
        assert f"{name}: {catalogue().sets[name].title}" in said
    mine = said[said.index("ours: Our way, a rule set of the firm") :]
    assert "Builds on: uk-england, uk, eu." in mine
    assert "own 1, handed on " in mine
    assert "Known by: read " in mine


def test_the_homes_named_say_where_the_firm_s_own_rule_sets_are(run: Run, own: Path, tmp_path: Path) -> None:
    (tmp_path / "homes").rename(tmp_path / "elsewhere")
    assert run("rules", "--set", "ours").exit_code == 2
    assert run("rules", "--set", "ours", "--homes", "elsewhere").exit_code == 0


def test_on_a_terminal_of_80_columns_nothing_is_wider(run: Run, own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "80")
    for arguments in (("rules",), ("rules", "show", "smoke-clear-of-wall"), ("rules", "sets")):
        lines = run(*arguments).stdout.replace("\x1b[1m", "").replace("\x1b[0m", "").splitlines()
        assert max(map(len, lines)) <= 80


def test_a_home_goes_by_a_rule_set_of_the_firm(run: Run, own: Path) -> None:
    home = GOOD.replace("label: Cabin", "rules: ours, label: Cabin").replace("from-west: 2.0", "from-west: 0.37")
    said = run("check", *ON, homes={"good": home}).stdout
    assert "the rule asks for at least 0.40 m (our sheet 3)" in said


def test_a_broken_rule_set_is_told_and_stops_only_the_homes_that_name_it(
    run: Run, own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("asfitted.pages.office.rule_pages", lambda *_: [])  # they have tests of their own
    own.write_text(OWN.replace("least", "leest"), encoding="utf-8")
    named = GOOD.replace("label: Cabin", "rules: ours, label: Cabin")
    done = run("check", *ON, homes={"good": GOOD, "other": named})
    assert done.exit_code == 2
    assert "homes/rule-sets/ours.toml:6:1" in done.stderr
    assert "Did you mean least?" in done.stderr
    assert "homes/other/record.yml:2:" in done.stderr
    assert "Put rule-sets/ours.toml right" in done.stderr
    assert "homes/good" not in done.stderr
    assert " good " in done.stdout
    built = run("build", *ON)
    assert built.exit_code == 2
    assert "Did you mean least?" in built.stderr
    assert "site/homes/good: " in built.stdout
    assert "leest" in (own.parents[2] / "site/office/rules/sets.html").read_text(encoding="utf-8")


def test_the_folder_of_rule_sets_is_no_home(run: Run, own: Path) -> None:
    done = run("check", *ON, homes={"good": GOOD})
    assert done.exit_code == 0
    assert "rule-sets" not in done.output


def test_text_of_a_rule_file_cannot_steer_the_terminal(run: Run, own: Path) -> None:
    own.write_text(
        OWN.replace("Our way", "\\u001b[31mred").replace("our sheet 3", "\\u001b]0;x\\u0007 [bold]x"), encoding="utf-8"
    )
    for arguments in (("rules", "sets"), ("rules", "show", "smoke-clear-of-wall", "--set", "ours")):
        said = run(*arguments).output
        assert "\x1b" not in said
        assert "\x07" not in said
    own.write_text(OWN.replace("least", '"\\u001b[31m"'), encoding="utf-8")
    assert "\x1b" not in run("rules").output
