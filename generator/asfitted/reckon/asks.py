"""What to measure at a home in place of what its calculations assume, and where in the record each figure goes."""

import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from asfitted.reckon.of_home import Reckoned
from asfitted.reckon.sums import TOPICS, Topic, sums_of


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing to measure, look up or record.

    Attributes:
        says: what to do, one sentence.
        record: where in the record it goes, with the places of the record by name; empty where the sentence tells.
        topics: the calculations that would rest on it.
        tags: the devices it is about, in the order of the results; empty where it is about the home or the system.
        results: what the calculations are about, in words.
    """

    says: str
    record: str
    topics: tuple[Topic, ...]
    tags: tuple[str, ...]
    results: tuple[str, ...]


def asks_of(known: Reckoned, topics: Iterable[Topic] = TOPICS) -> tuple[Ask, ...]:
    """Give what to measure at a home for calculations that rest on what is known, each thing once.

    Args:
        known: the calculations of the home.
        topics: of which to tell.
    """
    found: dict[str, list[_Row]] = {}
    for topic in topics:
        for row in (*_of_inputs(known, topic), *_of_gaps(known, topic)):
            found.setdefault(row.says, []).append(row)
    return tuple(_ask(says, rows) for says, rows in found.items())


@dataclass(frozen=True, slots=True)
class _Row:
    """One assumed input: what to do instead, and what it is for."""

    says: str
    record: str
    topic: Topic
    tag: str
    about: str


def _ask(says: str, rows: Iterable[_Row]) -> Ask:
    tags = tuple(dict.fromkeys(row.tag for row in rows if row.tag))
    record = "; ".join(dict.fromkeys(row.record for row in rows if row.record))
    return Ask(
        says,
        record.replace("{tag}", tags[0] if len(tags) == 1 else "TAG"),
        tuple(dict.fromkeys(row.topic for row in rows)),
        tags,
        tuple(dict.fromkeys(row.about for row in rows)),
    )


def _of_inputs(known: Reckoned, topic: Topic) -> Iterator[_Row]:
    for one in sums_of(known, topic):
        if one.reading is not None and topic in ("radio", "sound"):
            continue  # the reading stands in place of the prediction
        if topic == "sound" and not one.tag:
            continue  # a sum of levels, of which each asks for itself
        for given in one.working.assumed:
            if given.ask:
                yield _Row(given.ask, record_of(topic, given.symbol), topic, one.tag, one.about)


def record_of(topic: Topic, symbol: str) -> str:
    """Give where in the record an input of a topic goes, with ``{tag}`` for the device; empty where none is known."""
    places = _places()[topic]
    return places.get(symbol) or places.get(re.sub(r"\d+\Z", "#", re.sub(r"(?<=_).*", "", symbol)), "")


@cache
def _places() -> dict[str, dict[str, str]]:
    text = (files("asfitted.reckon") / "data" / "asks.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _of_gaps(known: Reckoned, topic: Topic) -> Iterator[_Row]:
    """Give what has to be recorded before anything can be reckoned of a device."""
    for tag in _without_place(known, topic):
        yield _Row("Measure where it is, and record its place.", "devices, {tag}", topic, tag, tag)
    if topic == "sun" and known.sun.ask:
        yield _Row(known.sun.ask, "home, place", topic, "", "direct sun on every motion detector")
    if topic == "power":
        for unit in known.power.standby:
            asked = {given.ask for given in unit.inputs.values()}
            for says in unit.ask:
                if says not in asked:
                    yield _Row(says, "devices, {tag}", topic, unit.tag, f"{unit.tag}, standby")
        for tag in known.power.unknown:
            says = "Read which battery is in it, and record battery."
            yield _Row(says, "devices, {tag}, battery", topic, tag, f"{tag}, battery")


def _without_place(known: Reckoned, topic: Topic) -> Iterable[str]:
    if topic == "coverage":
        return known.coverage.without_place
    if topic == "alarm-field":
        return dict.fromkeys(tag for room in known.field for tag in room.left_out)
    if topic == "radio":
        return known.radio.without_place
    if topic == "sun":
        return known.sun.without_place
    return known.sound.without_place if topic == "sound" else ()
