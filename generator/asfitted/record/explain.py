"""What the model says of a record, in words for the technician."""

from collections.abc import Iterator, Mapping
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from asfitted.model.base import Path, Problem, Unusable, Value, did_you_mean, shown
from asfitted.model.words import FITTING_KINDS, OPENING_KINDS

_PLAIN = {
    "model_type": "keys with values",
    "model_attributes_type": "keys with values",
    "dict_type": "keys with values",
    "tuple_type": "a list",
    "too_short": "at least {min_length} in the list",
    "too_long": "at most {max_length} in the list",
    "string_type": "words",
}
"""What was expected, by the kind of error that pydantic names."""

_VALUE_FOR = "a value for"
_KINDS = (*OPENING_KINDS, *FITTING_KINDS)


def explain(error: ValidationError, data: object, model: type[Value]) -> list[tuple[Problem, bool]]:
    """Turn what pydantic found into problems.

    Returns:
        Each problem, and whether it is about the key rather than the value. Where a value could be one of
        several things and is none of them, the problems are joined into one.
    """
    found: dict[tuple[Path, bool], Problem] = {}
    for detail in error.errors(include_url=False):
        problem, about_key = _problem(detail, data, model)
        earlier = found.get((problem.path, about_key))
        if _only_follows(detail, problem, data):
            continue
        if earlier and problem.expected not in earlier.expected:
            expected = f"{earlier.expected}, or {problem.expected}"
            problem = Problem(problem.path, earlier.found, expected, earlier.remedy or problem.remedy)
        elif earlier:
            problem = earlier
        found[problem.path, about_key] = problem
    slips = {(problem.path[:-1], problem.remedy) for problem in found.values()}
    return [
        (problem, about_key)
        for (path, about_key), problem in found.items()
        if not problem.expected.startswith(_VALUE_FOR) or (path[:-1], f"Did you mean {path[-1]}?") not in slips
    ]


def _only_follows(detail: ErrorDetails, problem: Problem, data: object) -> bool:
    """Tell whether a list is called too short only because something in it is wrong, which is told anyway."""
    if detail["type"] != "too_short":
        return False
    least: int = detail["ctx"]["min_length"]
    return len(_existing(problem.path, data)[1]) >= least


def _problem(detail: ErrorDetails, data: object, model: type[Value]) -> tuple[Problem, bool]:
    path = tuple(part for part in detail["loc"] if part != "[key]")
    there, typed = _existing(path, data)
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "extra_forbidden":
        known = _keys_at(model, path[:-1])
        near = did_you_mean(path[-1], known)
        expected = "a key of this part of the record" if near else _one_of(known)
        return Problem(path, f"the unknown key {shown(path[-1])}", expected, near), True
    if kind == "missing" and isinstance(path[-1], int):
        return Problem(there, shown(typed), f"a list of {path[-1] + 1}"), False
    if kind == "missing":
        return Problem(path, "nothing", f"{_VALUE_FOR} “{path[-1]}”"), False
    reason = context.get("error")
    if isinstance(reason, Unusable):
        return reason.at(there), "[key]" in detail["loc"]
    if kind == "literal_error":
        words = str(context["expected"]).replace("'", "").replace(" or ", ", ").split(", ")
        return Problem(there, shown(typed), _one_of(words), did_you_mean(typed, words)), False
    expected = _PLAIN.get(kind, detail["msg"][:1].lower() + detail["msg"][1:])
    return Problem(there, shown(typed), expected.format(**context) if kind in _PLAIN else expected), False


def _one_of(words: list[str]) -> str:
    return "one of " + ", ".join(words) if len(words) > 1 else words[0]


def _existing(path: Path, data: Any) -> tuple[Path, Any]:
    """Follow a path as far as the data go, and give what stands there.

    What pydantic adds behind (the arm of a union) is no part of the record; and the place behind a kind that
    was written as a key stands at that key.
    """
    there: list[str | int] = []
    for part in path:
        if isinstance(data, Mapping) and part in ("in", "where") and part not in data:
            part = next((kind for kind in _KINDS if kind in data), part)  # noqa: PLW2901
        inside = isinstance(data, Mapping) and part in data
        if not inside and not (isinstance(data, list) and isinstance(part, int) and part < len(data)):
            break
        data = data[part]
        there.append(part)
    return tuple(there), data


def _keys_at(model: type[Value], path: Path) -> list[str]:
    return sorted({key for found in _models(model, path) for key in _keys_of(found)})


@cache
def _keys_of(model: type[BaseModel]) -> frozenset[str]:
    """Give the keys of a model as its schema shows them, so with the kinds that may stand as keys."""
    schema = model.model_json_schema(by_alias=True)
    shape = schema.get("$defs", {}).get(schema.get("$ref", "").rpartition("/")[2], schema)
    shape = next((arm for arm in shape.get("anyOf", ()) if "properties" in arm), shape)
    return frozenset(shape.get("properties", {}))


def _models(annotation: Any, path: Path) -> Iterator[type[BaseModel]]:
    """Give the models that may stand at a path below an annotation."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _models(get_args(annotation)[0], path)
    elif origin in (Union, UnionType):
        for arm in get_args(annotation):
            yield from _models(arm, path)
    elif origin is tuple and path:
        yield from _models(get_args(annotation)[0], path[1:])
    elif origin is dict and path:
        yield from _models(get_args(annotation)[1], path[1:])
    elif isinstance(annotation, type) and issubclass(annotation, BaseModel):
        if not path:
            yield annotation
        for field in annotation.model_fields.values():
            if path and field.alias == path[0]:
                yield from _models(field.annotation, path[1:])
