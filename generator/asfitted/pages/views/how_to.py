"""How a household tests, cleans and keeps what it has: the steps for the kinds of device in this home."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from asfitted.language import say
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.devices import DeviceCard, was_shown
from asfitted.pages.wording import KindWords, as_shown, told, toml_data
from asfitted.upkeep.intervals import intervals
from asfitted.upkeep.task import Interval


@dataclass(frozen=True, slots=True)
class KindTest:
    """How one kind of device is tested: its steps, how often, which devices, and the first day one is due.

    ``interval`` is None where the household has no test of its own to make.
    """

    words: KindWords
    steps: tuple[str, ...]
    cards: tuple[DeviceCard, ...]
    interval: Interval | None
    due: date | None
    avoid: str

    @property
    def anchor(self) -> str:
        """The id of its steps on the page."""
        return f"test-{self.words.name.replace(' ', '-')}"


@dataclass(frozen=True, slots=True)
class HowTo:
    """What the page on looking after the alarms shows; ``rests_on`` names what the intervals rest on."""

    first: tuple[str, ...]
    tests: tuple[KindTest, ...]
    clean: tuple[Mapping[str, Any], ...]
    clean_due: date | None
    battery_steps: tuple[str, ...]
    sealed: str
    never: str
    rests_on: tuple[Interval, ...]


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the trade, what it means, and the id it has on its page, which is that of the English word."""

    word: str
    means: str
    anchor: str


def how_to(dossier: Dossier, cards: Sequence[DeviceCard]) -> HowTo:
    """Build the page from the kinds of device in the home, in the order in which its rooms show them."""
    data, families = toml_data("howto"), {card.words.family for card in cards}
    shown = was_shown(dossier)
    tests = tuple(_test(kind, [card for card in cards if card.words is kind], shown=shown) for kind in _kinds(cards))
    used = {task.interval.id: intervals()[task.interval.id] for task in dossier.tasks if task.tag}
    cleaning = (task.due for task in dossier.tasks if "cleaned" in task.interval.done_by)
    return HowTo(
        first=_said(data["first"]),
        tests=tests,
        clean=tuple(
            {"title": say(part["title"]), "steps": _said(part["steps"])}
            for part in data["clean"]
            if families & set(part["families"])
        ),
        clean_due=min(cleaning, default=None),
        battery_steps=_said(data["batteries"]["steps"]),
        sealed=say(data["batteries"]["sealed"]),
        never=say(data["false-alarms"]["always"]),
        rests_on=tuple(told(interval) for interval in used.values() if interval.who == "household"),
    )


def words(cards: Sequence[DeviceCard]) -> tuple[Word, ...]:
    """Give the words of the trade that the pages of a home use, in alphabetical order."""
    families = {card.words.family for card in cards}
    found = (
        Word(say(entry["word"]), say(entry["means"]), _anchor(entry["word"]))
        for entry in toml_data("words")["word"]
        if "families" not in entry or families & set(entry["families"])
    )
    return tuple(sorted(found, key=lambda entry: entry.word.casefold()))


def _anchor(word: str) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in word.lower()).strip("-")


def _said(lines: Iterable[str]) -> tuple[str, ...]:
    return tuple(say(line) for line in lines)


def _kinds(cards: Iterable[DeviceCard]) -> list[KindWords]:
    """Give the kinds present, alarms of fire and gas in front."""
    found = list({id(card.words): card.words for card in cards}.values())
    return sorted(found, key=lambda kind: kind.family not in ("fire", "gas"))


def _test(kind: KindWords, cards: Sequence[DeviceCard], *, shown: bool) -> KindTest:
    own = (each for each in intervals().values() if each.tested_by and each.who == "household")
    return KindTest(
        kind,
        max((card.steps for card in cards), key=len),
        tuple(cards),
        next((interval for interval in own if kind.name in interval.applies_to), None),
        min((card.test_due for card in cards if card.test_due), default=None),
        as_shown(kind.avoid, shown=shown),
    )
