"""Quantities as a technician writes them: ``2.10``, ``210 cm``, ``7 ft 2 in``, ``14 kg``, ``10 years``.

Inside the program a quantity is a plain float in one unit: metres, degrees, kilograms, seconds, decibels,
volts, amperes, ampere-hours, megahertz, milliwatts. A bare number is in that unit too. Only the words listed
here are units, so that a slip of the finger is an error rather than a curie.
"""

import re
from math import pi
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from asfitted.model.base import Unusable, shown

_TABLE = {
    "length": {
        "metre metres meter meters m": 1.0,
        "centimetre cm": 0.01,
        "millimetre mm": 0.001,
        "foot feet ft": 0.3048,
        "inch inches in": 0.0254,
    },
    "angle": {"degree degrees deg °": 1.0, "radian": 180 / pi},
    "mass": {"kilogram kg": 1.0, "gram g": 0.001, "pound lb": 0.45359237},
    "time": {
        "second seconds s": 1.0,
        "minute minutes min": 60.0,
        "hour hours h": 3600.0,
        "day days d": 86_400.0,
        "week weeks": 7 * 86_400.0,
        "month months": 30.4375 * 86_400.0,
        "year years": 365.25 * 86_400.0,
    },
    "level": {"decibel dB dBA dB(A)": 1.0},
    "received power": {"decibel-milliwatt dBm": 1.0},
    "voltage": {"volt volts V": 1.0, "millivolt mV": 0.001},
    "current": {"ampere amperes A": 1.0, "milliampere mA": 0.001},
    "frequency": {"megahertz MHz": 1.0, "gigahertz GHz": 1000.0},
    "power": {"milliwatt milliwatts mW": 1.0, "watt watts W": 1000.0},
    "charge": {"ampere-hour ampere-hours Ah": 1.0, "milliampere-hour mAh": 0.001},
}
# Foot, inch and pound are exact: international yard and pound agreement, 1959. Day-based months and years are
# only for lengths of service; dates are counted on the calendar (see asfitted.upkeep).

UNITS = {
    word: (kind, factor) for kind, units in _TABLE.items() for words, factor in units.items() for word in words.split()
}
"""Every unit word a record may use: its kind, and how many of the kind's first unit it is."""

_PART = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z°()]+(?:-[A-Za-z]+)?)?\s*")
_THOUSANDS = re.compile(r"[0-9],[0-9]{3}(?![0-9])")


def read_quantity(text: str, unit: str) -> float:
    """Read a quantity in words.

    Args:
        text: one number with or without a unit, or several numbers each with its unit ("7 ft 2 in").
        unit: the unit of the result and of a bare number, the first of its kind: ``metre``, ``degree``, ``volt``.

    Returns:
        The amount in ``unit``.

    Raises:
        Unusable: for anything that is not such a quantity.
    """
    kind, _ = UNITS[unit]
    expected = f"a number of {unit}s, or a number with another unit of {kind}"
    text = text.strip()
    parts = _PART.findall(text) if len(text) <= 60 else []
    if not parts or _PART.sub("", text):
        raise Unusable(shown(text), expected)
    if _THOUSANDS.search(text):
        raise Unusable(shown(text), "a point before decimals and nothing between thousands")
    if len(parts) > 1 and not all(word for _, word in parts):
        raise Unusable(shown(text), "a unit behind every number")
    total = 0.0
    for number, word in parts:
        its_kind, factor = UNITS.get(word or unit, ("", 0.0))
        if its_kind != kind:
            raise Unusable(f"{shown(text)}, but “{word}” is no unit of {kind}", expected)
        total += float(number.replace(",", ".")) * factor
    return round(total, 9)


def _remedy(amount: float, unit: str, high: float, example: str, *, bare: bool) -> str:
    if bare and unit == "metre" and high < amount <= 1000 * high:
        return f"If it is in millimetres, write “{amount:.10g} mm”."
    return f"Write it for example as {example}."


def _quantity(unit: str, low: float, high: float, example: str) -> Any:
    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise Unusable(shown(value), f"a quantity such as {example}")
        amount = read_quantity(str(value), unit)
        if not low <= amount <= high:
            bare = not re.search(r"[A-Za-z°]", str(value))
            found = f"{shown(value)}, which is {amount:,.10g} {unit}s" if not bare else f"{shown(value)} {unit}s"
            expected = f"from {low:,.10g} to {high:,.10g} {unit}s"
            raise Unusable(found, expected, _remedy(amount, unit, high, example, bare=bare))
        return amount

    return (
        BeforeValidator(read),
        WithJsonSchema(
            {
                "anyOf": [
                    {"type": "number", "minimum": low, "maximum": high},
                    {"type": "string", "pattern": r"^\s*[+-]?[0-9]+([.,][0-9]+)?\s*[A-Za-z°(]*"},
                ],
                "description": f"in {unit}s unless a unit is given, for example {example}",
            }
        ),
    )


Length = Annotated[float, *_quantity("metre", 0, 100, "2.10, 210 cm or 7 ft 2 in")]
"""Metres, none negative."""
Coordinate = Annotated[float, *_quantity("metre", -1000, 1000, "4.20 or 420 cm")]
"""Metres east or north of the storey's origin."""
Angle = Annotated[float, *_quantity("degree", -360, 360, "12 deg")]
"""Degrees."""
Mass = Annotated[float, *_quantity("kilogram", 0, 200, "14 kg")]
"""Kilograms."""
Duration = Annotated[float, *_quantity("second", 0, 1.6e9, "8 s, 12 h or 10 years")]
"""Seconds."""
Level = Annotated[float, *_quantity("decibel", -150, 150, "78 dB")]
"""Decibels: sound level, A-weighted, or a radio margin."""


def _dbm(value: object) -> object:
    """Take a plain dB for dBm, as the first records that gave such a level wrote it."""
    return re.sub(r"(?<=\d)\s*dB$", " dBm", value.strip()) if isinstance(value, str) else value


Received = Annotated[float, *_quantity("decibel-milliwatt", -150, 0, "-92 dBm"), BeforeValidator(_dbm)]
"""Decibels above a milliwatt: what a receiver gets. Never a margin."""
Voltage = Annotated[float, *_quantity("volt", 0, 300, "2.9 V")]
"""Volts."""
Current = Annotated[float, *_quantity("ampere", 0, 100, "1.2 A or 250 mA")]
"""Amperes."""
Charge = Annotated[float, *_quantity("ampere-hour", 0, 1000, "7 Ah or 2600 mAh")]
"""Ampere-hours: what a battery holds."""
Frequency = Annotated[float, *_quantity("megahertz", 100, 10_000, "868.3 MHz")]
"""Megahertz."""
Power = Annotated[float, *_quantity("milliwatt", 0.001, 5000, "10 mW")]
"""Milliwatts: what a radio sends."""
Latitude = Annotated[float, *_quantity("degree", -90, 90, "54.0")]
"""Degrees north of the equator."""
Longitude = Annotated[float, *_quantity("degree", -180, 180, "-2.8")]
"""Degrees east of Greenwich."""
