"""Where the sun stands, and when it shines through a pane onto a point.

Angles are in degrees, bearings clockwise from north. Right ascension, declination and sidereal time come from a
library of astronomy; from there on it is geometry.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Times = NDArray[np.datetime64]
Vector = tuple[float, float, float]

STEP = 5
"""Minutes between the instants of a year that are tried."""
PRESSURE, TEMPERATURE = 1010.0, 10.0
"""Millibar and degrees Celsius that the refraction near the horizon is worked out for (common practice, no source)."""
PARALLAX = 8.794 / 3600
"""Degrees by which the sun on the horizon stands lower than from the middle of the earth (NREL/TP-560-34302)."""
_DAY = np.timedelta64(86_400_000_000, "us")
_EPOCH = np.datetime64("1899-12-31T12:00", "us")
"""Noon at which the library's count of days begins."""


@dataclass(frozen=True, eq=False)
class Track:
    """The sun over a place while it is up: instants in UTC, bearings from true north, and heights as seen.

    ``minutes`` is the time each instant stands for.
    """

    times: Times
    azimuth: Floats
    elevation: Floats
    minutes: float


@dataclass(frozen=True, slots=True)
class Pane:
    """A flat rectangle in space that light passes: a corner and two edges square to each other, in metres."""

    corner: Vector
    across: Vector
    up: Vector


