"""Drawings against stored ones, byte for byte.

The stored drawings under ``golden/`` open in any browser; look at them before and after a change. To store them anew
after a change that was meant::

    UPDATE_GOLDEN=1 python -m pytest tests/drawing/test_golden.py
"""

import os

import pytest

from tests.drawing.homes import HERE, draw

STORED = [
    ("terrace", "plan", "ground"),
    ("terrace", "plan", "first"),
    ("terrace", "room", "hall"),
    ("terrace", "room", "living"),
    ("bungalow", "plan", "ground"),
    ("bungalow", "room", "living"),
    ("loft", "plan", "upper"),
    ("loft", "room", "loft"),
    ("loft", "section", "loft"),
    ("loft", "section", "store"),
    ("bungalow", "where", "living"),
    ("loft", "where", "loft"),
    ("loft", "wall", "loft.west"),
    ("bungalow", "reckoned", "coverage-ground"),
    ("bungalow", "reckoned", "alarms-ground"),
    ("bungalow", "reckoned", "walk-ground"),
    ("bungalow", "reckoned", "ways-out-ground"),
    ("bungalow", "reckoned", "radio-ground"),
    ("bungalow", "reckoned", "sound-ground"),
    ("terrace", "reckoned", "ways-out-first"),
    ("terrace", "reckoned", "walk-ground"),
    ("terrace", "changes", "ground"),
    ("terrace", "changes", "first"),
]


@pytest.mark.parametrize(("name", "what", "part"), STORED)
def test_drawing_equals_the_stored_one(name: str, what: str, part: str) -> None:
    stored = HERE / "golden" / f"{name}-{what}-{part}.svg"
    drawn = draw(name, what, part).alone.encode()
    if os.environ.get("UPDATE_GOLDEN") == "1":
        stored.parent.mkdir(exist_ok=True)
        stored.write_bytes(drawn)
    assert drawn == stored.read_bytes()


def test_every_stored_drawing_is_compared() -> None:
    assert {path.stem for path in (HERE / "golden").iterdir()} == {"-".join(entry) for entry in STORED}
