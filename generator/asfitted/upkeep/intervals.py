"""The kinds of task as data: read from ``data/intervals.toml`` into values, and checked."""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, get_args

from asfitted.model.base import key_of
from asfitted.model.visit import Test
from asfitted.model.words import DEVICE_KINDS, VisitKind
from asfitted.upkeep.task import CountsFrom, Interval, Leeway, Who

SYSTEM = "system"

_WORDS: Mapping[str, frozenset[str]] = {
    "who": frozenset(get_args(Who)),
    "applies_to": frozenset({*DEVICE_KINDS, SYSTEM}),
    "status": frozenset({"read", "from memory", "common practice", "from the record"}),
    "window_status": frozenset({"read", "from memory", "common practice"}),
    "counts_from": frozenset(get_args(CountsFrom)),
    "tested_by": frozenset(Test.model_fields),
    "done_by": frozenset(Test.model_fields),
    "done_on": frozenset(get_args(VisitKind)),
}


@cache
def intervals() -> Mapping[str, Interval]:
    """Give every kind of task by its id, in the order of the data.

    Raises:
        ValueError: when the data hold a word or a figure that cannot be right.
    """
    return read_intervals((files("asfitted.upkeep") / "data" / "intervals.toml").read_text(encoding="utf-8"))


def read_intervals(text: str) -> Mapping[str, Interval]:
    """Read kinds of task from TOML.

    Raises:
        ValueError: as :func:`intervals`.
    """
    return {name: _interval(name, entry) for name, entry in tomllib.loads(text).items()}


def _interval(name: str, entry: Mapping[str, Any]) -> Interval:
    values: dict[str, Any] = {
        key.replace("-", "_"): tuple(value) if isinstance(value, list) else value for key, value in entry.items()
    }
    for field in ("tested_by", "done_by"):  # in the data as in the record, with hyphens
        values[field] = tuple(str(reading).replace("-", "_") for reading in values.get(field, ()))
    for field in ("early", "late"):
        values[field] = _leeway(name, field, values.get(field, ""))
    try:
        interval = Interval(id=name, **values)
    except TypeError as error:
        raise ValueError(f"{name}: {error}") from None
    for field, words in _WORDS.items():
        value = getattr(interval, field)
        for word in value if isinstance(value, tuple) else (value,):
            if word not in words:
                raise ValueError(f"{name}: {key_of(field)} cannot be {word!r}")
    _figures(name, interval)
    if not (interval.title and interval.how and interval.source and interval.applies_to):
        raise ValueError(f"{name}: title, how, source and applies-to may not be empty")
    return interval


def _figures(name: str, interval: Interval) -> None:
    """Refuse figures that cannot be right."""
    if min(interval.months, interval.weeks, interval.life_months) < 0 or (interval.months and interval.weeks):
        raise ValueError(f"{name}: give months or weeks, not both and none below 0")
    if interval.months and interval.early.months * 31 + interval.early.days >= interval.months * 28:
        raise ValueError(f"{name}: early may not reach back to the day it was last done")
    if not interval.window_source:
        raise ValueError(f"{name}: early and late need a window-source")


def _leeway(name: str, field: str, written: str) -> Leeway:
    """Read "3 months", "14 days" or "none"."""
    if written == "none":
        return Leeway()
    found = re.fullmatch(r"([1-9]\d*) (month|day)s?", written)
    if found is None:
        raise ValueError(f"{name}: {field} cannot be {written!r}; write it as 3 months, 14 days or none")
    return Leeway(**{f"{found[2]}s": int(found[1])})
