"""Lint, format and types are part of the tests, so that one command passes or fails the whole."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOOLS = {
    "lint": ["ruff", "check", "--no-cache", "--quiet", "."],
    "format": ["ruff", "format", "--no-cache", "--check", "--quiet", "."],
    "types": ["mypy", "--no-error-summary"],
}


@pytest.mark.parametrize("tool", TOOLS)
def test_the_code_is_clean(tool: str) -> None:
    done = subprocess.run([sys.executable, "-m", *TOOLS[tool]], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
