"""Radio in a home: loss along a path, link budget, fading. Plain functions of metres, MHz and dB."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import log10, pi
from statistics import NormalDist
from typing import Any

from asfitted.reckon.materials import LIGHT

NEAREST = 1.0
"""Metres; nearer than this a path counts as this long: close to an aerial the far-field formulas promise too much
(common practice, no source)."""
ERP_TO_EIRP = 10 * log10(1.64)
"""Decibels from radiated power against a dipole (ERP) to power against an isotropic aerial (EIRP): 2.15."""


@cache
def figures() -> Mapping[str, Any]:
    """Give the constants of the models, and what is assumed where the record says nothing, with their sources."""
    return tomllib.loads((files("asfitted.reckon") / "data" / "radio.toml").read_text(encoding="utf-8"))


def free_space(metres: float, mhz: float) -> float:
    """Give the loss in free space, ``20 lg(4 pi d f / c)``, in dB (ITU-R P.525).

    Raises:
        ValueError: for a distance or a frequency that is not above 0.
    """
    if min(metres, mhz) <= 0:
        raise ValueError("a path has a length and a frequency above 0")
    return 20 * log10(4 * pi * metres * mhz * 1e6 / LIGHT)


def floor_term(floors: int) -> float:
    """Give what floors cost together, ``kf^((kf+2)/(kf+1) - b) Lf``, in dB (COST 231, section 4.7.2)."""
    model = figures()["multi-wall"]
    return float(floors ** ((floors + 2) / (floors + 1) - model["b"]) * model["floor"]) if floors else 0.0


def multi_wall(metres: float, mhz: float, light: int = 0, heavy: int = 0, floors: int = 0) -> float:
    """Give the loss by the multi-wall model, ``Lfs + k1 Lw1 + k2 Lw2 + floors``, in dB (COST 231, section 4.7.2).

    Args:
        metres: the straight path in space.
        mhz: frequency in MHz; the model was fitted near 1800 MHz.
        light: walls crossed that are thin or of boards.
        heavy: walls crossed of brick, stone, block or concrete.
        floors: floors crossed.
    """
    model = figures()["multi-wall"]
    walls = float(light * model["light"] + heavy * model["heavy"])
    return free_space(metres, mhz) + walls + floor_term(floors)


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """A loss in dB by another model, its spread, and what lies outside the range the model is stated for."""

    model: str
    loss: float
    sigma: float | None
    outside: tuple[str, ...]
    source: str


def site_general(metres: float, mhz: float, environment: str = "office-out-of-sight") -> CrossCheck:
    """Give the median loss ``10 a lg d + b + 10 g lg f`` on one floor, f in GHz (ITU-R P.1238, equation 1).

    Raises:
        KeyError: for an environment that is not in the data.
    """
    row, ghz = figures()["site-general"][environment], mhz / 1000.0
    loss = 10 * row["alpha"] * log10(metres) + row["beta"] + 10 * row["gamma"] * log10(ghz)
    outside = (*_outside(ghz, row["ghz"], "GHz"), *_outside(metres, row["metres"], "m"))
    told = row.get("source", figures()["site-general-source"]["source"])
    return CrossCheck(environment.replace("-", " "), float(loss), float(row["sigma"]), outside, told)


def power_law(metres: float, mhz: float, floors: int = 0, *, n: float | None = None) -> CrossCheck:
    """Give the loss ``20 lg f - 28 + N lg d + Lf(n)``, f in MHz, d from 1 m (ITU-R P.1238, power law with floors).

    Its -28 is not the -27.55 of free space; the two are kept apart.
    """
    row = figures()["power-law"]
    slope = row["n"] if n is None else n
    loss = 20 * log10(mhz) - 28 + slope * log10(metres) + row["per-floor"] * floors
    outside = _outside(mhz / 1000.0, row["ghz"], "GHz") + (_outside(metres, [1.0, float("inf")], "m"))
    return CrossCheck("power law with floors", float(loss), None, outside, row["source"])


def _outside(value: float, limits: list[float], unit: str) -> tuple[str, ...]:
    low, high = limits
    stated = f"{low:g} to {high:g}" if high < float("inf") else f"{low:g}"
    return () if low <= value <= high else (f"{value:g} {unit}, stated from {stated} {unit}",)


def dbm(milliwatts: float) -> float:
    """Give a power in dBm: decibels above 1 mW."""
    return 10 * log10(milliwatts)


def received(erp: float, loss: float, gain: float = 0.0) -> float:
    """Give the received power ``ERP + 2.15 - L + G`` in dBm.

    Args:
        erp: radiated power against a dipole, dBm.
        loss: between isotropic aerials, dB.
        gain: of the receiving aerial, dBi.
    """
    return erp + ERP_TO_EIRP - loss + gain


def weakest_heard(bandwidth: float, noise_figure: float, ratio: float) -> float:
    """Give what a receiver still hears, ``-174 + 10 lg B + NF + SNR``, in dBm.

    Args:
        bandwidth: Hz.
        noise_figure: dB.
        ratio: signal over noise that it needs, dB.
    """
    return -174.0 + 10 * log10(bandwidth) + noise_figure + ratio


def fading_margin(share: float, sigma: float) -> float:
    """Give the dB by which the median must exceed the need so that a share of places has it: ``z(p) sigma``."""
    return NormalDist().inv_cdf(share) * sigma


def share_held(margin: float, sigma: float) -> float:
    """Give the share of places in which a link with a median margin holds under shadow fading: ``Phi(M / sigma)``."""
    return NormalDist().cdf(margin / sigma)
