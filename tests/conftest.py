"""A folder of homes to run commands in."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import settings

from asfitted.cli import main

# How fast is for the benchmark to say, not for a test; and CI tries the same examples each time.
settings.register_profile("asfitted", deadline=None, derandomize="CI" in os.environ)
settings.load_profile("asfitted")

GOOD = """\
record: 1
home: {label: Cabin with one room}
household: {sleepers: {cabin: 1}}
storeys:
  - id: ground
    height: 2.40
    rooms: [{id: cabin, use: bedroom, corner: [0, 0], size: [4.0, 4.0]}]
    openings: [{door: cabin south, id: front-door, from-west: 0.5, width: 0.9, hinge: west}]
devices:
  SA1: {kind: smoke alarm, name: cabin smoke alarm, on: ceiling of cabin, from-west: 2.0, from-south: 2.0, made: 2026-01,
        battery: "sealed, 10 years"}
visits:
  - {date: 2026-03-04, kind: commissioning, by: technician 1, tests: {SA1: {button: sounded}}}
"""
SHORT = GOOD.replace("from-west: 2.0", "from-west: 0.31")
BROKEN = GOOD.replace("kind: smoke alarm", "knid: smoke alarm")

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give a function that runs a command in an empty folder, with the day set; ``homes`` writes records first."""
    monkeypatch.chdir(tmp_path)

    def _run(*arguments: str, homes: dict[str, str | bytes] | None = None) -> Result:
        for name, text in (homes or {}).items():
            file = tmp_path / "homes" / name / "record.yml"
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(text.encode() if isinstance(text, str) else text)
        return CliRunner().invoke(main, arguments, catch_exceptions=False)

    return _run
