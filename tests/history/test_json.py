"""The JSON of ``compare`` and ``trace`` against their published schemas, and the schemas against code and handbook."""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from asfitted.cli import main
from asfitted.history.changes import Kind
from asfitted.history.data import SCHEMAS, json_schema
from asfitted.history.verdict_changes import Because, Turn
from asfitted.rules.finding import Verdict
from tests.history.homes import text
from tests.history.repos import Repo

HANDBOOK = Path(__file__).parents[2] / "docs" / "revisions.md"
PUBLISHED = {name: json.loads(json_schema(name)) for name in SCHEMAS}
OTHER = "record: 1\nhome: {label: Flat}\nstoreys: []\n"
Run = Callable[..., Any]


@pytest.fixture
def given(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give a function that runs a command in the repository and reads its JSON, which keeps to the schema."""
    monkeypatch.chdir(repo.root)

    def run(*words: str) -> Any:
        done = CliRunner().invoke(main, [*words, "--format", "json", "--on", "2026-06-01"], catch_exceptions=False)
        data = json.loads(done.output)
        schema = PUBLISHED["trace" if words[0] == "trace" else "comparison"]
        errors = jsonschema.Draft202012Validator(schema).iter_errors(data)
        assert [f"{error.json_path}: {error.message}" for error in errors] == []
        return data

    return run


def objects(schema: Any) -> Iterator[dict[str, Any]]:
    """Give every part of a schema that is an object with keys, all the way down."""
    if isinstance(schema, dict):
        if "properties" in schema:
            yield schema
        for part in schema.values():
            yield from objects(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from objects(part)


def test_homes_changed_added_renamed_gone_unreadable_and_rewritten_keep_to_the_schema(repo: Repo, given: Run) -> None:
    old = repo.commit({"a": text(), "b": text(sleepers="1"), "d": text(home_note="gone", dog="40 kg"), "f": text()})
    repo.commit({"b": None, "c": text(sleepers="1"), "d": None, "e": OTHER})
    repo.write({"a": text(sa1_west="0.20", reading="8 s", dresser="0.60"), "f": "record: 2\n"})
    data = given("compare", "--all", old)
    told = {home["home"]: home for home in data["homes"]}
    assert (told["c"]["was"], told["c"]["now"]) == ("b", "c")
    assert (told["d"]["new"], told["e"]["old"]) == (None, None)
    assert told["f"]["changes"] is None
    assert told["f"]["troubles"] != []
    assert told["a"]["new"]["commit"] is None
    assert {"past visit edited", "device moved"} <= {change["kind"] for change in told["a"]["changes"]}
    assert "newly does not conform" in {turned["turn"] for turned in told["a"]["verdicts"]}


def test_one_home_with_its_evidence_keeps_to_the_schema(repo: Repo, given: Run) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    guilty = repo.commit({"a": text(reading="7 s")}, "2025-05-13", subject="Put the reading right")
    repo.commit({"a": "record: 2\n"}, "2025-05-14")
    repo.commit({"a": text(reading="7 s", rules="uk-england")}, "2025-05-15", signature="-----BEGIN SSH SIGNATURE-----")
    (home,) = given("compare", "a", old, "HEAD")["homes"]
    evidence = home["evidence"]
    (edit,) = evidence["after-the-fact"]
    assert (edit["commit"]["id"], edit["commit"]["subject"]) == (guilty, "Put the reading right")
    assert (edit["change"]["subject"], edit["change"]["after-the-fact"]) == ("visit of 2024-05-11", True)
    assert [len(evidence[key]) for key in ("records", "cannot-be-used")] == [3, 1]
    assert home["new"]["commit"]["signature"] == "SSH"
    assert "rule set changed" in {change["kind"] for change in home["changes"]}


def test_a_trace_with_several_turns_keeps_to_the_schema(repo: Repo, given: Run) -> None:
    for number, west in enumerate(["1.00", "0.20", "1.00", "0.30"], start=1):
        repo.commit({"a": text(sa1_west=west)}, f"2025-05-0{number}")
    repo.write({"a": text(sa1_west="0.25")})
    (found,) = given("trace", "a", "smoke-clear-of-wall")["findings"]
    assert len(found["turns"]) == 3
    assert found["subject"]["id"] == "SA1"
    assert found["revisions"] == 5
    assert [change["kind"] for change in found["changes"]] == ["device moved"]


def test_the_schema_refuses_a_key_too_many_a_key_too_few_and_a_word_it_does_not_know(repo: Repo, given: Run) -> None:
    old = repo.commit({"a": text()})
    repo.write({"a": text(sleepers="3")})
    data = given("compare", "--all", old, "--no-verdicts")
    validator = jsonschema.Draft202012Validator(PUBLISHED["comparison"])
    change = data["homes"][0]["changes"][0]
    for spoilt in ({**change, "more": 1}, {**change, "kind": "device lost"}, {"kind": change["kind"]}):
        data["homes"][0]["changes"] = [spoilt]
        assert not validator.is_valid(data)


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_published_schema_is_whole(name: str) -> None:
    schema = PUBLISHED[name]
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    for part in objects(schema):
        assert part["additionalProperties"] is False
        assert sorted(part["required"]) == sorted(part["properties"])
        assert [key for key, value in part["properties"].items() if not value.get("description")] == []
    assert CliRunner().invoke(main, ["schema", name]).stdout == json_schema(name)
    refused = CliRunner().invoke(main, ["schema", name, "--write"])
    assert refused.exit_code == 2


def test_the_schema_knows_the_words_that_the_code_knows() -> None:
    known = PUBLISHED["comparison"]["$defs"]
    for words in (Kind, Turn, Because, Verdict):
        assert known[words.__name__]["enum"] == [word.value for word in words]


def test_the_handbook_tells_of_each_object_the_keys_of_the_schema_and_no_others() -> None:
    chapter = HANDBOOK.read_text(encoding="utf-8").partition("\n## The JSON\n")[2].partition("\n## ")[0]
    told = {}
    for section in chapter.split("\n### ")[1:]:
        heading, _, rows = section.partition("\n")
        told[f"{heading}."] = dict(re.findall(r"^\| `(.+?)` \| (.+) \|$", rows, re.MULTILINE))
    parts = [part for schema in PUBLISHED.values() for part in objects(schema)]
    assert told == {
        part["description"]: {key: value["description"] for key, value in part["properties"].items()} for part in parts
    }
