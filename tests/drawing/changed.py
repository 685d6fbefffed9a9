"""The terrace as it was before a day of work on it, and what changed, told by hand."""

from dataclasses import replace
from functools import cache

from shapely import Point

from asfitted.drawing.shifts import How, Shift
from asfitted.drawing.walls import jambs
from asfitted.dwelling.shapes import Dwelling, PlacedFitting, Spot
from asfitted.model.home import Home
from tests.drawing.homes import HERE, home_of, lay_out

EDITS = (
    ("SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.10", "SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.02"),
    ("SA2: {kind: smoke alarm, on: ceiling of living, from-west: 1.10, from-south: 1.95", "SA2: {kind: smoke alarm, on: ceiling of living, from-west: 3.00, from-south: 3.20"),
    ("CU1: {kind: control unit, in: hall, wall: east, from-south: 0.55", "CU1: {kind: control unit, in: hall, wall: east, from-south: 0.95"),
    ("corner: south-east, height: 2.10,", "corner: south-east, height: 2.10, facing: 290 deg,"),
    ("GB1: {kind: glass-break detector, in: living,", "GB1: {kind: glass-break detector, in: front-bedroom,"),
    ("wall: west, from-south: 0.60, height: 1.40", "wall: west, from-south: 0.60, height: 1.60"),
    ("  FD1: {kind: flood detector, in: utility, from-south: 0.40, from-west: 0.50}\n", "  KP2: {kind: keypad, in: living, wall: west, from-south: 3.40, height: 1.40}\n"),
    ("wall: west, from-north: 0.60}", "wall: west, from-north: 1.40}"),
    ("id: living-window, from-west: 1.10", "id: living-window, from-west: 1.60"),
    ("wall: north, from-west: 1.20, size: [1.80, 0.45]", "wall: north, from-west: 2.00, size: [1.80, 0.45]"),
    ("size: [4.20, 4.20]}\n      - {id: kitchen", "size: [4.50, 4.20]}\n      - {id: kitchen"),
)  # fmt: skip
"""What the record says today, and what it said before."""


@cache
def before() -> tuple[Home, Dwelling]:
    """Give the terrace as it was."""
    text = (HERE / "terrace.yml").read_text(encoding="utf-8")
    for today, earlier in EDITS:
        assert today in text, today
        text = text.replace(today, earlier, 1)
    return lay_out(text.encode())


def device(tag: str, how: How, says: str) -> Shift:
    """Give what became of a device."""
    (old_home, old), (home, new) = before(), home_of("terrace")
    kind = (home.devices.get(tag) or old_home.devices[tag]).kind
    return Shift(tag, kind, how, old.spots.get(tag), new.spots.get(tag), says, corners=(None, None))


def fitting(kind: str) -> Shift:
    """Give a move of the one fitting of a kind."""
    was, now = (
        next(placed for placed in dwelling.storey("ground").fittings if placed.fitting.kind == kind)
        for _, dwelling in (before(), home_of("terrace"))
    )
    left, right = (None if isinstance(placed.shape, Point) else placed.shape for placed in (was, now))
    old, new = (replace(placed.spot, point=middle_of(placed)) for placed in (was, now))
    return Shift(kind, kind, "moved", old, new, f"The {kind} moved.", left, right)


def middle_of(placed: PlacedFitting) -> tuple[float, float]:
    """Give the middle of what a fitting takes up."""
    assert placed.shape is not None
    return float(placed.shape.centroid.x), float(placed.shape.centroid.y)


def window() -> Shift:
    """Give the move of the window of the living room."""
    was, now = (dwelling.openings["living-window"] for _, dwelling in (before(), home_of("terrace")))
    old, new = (Spot("ground", "living", placed.middle, None, "opening") for placed in (was, now))
    hole, opening = (jambs(placed, 0.1).shape for placed in (was, now))
    return Shift("living window", "", "moved", old, new, "The living window moved.", hole, opening)


def shifts() -> tuple[Shift, ...]:
    """Give everything that changed."""
    return (
        device("SA1", "moved", "SA1 moved 0.08 m east."),
        device("SA2", "moved", "SA2 moved 2.27 m south-west."),
        device("CU1", "moved", "CU1 moved 0.40 m south."),
        device("MD1", "re-aimed", "MD1 was re-aimed."),
        device("GB1", "moved", "GB1 moved from the first floor."),
        device("KP1", "moved", "KP1 moved 0.20 m lower."),
        device("FD1", "added", "FD1 is new."),
        device("KP2", "removed", "KP2 is gone."),
        device("HA1", "replaced", "HA1 was replaced."),
        fitting("cooker"),
        fitting("tall-furniture"),
        window(),
    )
