"""Sound in and between rooms: power of a source, its level in a room, what walls, doors and gaps let through.

Levels are dB(A), areas square metres, distances metres. Rooms are taken for diffuse fields: right within some dB in a
furnished room, too good for long halls.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf, log10, pi, sqrt

from asfitted.reckon.working import Input, Step, Working, number

SABINE = 0.161
"""Seconds per metre: Sabine's ``T = 0.161 V / A`` at 20 °C."""
NEAREST = 0.5
"""Metres; nearer than this a distance counts as this: at the source itself the formula has no meaning."""
_FIELD, _WAY = "diffuse field of a room with a small source (handbook form)", "EN ISO 12354-1, direct path alone"


def power_level(level: float, distance: float, directivity: float) -> float:
    """Give the sound power level of a source from its level in the open, ``L - 10 lg(Q / (4 pi r^2))``.

    Args:
        level: at the distance, dB(A).
        distance: metres, above 0.
        directivity: Q; 1 all round, 2 flat on a surface, 4 in an edge, 8 in a corner.

    Raises:
        ValueError: for a distance or a directivity that is not above 0.
    """
    if min(distance, directivity) <= 0:
        raise ValueError("a sound level is given at a distance, and into some direction")
    return level - 10 * log10(directivity / (4 * pi * distance**2))


def absorption(surface: float, alpha: float, opened: float = 0.0) -> float:
    """Give the absorption area of a room, ``alpha F + (1 - alpha) O``: through what stands open nothing comes back.

    Args:
        surface: floor, ceiling and walls, square metres.
        alpha: mean share absorbed, above 0 and below 1.
        opened: of the surface, what stands open, square metres.
    """
    return alpha * surface + (1 - alpha) * opened


def room_constant(surface: float, absorbed: float) -> float:
    """Give the room constant, ``A / (1 - A / F)``.

    Raises:
        ValueError: for a room that absorbs nothing, or all.
    """
    if not 0 < absorbed < surface:
        raise ValueError("a room absorbs some of the sound that meets its surface, and not all")
    return absorbed / (1 - absorbed / surface)


def critical_distance(directivity: float, constant: float) -> float:
    """Give the distance at which direct and reverberant sound are equal, ``sqrt(Q R / (16 pi))``."""
    return sqrt(directivity * constant / (16 * pi))


def reverberation(volume: float, absorbed: float) -> float:
    """Give the reverberation time in seconds by Sabine, ``0.161 V / A``."""
    return SABINE * volume / absorbed


def level_in_room(power: float, constant: float, distance: float = inf, directivity: float = 1.0) -> float:
    """Give the level in the room of a source, ``L_W + 10 lg(Q / (4 pi r^2) + 4 / R)``.

    Args:
        power: sound power level of the source, dB(A).
        constant: room constant, square metres.
        distance: from the source; infinite for the reverberant part alone.
        directivity: Q of the source.
    """
    return power + 10 * log10(directivity / (4 * pi * distance**2) + 4 / constant)


def reduction(parts: Iterable[tuple[float, float]]) -> float:
    """Give the sound reduction of what is made of parts, ``-10 lg(sum S_i 10^(-R_i / 10) / sum S_i)``.

    Args:
        parts: area and reduction of each; an open gap has a reduction of 0.
    """
    known = list(parts)
    return -10 * log10(sum(s * 10 ** (-r / 10) for s, r in known) / sum(s for s, _ in known))


def beyond(level: float, reduced: float, area: float, absorbed: float) -> float:
    """Give the level behind a partition, ``L1 - R' + 10 lg(S / A2)`` (EN ISO 12354-1, direct path alone).

    Args:
        level: in front of it.
        reduced: sound reduction of the partition, dB.
        area: of that same partition: the door's for a door's reduction, not the wall's.
        absorbed: absorption area of the room behind it.
    """
    return level - reduced + 10 * log10(area / absorbed)


def summed(levels: Iterable[float]) -> float:
    """Give the level of sources that sound together, ``10 lg(sum 10^(L_i / 10))``.

    Raises:
        ValueError: when there is none.
    """
    known = list(levels)
    most = max(known)
    return most + 10 * log10(sum(10 ** ((level - most) / 10) for level in known))


def parts_of(inputs: Mapping[str, Input], k: int) -> list[tuple[float, float]]:
    """Give the parts of the ``k``-th partition on the way: the gap under a door that is shut, and the rest."""
    area, leaf = inputs[f"S{k}"].value, inputs[f"R{k}"].value if f"R{k}" in inputs else 0.0
    gap = inputs[f"g{k}"].value * inputs[f"b{k}"].value if f"g{k}" in inputs else 0.0
    return [(area - gap, leaf), (gap, 0.0)]


def absorbed_in(inputs: Mapping[str, Input], k: int) -> float:
    """Give the absorption area of the ``k``-th room on the way; the source is in room 0."""
    return absorption(inputs[f"F{k}"].value, inputs[f"α{k}"].value, inputs[f"O{k}"].value)


