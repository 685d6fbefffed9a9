"""The JSON Schema of a record, for completion and checking while typing."""

import json
from typing import Any

from asfitted.model.home import Home

SCHEMA_NAME = "record.schema.json"
FIRST_LINE = f"# yaml-language-server: $schema=../{SCHEMA_NAME}"
"""The first line of a record; many editors read it and fetch the schema beside the homes."""


def record_schema() -> str:
    """Give the JSON Schema (draft 2020-12) of a record as text."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Home.model_json_schema(by_alias=True, mode="validation"),
        "title": "Install record of a home",
    }
    _as_read(schema)
    return json.dumps(schema, indent=2, ensure_ascii=False, sort_keys=True) + "\n"


def _as_read(part: Any) -> None:
    """Bring a schema in line with the reader, all the way down.

    A key that may be absent may stand without a value, and a mapping by tag or room takes no other keys.
    """
    if isinstance(part, list):
        for item in part:
            _as_read(item)
    if not isinstance(part, dict):
        return
    for item in part.values():
        _as_read(item)
    if "patternProperties" in part:
        part["additionalProperties"] = False
    if isinstance(part.get("properties"), dict):
        required = part.get("required", [])
        part["properties"] = {
            key: value if key in required else _or_nothing(value) for key, value in part["properties"].items()
        }


def _or_nothing(value: dict[str, Any]) -> dict[str, Any]:
    nothing = {"type": "null"}
    if nothing in value.get("anyOf", ()):
        return value
    told = {key: part for key, part in value.items() if key in ("default", "description", "title")}
    return {"anyOf": [{key: part for key, part in value.items() if key not in told}, nothing], **told}
