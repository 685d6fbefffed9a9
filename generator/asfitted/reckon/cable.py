"""Voltage lost on a two-core cable, from length, current and copper."""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from math import pi, sqrt
from typing import Any, Literal

from asfitted.reckon.working import Input, Step, Working, number

Make = Literal["stranded", "solid"]


@cache
def _data() -> Mapping[str, Any]:
    return tomllib.loads((files("asfitted.reckon") / "data" / "cables.toml").read_text(encoding="utf-8"))


def resistance(core: str, make: Make = "stranded") -> tuple[float, str]:
    """Give the resistance of one core at 20 °C, ohm per kilometre, and the source of it.

    Args:
        core: square millimetres, or a number by AWG, in the words of the record: ``0.22``, ``24 AWG``.
        make: *stranded* (class 5) or *solid* (class 1 and 2), where the table tells them apart.

    Raises:
        KeyError: for a size that no table holds.
    """
    number_, _, gauge = core.partition(" ")
    if gauge:
        row = _data()["gauge"]
        return _data()["temperature"]["resistivity"] / gauge_area(int(number_)), f"{row['source']} ({row['status']})"
    row = _data()["small"] if core in _data()["small"]["cores"] else _data()[make]
    return float(row["cores"][core]), f"{row['source']} ({row['status']})"


def gauge_area(gauge: int) -> float:
    """Give the square millimetres of a wire by AWG: a diameter of ``0.127 x 92^((36 - n) / 39)`` mm (ASTM B258)."""
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    return float(pi / 4 * diameter**2)


def warmed(ohms: float, celsius: float) -> float:
    """Give the resistance of copper at a temperature from that at 20 °C, ``r (1 + 0.00393 (T - 20))``."""
    return float(ohms * (1 + _data()["temperature"]["coefficient"] * (celsius - 20)))


def drop(metres: float, amperes: float, ohms: float) -> float:
    """Give the volts lost out and back, ``2 L I r / 1000``.

    Args:
        metres: one way.
        amperes: that flow to the end.
        ohms: of one core, per kilometre.
    """
    return 2 * metres * amperes * ohms / 1000


def drops(loads: Iterable[tuple[float, float]], ohms: float) -> list[float]:
    """Give the volts lost up to each load of a cable that feeds several, one behind another.

    Args:
        loads: metres from the supply and amperes, the nearest first.
        ohms: of one core, per kilometre.
    """
    known = list(loads)
    lost, before, found = 0.0, 0.0, []
    for i, (metres, _) in enumerate(known):
        lost += drop(metres - before, sum(amperes for _, amperes in known[i:]), ohms)
        before = metres
        found.append(lost)
    return found


def longest(volts: float, amperes: float, ohms: float) -> float:
    """Give the metres of cable, one way, on which so many volts are lost."""
    return volts * 1000 / (2 * amperes * ohms)


def voltage_of_power(supply: float, watts: float, loop: float) -> float:
    """Give the voltage at a load that draws more as its voltage falls, ``(U + sqrt(U^2 - 4 P R)) / 2``.

    Args:
        supply: volts.
        watts: drawn, whatever the voltage.
        loop: ohms out and back.

    Raises:
        ValueError: when the cable cannot carry that much.
    """
    left = supply**2 - 4 * watts * loop
    if left < 0:
        raise ValueError("no voltage feeds this load over this cable")
    return (supply + sqrt(left)) / 2


def run(inputs: Mapping[str, Input], title: str) -> Working:
    """Work out the voltage at the end of a cable; the result is by how much it is above what the device needs.

    Args:
        inputs: by symbol: ``U`` V of the supply, ``L`` m one way, ``I`` A, ``r`` ohm/km at 20 °C, ``θ`` °C, ``Umin`` V.
        title: of the sheet.
    """
    u, length, i, r, celsius, least = (inputs[symbol].value for symbol in ("U", "L", "I", "r", "θ", "Umin"))
    hot, n = warmed(r, celsius), number
    lost = drop(length, i, hot)
    steps = (
        Step(
            "r_θ",
            "resistance of a core when warm",
            "r (1 + 0.00393 (θ − 20))",
            f"{n(r, 2)} (1 + 0.00393 ({n(celsius, 1)} − 20))",
            hot,
            "Ω/km",
            "copper, IEC 60028",
        ),
        Step(
            "ΔU",
            "lost out and back",
            "2 L I r_θ / 1000",
            f"2 · {n(length, 1)} · {n(i)} · {n(hot, 2)} / 1000",
            lost,
            "V",
            "Ohm's law",
        ),
        Step("U_L", "voltage at the device", "U − ΔU", f"{n(u, 2)} − {n(lost)}", u - lost, "V"),
        Step("m", "above what the device needs", "U_L − Umin", f"{n(u - lost)} − {n(least, 2)}", u - lost - least, "V"),
    )
    return Working(title, tuple(inputs.values()), steps)
