"""The hook and the steps for a build server that the handbook gives, run as they are."""

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import jsonschema
import pytest
import yaml

from asfitted.history.data import json_schema
from tests.history.homes import text as written
from tests.history.repos import Repo

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "docs" / "examples"
ENVIRONMENT = {
    "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    **{f"GIT_{who}_{what}": "office@firm.example" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")},
}
TOKEN = "of the tests"  # noqa: S105 - it opens nothing
Done = subprocess.CompletedProcess[str]


def text(**values: str) -> str:
    """Write a record without its variation, whose rule is not in the catalogue: ``check`` would refuse it."""
    whole = written(**values)
    return whole[: whole.index("variations:")]


BROKEN = text().replace("cut-off", "cuts-off")


def run(where: Path, *words: str, **more: str) -> Done:
    return subprocess.run(
        words, cwd=where, env={**ENVIRONMENT, **more}, capture_output=True, text=True, check=False, timeout=120
    )


def commit(repo: Repo, *words: str) -> Done:
    return run(repo.root, "git", "commit", "--quiet", "-m", "Record", *words)


def steps() -> dict[str, dict[str, Any]]:
    """Give the steps of the workflow by name; the server fills in what stands in its own brackets."""
    workflow = yaml.safe_load((EXAMPLES / "workflow.yml").read_text(encoding="utf-8"))
    return {step["name"]: step for step in workflow["jobs"]["records"]["steps"] if "name" in step}


@pytest.fixture
def hooked(repo: Repo) -> Repo:
    """Give an empty repository with the hook in place."""
    shutil.copy(EXAMPLES / "pre-commit", repo.root / ".git" / "hooks" / "pre-commit")
    return repo


def test_the_hook_looks_at_what_is_staged_and_not_at_the_disk(hooked: Repo) -> None:
    hooked.write({"a": BROKEN})
    run(hooked.root, "git", "add", ".")
    hooked.write({"a": text()})
    refused = commit(hooked)
    assert refused.returncode == 1
    at = BROKEN.index("cuts-off")
    line, column = 1 + BROKEN.count("\n", 0, at), at - BROKEN.rindex("\n", 0, at)
    assert f"homes/a/record.yml:{line}:{column}  cannot be used" in refused.stderr
    assert "Not committed" in refused.stderr
    assert hooked.git.head_is_unborn
    run(hooked.root, "git", "add", ".")
    hooked.write({"a": BROKEN})
    done = commit(hooked)
    assert done.returncode == 0, done.stderr
    assert "\n".join(hooked.ask("show", "HEAD:homes/a/record.yml")) == text().rstrip("\n")
    assert hooked.ask("status", "--short") == [" M homes/a/record.yml"]


def test_the_hook_refuses_a_past_visit_that_was_rewritten_and_a_home_taken_away(hooked: Repo) -> None:
    hooked.commit({"a": text(), "b": text()})
    hooked.write({"a": text(reading="7 s")})
    refused = commit(hooked, "--all")
    assert refused.returncode == 1
    for words in ("past visit edited", "commissioning of 2024-05-11", "smoke 9 s", "smoke 7 s", "“corrects”"):
        assert words in refused.stderr
    hooked.write({"a": text(), "b": None})
    assert "is not there any more" in commit(hooked, "homes").stderr
    done = commit(hooked, "homes", "--no-verify")
    assert done.returncode == 0, done.stderr
    assert hooked.ask("rev-list", "--count", "--all") == ["2"]
    assert hooked.ask("status", "--short") == []


def test_the_hook_leaves_a_commit_alone_that_touches_no_home_or_is_made_without_it(hooked: Repo) -> None:
    without_the_tool = {"PATH": os.environ["PATH"].replace(f"{Path(sys.executable).parent}{os.pathsep}", "")}
    hooked.commit({"a": text()})
    hooked.write({"a": text(reading="7 s")})
    (hooked.root / "notes").write_text("Keys are in the office.\n", encoding="utf-8")
    run(hooked.root, "git", "add", "notes")
    assert run(hooked.root, "git", "commit", "-qm", "Notes", **without_the_tool).returncode == 0
    assert run(hooked.root, "git", "commit", "-qam", "Record", **without_the_tool).returncode == 1
    assert commit(hooked, "--all", "--no-verify").returncode == 0


