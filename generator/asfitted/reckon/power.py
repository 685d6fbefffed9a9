"""Batteries worked out: what a standby battery must hold, how long it charges, how long a cell lasts."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

HOURS_PER_DAY = 24.0
DAYS_PER_YEAR = 365.25


@cache
def figures() -> Mapping[str, Any]:
    """Give the forms of the formula for a standby battery, and what charging loses, with their sources."""
    return tomllib.loads((files("asfitted.reckon") / "data" / "standby.toml").read_text(encoding="utf-8"))


def usual_alarm_hours() -> float:
    """Give the hours of sounding that the standby has to cover by common practice."""
    return float(figures()["form"]["common practice"]["minutes"]) / 60


def charging_loss() -> float:
    """Give the ampere-hours put in for each that is stored."""
    return float(figures()["charging"]["loss"])


def charge_drawn(current: float, alarm_current: float, hours: float, alarm_hours: float | None = None) -> float:
    """Give the ampere-hours drawn from a standby battery: at rest, and sounding for the last part of it.

    ``Iq (T - ta) + Ia ta`` (common practice, no source).

    Args:
        current: amperes at rest.
        alarm_current: amperes while it sounds.
        hours: the whole standby.
        alarm_hours: hours of it that it sounds, never more than ``hours``; those of common practice unless given.

    Raises:
        ValueError: when a figure is negative.
    """
    alarm_hours = usual_alarm_hours() if alarm_hours is None else alarm_hours
    if min(current, alarm_current, hours, alarm_hours) < 0:
        raise ValueError("currents and hours are not negative")
    sounding = min(alarm_hours, hours)
    return current * (hours - sounding) + alarm_current * sounding


def recharge_hours(capacity: float, current: float, share: float = 0.8) -> float:
    """Give the hours in which a charger brings an empty battery to a share of its capacity.

    ``share x C x 1.2 / I`` (common practice, no source).

    Args:
        capacity: ampere-hours.
        current: amperes the charger gives; more than 0.
        share: of the capacity, from 0 to 1.

    Raises:
        ValueError: when there is no current.
    """
    if current <= 0:
        raise ValueError("a charger gives more than 0 A")
    return share * capacity * charging_loss() / current


@dataclass(frozen=True, slots=True)
class Pulse:
    """Something a wire-free device does now and then: milliamperes, for seconds, so many times a day."""

    current: float
    seconds: float
    per_day: float


def daily_draw(sleep: float, pulses: Iterable[Pulse]) -> float:
    """Give the milliampere-hours a wire-free device draws a day: asleep all day, and what its pulses add.

    Plain arithmetic: current by time.

    Args:
        sleep: milliamperes asleep.
        pulses: messages, detections and the like.
    """
    return sleep * HOURS_PER_DAY + sum(p.per_day * p.current * p.seconds / 3600.0 for p in pulses)
