"""The shape of the code, kept as a contract."""

import ast
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "generator" / "asfitted"
MODULES = sorted(SOURCE.rglob("*.py"))
LONGEST = 400
EDGES = {"cli", "fleet/plugin.py", "pages/engines/mkdocs.py"}


def test_imports_keep_the_contracts() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c(['--no-cache'])"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "kept" in done.stdout


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.relative_to(SOURCE).as_posix())
def test_a_module_has_a_docstring_and_one_subject_in_its_size(module: Path) -> None:
    text = module.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)), "a module says what it is for"
    assert len(text.splitlines()) <= LONGEST, "two subjects in one room?"


def test_only_the_edges_read_the_clock_or_the_environment() -> None:
    asked = {
        ("date", "today"),
        ("datetime", "now"),
        ("datetime", "utcnow"),
        ("time", "time"),
        ("os", "environ"),
        ("os", "getenv"),
    }
    found = set()
    for module in MODULES:
        place = module.relative_to(SOURCE).as_posix()
        if place.split("/")[0] in EDGES or place in EDGES:
            continue
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Name)
                and (node.value.id, node.attr) in asked
            ):
                found.add(f"{place}:{node.lineno} {node.value.id}.{node.attr}")
    assert found == set()


def test_the_top_level_holds_what_the_design_names_and_nothing_else() -> None:
    said = subprocess.run(
        ["git", "ls-tree", "--name-only", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    shown = {name for name in said.stdout.split() if not name.startswith(".")}
    assert shown == {
        "README.md",
        "DEVELOPERS.md",
        "mkdocs.yml",
        "pyproject.toml",
        "generator",
        "homes",
        "tests",
        "docs",
        "LICENSE",
    }


def test_every_dependency_has_a_lower_bound() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["test"]
    assert [name for name in wanted if ">=" not in name] == []
