"""A folder of homes to run commands in."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import settings

from asfitted.cli import main

# How fast is for the benchmark to say, not for a test; and CI tries the same examples each time.
# A run of minutes tries a few dozen examples of each property; THOROUGH=1 tries many.
THOROUGH = "THOROUGH" in os.environ
settings.register_profile(
    "asfitted", deadline=None, derandomize="CI" in os.environ, max_examples=200 if THOROUGH else 15
)
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
  SA1: {kind: smoke alarm, name: cabin smoke alarm, on: ceiling of cabin, from-west: 2.0, from-south: 2.0, model: optical,
        batch: 25-51, serial: A1, made: 2026-01, battery: "sealed, 10 years", fitted: 2026-03-04, power: battery}
visits:
  - {date: 2026-03-04, kind: commissioning, by: technician 1, report: 2026-03-05, shown-to: householder, accepted-by: householder,
     tests: {SA1: {button: sounded, smoke: 9 s, level: {cabin: 90 dB}, doors: closed}},
     handed-over: [as-fitted drawing, makers' booklets, log book, how to test, what to do when it sounds, certificate],
     taught: [test the alarms, silence an alarm, change batteries, what to do when it sounds, what changes to tell, log book]}
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
