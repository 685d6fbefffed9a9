"""What to measure at a home: every input that is assumed, by what would be measured instead and where it is recorded."""

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
    found: dict[tuple[str, str], list[tuple[Topic, str, str]]] = {}
    for topic in topics:
        for says, record, tag, about in (*_of_inputs(known, topic), *_of_gaps(known, topic)):
            found.setdefault((says, record), []).append((topic, tag, about))
    return tuple(
        Ask(
            says,
            record.format(tag=_tags(named)),
            tuple(dict.fromkeys(topic for topic, _, _ in named)),
            tuple(dict.fromkeys(tag for _, tag, _ in named if tag)),
            tuple(dict.fromkeys(about for _, _, about in named)),
        )
        for (says, record), named in found.items()
    )


def _tags(named: Iterable[tuple[Topic, str, str]]) -> str:
    tags = tuple(dict.fromkeys(tag for _, tag, _ in named if tag))
    return tags[0] if len(tags) == 1 else "each of them"


_Row = tuple[str, str, str, str]


def _of_inputs(known: Reckoned, topic: Topic) -> Iterator[_Row]:
    for one in sums_of(known, topic):
        if one.reading is not None and topic in ("radio", "sound"):
            continue  # the reading stands in place of the prediction
        for given in one.working.assumed:
            if given.ask:
                yield given.ask, record_of(topic, given.symbol), one.tag, one.about


def record_of(topic: Topic, symbol: str) -> str:
    """Give where in the record an input of a topic goes, with ``{tag}`` for the device; empty where none is known."""
    places = _places()[topic]
    return places.get(symbol) or places.get(re.sub(r"(_.*|\d+)\Z", "", symbol), "")


@cache
def _places() -> dict[str, dict[str, str]]:
    text = (files("asfitted.reckon") / "data" / "asks.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _of_gaps(known: Reckoned, topic: Topic) -> Iterator[_Row]:
    """Give what nothing can be reckoned of before it is recorded."""
    lost: tuple[str, ...] = ()
    if topic == "coverage":
        lost = known.coverage.without_place
    elif topic == "alarm-field":
        lost = tuple(dict.fromkeys(tag for room in known.field for tag in room.left_out))
    elif topic == "radio":
        lost = known.radio.without_place
    elif topic == "sun":
        lost = known.sun.without_place
        if known.sun.ask:
            yield known.sun.ask, "home, place", "", "direct sun on every motion detector"
    elif topic == "sound":
        lost = known.sound.without_place
    for tag in lost:
        yield "Measure where it is, and record its place.", "devices, {tag}", tag, tag
    if topic == "power":
        for unit in known.power.standby:
            for says in unit.ask:
                if not any(says == given.ask for given in unit.inputs.values()):
                    yield says, "devices, {tag}", unit.tag, f"{unit.tag}, standby"
        for tag in known.power.unknown:
            yield "Read which battery is in it, and record battery.", "devices, {tag}, battery", tag, f"{tag}, battery"
