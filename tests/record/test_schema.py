"""The published JSON Schema against the reader: what one takes, the other takes."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from asfitted.record.schema import FIRST_LINE, SCHEMA_NAME, record_schema

HERE = Path(__file__).parent
SCHEMA = json.loads(record_schema())
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


class Loader(yaml.SafeLoader):
    """A plain YAML reader that takes words and dates as an editor does: a key “on” is no truth value."""


Loader.yaml_implicit_resolvers = {
    letter: [(tag, pattern) for tag, pattern in resolvers if not tag.endswith((":timestamp", ":bool"))]
    for letter, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def parsed(file: Path) -> Any:
    text = file.read_text(encoding="utf-8")
    return yaml.load(text, Loader)  # noqa: S506 - a safe loader with fewer types


def test_schema_is_valid_draft_2020_12() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_schema_text_is_the_same_every_time() -> None:
    assert record_schema() == record_schema()
    assert record_schema().endswith("}\n")


def test_first_line_of_a_record_names_the_schema() -> None:
    assert FIRST_LINE.endswith(SCHEMA_NAME)
    assert FIRST_LINE.startswith("# yaml-language-server: $schema=")


@pytest.mark.parametrize("file", sorted((HERE / "good").glob("*.yml")), ids=lambda file: file.stem)
def test_every_good_record_validates(file: Path) -> None:
    assert [f"{error.json_path}: {error.message}" for error in VALIDATOR.iter_errors(parsed(file))] == []


BAD_FOR_THE_SCHEMA = [
    "all_at_once",
    "date_order",
    "id_spaces",
    "kind_twice",
    "length_negative",
    "length_no",
    "length_millimetres",
    "missing_home",
    "missing_many",
    "photo_elsewhere",
    "photo_kind_of_file",
    "photo_many",
    "photo_no_list",
    "tag_lower_case",
    "text_empty",
    "two_kinds",
    "type_count",
    "type_device",
    "type_devices",
    "type_home",
    "type_no_rooms",
    "type_reading",
    "type_room",
    "type_rooms",
    "type_size_long",
    "type_size_one_number",
    "type_size_short",
    "type_storeys",
    "type_version",
    "type_yes_no",
    "unknown_far_off",
    "unknown_fitting_kind",
    "unknown_in_battery",
    "unknown_in_ceiling",
    "unknown_in_device",
    "unknown_in_fitting",
    "unknown_in_home",
    "unknown_in_opening",
    "unknown_in_reading",
    "unknown_in_room",
    "unknown_opening_kind",
    "unknown_top_level",
    "unknown_underscore",
    "unknown_words",
    "ceiling_two_shapes",
    "ceiling_none",
    "room_walk_legs",
    "room_walk_short",
]


@pytest.mark.parametrize("name", BAD_FOR_THE_SCHEMA)
def test_typical_bad_record_does_not_validate(name: str) -> None:
    assert not VALIDATOR.is_valid(parsed(HERE / "bad" / f"{name}.yml"))


def shapes() -> list[tuple[str, dict[str, Any]]]:
    found = [("Home", SCHEMA)]
    for name, shape in SCHEMA["$defs"].items():
        found += [(name, arm) for arm in (shape, *shape.get("anyOf", ())) if "properties" in arm]
    return found


@pytest.mark.parametrize(("name", "shape"), shapes(), ids=[name for name, _ in shapes()])
def test_editors_show_help_for_every_key(name: str, shape: dict[str, Any]) -> None:
    assert shape["additionalProperties"] is False
    bare = [key for key, value in shape["properties"].items() if not value.get("description")]
    assert bare == []


def test_kind_may_be_the_key_or_a_value() -> None:
    def valid(fitting: dict[str, Any]) -> bool:
        room = {"id": "hall", "use": "circulation", "corner": [0, 0], "size": [2, 2]}
        storey = {"id": "ground", "height": 2.4, "rooms": [room], "fittings": [fitting]}
        return VALIDATOR.is_valid({"record": 1, "home": {"label": "x"}, "storeys": [storey]})

    assert valid({"light": "hall", "from-west": 1, "from-south": 1})
    assert valid({"kind": "light", "in": "hall", "from-west": 1, "from-south": 1})
    assert not valid({"light": "hall", "kind": "light"})
    assert not valid({"light": "hall", "in": "hall"})
    assert not valid({"from-west": 1})
