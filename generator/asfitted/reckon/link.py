"""The budget of one radio link, from its inputs to how much is left after fading, with its working."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from asfitted.reckon.crossings import Crossing
from asfitted.reckon.materials import makes, toll
from asfitted.reckon.radio import (
    NEAREST,
    CrossCheck,
    dbm,
    fading_margin,
    figures,
    floor_term,
    free_space,
    power_law,
    received,
    share_held,
    site_general,
)
from asfitted.reckon.working import Input, Step, Working, number


@dataclass(frozen=True, slots=True)
class WallLoss:
    """What one thing crossed costs in dB: by its material, as a class of the multi-wall model, and what is counted."""

    crossing: Crossing
    by_material: float
    by_class: float
    stretched: tuple[str, ...] = ()

    @property
    def counted(self) -> float:
        """The larger of the two: an alarm that does not arrive costs more than a warning too many."""
        return max(self.by_material, self.by_class)


def wall_loss(crossing: Crossing, mhz: float) -> WallLoss:
    """Give what a wall, leaf or pane costs; an open archway costs nothing.

    The multi-wall model calls a wall light that is thin or of boards, and a shut door is taken for one.
    """
    if crossing.group in ("open", "floor"):
        return WallLoss(crossing, 0.0, 0.0)
    make, model = makes(crossing.group)[crossing.of], figures()["multi-wall"]
    cost = toll(make, crossing.thickness, mhz, crossing.angle)
    heavy = make.solid and round(crossing.thickness, 2) >= model["heavy-from"]
    return WallLoss(crossing, cost.loss, float(model["heavy" if heavy else "light"]), cost.stretched)


def margin(metres: float, mhz: float, erp: float, hears: float, gain: float, walls: float, floors: int) -> float:
    """Give the margin of a link before fading, in dB: what is received above what is still heard."""
    loss = free_space(max(metres, NEAREST), mhz) + walls + floor_term(floors)
    return received(erp, loss, gain) - hears


def budget(inputs: Mapping[str, Input], title: str = "Radio link") -> Working:
    """Work out a link; the result is the margin left after fading, in dB.

    Args:
        inputs: by symbol: ``f`` MHz, ``d`` m, ``P`` mW ERP, ``G`` dBi, ``S`` dBm, ``W`` dB for all walls,
            ``kf`` floors, ``sigma`` dB, ``p`` share of places.
        title: of the sheet.
    """
    f, metres, p, g, s, w, kf, sigma, share = (
        inputs[symbol].value for symbol in ("f", "d", "P", "G", "S", "W", "kf", "sigma", "p")
    )
    d, floors, model = max(metres, NEAREST), round(kf), figures()["multi-wall"]
    free, across_floors, erp = free_space(d, f), floor_term(floors), dbm(p)
    loss = free + w + across_floors
    level = received(erp, loss, g)
    spare, fade = level - s, fading_margin(share, sigma)
    figure, minus = number, "\N{MINUS SIGN}"
    steps = (
        Step(
            "L_0",
            "loss in free space",
            "20 lg f + 20 lg d − 27.55",
            f"20 lg {figure(f)} + 20 lg {figure(d)} {minus} 27.55",
            free,
            "dB",
            "ITU-R P.525",
        ),
        Step(
            "L_f",
            "loss of the floors",
            "kf^((kf + 2)/(kf + 1) − b) · 18.3",
            f"{floors}^(({floors} + 2)/({floors} + 1) {minus} {model['b']}) · {model['floor']}" if floors else "0",
            across_floors,
            "dB",
            model["source"],
        ),
        Step(
            "L",
            "loss of the path",
            "L_0 + W + L_f",
            f"{figure(free, 1)} + {figure(w, 1)} + {figure(across_floors, 1)}",
            loss,
            "dB",
            model["source"],
        ),
        Step(
            "P_r",
            "received power",
            "10 lg P + 2.15 − L + G",
            f"{figure(erp, 1)} + 2.15 {minus} {figure(loss, 1)} + {figure(g, 1)}",
            level,
            "dBm",
            "link budget; 2.15 dB from ERP to EIRP",
        ),
        Step("M", "margin", "P_r − S", f"{figure(level, 1)} {minus} ({figure(s, 1)})", spare, "dB"),
        Step(
            "q",
            "share of places in which the link holds",
            "Φ(M / sigma)",
            f"Φ({figure(spare, 1)} / {figure(sigma, 1)})",
            share_held(spare, sigma),
            "",
            "log-normal shadowing",
        ),
        Step(
            "R",
            "margin left after fading",
            "M − z(p) sigma",
            f"{figure(spare, 1)} {minus} z({figure(share)}) · {figure(sigma, 1)}, which is {figure(fade, 1)}",
            spare - fade,
            "dB",
            "log-normal shadowing",
        ),
    )
    return Working(title, tuple(inputs.values()), steps)


def cross_checks(metres: float, mhz: float, walls: Sequence[WallLoss], floors: int) -> tuple[CrossCheck, ...]:
    """Give the loss of the same path by other models, each with what lies outside its range."""
    d = max(metres, NEAREST)
    model = figures()["multi-wall"]
    rate = (f"{mhz:g} MHz, fitted near {model['fitted-at']:g} MHz",)
    classed = free_space(d, mhz) + sum(wall.by_class for wall in walls) + floor_term(floors)
    slabs = free_space(d, mhz) + sum(wall.by_material for wall in walls) + floor_term(floors)
    stretched = dict.fromkeys(name for wall in walls for name in wall.stretched)
    beyond = tuple(f"{name}, whose row is not stated for {mhz:g} MHz" for name in stretched)
    return (
        CrossCheck("free space", free_space(d, mhz), None, (), "ITU-R P.525"),
        CrossCheck("walls by class", classed, None, rate, model["source"]),
        CrossCheck("walls by material", slabs, None, beyond, "ITU-R P.2040-3"),
        power_law(d, mhz, floors),
        site_general(d, mhz),
    )
