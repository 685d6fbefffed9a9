"""``asfitted compare`` and ``asfitted trace`` as people use them."""

import json
import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from rich.cells import cell_len

from asfitted.cli import main
from tests.history.homes import text
from tests.history.repos import Repo

ON = ("--on", "2026-06-01")
Run = Callable[..., Result]


@pytest.fixture
def run(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give a function that runs a command in the repository."""
    monkeypatch.chdir(repo.root)
    return lambda *words: CliRunner().invoke(main, [*words, *ON], catch_exceptions=False)


def test_without_revisions_the_last_commissioning_is_compared_with_the_working_copy(repo: Repo, run: Run) -> None:
    made = repo.commit({"a": text()}, "2025-05-12", author="technician 2")
    repo.commit({"a": text(sleepers="3")}, "2025-06-12")
    repo.write({"a": text(sleepers="3", sa1_west="0.20")})
    said = run("compare", "a")
    assert said.exit_code == 0
    assert f"from: {made[:10]} of 2025-05-12" in said.output or "from: " in said.output
    for words in ("working copy", "device moved", "Sleepers in the bedroom: was 2, now 3.", "newly does not conform"):
        assert words in said.output


def test_the_exit_code_tells_a_check_what_to_do(repo: Repo, run: Run) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text(sleepers="3")}, "2025-05-13")
    assert run("compare", "a", old, "HEAD", "--exit-code").exit_code == 0
    repo.commit({"a": text(sa1_west="0.20")}, "2025-05-14")
    assert run("compare", "a", old, "HEAD").exit_code == 0
    assert run("compare", "a", old, "HEAD", "--exit-code").exit_code == 1
    repo.commit({"a": text(reading="8 s")}, "2025-05-15")
    assert run("compare", "--all", old, "--no-verdicts", "--exit-code").exit_code == 1
    repo.write({"a": "record: 2\n"})
    assert run("compare", "a", old).exit_code == 2
    assert "that revision cannot be used" in run("compare", "a", old).output


def test_json_holds_what_the_handbook_says(repo: Repo, run: Run) -> None:
    old = repo.commit({"a": text(), "b": text()}, "2025-05-12")
    repo.commit({"a": text(sa1_west="0.20", reading="8 s")}, "2025-05-13")
    data = json.loads(run("compare", "a", old, "HEAD", "--format", "json").output)
    assert data["format"] == 1
    (home,) = data["homes"]
    assert [change["kind"] for change in home["changes"]] == ["past visit edited", "device moved"]
    move = home["changes"][1]
    assert (move["was-at"]["point"], move["now-at"]["point"]) == ([1.0, 1.5], [0.2, 1.5])
    (fails,) = [item for item in home["verdicts"] if item["rule"] == "smoke-clear-of-wall"]
    assert [home["changes"][index]["kind"] for index in fails["causes"]] == ["device moved"]
    assert home["evidence"]["after-the-fact"][0]["commit"]["signature"] is None
    handbook = (Path(__file__).parents[2] / "docs" / "revisions.md").read_text(encoding="utf-8")
    keys = {*data, *home, *home["changes"][0], *fails, *home["evidence"], *home["new"]}
    assert [key for key in keys if f"`{key}`" not in handbook] == []


def test_the_handbook_lists_every_kind_of_change_and_turn() -> None:
    from asfitted.history.changes import Kind
    from asfitted.history.verdict_changes import Because, Turn

    handbook = (Path(__file__).parents[2] / "docs" / "revisions.md").read_text(encoding="utf-8")
    words = " ".join(handbook.split())
    assert [word.value for word in (*Kind, *Turn, *Because) if word.value not in words] == []


def test_only_homes_that_changed_are_read(repo: Repo, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    old = repo.commit({name: text(home_note=name) for name in "abcd"}, "2025-05-12")
    repo.commit({"b": text(sleepers="3"), "d": None}, "2025-05-13")
    from asfitted.history import points

    read: list[str] = []
    from asfitted.history.side import side_of

    def counted(raw: bytes | None, day: object, rules: object, file: Path) -> object:
        read.append(str(file))
        return side_of(raw, day, rules, file)  # type: ignore[arg-type]

    monkeypatch.setattr(points, "side_of", counted)
    said = run("compare", "--all", old, "HEAD", "--format", "json")
    assert [home["home"] for home in json.loads(said.output)["homes"]] == ["b", "d"]
    assert {Path(name).parent.name for name in read} == {"b", "d"}


def test_a_renamed_home_is_one_home(repo: Repo, run: Run) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": None, "b": text(sleepers="3")}, "2025-05-13")
    (home,) = json.loads(run("compare", "--all", old, "HEAD", "--format", "json").output)["homes"]
    assert (home["was"], home["now"]) == ("a", "b")
    assert [change["kind"] for change in home["changes"]] == ["household changed"]
    (same,) = json.loads(run("compare", "b", old, "HEAD", "--format", "json").output)["homes"]
    assert same["changes"] == home["changes"]


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_text_of_a_record_is_made_harmless(repo: Repo, run: Run, form: str) -> None:
    old = repo.commit({"a": text()}, "2025-05-12", author="ev\x1b[31mil `b`")
    written = text(sa1_name="<script>alert(1)</script> [x](http://y.example) | `code` @everyone")
    repo.commit({"a": written}, "2025-05-13", subject="steer \x1b[2J <i>")
    said = run("compare", "a", old, "HEAD", "--format", form).output
    assert "\x1b" not in said
    if form == "markdown":
        for sign in ("<script", "](http", "`code`", "@everyone"):
            assert sign not in said


def test_a_name_or_revision_that_is_not_there_is_said(repo: Repo, run: Run) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    for words in (("a", "nothing"), ("z",), (), ("--all",), ("--all", "last commissioning"), ("a", "2020-01-01")):
        said = run("compare", *words)
        assert said.exit_code == 2, words
        assert "Error: " in said.output


@pytest.mark.parametrize("command", [("compare", "a"), ("trace", "a", "smoke-clear-of-wall")])
def test_without_a_repository_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: tuple[str, ...]
) -> None:
    (tmp_path / "homes" / "a").mkdir(parents=True)
    (tmp_path / "homes" / "a" / "record.yml").write_text(text(), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    said = CliRunner().invoke(main, [*command, *ON])
    assert said.exit_code == 2
    assert "in no git repository" in said.output


def test_trace_names_the_revision_its_author_and_its_changes(repo: Repo, run: Run) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    guilty = repo.commit({"a": text(sa1_west="0.20")}, "2025-05-13", author="technician 9", subject="Move it")
    said = run("trace", "a", "smoke-clear-of-wall", "SA1")
    assert said.exit_code == 0
    for words in (guilty[:10], "technician 9", "Move it", "SA1 (hall) moved 0.80 m west"):
        assert words in said.output
    assert run("trace", "a", "smoke-clear-of-wall", "SA2").exit_code == 2
    assert "Did you mean" in run("trace", "a", "smoke-clear-of-walls").output


def test_the_same_inputs_on_the_same_day_give_the_same_bytes(repo: Repo, run: Run) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text(sa1_west="0.20", sleepers="3")}, "2025-05-13")
    for form in ("text", "json", "markdown"):
        assert run("compare", "a", old, "--format", form).output == run("compare", "a", old, "--format", form).output


def test_on_a_terminal_no_line_is_longer_than_its_80_columns(
    repo: Repo, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    long = "a subject that goes on and on, as subjects do that were written on a telephone in the van after a long job"
    old = repo.commit({"a": text()}, "2025-05-12", subject=long)
    repo.commit({"a": text(sa1_west="0.20", reading="8 s", sleepers="3", rules="uk-england")}, "2025-06-13")
    folded = ("compare", "a", old, "HEAD"), ("compare", "--all", old), ("trace", "a", "smoke-clear-of-wall")
    whole = [" ".join(run(*words).output.split()) for words in folded]
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "80")
    for words, everything in zip(folded, whole, strict=True):
        lines = re.sub(r"\x1b\[[0-9;]*m", "", run(*words).output).splitlines()
        assert max(cell_len(line.rstrip()) for line in lines) in range(60, 81)
        assert " ".join(" ".join(lines).split()) == everything


@pytest.mark.parametrize("form", ["json", "markdown", "text"])
def test_a_folder_whose_name_is_no_text_is_still_told(repo: Repo, run: Run, form: str) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    folder = repo.homes / os.fsdecode(b"h\xff")
    folder.mkdir()
    (folder / "record.yml").write_text(text())
    said = run("compare", "--all", old, "--no-verdicts", "--format", form)
    assert said.exit_code == 0
    assert "dcff" in said.output


def test_an_empty_name_of_a_revision_is_refused(repo: Repo, run: Run) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    said = run("compare", "a", "")
    assert said.exit_code == 2
    assert "no revision" in said.output


@pytest.mark.parametrize(
    "words", [("compare", "a"), ("compare", "--all", "HEAD~1"), ("trace", "a", "smoke-clear-of-wall")]
)
def test_a_clone_without_the_listings_of_the_past_is_said_with_what_to_do(
    repo: Repo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    repo.commit({"a": text(sa1_west="0.30")}, "2025-05-12")
    repo.commit({"a": text(sa1_west="0.20")}, "2025-05-13")
    repo.ask("config", "uploadpack.allowFilter", "true")
    clone = tmp_path / "clone"
    repo.ask("clone", "-q", "--filter=tree:0", repo.root.as_uri(), str(clone))
    monkeypatch.chdir(clone)
    said = CliRunner().invoke(main, [*words, *ON], catch_exceptions=False)
    assert said.exit_code == 2
    assert "git fetch --refetch" in said.output


def test_a_listing_that_is_lost_is_said_by_what_draws_a_sample(repo: Repo, run: Run) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    name = repo.ask("rev-parse", "HEAD:homes")[0]
    (repo.root / ".git" / "objects" / name[:2] / name[2:]).unlink()
    said = run("sample", "--size", "1", "--seed", "1")
    assert said.exit_code == 2
    assert f"{name[:10]} is missing" in said.output


def test_a_build_goes_on_without_a_history_that_is_missing_and_says_so(repo: Repo, tmp_path: Path) -> None:
    from datetime import date

    from asfitted.fleet.stories import load_stories
    from asfitted.history.last_touch import revisions_of
    from asfitted.rules.catalogue import catalogue

    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"b": text()}, "2025-05-13")
    repo.ask("config", "uploadpack.allowFilter", "true")
    clone = tmp_path / "clone"
    repo.ask("clone", "-q", "--filter=tree:0", repo.root.as_uri(), str(clone))
    made = load_stories(clone / "homes", date(2026, 6, 1), ["a"], catalogue())
    assert made is not None
    assert made.told == {}
    assert "git fsck" in made.cautions[0]
    assert revisions_of(clone / "homes", ["a"])["a"].words == "not known"


@pytest.mark.parametrize("form", ["text", "markdown", "json"])
def test_an_edit_that_was_taken_back_between_the_two_revisions_shows_with_all_homes(
    repo: Repo, run: Run, form: str
) -> None:
    repo.commit({"a": text(reading="5 s"), "b": text()}, "2025-05-11")
    old = repo.commit({"a": text(), "b": text()}, "2025-05-12")
    guilty = repo.commit({"a": text(reading="7 s")}, "2025-05-13")
    back = repo.commit({"a": text(sleepers="3")}, "2025-05-14")
    said = run("compare", "--all", old, "HEAD", "--no-verdicts", "--format", form).output
    if form == "json":
        (home,) = json.loads(said)["homes"]
        assert [edit["commit"]["id"] for edit in home["evidence"]["after-the-fact"]] == [guilty, back]
        assert home["evidence"]["revisions"] == 2
        assert [change["kind"] for change in home["changes"]] == ["household changed"]
    else:
        assert "between as evidence" in said
        assert said.count("past visit edited") == 2
        assert "smoke 7 s" in said
        assert "smoke 5 s" not in said


def test_where_nothing_is_committed_it_is_said(repo: Repo, run: Run) -> None:
    repo.write({"a": text()})
    assert "nothing is committed yet" in run("compare", "a").output


@pytest.mark.parametrize("form", ["text", "markdown", "json"])
def test_who_committed_is_told_beside_the_author(repo: Repo, run: Run, form: str) -> None:
    old = repo.commit({"a": text()}, "2025-05-12", author="technician 9")
    said = run("compare", "a", old, "HEAD", "--format", form).output
    assert ('"committer": "office"' if form == "json" else "technician 9, committed by office") in said


def test_a_variation_of_a_rule_that_is_gone_is_told(repo: Repo, run: Run) -> None:
    gone = text(sa1_west="0.20").replace("rule: outer-door-watched", "rule: door-of-old")
    old = repo.commit({"a": gone}, "2025-05-12")
    for words in (("compare", "a", old), ("trace", "a", "smoke-clear-of-wall")):
        said = run(*words)
        assert said.exit_code == 0
        assert "names the rule door-of-old, which is not there today" in " ".join(said.output.split())


def test_a_rule_set_that_changed_alone_is_told_with_all_homes(repo: Repo, run: Run) -> None:
    own = repo.homes / "rule-sets" / "sallowby.toml"
    own.parent.mkdir()
    own.write_bytes((Path(__file__).parents[2] / "homes" / "rule-sets" / "sallowby.toml").read_bytes())
    old = repo.commit({"a": text()}, "2025-05-12")
    assert "rule sets changed" not in run("compare", "--all", old).output
    own.write_text(own.read_text().replace("least = 0.40", "least = 0.45"))
    for later in ([], ["HEAD"]):
        said = run("compare", "--all", old, *later)
        assert "rule sets changed: sallowby." in " ".join(said.output.split())
        repo.commit({}, "2025-05-13")
