"""The plain words a household reads: kinds of device, places, results, spans of time."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.model.device import Battery
from asfitted.model.visit import Test
from asfitted.model.words import DEVICE_KINDS, DeviceKind, VisitKind

_SPANS = ((31_557_600, "year"), (2_629_800, "month"), (86_400, "day"), (3_600, "hour"), (60, "minute"), (1, "second"))
_SHOWN = re.compile(r"(,?) as you were shown(,?)")
_FIXED = {"ceiling": "On the ceiling", "wall": "On the wall", "corner": "In a corner", "floor": "On the floor"}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True, slots=True)
class KindWords:
    """What a household reads about one kind of device."""

    name: DeviceKind
    family: str
    does: str
    test: tuple[str, ...]
    sound: str
    care: str
    linked: str = ""

    @property
    def plural(self) -> str:
        """The name of several."""
        return f"{self.name}s"


@cache
def kinds() -> Mapping[DeviceKind, KindWords]:
    """Give the words of every kind of device."""
    data = _data("kinds")
    return {kind: KindWords(**{**data[kind], "name": kind, "test": tuple(data[kind]["test"])}) for kind in DEVICE_KINDS}


@cache
def results() -> Mapping[str, Mapping[str, str]]:
    """Give the words of every test result, by field and by what it read."""
    tests: Mapping[str, Mapping[str, str]] = _data("results")["test"]
    return tests


@cache
def _data(name: str) -> dict[str, Any]:
    return tomllib.loads((files("asfitted.pages") / "data" / f"{name}.toml").read_text(encoding="utf-8"))


def as_shown(text: str, *, shown: bool) -> str:
    """Give an instruction to a household; one that nobody has shown how is told to ask instead."""
    return (
        text if shown else _SHOWN.sub(lambda found: " (ask your installer how)" + ("" if found[1] else found[2]), text)
    )


def number(count: int) -> str:
    """Give a count in words up to twelve, then in figures."""
    return _NUMBERS[count] if 0 <= count < len(_NUMBERS) else str(count)


def counted(count: int, one: str, many: str) -> str:
    """Give a count with its noun: one smoke alarm, three smoke alarms."""
    return f"{number(count)} {one if count == 1 else many}"


def listed(words: Iterable[str]) -> str:
    """Join words as a sentence does: a, b and c."""
    *rest, last = [*words] or [""]
    return f"{', '.join(rest)} and {last}" if rest else last


def sentence(words: str) -> str:
    """Give words a capital letter."""
    return words[:1].upper() + words[1:]


def span(seconds: float) -> str:
    """Give a span of time in its largest whole unit: 8 seconds, 12 hours, 10 years."""
    for size, name in _SPANS:
        count = round(seconds / size, 1)
        if count >= 1 and (count == int(count) or size == 1):
            return f"{count:g} {name}" + ("" if count == 1 else "s")
    return f"{seconds:g} seconds"


def room_words(dwelling: Dwelling, room: str) -> str:
    """Give the room as the household calls it, with the storey where the home has several."""
    shape = dwelling.rooms[room]
    if len(dwelling.storeys) == 1:
        return shape.room.called
    return f"{shape.room.called}, {dwelling.storey(shape.storey).storey.called}"


def place_words(dwelling: Dwelling, spot: Spot) -> str:
    """Give where a device is, so that someone standing in the room finds it."""
    room = room_words(dwelling, spot.room)
    if spot.fixed == "opening" and spot.opening:
        return f"On the {spot.opening.opening.called}, {room}"
    if spot.fixed == "outside":
        side = f"{spot.wall.side} " if spot.wall else ""
        return f"Outside, on the {side}wall of the {room}"
    if spot.fixed == "wall" and spot.wall:
        return f"On the {spot.wall.side} wall of the {room}"
    return f"{_FIXED.get(spot.fixed, 'In')} {'of the ' if spot.fixed in _FIXED else 'the '}{room}"


def battery_words(battery: Battery | None) -> str:
    """Give the battery in plain words, or nothing where the record does not say."""
    if battery is None:
        return ""
    life = f", said to last {span(battery.life)}" if battery.life else ""
    if battery.sealed:
        return f"Sealed in for life{life}; never to be changed"
    return f"{sentence(battery.type)}{life}"


def result_words(test: Test) -> list[str]:
    """Give what a test showed, one plain clause a result, in the order of the record format."""
    said = []
    for field, words in results().items():
        value = getattr(test, field, None)
        if value is None:
            continue
        if "given" in words:
            said.append(words["given"].format(value=span(value)))
        else:
            key = {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
            said += [words[key]] if key in words else []
    return said


def visit_words(kind: VisitKind) -> str:
    """Give what a visit was for."""
    return str(_data("results")["visit"][kind])
