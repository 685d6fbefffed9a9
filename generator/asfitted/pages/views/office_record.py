"""The record format as a technician reads it, made from its JSON Schema."""

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.model.words import FITTING_KINDS, OPENING_KINDS
from asfitted.pages.wording import sentence
from asfitted.record.schema import record_schema

_KIND_KEYS = frozenset((*FITTING_KINDS, *OPENING_KINDS))
_TAPES = ("from-north", "from-east", "from-south", "from-west")
_QUANTITY = " unless a unit is given, for example "
ROOT = "record"

Code = tuple[tuple[str, bool], ...]
"""Text in pieces, and whether each is typed as it stands."""


@dataclass(frozen=True, slots=True)
class Takes:
    """One way to write a value: words, or the part of the record that stands there."""

    words: str
    part: str = ""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a part."""

    key: str
    takes: tuple[Takes, ...]
    required: bool
    says: Code


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a record: where it stands, what it is, its keys, and a short example."""

    anchor: str
    path: tuple[str, ...]
    says: tuple[Code, ...]
    keys: tuple[Key, ...]
    example: str


@cache
def examples() -> dict[str, str]:
    """Give the example of each part by its name in the schema."""
    text = (files("asfitted.pages") / "data" / "examples.toml").read_text(encoding="utf-8")
    return {str(name): str(example).strip("\n") for name, example in tomllib.loads(text).items()}


def record_parts() -> tuple[Part, ...]:
    """Give every part of a record, each after the part it stands in."""
    schema = json.loads(record_schema())
    definitions = {"Home": schema, **schema["$defs"]}
    paths: dict[str, tuple[str, ...]] = {"Home": ()}
    _walk(schema, (), definitions, paths)
    reader = _Reader(paths, _quantities(schema))
    return tuple(_part(name, path, definitions[name], reader) for name, path in paths.items())


def _walk(
    part: dict[str, Any], path: tuple[str, ...], known: Mapping[str, Any], paths: dict[str, tuple[str, ...]]
) -> None:
    for key, value in _keys(part):
        for name in _references(value):
            if name not in paths:
                paths[name] = (*path, key)
                _walk(known[name], (*path, key), known, paths)


def _mapping(part: dict[str, Any]) -> dict[str, Any]:
    """Give the form of a part that has keys, where it may be written in words as well."""
    return next((form for form in (part, *part.get("anyOf", [])) if "properties" in form), part)


