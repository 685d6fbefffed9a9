"""Small homes by chance, and the verdict of every placing rule on a device at a point of a surface."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import atan2, cos, degrees, hypot, pi
from random import Random

from shapely import Point

from asfitted.dwelling.shapes import XY, RoomShape, Spot
from asfitted.model.device import Device
from asfitted.rules.case import Case
from asfitted.rules.checks import CHECKS, PLACINGS
from asfitted.rules.examples import case_of
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.obstacles import SIDES
from asfitted.rules.placing import Candidate, Surface

KINDS = ("smoke alarm", "motion detector")
SLACK = 0.001 + 3.5 * (1 - cos(pi / 4 / SIDES))
"""Metres within which zone and checks may differ: 1 mm, and what the sides of a many-sided circle of 3.5 m cut off it."""
_TAG = "D1"
ACROSS = 0.11
"""Metres across the device that is put up everywhere: some rules measure to its edge."""


def record(seed: int) -> str:
    """Write the record of a small home by chance.

    Its den is plain or walked at odd angles, under a flat, sloping or ridged ceiling, with fittings, a window, a flight
    of stairs, and beside it a kitchen behind an archway or a bathroom behind a door.
    """
    chance = Random(seed)  # noqa: S311 - homes, no secrets
    wide, deep = round(chance.uniform(2.4, 5.5), 2), round(chance.uniform(2.4, 4.8), 2)
    ceiling = (
        "2.40",
        f"{{sloping: {{rises: {chance.choice(['north', 'south', 'east', 'west'])}, low: 2.10, high: 3.20}}}}",
        f"{{ridged: {{ridge: {chance.choice(['north-south', 'east-west'])}, low: 1.90, high: 3.10}}}}",
    )[seed % 3]
    plain = seed % 2 == 1
    shape = f"corner: [0, 0], size: [{wide}, {deep}]" if plain else walked(chance, wide, deep)
    rooms = [f"{{id: den, use: living, {shape}, height: {ceiling}}}"]
    openings = [f"{{window: den west, id: pane, from-south: 0.40, width: {chance.choice([0.6, 1.1])}, sill: 0.9}}"]
    fittings = list(_fittings(chance, wide, deep))
    if plain:
        kitchen = chance.random() < 0.5
        use = "kitchen" if kitchen else "bathroom"
        rooms.append(f'{{id: nook, use: {use}, beside: "east of den, flush south", size: [1.60, {deep}]}}')
        way = "archway" if kitchen else "door"
        openings.append(f"{{{way}: den - nook, id: way, from-south: 0.70, width: 0.90, height: 1.85}}")
        fittings += ["{cooker: nook, from-west: 0.50, from-south: 0.60, by: laser}"] if kitchen else []
    stairs = (
        "{id: steps, in: den, to: up, from-west: 0.30, from-south: 1.10, size: [0.80, 1.00], up: north}"
        if seed % 4 > 1
        else ""
    )
    return (
        "record: 1\nhome: {label: By chance}\nstoreys:\n  - id: ground\n    height: 2.40\n"
        f"    rooms: [{', '.join(rooms)}]\n    openings: [{', '.join(openings)}]\n"
        f"    fittings: [{', '.join(fittings)}]\n    stairs: [{stairs}]\n"
        "  - id: first\n    level: 3.4\n    height: 2.40\n"
        f"    rooms: [{{id: up, use: circulation, corner: [0, 0], size: [{wide}, {deep}]}}]\n"
        f"devices: {{{_TAG}: {{kind: smoke alarm, in: den, by: laser}}}}\n"
    )


def walked(chance: Random, wide: float, deep: float) -> str:
    """Give a room of five walls, two at odd angles: its north-east corner is cut off and its east wall leans."""
    cut, lean = chance.uniform(0.5, 1.0), chance.uniform(0.05, 0.4)
    corners = [(0.0, 0.0), (wide - lean, 0.0), (wide, deep - cut), (wide - cut, deep), (0.0, deep)]
    legs = []
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        legs.append(f"{degrees(atan2(bx - ax, by - ay)) % 360:.4f} deg {hypot(bx - ax, by - ay):.4f}")
    return f"walk: {{from: [0, 0], legs: [{', '.join(legs)}], by: laser}}"


def _fittings(chance: Random, wide: float, deep: float) -> Iterator[str]:
    for kind in chance.sample(["light", "air-vent", "fan", "heater", "cooker", "light"], chance.randint(1, 4)):
        x, y = chance.uniform(0.3, wide - 0.9), chance.uniform(0.3, deep - 0.9)
        yield f"{{{kind}: den, from-west: {x:.2f}, from-south: {y:.2f}, by: laser}}"


def made(seed: int) -> Case:
    """Read and survey a home by chance."""
    return case_of(record(seed))


def candidate(kind: str) -> Candidate:
    """Give the device that is put up everywhere as a candidate."""
    return Candidate(kind, _TAG, ACROSS)


def grid(surface: Surface, step: float) -> Iterator[XY]:
    """Give the points of a grid over a surface, its edges left out."""
    west, south, east, north = surface.whole.bounds
    inside = surface.outline.buffer(-1e-6)
    for i in range(1, int((east - west) / step) + 1):
        for j in range(1, int((north - south) / step) + 1):
            point = (west + i * step + 0.0003, south + j * step + 0.0007)
            if inside.covers(Point(point)):
                yield point


def with_device(
    case: Case, kind: str, surface: Surface, point: XY, tolerance: float = 0.0, across: float = ACROSS
) -> Case:
    """Give a case whose one device is of a kind and hangs at a point of a surface."""
    device: Device = case.home.devices[_TAG].model_copy(update={"kind": kind, "across": across})
    fixed = "ceiling" if surface.wall is None else "wall"
    room: RoomShape = surface.room
    plan, height = surface.on_plan(point), surface.height(point)
    spot = Spot(room.storey, room.id, plan, height, fixed, surface.wall, None, 0.0, tolerance)
    home = case.home.model_copy(update={"devices": {_TAG: device}})
    return Case(home, replace(case.dwelling, spots={_TAG: spot}), case.on, case.rules)


def placing_findings(case: Case) -> Iterator[Finding]:
    """Give the findings of all placing rules about the one device."""
    for rule in case.rules.rules.values():
        limit = case.rules.limits[rule.id]
        if rule.check in PLACINGS and not limit.nothing:
            yield from (f for f in CHECKS[rule.check](rule, limit, case) if f.subject.id == _TAG)


def shortfalls(case: Case) -> Mapping[str, float | None]:
    """Give the margin of each placing rule that applies to the device; None for one without a figure, if it fails."""
    return {
        finding.rule.id: finding.margin
        for finding in placing_findings(case)
        if finding.margin is not None or finding.verdict is Verdict.FAILS
    }


def may(case: Case, slack: float) -> bool | None:
    """Tell whether all placing rules are met at the device; None where one is met or not by less than the slack."""
    margins = shortfalls(case).values()
    if any(margin is None or margin < -slack for margin in margins):
        return False
    return True if all(margin is not None and margin > slack for margin in margins) else None
