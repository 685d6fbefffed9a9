"""Direct sun on the motion detectors of a home, through each of its panes, over a year."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import Dwelling, PlacedOpening, RoomShape, Spot
from asfitted.dwelling.ways import open_plan
from asfitted.model.home import Home
from asfitted.reckon.standard import standard
from asfitted.reckon.sun import Exposure, Pane, Track, Vector, exposure, lit, reach, towards_sun, track
from asfitted.reckon.working import Input, Step, Working, number

NORTH_SPREAD = 5.0
"""Degrees by which a plan's bearing read from a compass may be out (common practice, no source)."""
PLACE_SPREAD = 0.05
"""Degrees by which a place given to a tenth may be out."""
_SLACK, _FINE = 0.02, 0.05
"""Metres that a sight line may graze a wall, and by which lines of sight are told apart."""
CAVEATS = (
    "Neighbouring houses, trees, eaves, blinds and furniture are not counted, nor is cloud: the true hours are fewer.",
    "Hours are by the standard time of the place's longitude; where the clock is ahead of it, add the difference.",
)


@dataclass(frozen=True)
class DetectorSun:
    """The sun on one motion detector: through each pane that lets it in, and through all together."""

    tag: str
    panes: Mapping[str, Exposure]
    total: Exposure
    working: Working


@dataclass(frozen=True)
class HomeSun:
    """The sun on every motion detector of a home, the detectors without a place, and what to record for a result."""

    detectors: tuple[DetectorSun, ...]
    without_place: tuple[str, ...] = ()
    ask: str = ""


def sun_of(home: Home, dwelling: Dwelling, on: date) -> HomeSun:
    """Reckon the sun on every motion detector indoors that is fitted by a day, in the year of that day."""
    spots = {
        tag: dwelling.spots.get(tag)
        for tag, device in home.devices.items()
        if device.kind == "motion detector" and device.fitted_by(on)
    }
    lost = tuple(tag for tag, spot in spots.items() if spot is None or spot.point is None)
    placed = [tag for tag, spot in spots.items() if tag not in lost and spot is not None and spot.fixed != "outside"]
    if home.home.place is None:
        ask = "Record place, the latitude and longitude of the home to a tenth of a degree."
        return HomeSun((), lost, ask)
    return HomeSun(tuple(_on_detector(home, dwelling, tag, on) for tag in placed), lost)


def inputs_of(home: Home, spot: Spot) -> dict[str, Input]:
    """Give what the sun on a detector is reckoned from, by symbol.

    Raises:
        ValueError: when the home has no place.
    """
    if home.home.place is None:
        raise ValueError("a home without a place has no sun")
    latitude, longitude = home.home.place
    stated = "plan_north" in home.home.model_fields_set
    high = "height of the detector above floor"
    ask = "" if stated else "Take the bearing of the plan's upper edge with a compass and record plan-north."
    return {
        "phi": Input("phi", "latitude", latitude, "°", "stated", "home, place", PLACE_SPREAD),
        "lambda": Input("lambda", "longitude", longitude, "°", "stated", "home, place", PLACE_SPREAD),
        "N": Input(
            "N",
            "bearing of the plan's upper edge",
            home.home.plan_north,
            "°",
            "stated" if stated else "assumed",
            "home, plan-north" if stated else "taken for north",
            NORTH_SPREAD if stated else 45.0,
            ask,
        ),
        "z": replace(standard("coverage", "z"), meaning=high)
        if spot.z is None
        else Input("z", high, spot.z, "m", "stated", "height of the detector", spot.tolerance),
    }


def panes_of(room: RoomShape, opening: PlacedOpening) -> tuple[Pane, ...]:
    """Give what light passes through an opening, in metres above the floor of its storey.

    A window in a wall has an inner and an outer edge; a rooflight lies in the slope of its ceiling.
    """
    if opening.wall is not None:
        (ax, ay), (bx, by), sill = opening.a, opening.b, opening.opening.sill
        nx, ny = opening.wall.outward
        across, up = (bx - ax, by - ay, 0.0), (0.0, 0.0, opening.height)
        return tuple(
            Pane((ax + nx * out, ay + ny * out, sill), across, up) for out in dict.fromkeys((0.0, opening.thickness))
        )
    assert opening.outline is not None
    west, south, east, north = opening.outline.bounds
    middle = (west + east) / 2, (south + north) / 2
    height = room.ceiling.height_at
    low = height(*middle)
    rise_x = height(east, middle[1]) - height(west, middle[1])
    rise_y = height(middle[0], north) - height(middle[0], south)
    corner = west, south, low - rise_x / 2 - rise_y / 2
    return (Pane(corner, (east - west, 0.0, rise_x), (0.0, north - south, rise_y)),)


def year_of(phi: float, lam: float, on: date) -> Track:
    """Give the sun over a place for the calendar year of a day."""
    start = date(on.year, 1, 1)
    return track(phi, lam, start, (date(on.year + 1, 1, 1) - start).days)


