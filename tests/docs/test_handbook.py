"""What the README and the handbook show of the tool is what the tool prints."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from asfitted.cli import main

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
QUOTED = re.compile(r"^homes/\S+/record\.yml:\d+:\d+  .*(?:\n  .*)*", re.MULTILINE)
LINK = re.compile(r"\]\(([^)#:]+)(?:#[^)]*)?\)")
MADE_BY_THE_BUILD = {"record.md", "rules.md", "rules/sets.md", "due.md", "short.md", "homes/index.md"}


@pytest.fixture(scope="module")
def printed() -> str:
    """What ``asfitted check`` prints of the demo homes on the day the handbook was written."""
    done = CliRunner().invoke(main, ["check", "--homes", str(ROOT / "homes"), "--on", "2026-11-25"])
    assert done.exit_code == 1
    return done.stdout.replace(f"{ROOT.as_posix()}/", "")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_a_finding_quoted_in_the_handbook_is_one_that_the_tool_prints(page: Path, printed: str) -> None:
    for quoted in QUOTED.findall(page.read_text(encoding="utf-8")):
        for line in quoted.splitlines():
            assert line.removesuffix(" ...").rstrip() in printed, line


def test_the_readme_quotes_a_finding() -> None:
    assert QUOTED.search((ROOT / "README.md").read_text(encoding="utf-8"))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_links_lead_to_files_that_are_there(page: Path) -> None:
    for target in LINK.findall(page.read_text(encoding="utf-8")):
        if (page.parent / target).resolve().relative_to(
            ROOT / "docs" if "docs" in page.parts else ROOT
        ).as_posix() in MADE_BY_THE_BUILD:
            continue
        assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_the_readme_holds_the_test_command_that_ci_runs() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.search(r"^<!-- test command -->\n```sh\n(.+)\n```$", text, re.MULTILINE)
    assert block is not None
    assert "pytest" in block[1]
