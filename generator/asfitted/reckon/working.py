"""A result with its working: inputs and where they come from, each step with formula and figures, and the source.

An auditor can redo it by hand: a step holds the formula as it is written and the same with its figures put in.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

Known = Literal["measured", "stated", "assumed", "standard"]
"""How an input is known: read on site, said by the record, taken for want of both, or given by a standard."""


@dataclass(frozen=True, slots=True)
class Input:
    """One figure that goes into a calculation.

    Attributes:
        symbol: as it stands in the formulas.
        meaning: what it is, in words.
        value: in ``unit``.
        unit: empty for a plain number.
        known: how it is known.
        origin: where it comes from: a place in the record, a visit, a publication.
        spread: by how much it may be out, in ``unit``; what the sensitivity of a result is tried with.
        ask: what to measure, where it is assumed.
    """

    symbol: str
    meaning: str
    value: float
    unit: str
    known: Known
    origin: str
    spread: float = 0.0
    ask: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One line of working: ``formula`` in symbols, ``figures`` the same in numbers, and what comes out."""

    symbol: str
    meaning: str
    formula: str
    figures: str
    value: float
    unit: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """A whole calculation. The last step is the result."""

    title: str
    inputs: tuple[Input, ...]
    steps: tuple[Step, ...]
    caveats: tuple[str, ...] = ()

    @property
    def result(self) -> Step:
        """What the calculation was for."""
        return self.steps[-1]

    @property
    def assumed(self) -> tuple[Input, ...]:
        """The inputs that nobody measured or stated."""
        return tuple(given for given in self.inputs if given.known == "assumed")


Model = Callable[[Mapping[str, Input]], Working]
"""A calculation as a function of its inputs by their symbols."""


@dataclass(frozen=True, slots=True)
class Swing:
    """How far a result moves when one input goes from the low to the high end of its spread."""

    given: Input
    low: float
    high: float

    @property
    def size(self) -> float:
        """The whole movement, in the unit of the result."""
        return abs(self.high - self.low)


def sensitivity(model: Model, inputs: Mapping[str, Input]) -> tuple[Swing, ...]:
    """Try each input that has a spread at both ends, the others held, and give the largest swing first."""
    return tuple(sorted(_swings(model, inputs), key=lambda swing: (-swing.size, swing.given.symbol)))


def _swings(model: Model, inputs: Mapping[str, Input]) -> Iterator[Swing]:
    for symbol, given in inputs.items():
        if given.spread > 0:
            ends = (replace(given, value=given.value + way * given.spread) for way in (-1.0, 1.0))
            low, high = (model({**inputs, symbol: end}).result.value for end in ends)
            yield Swing(given, low, high)


def number(value: float, places: int = 3) -> str:
    """Write a figure for a line of working: rounded, without trailing zeros, and a true minus sign."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
    return (text if text not in ("-0", "") else "0").replace("-", "\N{MINUS SIGN}")