def _on_detector(home: Home, dwelling: Dwelling, tag: str, on: date) -> DetectorSun:
    spot = dwelling.spots[tag]
    inputs = inputs_of(home, spot)
    hits, sun = _hits(dwelling, spot, inputs, on)
    every = _any(hits, sun)
    offset = float(round(inputs["lambda"].value / 15))
    panes = {name: exposure(sun, hit, offset) for name, hit in hits.items() if hit.any()}
    return DetectorSun(tag, panes, exposure(sun, every, offset), _sheet(tag, inputs, hits, sun))


def work(dwelling: Dwelling, tag: str, inputs: Mapping[str, Input], on: date) -> Working:
    """Work out the hours a year of direct sun on a detector; the result is the hours.

    Args:
        dwelling: the home.
        tag: the detector, which has a place.
        inputs: as :func:`inputs_of` gives them.
        on: a day of the year.
    """
    return _sheet(tag, inputs, *_hits(dwelling, dwelling.spots[tag], inputs, on))


def _sheet(tag: str, inputs: Mapping[str, Input], hits: Mapping[str, NDArray[np.bool_]], sun: Track) -> Working:
    count = int(_any(hits, sun).sum())
    steps = [
        Step(
            "n",
            "instants of the year with the sun up",
            "h > 0",
            f"every {number(sun.minutes, 0)} minutes of {str(sun.times[0])[:4]}",
            float(len(sun.times)),
            "",
            "sun from a library of astronomy; refraction by NREL/TP-560-34302",
        )
    ]
    for name, hit in hits.items():
        if hit.any():
            here = np.flatnonzero(hit)
            middle = here[len(here) // 2]
            when = str(sun.times[middle]).replace("T", " ")
            where = f"sun at {number(sun.azimuth[middle], 1)}°, {number(sun.elevation[middle], 1)}° high"
            steps.append(
                Step(
                    f"n_{name}",
                    f"of them with the sun on the detector through {name}",
                    "p + s u within the pane, s = (o − p) n / (u n), u n > 0",
                    f"for one, {when} UTC: {where}",
                    float(len(here)),
                    "",
                    "ray and plane",
                )
            )
    figures = f"{count} · {number(sun.minutes, 0)} / 60"
    steps.append(
        Step("T", "direct sun on the detector in a year", "n_lit · step / 60", figures, count * sun.minutes / 60, "h")
    )
    return Working(f"Direct sun on {tag}", tuple(inputs.values()), tuple(steps), CAVEATS)


def _any(hits: Mapping[str, NDArray[np.bool_]], sun: Track) -> NDArray[np.bool_]:
    found = np.zeros(len(sun.times), dtype=bool)
    for hit in hits.values():
        found |= hit
    return found


def _hits(
    dwelling: Dwelling, spot: Spot, inputs: Mapping[str, Input], on: date
) -> tuple[dict[str, NDArray[np.bool_]], Track]:
    """Tell for each pane a detector could see, and each instant of the year, whether the sun comes through it."""
    assert spot.point is not None
    phi, lam, north, z = (inputs[symbol].value for symbol in ("phi", "lambda", "N", "z"))
    sun, point = year_of(phi, lam, on), (*spot.point, z)
    rooms = open_plan(dwelling, spot.room)
    found = {}
    for opening in dwelling.openings.values():
        room = opening.rooms[0]
        if room not in rooms or not (opening.glazed and opening.is_outer):
            continue
        panes = panes_of(dwelling.rooms[room], opening)
        hits = lit(point, sun, panes, north, spot.facing)
        if hits.any():
            hits[hits] = _in_sight(_floor(dwelling, rooms), point, sun, hits, (panes[0], north))
        found[opening.id] = hits
    return found, sun


def _in_sight(
    floor: BaseGeometry, point: Vector, sun: Track, hits: NDArray[np.bool_], through: tuple[Pane, float]
) -> NDArray[np.bool_]:
    """Tell for the instants that hit a pane whether a wall stands between it and the detector."""
    pane, north = through
    towards = towards_sun(sun, north)[hits]
    there = np.array(point[:2]) + reach(point, towards, pane)[:, None] * towards[:, :2]
    ends, which = np.unique(np.round(there / _FINE).astype(int), axis=0, return_inverse=True)
    starts = np.broadcast_to(np.array(point[:2]), (len(ends), 2))
    lines = shapely.linestrings(np.stack([starts, ends * _FINE], axis=1))
    return np.asarray(shapely.covers(floor, lines))[which.reshape(-1)]


@lru_cache(maxsize=16)
def _floor(dwelling: Dwelling, rooms: frozenset[str]) -> BaseGeometry:
    """Give the floor that one looks over: rooms and the archways that join them, grown by what may be grazed."""
    parts: list[BaseGeometry] = [dwelling.rooms[room].outline for room in sorted(rooms)]
    for opening in dwelling.openings.values():
        beyond = opening.rooms[1]
        if opening.opening.kind == "archway" and beyond is not None and beyond in rooms:
            parts.append(shapely.union_all([opening.line, opening.line_in(beyond)]).convex_hull)
    grown = shapely.union_all(parts).buffer(_SLACK + _FINE, join_style="mitre")
    shapely.prepare(grown)
    return grown
