"""Figures as pages show them."""

from math import floor, isinf, log10

from asfitted.reckon.working import number


def quantity(value: float, unit: str) -> str:
    """Give a figure to four digits, at most three of them behind the point, with its unit; ``none`` for no end."""
    if isinf(value):
        return "none"
    places = 3 if value == 0 else max(0, min(3, 3 - floor(log10(abs(value)))))
    return f"{number(value, places)}{'' if unit in ('', '°') else chr(0xA0)}{unit}"


_TOLD = {"m": 2, "m²": 1, "%": 0, "s": 1, "h": 0, "dB": 1, "dB(A)": 0, "years": 1}
"""Places behind the point that a result is good for."""


def told(value: float, unit: str) -> str:
    """Give a result as a sentence or a summary tells it: no finer than what is known; the working has every digit."""
    return quantity(round(value, _TOLD[unit]), unit) if unit in _TOLD and not isinf(value) else quantity(value, unit)


def clock(minutes: float) -> str:
    """Give minutes from midnight as a time of day."""
    return f"{int(minutes // 60):02d}:{int(minutes % 60):02d}"
