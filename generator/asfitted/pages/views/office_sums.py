"""The calculation sheets of a home: what each topic comes to, what it rests on, and every working line by line."""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from asfitted.pages.dossier import Dossier
from asfitted.pages.formula import formula, notation, symbol
from asfitted.pages.quantity import quantity
from asfitted.pages.views.office_sum_plan import coverage_told, field_told, walks_told, ways_told
from asfitted.pages.views.office_sum_signals import power_told, radio_told, sound_told, sun_told
from asfitted.pages.views.office_sum_tables import Said, Table, TopicOfHome
from asfitted.reckon.asks import Ask, asks_of
from asfitted.reckon.sums import TOPICS, Sum, Topic, sums_of
from asfitted.reckon.working import Input, Step, Swing

TITLES: Mapping[Topic, str] = {
    "coverage": "Coverage of motion detectors",
    "walks": "Undetected walk",
    "alarm-field": "Distance to the nearest alarm",
    "ways-out": "Ways out",
    "radio": "Radio links",
    "sun": "Direct sun on motion detectors",
    "sound": "Sound at the beds",
    "power": "Power and batteries",
}
"""The titles of the sheets."""
_TOLD: Mapping[Topic, Callable[[TopicOfHome], Said]] = {
    "coverage": coverage_told,
    "walks": walks_told,
    "alarm-field": field_told,
    "ways-out": ways_told,
    "radio": radio_told,
    "sun": sun_told,
    "sound": sound_told,
    "power": power_told,
}
LEAST = 0.05
"""Share of the longest bar below which an input is left out of what would change a result."""
PLAIN = "geometry and arithmetic alone"
"""The source of a step that names none: nothing in it is taken from a publication."""
KNOWN = {"measured": "measured", "stated": "stated", "assumed": "assumed", "standard": "from a standard or usual"}
"""How an input is known, in the words of the pages."""


@dataclass(frozen=True, slots=True)
class Given:
    """An input: its letter, what it is, its value with unit, how it is known, and where it comes from."""

    symbol: Markup
    meaning: str
    value: str
    known: str
    origin: str
    assumed: bool


@dataclass(frozen=True, slots=True)
class Line:
    """A step: what it gives, the formula, the same with its figures, what comes out, and the source."""

    symbol: Markup
    meaning: str
    formula: Markup
    figures: Markup
    value: str
    source: str


@dataclass(frozen=True, slots=True)
class Bar:
    """What one input changes: how far it may be out, the result at both ends, and the length of its bar in per cent."""

    symbol: Markup
    meaning: str
    spread: str
    low: str
    high: str
    size: str
    share: float


@dataclass(frozen=True, slots=True)
class Work:
    """One calculation on a sheet; ``held`` names inputs that are not varied, in words."""

    anchor: str
    about: str
    result: str
    inputs: tuple[Given, ...]
    lines: tuple[Line, ...]
    bars: tuple[Bar, ...]
    held: tuple[str, ...]
    caveats: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """What was predicted against what was found, and the day; None where the record states it."""

    what: str
    predicted: str
    found: str
    difference: str
    on: date | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """The calculations of a topic.

    Attributes:
        topic: names the page.
        title: of the page.
        says: what it comes to, one sentence without a verdict.
        tables: of the results.
        works: each calculation.
        compared: predictions against readings.
        signs: signs of the formulas with what they mean.
        caveats: what holds for all of them.
        assumed: what is assumed somewhere on the sheet, in words, each once.
    """

    topic: Topic
    title: str
    says: str
    tables: tuple[Table, ...]
    works: tuple[Work, ...]
    compared: tuple[Compared, ...]
    signs: tuple[tuple[str, str], ...]
    caveats: tuple[str, ...]
    assumed: tuple[str, ...]


def sheets(dossier: Dossier) -> tuple[Sheet, ...]:
    """Give the sheet of every topic, in the order of the index."""
    return tuple(_sheet(dossier, topic) for topic in TOPICS)


