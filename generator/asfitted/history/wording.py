"""Values of a record in the words of the trade, with the unit a person would write."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from pydantic import WithJsonSchema

from asfitted.model.base import Value, key_of

NOTHING = "not recorded"
_SPANS = ((31_557_600.0, "year"), (86_400.0, "day"), (3_600.0, "h"), (60.0, "min"), (1.0, "s"))
_SIGNS = {
    "decibel": "dB",
    "decibel-milliwatt": "dBm",
    "volt": "V",
    "ampere-hour": "Ah",
    "megahertz": "MHz",
    "milliwatt": "mW",
    "kilogram": "kg",
}
_UNIT = re.compile(r"in ([a-z-]+)s unless")
_MISSPELT = {"megahert": "megahertz"}
_SIDES = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def words_of(value: object, unit: str = "") -> str:
    """Write a value of a record; ``unit`` is that of its numbers."""
    if value is None or value in ((), {}):
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int | float):
        return quantity(float(value), unit)
    if isinstance(value, Mapping):
        return ", ".join(f"{spaced(str(key))} {words_of(item, unit)}" for key, item in value.items())
    if isinstance(value, Value):
        return value_words(value)
    if isinstance(value, tuple):
        return ", ".join(words_of(item, unit) for item in value)
    return str(value)


def value_words(value: Value, without: Iterable[str] = ()) -> str:
    """Write every field of a part of a record that says something: ``smoke 9 s, link all sounded``."""
    given = (
        f"{spaced(key_of(name))} {field_words(value, name)}"
        for name, field in type(value).model_fields.items()
        if name not in without and getattr(value, name) != field.default
    )
    return ", ".join(given)


def field_words(value: Value, name: str) -> str:
    """Write one field of a part of a record, with its unit."""
    return words_of(getattr(value, name), unit_of(type(value), name))


@cache
def unit_of(model: type[Value], name: str) -> str:
    """Give the unit of a field's numbers, as its own schema says: ``metre``, ``second``; empty for none."""
    field = model.model_fields[name]
    for schema in (*field.metadata, *_schemas(field.annotation)):
        if isinstance(schema, WithJsonSchema):
            found = _UNIT.match(str((schema.json_schema or {}).get("description", "")))
            if found:
                return _MISSPELT.get(found[1], found[1])
    return ""


def _schemas(annotation: Any) -> Iterable[Any]:
    if get_origin(annotation) is Annotated:
        yield from annotation.__metadata__
    for part in get_args(annotation):
        yield from _schemas(part)


def quantity(amount: float, unit: str) -> str:
    """Write an amount with its unit: 6 mm, 1.95 m, 30 s, 12 h, 10 years."""
    if unit == "metre":
        return f"{amount * 1000:.3g} mm" if 0 < abs(amount) < 0.1 else metres(amount)
    if unit == "second":
        return _span(amount)
    if unit == "degree":
        return f"{amount:g}°"
    if unit == "ampere":
        return f"{amount * 1000:.6g} mA" if 0 < abs(amount) < 1 else f"{amount:g} A"
    return f"{amount:.9g} {_SIGNS.get(unit, unit)}".strip()


def metres(amount: float) -> str:
    """Write metres to the centimetre, or to the millimetre where it matters."""
    amount = round(amount, 6) + 0.0  # no -0.00
    return f"{amount:.2f} m" if abs(amount * 100 - round(amount * 100)) < 0.01 else f"{amount:.3f} m"


def _span(seconds: float) -> str:
    for size, name in _SPANS:
        count = seconds / size
        if count >= 1 and abs(count - round(count)) < 1e-6:
            plural = "s" if name in ("year", "day") and round(count) != 1 else ""
            return f"{round(count)} {name}{plural}"
    return f"{seconds:g} s"


def spaced(name: str) -> str:
    """Write a key or id as words."""
    return name.replace("-", " ") if name.islower() else name


def compass(dx: float, dy: float) -> str:
    """Give the direction of a step on the plan, to one of eight: ``south-east``."""
    from asfitted.dwelling.shapes import bearing

    return _SIDES[round(bearing(dx, dy) / 45.0) % 8]


def turned(before: object, after: object) -> str:
    """Say what something was and what it is now; what was not recorded before need not have changed."""
    if before == NOTHING:
        return f"is recorded now: {after}"
    if after == NOTHING:
        return f"is no longer recorded, was {before}"
    return f"was {before}, now {after}"


def a_thing(words: str) -> str:
    """Give words their article: a smoke alarm, an opening contact."""
    return f"{'an' if words[:1] in 'aeiou' else 'a'} {words}"


def stopped(words: str) -> str:
    """End a sentence with one stop, whatever the record ends with."""
    return f"{words.rstrip().rstrip('.')}."
