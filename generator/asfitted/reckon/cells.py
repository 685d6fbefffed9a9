"""How long a primary cell lasts: what is drawn from it, what it loses by itself, and what its voltage says."""

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from importlib.resources import files
from math import log
from typing import Any

from asfitted.reckon.power import DAYS_PER_YEAR, HOURS_PER_DAY, Pulse, daily_draw
from asfitted.reckon.working import Input, Step, Working, number

HOURS_PER_YEAR = HOURS_PER_DAY * DAYS_PER_YEAR
"""8766."""
_COUNT = re.compile(r"\s*(?:([0-9]{1,2})\s*[x×]\s*)?(.+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Cell:
    """One size of cell: capacity in mAh, by how much that may be out, volts when fresh and when nearly empty."""

    called: str
    chemistry: str
    capacity: float
    spread: float
    volts: float
    low: float

    @property
    def sags(self) -> bool:
        """Whether its voltage falls little by little, so that it tells of the end before it comes."""
        return self.chemistry == "alkaline"


@cache
def figures() -> Mapping[str, Any]:
    """Give the table of cells and draws."""
    return tomllib.loads((files("asfitted.reckon") / "data" / "cells.toml").read_text(encoding="utf-8"))


def source_of(row: Mapping[str, Any]) -> str:
    """Give the source of a row with its status, or that of all rows."""
    own = row if "source" in row else figures()["rows"]
    return f"{own['source']} ({own['status']})"


def cells_in(type_: str) -> tuple[int, Cell] | None:
    """Give count and size of the cells a battery is made of, in the words of the record: ``4 x AA``, ``CR2450``.

    None for what the table does not hold, such as a sealed battery. Cells count as in series.
    """
    found = _COUNT.fullmatch(type_)
    if found is None:
        return None
    word = re.sub(r"[\s-]", "", found[2]).casefold()
    for called, row in figures()["cell"].items():
        if word in row["names"]:
            cell = Cell(called, row["chemistry"], row["capacity"], row["spread"], row["volts"], row["low"])
            return int(found[1] or 1), cell
    return None


def mean_current(sleep: float, pulses: Iterable[Pulse]) -> float:
    """Give the mean current of a device in microamperes, ``Iq + sum I_i t_i n_i / 86400``.

    Args:
        sleep: microamperes asleep.
        pulses: what it does now and then.
    """
    return daily_draw(sleep / 1000, pulses) / HOURS_PER_DAY * 1000


def years(capacity: float, mean: float, loss: float = 0.0, usable: float = 1.0) -> float:
    """Give the years a cell lasts, ``u C / (I h + s C)`` with 8766 hours a year.

    Args:
        capacity: mAh.
        mean: mean current, microamperes.
        loss: share of the first capacity lost by itself each year.
        usable: share of the capacity that can be drawn.

    Raises:
        ValueError: when nothing is drawn and nothing lost.
    """
    gone = mean / 1000 * HOURS_PER_YEAR + loss * capacity
    if gone <= 0:
        raise ValueError("a cell from which nothing goes never ends")
    return usable * capacity / gone


def years_fading(capacity: float, mean: float, loss: float) -> float:
    """Give the years a cell lasts that loses a share of what is still in it, ``ln(1 + l C / a) / l``; a longer life.

    Args:
        capacity: mAh.
        mean: mean current, microamperes; ``a`` is that in a year.
        loss: share lost each year, above 0; ``l = -ln(1 - loss)``.
    """
    rate = -log(1 - loss)
    return log(1 + rate * capacity / (mean / 1000 * HOURS_PER_YEAR)) / rate


def life(inputs: Mapping[str, Input], title: str) -> Working:
    """Work out how long a cell lasts; the result is in years.

    Args:
        inputs: by symbol: ``C`` mAh, ``u``, ``s`` a year, ``Iq`` µA asleep, and of each pulse k ``Ik`` mA, ``tk`` s,
            ``nk`` a day.
        title: of the sheet.
    """
    c, u, s, sleep = (inputs[symbol].value for symbol in ("C", "u", "s", "Iq"))
    n = number
    pulses: list[Pulse] = []
    while f"I{(k := len(pulses) + 1)}" in inputs:
        pulses.append(Pulse(*(inputs[f"{symbol}{k}"].value for symbol in "Itn")))
    mean = mean_current(sleep, pulses)
    formula, shown = "Iq", n(sleep, 2)
    if pulses:
        formula += " + 1000 (" + " + ".join(f"I{k} t{k} n{k}" for k in range(1, len(pulses) + 1)) + ") / 86400"
        each = (f"{n(p.current, 2)} · {n(p.seconds)} · {n(p.per_day, 4)}" for p in pulses)
        shown += " + 1000 (" + " + ".join(each) + ") / 86400"
    found = years(c, mean, s, u)
    figures_ = f"{n(u, 2)} · {n(c, 0)} / ({n(mean, 2)} · 8.766 + {n(s)} · {n(c, 0)})"
    steps = (
        Step("I", "mean current", formula, shown, mean, "µA", "current by time"),
        Step("Y", "life", "u C / (8.766 I + s C)", figures_, found, "years", "charge that goes in a year of 8766 h"),
    )
    return Working(title, tuple(inputs.values()), steps)


def stated(given: Input, title: str) -> Working:
    """Give the life a maker states as a calculation of its own; the result is in years."""
    step = Step("Y", "life", given.symbol, number(given.value, 2), given.value, given.unit)
    return Working(title, (given,), (step,))


def crosses(readings: Sequence[tuple[date, float]], low: float) -> date | None:
    """Give the day on which the straight line through voltage readings falls to a level; None where it does not fall.

    Least squares; at least two readings on different days. Good for cells whose voltage falls little by little.

    Args:
        readings: day and volts of each.
        low: volts.
    """
    if len({day for day, _ in readings}) < 2:
        return None
    start = min(day for day, _ in readings)
    x = [float((day - start).days) for day, _ in readings]
    y = [volts for _, volts in readings]
    mx, my = sum(x) / len(x), sum(y) / len(y)
    slope = sum((a - mx) * (b - my) for a, b in zip(x, y, strict=True)) / sum((a - mx) ** 2 for a in x)
    days = mx + (low - my) / slope if slope < 0 else float("inf")
    return start + timedelta(days=round(days)) if days < 100 * DAYS_PER_YEAR else None
