"""Quantities as a technician writes them: ``2.10``, ``210 cm``, ``7 ft 2 in``, ``14 kg``, ``10 years``.

Inside the program a quantity is a plain float in one unit: metres, degrees, kilograms, seconds, decibels,
volts. A bare number is in that unit too. The units library knows only the words listed here, so that a slip
of the finger is an error rather than a curie.
"""

import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from asfitted.model.base import Unusable, shown

if TYPE_CHECKING:
    from pint import UnitRegistry

UNITS = """
metre = [length] = m = meter = metres = meters
centimetre = 0.01 metre = cm
millimetre = 0.001 metre = mm
foot = 0.3048 metre = ft = feet
inch = 0.0254 metre = in = inches
radian = []
degree = 0.017453292519943295 radian = deg = degrees
kilogram = [mass] = kg
gram = 0.001 kilogram = g
pound = 0.45359237 kilogram = lb
second = [time] = s = seconds
minute = 60 second = min = minutes
hour = 3600 second = h = hours
day = 86400 second = d = days
week = 7 day = weeks
month = 30.4375 day = months
year = 365.25 day = years
decibel = [level] = dB = dBA
volt = [potential] = V = volts
millivolt = 0.001 volt = mV
"""
# Foot, inch and pound are exact: international yard and pound agreement, 1959. Day-based months and years are
# only for lengths of service; dates are counted on the calendar (see asfitted.upkeep).

UNIT_WORDS = frozenset(re.findall(r"[A-Za-z]{1,}", re.sub(r"\[\w+\]|[0-9.]+", "", UNITS)))
"""Every unit a record may use."""

_KINDS = {
    "metre": "length",
    "degree": "angle",
    "kilogram": "mass",
    "second": "time",
    "decibel": "level",
    "volt": "voltage",
}
_PART = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z°()]*)\s*")
_THOUSANDS = re.compile(r"[0-9],[0-9]{3}(?![0-9])")


@cache
def _registry() -> "UnitRegistry[Any]":
    import pint

    registry: UnitRegistry[Any] = pint.UnitRegistry(None)
    registry.load_definitions(UNITS.strip().splitlines())
    return registry


@cache
def _factor(word: str, unit: str) -> float | None:
    """Give how many ``unit`` one ``word`` is, or None where it is another kind of thing or no unit at all."""
    from pint.errors import DimensionalityError

    plain = {"°": "deg", "dB(A)": "dBA"}.get(word, word)
    if plain not in UNIT_WORDS:
        return None
    try:
        return float(_registry().Quantity(1.0, plain).to(unit).magnitude)
    except DimensionalityError:
        return None


@lru_cache(maxsize=4096)
def read_quantity(text: str, unit: str) -> float:
    """Read a quantity in words.

    Args:
        text: one number with or without a unit, or several numbers each with its unit ("7 ft 2 in").
        unit: the unit of the result and of a bare number, by its full name in ``UNITS``.

    Returns:
        The amount in ``unit``.

    Raises:
        Unusable: for anything that is not such a quantity.
    """
    expected = f"a number of {unit}s, or a number with another unit of {_KINDS[unit]}"
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
        factor = _factor(word, unit) if word and word != unit else 1.0
        if factor is None:
            raise Unusable(f"{shown(text)}, but “{word}” is no unit of {_KINDS[unit]}", expected)
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
Voltage = Annotated[float, *_quantity("volt", 0, 300, "2.9 V")]
"""Volts."""
Latitude = Annotated[float, *_quantity("degree", -90, 90, "54.0")]
"""Degrees north of the equator."""
Longitude = Annotated[float, *_quantity("degree", -180, 180, "-2.8")]
"""Degrees east of Greenwich."""
