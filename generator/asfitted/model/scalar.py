"""What a single word of a record may be: a count, yes or no, a day, an id, a tag, free text."""

import re
from datetime import date
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from asfitted.model.base import Unusable, shown


def _read_count(value: object) -> int:
    if isinstance(value, bool) or not re.fullmatch(r"[0-9]{1,4}", str(value)):
        raise Unusable(shown(value), "a whole number from 0 to 9999")
    return int(str(value))


Count = Annotated[int, BeforeValidator(_read_count), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": 9999})]
"""A whole number of things."""


def _read_yes_no(value: object) -> bool:
    if isinstance(value, bool):
        return value
    words = {"yes": True, "no": False, "true": True, "false": False}
    if str(value).lower() not in words:
        raise Unusable(shown(value), "yes or no")
    return words[str(value).lower()]


YesNo = Annotated[bool, BeforeValidator(_read_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})]
"""A plain statement."""


def _read_date(value: object, *, whole_month: bool = False) -> date:
    if isinstance(value, date):
        return value
    text = str(value).strip()
    expected = "a date as year-month-day, such as 2026-03-04"
    if whole_month:
        expected += ", or a month such as 2026-01"
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}", text):
            text += "-01"
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise Unusable(shown(value), expected)
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise Unusable(f"{shown(value)}, which is not in the calendar", expected) from None
    if not 1950 <= day.year <= 2150:
        raise Unusable(shown(value), "a year from 1950 to 2150")
    return day


Day = Annotated[
    date,
    BeforeValidator(_read_date),
    WithJsonSchema({"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "format": "date"}),
]
"""A day of the calendar."""
Month = Annotated[
    date,
    BeforeValidator(lambda value: _read_date(value, whole_month=True)),
    WithJsonSchema({"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}(-[0-9]{2})?$"}),
]
"""A month or a day; a month is its first day."""

_ID = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")


def _read_id(value: object) -> str:
    if not isinstance(value, str) or not _ID.fullmatch(value) or len(value) > 60:
        raise Unusable(shown(value), "lower-case words joined by hyphens, such as front-bedroom")
    return value


Id = Annotated[
    str,
    BeforeValidator(_read_id),
    WithJsonSchema({"type": "string", "pattern": f"^{_ID.pattern}$", "maxLength": 60}),
]
"""The name by which the record itself refers to a room, an opening or a fitting."""

_TAG = re.compile(r"[A-Z]{1,4}[0-9]{1,3}[a-z]?")


def _read_tag(value: object) -> str:
    if not isinstance(value, str) or not _TAG.fullmatch(value):
        raise Unusable(shown(value), "capital letters and a number, such as SA1")
    return value


Tag = Annotated[str, BeforeValidator(_read_tag), WithJsonSchema({"type": "string", "pattern": f"^{_TAG.pattern}$"})]
"""The tag written on a device: SA1, MD2."""

_LONGEST = 2000
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff]")
"""Control characters, and marks that turn the direction of writing: text that shows what it does not say."""


def _read_text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise Unusable(shown(value), "words")
    if len(value) > _LONGEST:
        raise Unusable(f"{len(value)} characters", f"at most {_LONGEST}")
    if match := _UNSEEN.search(value):
        raise Unusable(f"a control character (U+{ord(match[0]):04X})", "readable text")
    return value.strip()


Text = Annotated[
    str,
    BeforeValidator(_read_text),
    WithJsonSchema({"type": ["string", "number", "boolean"], "pattern": r"\S", "maxLength": _LONGEST}),
]
"""Free words, kept as typed: a serial of 012 stays 012, and no stays no. Hostile until escaped."""