def asks(dossier: Dossier) -> tuple[Ask, ...]:
    """Give what to measure in place of what is assumed."""
    return asks_of(dossier.reckoned)


def _sheet(dossier: Dossier, topic: Topic) -> Sheet:
    sums = sums_of(dossier.reckoned, topic)
    named = tuple(zip(sums, _anchors(sums), strict=True))
    says, tables = _TOLD[topic](TopicOfHome(dossier, named))
    shared = [caveat for caveat in (sums[0].working.caveats if sums else ()) if all(_says(one, caveat) for one in sums)]
    found = dict.fromkeys(f"{given.meaning}: {_why(given)}" for one in sums for given in one.working.assumed)
    return Sheet(
        topic,
        TITLES[topic],
        says,
        tuple(table for table in tables if table.rows),
        tuple(_work(one, anchor, shared) for one, anchor in named),
        tuple(_compared(sums)),
        notation(step.formula for one in sums for step in one.working.steps),
        tuple(shared),
        tuple(found),
    )


def _why(given: Input) -> str:
    return f"{quantity(given.value, given.unit)}, {given.origin}"


def _says(one: Sum, caveat: str) -> bool:
    return caveat in one.working.caveats


def _anchors(sums: Sequence[Sum]) -> list[str]:
    """Give each calculation an id of its own, made of what it is about."""
    found: list[str] = []
    used: Counter[str] = Counter()
    for one in sums:
        name = re.sub(r"[^a-z0-9]+", "-", one.about.lower()).strip("-") or "sum"
        used[name] += 1
        found.append(f"sum-{name}" if used[name] == 1 else f"sum-{name}--{used[name]}")
    return found


def _work(one: Sum, anchor: str, shared: Sequence[str]) -> Work:
    working = one.working
    names = frozenset([*(given.symbol for given in working.inputs), *(step.symbol for step in working.steps)])
    return Work(
        anchor,
        one.about,
        quantity(working.result.value, working.result.unit),
        tuple(_given(given) for given in working.inputs),
        tuple(_line(step, names) for step in working.steps),
        tuple(_bars(one.swings, working.result.unit)),
        tuple(one.inputs[name].meaning for name in sorted(one.held)),
        tuple(caveat for caveat in working.caveats if caveat not in shared),
    )


def _given(given: Input) -> Given:
    value = quantity(given.value, given.unit)
    return Given(symbol(given.symbol), given.meaning, value, KNOWN[given.known], given.origin, given.known == "assumed")


def _line(step: Step, names: frozenset[str]) -> Line:
    return Line(
        symbol(step.symbol),
        step.meaning,
        formula(step.formula, names),
        formula(step.figures),
        quantity(step.value, step.unit),
        step.source or PLAIN,
    )


def _bars(swings: Sequence[Swing], unit: str) -> Iterator[Bar]:
    longest = max((swing.size for swing in swings), default=0.0)
    for swing in swings:
        if swing.size < LEAST * longest:
            return
        given = swing.given
        yield Bar(
            symbol(given.symbol),
            given.meaning,
            f"± {quantity(given.spread, given.unit)}",
            quantity(swing.low, unit),
            quantity(swing.high, unit),
            quantity(swing.size, unit),
            round(100 * swing.size / longest, 1) if longest else 0.0,
        )


def _compared(sums: Sequence[Sum]) -> Iterator[Compared]:
    for one in sums:
        if read := one.reading:
            off, found = read.found - read.predicted, quantity(read.found, read.unit)
            difference = ("+" if off > 0 else "") + quantity(off, read.unit)
            if read.at_least:  # what ran on when the trial ended tells no shortfall
                found = f"at least {found}"
                difference = f"at least {difference}" if off > 0 else "not told"
            yield Compared(read.what, quantity(read.predicted, read.unit), found, difference, read.on)