@pytest.fixture
def proposed(repo: Repo, tmp_path: Path) -> Path:
    """Give what a build server fetched of a proposed change: its last commit alone."""
    base = repo.commit({"a": text(), "b": text()}, "2026-05-01")
    repo.branch("proposed", base)
    repo.commit({"a": text(sa1_west="0.20", sa1_name="<b>")}, "2026-05-02")
    repo.branch("main", base)
    repo.commit({"b": text(sleepers="3")}, "2026-05-03")
    where = tmp_path / "build"
    run(tmp_path, "git", "clone", "-q", "--depth", "1", "--branch", "proposed", repo.root.as_uri(), str(where))
    (where / "ci").mkdir()
    for name in ("propose.sh", "post_comment.py"):
        shutil.copy(EXAMPLES / name, where / "ci" / name)
    return where


@pytest.fixture
def comments() -> Iterator[tuple[str, list[tuple[str, Any]]]]:
    """Give the address of a server that takes comments, and what it was sent."""
    sent: list[tuple[str, Any]] = []

    class Take(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            sent.append((self.headers["Authorization"], json.loads(body)))
            self.send_response(201)
            self.end_headers()

        def log_message(self, *words: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Take)
    thread = Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/comments", sent
    server.shutdown()
    thread.join()
    server.server_close()


def test_the_steps_compare_a_change_with_where_it_began_and_post_that(
    proposed: Path, comments: tuple[str, list[tuple[str, Any]]]
) -> None:
    done = run(proposed, "sh", "-c", steps()["compare"]["run"], MAIN="main")
    assert done.returncode == 1, done.stderr
    told = (proposed / "comparison.md").read_text(encoding="utf-8")
    assert "**Device moved**" in told
    assert "newly does not conform" in told
    assert "## b" not in told, "what the main branch did since is no part of the change"
    assert "<b>" not in told
    data = json.loads((proposed / "comparison.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(json.loads(json_schema("comparison"))).validate(data)
    assert data["cautions"] == []
    address, sent = comments
    done = run(proposed, "sh", "-c", steps()["comment"]["run"], COMMENTS_URL=address, COMMENTS_TOKEN=TOKEN)
    assert done.returncode == 0, done.stderr
    assert sent == [(f"Bearer {TOKEN}", {"body": told})]
    (proposed / "comparison.md").write_text("line\n" * 20_000, encoding="utf-8")
    run(proposed, "sh", "-c", steps()["comment"]["run"], COMMENTS_URL=address, COMMENTS_TOKEN=TOKEN)
    assert len(sent[1][1]["body"]) < 65_536
    assert sent[1][1]["body"].endswith("the whole is in comparison.md.**\n")


def test_a_shallow_clone_that_cannot_fetch_ends_with_2(proposed: Path) -> None:
    run(proposed, "git", "remote", "set-url", "origin", (proposed / "nowhere").as_uri())
    done = run(proposed, "sh", "ci/propose.sh", "main")
    assert done.returncode == 2
    assert "fetch the whole history" in done.stderr
    assert not (proposed / "comparison.md").exists()


def test_the_steps_end_as_they_say(proposed: Path, tmp_path: Path) -> None:
    stand_in = tmp_path / "bin" / "asfitted"
    stand_in.parent.mkdir()
    stand_in.write_text('#!/bin/sh\n[ "$1" = check ] && exit $CHECK\nexit $COMPARE\n', encoding="utf-8")
    stand_in.chmod(0o755)
    path = f"{stand_in.parent}{os.pathsep}{ENVIRONMENT['PATH']}"
    ends = {
        (check, compare): run(
            proposed, "sh", "ci/propose.sh", "main", PATH=path, CHECK=str(check), COMPARE=str(compare)
        ).returncode
        for check, compare in [(0, 0), (1, 0), (1, 1), (2, 0), (2, 1), (0, 2), (127, 0), (0, 127)]
    }
    assert ends == {(0, 0): 0, (1, 0): 0, (1, 1): 1, (2, 0): 2, (2, 1): 2, (0, 2): 2, (127, 0): 2, (0, 127): 2}


def test_what_the_handbook_quotes_of_the_examples_stands_in_them() -> None:
    handbook = (ROOT / "docs" / "revisions.md").read_text(encoding="utf-8")
    section = handbook.partition("## As a check before a change is taken in\n")[2].partition("\n## ")[0]
    files = {file.name: file.read_text(encoding="utf-8") for file in EXAMPLES.iterdir()}
    assert sorted(set(re.findall(r"\]\(examples/(.+?)\)", section))) == sorted(files)
    quoted = re.findall(r"```\w+\n(.*?)```", section, re.DOTALL)
    assert len(quoted) == 3
    for block in quoted:
        assert any(block in whole for whole in files.values()), block