def _keys(part: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Give the keys of a part, what must be there first. A kind that may stand as a key is told under ``kind``."""
    form = _mapping(part)
    required = form.get("required", [])
    keys = [(key, value) for key, value in form["properties"].items() if key not in _KIND_KEYS]
    return sorted(keys, key=lambda item: (item[0] != "kind", item[0] not in required, item[0] != "id"))


def _references(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        if "$ref" in value:
            yield _name(value["$ref"])
        for inner in value.values():
            yield from _references(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _references(inner)


def _quantities(value: object) -> dict[tuple[float, float], str]:
    """Find how each quantity is written, by the least and the most it may be."""
    found: dict[tuple[float, float], str] = {}
    if isinstance(value, dict):
        if _QUANTITY in str(value.get("description", "")) and "anyOf" in value:
            unit, _, example = value["description"].partition(_QUANTITY)
            found[_range(value)] = f"{unit.removeprefix('in ')}, such as {example}"
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            found |= _quantities(inner)
    return found


def _range(value: dict[str, Any]) -> tuple[float, float]:
    number = value["anyOf"][0]
    return number.get("minimum", 0.0), number.get("maximum", 0.0)


def _name(reference: str) -> str:
    return reference.rpartition("/")[2]


def _part(name: str, path: tuple[str, ...], schema: dict[str, Any], reader: "_Reader") -> Part:
    form = _mapping(schema)
    says = form.get("description") or schema.get("description", "")
    required = [*form.get("required", []), *(["kind"] if "oneOf" in form else [])]
    keys = [(key, value) for key, value in _keys(schema) if key not in _TAPES[1:]]
    return Part(
        anchor=anchor_of(path),
        path=path,
        says=tuple(_code(" ".join(lines.split())) for lines in says.split("\n\n") if lines),
        keys=tuple(
            Key(
                ", ".join(_TAPES) if key in _TAPES else key,
                tuple(dict.fromkeys(reader.ways(value))),
                key in required,
                _code(sentence(value.get("description", "")).replace("on the north side", "on that side")),
            )
            for key, value in keys
        ),
        example=examples().get(name, ""),
    )


def anchor_of(path: tuple[str, ...]) -> str:
    """Give the id of the section of a part."""
    return "-".join(path) or ROOT


def _code(text: str) -> Code:
    """Part text at double backticks: what stands between them is typed as it is."""
    return tuple((piece, bool(number % 2)) for number, piece in enumerate(text.split("``")) if piece)


@dataclass(frozen=True)
class _Reader:
    """Says in words what a key takes, given where each part stands and how each quantity is written."""

    paths: Mapping[str, tuple[str, ...]]
    quantities: Mapping[tuple[float, float], str]

    def ways(self, value: dict[str, Any]) -> Iterator[Takes]:
        """Give every way to write a value."""
        if "$ref" in value:
            path = self.paths[_name(value["$ref"])]
            yield Takes(" \N{SINGLE RIGHT-POINTING ANGLE QUOTATION MARK} ".join(path), anchor_of(path))
        elif "anyOf" in value and _range(value) in self.quantities:
            yield Takes(self.quantities[_range(value)])
        elif "anyOf" in value:
            for way in value["anyOf"]:
                yield from self.ways(way) if way.get("type") != "null" else ()
        elif "const" in value:
            yield Takes(f"always {value['const']}")
        elif "enum" in value:
            yes_no = True in value["enum"]
            yield Takes("yes or no" if yes_no else "one of: " + ", ".join(map(str, value["enum"])))
        elif value.get("type") == "array":
            yield from self._list(value)
        elif value.get("type") == "object":
            yield from self._by_key(value)
        else:
            yield Takes(_word(value))

    def _list(self, value: dict[str, Any]) -> Iterator[Takes]:
        if "prefixItems" in value:
            words = "; ".join(dict.fromkeys(way.words for item in value["prefixItems"] for way in self.ways(item)))
            yield Takes(f"{len(value['prefixItems'])} in brackets: {words}")
            return
        for way in self.ways(value["items"]):
            yield Takes(f"a list; each {_as_in(way)}", way.part)

    def _by_key(self, value: dict[str, Any]) -> Iterator[Takes]:
        for pattern, inner in value.get("patternProperties", {"": value.get("additionalProperties")}).items():
            by = "tag" if "A-Z" in pattern else "room"
            for way in self.ways(inner):
                yield Takes(f"by {by}; each {_as_in(way)}", way.part)


def _as_in(way: Takes) -> str:
    return f"as in {way.words}" if way.part else way.words


def _word(value: dict[str, Any]) -> str:
    """Name a single value by the pattern that sets it apart."""
    pattern = value.get("pattern", "")
    if value.get("type") == "integer":
        return f"a whole number from {value['minimum']} to {value['maximum']}"
    if value.get("format") == "date":
        return "a day, such as 2026-03-04"
    if pattern.startswith("^[0-9]{4}"):
        return "a month or a day, such as 2026-03"
    if pattern.startswith("^[A-Z]"):
        return "a tag, such as SA1"
    if pattern.startswith("^photos/"):
        return "a file beside the record, such as photos/sa1.jpg"
    if pattern.startswith("^[a-z]"):
        return "lower-case words joined by hyphens"
    if value.get("examples"):
        return "in words, such as " + "; ".join(map(str, value["examples"]))
    return "words"
