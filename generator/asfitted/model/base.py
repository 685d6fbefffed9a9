"""The common base of everything in a record, and the trouble a record may be in."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator

Path = tuple[str | int, ...]
"""Where a value stands in a record: keys and list positions from the root."""

_SHOWN = 60


def key_of(field: str) -> str:
    """Give the key a technician types for a field: ``from_north`` is written ``from-north``."""
    return field.rstrip("_").replace("_", "-")


def shown(value: object) -> str:
    """Show what stands in a record: text in quotes, shortened and without control characters."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, Mapping):
        return "keys with values"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    return f"“{plain(str(value).strip())}”"


def plain(text: str) -> str:
    """Give the beginning of a text in one line, without control characters."""
    line, *more = text.split("\n", 1)
    shortened = f"{line[:_SHOWN].rstrip()}…" if more or len(line) > _SHOWN else line
    return "".join(c if c.isprintable() else "�" for c in shortened)


def did_you_mean(typed: object, known: tuple[str, ...] | list[str]) -> str:
    """Give the question after a word that is not known: “Did you mean kind?”, or nothing if none is near."""
    word = str(typed)
    if len(word) > _SHOWN:
        return ""
    same_start = [other for other in known if _first(other) == _first(word)]
    near = same_start if len(same_start) == 1 else get_close_matches(word, known, 1)
    return f"Did you mean {near[0]}?" if near else ""


def _first(words: str) -> str:
    return re.split("[ _-]", words.lower(), maxsplit=1)[0]


class Value(BaseModel):
    """A frozen part of a record that refuses keys it does not know."""

    model_config = ConfigDict(
        frozen=True,
        defer_build=True,  # the root builds all at once, when a record is read
        extra="forbid",
        alias_generator=key_of,
        populate_by_name=True,
        validate_default=False,
        hide_input_in_errors=True,
    )

    @model_validator(mode="before")
    @classmethod
    def _empty_is_absent(cls, data: Any) -> Any:
        """Take a key without a value as a key that is not there yet."""
        if not isinstance(data, dict):
            return data
        return {key: value for key, value in data.items() if value is not None}


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that keeps a record from being used, in words for the person who typed it.

    ``path`` is where in the record, ``found`` what stands there, ``expected`` what should, ``remedy`` what to
    do.
    """

    path: Path
    found: str
    expected: str
    remedy: str = ""


class Unusable(ValueError):  # noqa: N818 - reads as what it says about a value
    """A value of a record that cannot be used; carries the sentence for the technician."""

    def __init__(self, found: str, expected: str, remedy: str = "") -> None:
        super().__init__(f"{found}; expected {expected}")
        self.found, self.expected, self.remedy = found, expected, remedy

    def at(self, path: Path) -> Problem:
        """Give the same trouble with the place in the record where it stands."""
        return Problem(path, self.found, self.expected, self.remedy)


def spread_kind(data: object, kinds: tuple[str, ...], where: str) -> object:
    """Read the shorthand ``light: living`` as kind *light*, place *living*.

    Args:
        data: the mapping as typed.
        kinds: every kind that may stand as a key.
        where: the key that takes the value behind the kind.

    Raises:
        Unusable: when no kind stands among the keys, or several do.
    """
    if not isinstance(data, Mapping) or "kind" in data:
        return data
    named = [kind for kind in kinds if kind in data]
    if len(named) > 1:
        raise Unusable("several kinds: " + ", ".join(named), "one of them")
    if not named:
        near = (did_you_mean(key, kinds) for key in data)
        raise Unusable(
            "no kind among the keys", "one of " + ", ".join(kinds) + " as a key", next(filter(None, near), "")
        )
    rest = {key: value for key, value in data.items() if key != named[0]}
    if where in rest:
        raise Unusable(f"both “{named[0]}” and “{where}”", f"one of them, such as “{named[0]}: …”")
    return {"kind": named[0], where: data[named[0]], **rest}


def kinds_as_keys(written: dict[str, Any], kinds: tuple[str, ...], where: str) -> dict[str, Any]:
    """Say in a schema that the kind may stand as a key in front of the place; see :func:`spread_kind`."""
    place = written["properties"][where]
    required = written.get("required", [])
    written["required"] = [name for name in required if name not in ("kind", where)]
    for kind in kinds:
        written["properties"][kind] = {**place, "title": kind}
    long_form = {"required": [name for name in ("kind", where) if name in required]}
    short_forms = [{"required": [kind], "not": {"required": [where]}} for kind in kinds]
    written["oneOf"] = [long_form, *short_forms]
    return written
