"""The plain words a household reads: kinds of device, places, results, spans of time."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.language import plain_figure, say, say_many, spoken, to_say
from asfitted.model.device import Battery
from asfitted.model.visit import Test
from asfitted.model.words import DEVICE_KINDS, DeviceKind, VisitKind
from asfitted.upkeep.task import Interval

_SPANS = ((31_557_600, "year"), (2_629_800, "month"), (86_400, "day"), (3_600, "hour"), (60, "minute"), (1, "second"))
_FIXED: Mapping[str, str] = {
    "ceiling": to_say("On the ceiling of the {room}"),
    "wall": to_say("On the wall of the {room}"),
    "corner": to_say("In a corner of the {room}"),
    "floor": to_say("On the floor of the {room}"),
}
_SOMEWHERE = to_say("In the {room}")
_SHOWN = re.compile(r"(,?) as you were shown(,?)")
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True, slots=True)
class KindWords:
    """What a household reads about one kind of device.

    ``test``, ``linked`` and ``avoid`` are in English, for :func:`as_shown` to say.
    """

    name: DeviceKind
    family: str
    does: str
    test: tuple[str, ...]
    sound: str
    care: str
    light: str
    avoid: str
    linked: str = ""

    @property
    def called(self) -> str:
        """The name in the household's language."""
        return say(self.name)

    @property
    def plural(self) -> str:
        """The name of several, in English."""
        return f"{self.name}s"


def kinds() -> Mapping[DeviceKind, KindWords]:
    """Give the words of every kind of device."""
    return _kinds(spoken().code)


@cache
def _kinds(language: str) -> Mapping[DeviceKind, KindWords]:  # noqa: ARG001 - what was said is kept by language
    data = toml_data("kinds")
    said = ("does", "sound", "care", "light")
    return {
        kind: KindWords(
            **{**data[kind], **{field: say(data[kind][field]) for field in said}},
            name=kind,
        )
        for kind in DEVICE_KINDS
    }


def results() -> Mapping[str, Mapping[str, str]]:
    """Give the words of every test result, by field and by what it read, in English."""
    tests: Mapping[str, Mapping[str, str]] = toml_data("results")["test"]
    return tests


@cache
def toml_data(name: str) -> dict[str, Any]:
    """Give the words of a file of ``pages/data``, in English, with tuples for lists."""
    data = tomllib.loads((files("asfitted.pages") / "data" / f"{name}.toml").read_text(encoding="utf-8"))
    return {key: _frozen(value) for key, value in data.items()}


def _frozen(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _frozen(part) for key, part in value.items()}
    return tuple(_frozen(part) for part in value) if isinstance(value, list) else value


def as_shown(text: str, *, shown: bool) -> str:
    """Say an instruction to a household; one that nobody has shown how is told to ask instead."""
    return say(text if shown else not_shown(text))


def not_shown(text: str) -> str:
    """Turn an English instruction into that for a household that has been shown nothing yet."""
    return _SHOWN.sub(lambda found: " (ask your installer how)" + ("" if found[1] else found[2]), text)


def told(interval: Interval, *, shown: bool = True) -> Interval:
    """Give a kind of task with its words in the household's language."""
    how = as_shown(interval.how, shown=shown)
    return replace(interval, title=say(interval.title), how=how, source=say(interval.source))


def number(count: int) -> str:
    """Give a count in words up to twelve, then in figures; in figures in a language whose numbers bend."""
    return _NUMBERS[count] if spoken().code == "en" and 0 <= count < len(_NUMBERS) else str(count)


def counted(count: int, one: str, many: str) -> str:
    """Give a count with its noun: one smoke alarm, three smoke alarms."""
    return f"{number(count)} {say_many(one, many, count)}"


def listed(words: Iterable[str]) -> str:
    """Join words as a sentence does: a, b and c."""
    *rest, last = [*words] or [""]
    return say("{first} and {last}", first=", ".join(rest), last=last) if rest else last


def sentence(words: str) -> str:
    """Give words a capital letter."""
    return words[:1].upper() + words[1:]


def span(seconds: float) -> str:
    """Give a span of time in its largest whole unit: 8 seconds, 12 hours, 10 years."""
    for size, name in _SPANS:
        count = round(seconds / size, 1)
        if count >= 1 and (count == int(count) or size == 1):
            return f"{plain_figure(count)} {_unit(name, count)}"
    return f"{plain_figure(seconds)} {_unit('second', seconds)}"


def _unit(name: str, count: float) -> str:
    many = 1 if count == 1 else 2
    said = {
        "year": say_many("year", "years", many),
        "month": say_many("month", "months", many),
        "day": say_many("day", "days", many),
        "hour": say_many("hour", "hours", many),
        "minute": say_many("minute", "minutes", many),
        "second": say_many("second", "seconds", many),
    }
    return said[name]


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
        return say("On the {opening}, {room}", opening=spot.opening.opening.called, room=room)
    if spot.fixed == "outside" and spot.wall:
        return say("Outside, on the {side} wall of the {room}", side=say(spot.wall.side), room=room)
    if spot.fixed == "outside":
        return say("Outside, on the wall of the {room}", room=room)
    if spot.fixed == "wall" and spot.wall:
        return say("On the {side} wall of the {room}", side=say(spot.wall.side), room=room)
    return say(_FIXED.get(spot.fixed, _SOMEWHERE), room=room)


def battery_words(battery: Battery | None) -> str:
    """Give the battery in plain words, or nothing where the record does not say."""
    if battery is None:
        return ""
    life = span(battery.life) if battery.life else ""
    if battery.sealed and life:
        return say("Sealed in for life, said to last {span}; never to be changed", span=life)
    if battery.sealed:
        return say("Sealed in for life; never to be changed")
    kind = sentence(battery.type)
    return say("{type}, said to last {span}", type=kind, span=life) if life else kind


def result_words(test: Test) -> list[str]:
    """Give what a test showed, one plain clause a result, in the order of the record format."""
    said = []
    for field, words in results().items():
        value = getattr(test, field, None)
        if value is None:
            continue
        if "given" in words:
            said.append(say(words["given"], value=span(value)))
        else:
            key = {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
            said += [say(words[key])] if key in words else []
    return said


def visit_words(kind: VisitKind) -> str:
    """Give what a visit was for."""
    return say(toml_data("results")["visit"][kind])