def levels(inputs: Mapping[str, Input]) -> list[float]:
    """Give the level in each room on the way, the last at the ear; ``inputs`` as :func:`heard` takes them."""
    q = inputs["Q"].value
    power = power_level(inputs["L0"].value, inputs["r0"].value, q)
    constant = room_constant(inputs["F0"].value, absorbed_in(inputs, 0))
    found = [level_in_room(power, constant, _far(inputs), q)]
    k = 1
    while f"S{k}" in inputs:
        reduced, area = reduction(parts_of(inputs, k)), inputs[f"S{k}"].value
        found.append(beyond(found[-1], reduced, area, absorbed_in(inputs, k)))
        k += 1
    return found


def _far(inputs: Mapping[str, Input]) -> float:
    return max(inputs["d"].value, NEAREST) if "d" in inputs else inf


def heard(inputs: Mapping[str, Input], title: str) -> Working:
    """Work out the level of one source at an ear; the result is in dB(A).

    Args:
        inputs: by symbol: ``L0`` dB(A) at ``r0`` m, ``Q``; ``d`` m to the ear, or to the first opening on the way, or
            left out where sound goes through wall or floor; of room k on the way ``Fk`` m² of surface, ``αk``, ``Ok``
            m² open; of the k-th partition ``Sk`` m², and ``Rk`` dB unless it stands open, and of a door that is shut
            ``gk`` m of gap under it and its width ``bk`` m.
        title: of the sheet.
    """
    level, at, q = (inputs[symbol].value for symbol in ("L0", "r0", "Q"))
    power, absorbed = power_level(level, at, q), absorbed_in(inputs, 0)
    constant = room_constant(inputs["F0"].value, absorbed)
    found, n = levels(inputs), number
    direct = "Q/(4π d²) + " if "d" in inputs else ""
    direct_figures = f"{n(q, 1)}/(4π {n(_far(inputs), 2)}²) + " if "d" in inputs else ""
    steps = [
        Step(
            "L_W",
            "sound power level",
            "L0 − 10 lg(Q / (4π r0²))",
            f"{n(level, 1)} − 10 lg({n(q, 1)} / (4π {n(at)}²))",
            power,
            "dB(A)",
            "level of a source over a surface",
        ),
        _absorbing(inputs, 0),
        Step("K", "room constant", "A0 / (1 − A0/F0)", _constant_figures(inputs, absorbed), constant, "m²", _FIELD),
        Step(
            "L_0",
            "level in the room of the source",
            f"L_W + 10 lg({direct}4/K)",
            f"{n(power, 1)} + 10 lg({direct_figures}4/{n(constant, 2)})",
            found[0],
            "dB(A)",
            _FIELD,
        ),
    ]
    for k in range(1, len(found)):
        steps += _into_next_room(inputs, k, found[k - 1], found[k])
    return Working(title, tuple(inputs.values()), tuple(steps))


def _constant_figures(inputs: Mapping[str, Input], absorbed: float) -> str:
    return f"{number(absorbed, 2)} / (1 − {number(absorbed, 2)}/{number(inputs['F0'].value, 1)})"


def _absorbing(inputs: Mapping[str, Input], k: int) -> Step:
    f, alpha, opened = (number(inputs[f"{symbol}{k}"].value, 2) for symbol in ("F", "α", "O"))
    formula, figures = f"α{k} F{k} + (1 − α{k}) O{k}", f"{alpha} · {f} + (1 − {alpha}) · {opened}"
    return Step(f"A{k}", "absorption area", formula, figures, absorbed_in(inputs, k), "m²", _FIELD)


def _into_next_room(inputs: Mapping[str, Input], k: int, before: float, behind: float) -> Iterator[Step]:
    """Give the steps through one partition, from the level before it to the level behind it."""
    parts, n = parts_of(inputs, k), number
    area, reduced, absorbed = inputs[f"S{k}"].value, reduction(parts), absorbed_in(inputs, k)
    name = f"R{k}"
    if f"g{k}" in inputs:
        name = f"R'{k}"
        formula = f"−10 lg(((S{k} − g{k} b{k}) 10^(−R{k}/10) + g{k} b{k}) / S{k})"
        (rest, leaf), (gap, _) = parts
        figures = f"−10 lg(({n(rest)} · 10^(−{n(leaf, 1)}/10) + {n(gap, 4)}) / {n(area)})"
        yield Step(name, "sound reduction of the door with its gap", formula, figures, reduced, "dB", _WAY)
    yield _absorbing(inputs, k)
    shut, shut_figures = (f" − {name}", f" − {n(reduced, 1)}") if f"R{k}" in inputs else ("", "")
    formula = f"L_{k - 1}{shut} + 10 lg(S{k}/A{k})"
    figures = f"{n(before, 1)}{shut_figures} + 10 lg({n(area, 2)}/{n(absorbed, 2)})"
    yield Step(f"L_{k}", "level in the next room", formula, figures, behind, "dB(A)", _WAY)


def together(inputs: Mapping[str, Input], title: str) -> Working:
    """Work out the level of several sources that sound together, from the level of each; the result is in dB(A)."""
    levels: Sequence[float] = [given.value for given in inputs.values()]
    formula = "10 lg(" + " + ".join(f"10^({symbol}/10)" for symbol in inputs) + ")"
    figures = "10 lg(" + " + ".join(f"10^({number(level, 1)}/10)" for level in levels) + ")"
    step = Step("L", "level of all together", formula, figures, summed(levels), "dB(A)", "energy sum")
    return Working(title, tuple(inputs.values()), (step,))