def positions(latitude: float, longitude: float, times: Times) -> tuple[Floats, Floats]:
    """Give the bearing and the height of the sun without refraction, seen from sea level.

    The library is asked for each midnight; between two midnights declination and hour angle run evenly, which is true
    to 0.001 degrees.

    Args:
        latitude: degrees north.
        longitude: degrees east.
        times: instants in UTC.
    """
    instants = times.astype("datetime64[us]")
    first = int((instants.min() - _EPOCH) // _DAY)
    count = int((instants.max() - _EPOCH) // _DAY) - first + 2
    known, hour_angles, declinations = _almanac(first, count)
    days = (instants - _EPOCH) / _DAY
    hour = np.radians(np.interp(days, known, hour_angles) + longitude)
    tilt, phi = np.radians(np.interp(days, known, declinations)), np.radians(latitude)
    north, up = np.sin(tilt), np.cos(tilt) * np.cos(hour)  # the sun in axes of the equator
    height = np.degrees(np.arcsin(np.sin(phi) * north + np.cos(phi) * up))
    bearing = np.degrees(np.arctan2(-np.cos(tilt) * np.sin(hour), np.cos(phi) * north - np.sin(phi) * up))
    return bearing % 360.0, height - PARALLAX * np.cos(np.radians(height))


@lru_cache(maxsize=8)
def _almanac(first: int, count: int) -> tuple[Floats, Floats, Floats]:
    """Give for a run of days the day number, the sun's hour angle at Greenwich, growing, and its declination."""
    import ephem

    sun, greenwich = ephem.Sun(), ephem.Observer()
    greenwich.lon, greenwich.lat, greenwich.pressure = "0", "0", 0
    hour_angles, declinations = [], []
    for day in range(first, first + count):
        greenwich.date = float(day)
        sun.compute(float(day))
        hour_angles.append(float(greenwich.sidereal_time()) - float(sun.g_ra))
        declinations.append(float(sun.g_dec))
    turns = np.unwrap(np.array(hour_angles)) + 2 * np.pi * np.arange(count)
    return np.arange(first, first + count, dtype=float), np.degrees(turns), np.degrees(np.array(declinations))


def refraction(elevation: Floats, pressure: float = PRESSURE, temperature: float = TEMPERATURE) -> Floats:
    """Give by how much the air lifts the sun, in degrees; nothing once it is well below the horizon.

    ``(P/1010) (283/(273 + T)) 1.02 / (60 tan(e + 10.3/(e + 5.11)))`` (NREL/TP-560-34302, equation 42).
    """
    seen = np.maximum(elevation, -1.0)
    lift = 1.02 / (60.0 * np.tan(np.radians(seen + 10.3 / (seen + 5.11))))
    return np.where(elevation > -1.0, pressure / 1010.0 * 283.0 / (273.0 + temperature) * lift, 0.0)


@lru_cache(maxsize=8)
def track(latitude: float, longitude: float, start: date, days: int = 365, step: int = STEP) -> Track:
    """Give the sun over a place while it is up, from a UTC midnight on.

    Args:
        latitude: degrees north.
        longitude: degrees east.
        start: the first day.
        days: how many.
        step: minutes between two instants; each stands for the time around it.
    """
    begin, end = (np.datetime64(day.isoformat(), "m") for day in (start, start + timedelta(days=days)))
    times = np.arange(begin, end, np.timedelta64(step, "m"))
    azimuth, height = positions(latitude, longitude, times)
    seen = height + refraction(height)
    up = seen > 0.0
    return Track(times[up], azimuth[up], seen[up], float(step))


def directions(azimuth: Floats, elevation: Floats, plan_north: float = 0.0) -> Floats:
    """Give unit vectors towards the sun in plan axes: right, up the plan, and straight up; one row an instant.

    Args:
        azimuth: bearings from true north.
        elevation: heights above the horizon.
        plan_north: the bearing of the plan's upper edge.
    """
    turn, height = np.radians(azimuth - plan_north), np.radians(elevation)
    level = np.cos(height)
    return np.stack([level * np.sin(turn), level * np.cos(turn), np.sin(height)], axis=1)


@lru_cache(maxsize=8)
def towards_sun(sun: Track, plan_north: float) -> Floats:
    """Give the :func:`directions` of every instant of a track."""
    return directions(sun.azimuth, sun.elevation, plan_north)


def reach(point: Vector, towards: Floats, pane: Pane) -> Floats:
    """Give how far along each direction a ray from a point meets the plane of a pane, in metres; below 0 behind it."""
    normal = np.cross(pane.across, pane.up)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(((np.array(pane.corner) - point) @ normal) / (towards @ normal), dtype=np.float64)


def meets(point: Vector, towards: Floats, pane: Pane) -> NDArray[np.bool_]:
    """Tell for each direction whether the ray from a point passes a pane."""
    away, offset = reach(point, towards, pane), np.array(pane.corner) - point
    found: NDArray[np.bool_] = away > 0
    with np.errstate(invalid="ignore"):
        for edge in (np.array(pane.across), np.array(pane.up)):
            share = (away * (towards @ edge) - offset @ edge) / (edge @ edge)
            found &= (share >= 0) & (share <= 1)
    return found


def lit(
    point: Vector, sun: Track, panes: Sequence[Pane], plan_north: float = 0.0, facing: float | None = None
) -> NDArray[np.bool_]:
    """Tell for each instant of a track whether the sun shines on a point through every one of the panes.

    A window in a thick wall is two panes, its inner and its outer edges: what passes both passes the reveal between.

    Args:
        point: metres right, up the plan and above the level that the panes are counted from.
        sun: the sun over the place.
        panes: what the light has to pass.
        plan_north: the bearing of the plan's upper edge.
        facing: the plan bearing the point looks at; the sun must stand before it. It looks everywhere unless given.
    """
    towards = towards_sun(sun, plan_north)
    found = np.ones(len(towards), dtype=bool)
    if facing is not None:
        turn = np.radians(facing)
        found = towards @ np.array([np.sin(turn), np.cos(turn), 0.0]) > 0
    for pane in panes:
        found &= meets(point, towards, pane)
    return found


@dataclass(frozen=True, slots=True)
class Day:
    """One day with sun on the point: minutes of it, and the first and last of them, counted from midnight."""

    day: date
    minutes: float
    first: float
    last: float


@dataclass(frozen=True, slots=True)
class Exposure:
    """The sun on a point over a year.

    Attributes:
        hours: in all.
        matrix: hours by month (12 rows) and hour of the day (24 columns).
        days: every day with sun, in order.
        offset: hours of the clock before UTC that hours of the day are counted in.
    """

    hours: float
    matrix: tuple[tuple[float, ...], ...]
    days: tuple[Day, ...]
    offset: float

    @property
    def worst(self) -> Day | None:
        """The day with most sun; the first of several."""
        return max(self.days, key=lambda day: (day.minutes, -day.day.toordinal()), default=None)


def exposure(sun: Track, hits: NDArray[np.bool_], offset: float = 0.0) -> Exposure:
    """Sum up when the sun is on a point, by the clock of a zone.

    Args:
        sun: the sun over the place.
        hits: for each instant whether it is on the point.
        offset: hours by which the clock is ahead of UTC.
    """
    clock = sun.times[hits] + np.timedelta64(round(offset * 60), "m")
    days = clock.astype("datetime64[D]")
    minutes = (clock - days) / np.timedelta64(1, "m")
    months = clock.astype("datetime64[M]").astype(int) % 12
    matrix = np.zeros((12, 24))
    np.add.at(matrix, (months, (minutes // 60).astype(int)), sun.minutes / 60)
    each, starts, counts = np.unique(days, return_index=True, return_counts=True)
    found = tuple(
        Day(
            day.item(),
            float(count * sun.minutes),
            float(minutes[start]),
            float(minutes[start + count - 1]) + sun.minutes,
        )
        for day, start, count in zip(each, starts, counts, strict=True)
    )
    rows = tuple(tuple(round(float(hours), 4) for hours in row) for row in matrix)
    return Exposure(float(hits.sum() * sun.minutes / 60), rows, found, offset)
