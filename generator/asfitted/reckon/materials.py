"""What walls, doors and panes cost a radio link, from the constants of the materials they are made of."""

import tomllib
from cmath import exp, sqrt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import cos, e, log10, pi, radians, sin
from typing import Any, Literal

LIGHT = 299_792_458.0
"""Metres a second: the speed of light (exact)."""
_EPSILON_0 = 8.854_187_8128e-12
_OPAQUE = 300.0
"""Nepers from which a wave through the slab is too weak for the arithmetic, and echoes in it are nothing."""

Polarisation = Literal["TE", "TM"]


@dataclass(frozen=True, slots=True)
class Material:
    """One row of a table of materials: real permittivity ``a f^b``, conductivity ``c f^d`` in S/m, f in GHz."""

    name: str
    a: float
    b: float
    c: float
    d: float
    lowest: float
    highest: float
    source: str
    status: str

    def permittivity(self, mhz: float) -> complex:
        """Give the complex relative permittivity ``eps' - j sigma / (2 pi f eps0)`` (ITU-R P.2040)."""
        ghz = mhz / 1000.0
        sigma = self.c * ghz**self.d
        return complex(self.a * ghz**self.b, -sigma / (2 * pi * mhz * 1e6 * _EPSILON_0))

    def states(self, mhz: float) -> bool:
        """Tell whether the row is stated for a frequency; outside it is an extrapolation."""
        return self.lowest <= mhz / 1000.0 <= self.highest


@dataclass(frozen=True, slots=True)
class Layer:
    """One sheet of a wall or leaf; a thickness of 0 takes that of the whole wall."""

    of: str
    thickness: float = 0.0


@dataclass(frozen=True, slots=True)
class Make:
    """What a word of the record is taken to consist of, and whether it can be a heavy wall."""

    layers: tuple[Layer, ...]
    solid: bool = False


@cache
def _data() -> Mapping[str, Any]:
    return tomllib.loads((files("asfitted.reckon") / "data" / "materials.toml").read_text(encoding="utf-8"))


@cache
def materials() -> Mapping[str, Material]:
    """Give every material by its name."""
    rows = _data()["rows"]
    return {
        name: Material(
            name,
            row["a"],
            row["b"],
            row["c"],
            row["d"],
            row["from"],
            row["to"],
            row.get("source", rows["source"]),
            row.get("status", rows["status"]),
        )
        for name, row in _data()["material"].items()
    }


@cache
def makes(group: Literal["wall", "leaf", "pane"]) -> Mapping[str, Make]:
    """Give what the words for walls, leaves or panes are taken to consist of."""
    return {
        word: Make(tuple(Layer(**layer) for layer in entry["layers"]), entry.get("solid", False))
        for word, entry in _data()[group].items()
    }


def detour() -> float:
    """Give the most that one wall or leaf can cost, in dB: beyond it, power goes round."""
    return float(_data()["detour"]["most"])


def slab_loss(
    permittivity: complex, thickness: float, mhz: float, angle: float = 0.0, polarisation: Polarisation | None = None
) -> float:
    """Give the loss of a plane wave through one slab in air, in dB.

    ``T = (1 - r^2) e^(-jq) / (1 - r^2 e^(-2jq))`` with ``q = 2 pi d sqrt(eps - sin^2 t) / wavelength`` (ITU-R P.2040,
    single layer).

    Args:
        permittivity: complex and relative, with a negative imaginary part for a lossy slab.
        thickness: metres.
        mhz: frequency in MHz.
        angle: degrees from straight through, below 90.
        polarisation: TE (electric field along the slab) or TM; the mean power of both unless given.
    """
    if polarisation is None:
        both = [slab_loss(permittivity, thickness, mhz, angle, one) for one in ("TE", "TM")]
        least = min(both)
        return least - 10 * log10(sum(10 ** ((least - loss) / 10) for loss in both) / 2)
    across, along = cos(radians(angle)), sin(radians(angle))
    root = sqrt(permittivity - along * along)
    scaled = across if polarisation == "TE" else permittivity * across
    r = (scaled - root) / (scaled + root)
    q = 2 * pi * thickness * mhz * 1e6 / LIGHT * root
    if -q.imag > _OPAQUE:
        return -20 * log10(abs(1 - r * r)) - 20 * q.imag * log10(e)
    through = (1 - r * r) * exp(-1j * q) / (1 - r * r * exp(-2j * q))
    return -20 * log10(abs(through))


@dataclass(frozen=True, slots=True)
class Toll:
    """What a wall or leaf costs: dB, and the materials whose rows are not stated for the frequency."""

    loss: float
    stretched: tuple[str, ...]


def toll(make: Make, thickness: float, mhz: float, angle: float = 0.0) -> Toll:
    """Add up the layers of a wall or leaf, each as a slab for itself, up to what a detour costs.

    Echoes between the layers are left out: they add and cancel with distances nobody measures.

    Args:
        make: the layers.
        thickness: of the whole wall, in metres.
        mhz: frequency in MHz.
        angle: degrees from straight through.
    """
    known = materials()
    losses = [
        slab_loss(known[layer.of].permittivity(mhz), layer.thickness or thickness, mhz, angle) for layer in make.layers
    ]
    stretched = dict.fromkeys(layer.of for layer in make.layers if not known[layer.of].states(mhz))
    return Toll(min(max(sum(losses), 0.0), detour()), tuple(stretched))
