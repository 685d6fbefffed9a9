"""Batteries worked out: what a standby battery must hold, how long it charges, how long a cell lasts."""

from collections.abc import Iterable
from dataclasses import dataclass

ALARM_HOURS = 0.25
"""Hours of sounding that the standby has to cover: 15 minutes (common practice, no source)."""
CHARGING_LOSS = 1.2
"""Ampere-hours put in for each that is stored (common practice, no source)."""
HOURS_PER_DAY = 24.0
DAYS_PER_YEAR = 365.25


def charge_drawn(current: float, alarm_current: float, hours: float, alarm_hours: float = ALARM_HOURS) -> float:
    """Give the ampere-hours drawn from a standby battery: at rest, and sounding for the last part of it.

    ``Iq (T - ta) + Ia ta`` (common practice, no source).

    Args:
        current: amperes at rest.
        alarm_current: amperes while it sounds.
        hours: the whole standby.
        alarm_hours: hours of it that it sounds; never more than ``hours``.

    Raises:
        ValueError: when a figure is negative.
    """
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
    return share * capacity * CHARGING_LOSS / current


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
