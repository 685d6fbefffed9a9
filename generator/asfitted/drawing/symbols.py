"""A symbol for each kind of device and fitting: our own plain shapes, drawn at one size on paper.

Squares with a letter for alarms, a rectangle for control equipment and a half circle on a bar for sounders follow what
open fire and electrical drawing practice has in common (ISO 6790 and IEC 60617 families, from memory); the rest is our
own. A symbol never stands alone: its tag stands beside it, and a legend names every symbol used.

Shapes are path data in mm around the middle of the symbol, with what it looks at upwards.
"""

from dataclasses import dataclass

from asfitted.drawing.canvas import Canvas, num
from asfitted.model.words import DeviceKind, FittingKind

Shapes = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Symbol:
    """Shapes with their classes; ``width`` and ``height`` in mm of the whole.

    ``stand`` is how far the middle stands off the wall behind it in mm, ``turns`` whether it turns with what it
    looks at.
    """

    shapes: Shapes
    width: float
    height: float
    stand: float | None = None
    turns: bool = False

    @property
    def off(self) -> float:
        """Give mm from the wall to the middle."""
        return self.height / 2 + 0.5 if self.stand is None else self.stand


def _box(width: float, height: float, kind: str = "d-device") -> tuple[str, str]:
    return f"M{-width / 2:g} {-height / 2:g}h{width:g}v{height:g}h{-width:g}Z", kind


def _disc(radius: float, kind: str, x: float = 0.0, y: float = 0.0) -> tuple[str, str]:
    r, across = num(radius), num(2 * radius)
    return f"M{num(x - radius)} {num(y)}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0Z", kind


def _dots(radius: float) -> str:
    return "".join(_disc(radius, "", 0.9 * x, 0.95 * y)[0] for y in (-1.5, -0.5, 0.5, 1.5) for x in (-1, 0, 1))


_BELL = "M-1.5 .9a1.5 1.5 0 0 1 3 0ZM-2 1.35H2"

_FLAME = "M0 1.2c-1.5 -.2 -1.2 -1.5 -.5 -2c0 .5 .4 .5 .4 0c0 -.5 -.1 -.7 .2 -1.1c.2 .9 1.4 1.3 1.1 2.2q-.3 .9 -1.2 .9Z"

DEVICES: dict[DeviceKind, Symbol] = {
    "smoke alarm": Symbol((_box(4.4, 4.4), ("S", "d-letters")), 4.4, 4.4),
    "heat alarm": Symbol(
        (
            _box(4.4, 4.4),
            ("M-1.2 -1.15V1.15M-1.2 0H.3M.3 -1.15V1.15", "d-device-line"),
            ("M1.4 -1.35V.75", "d-device-line"),
            _disc(0.42, "d-device-solid", 1.4, 1),
        ),
        4.4,
        4.4,
    ),
    "carbon monoxide alarm": Symbol((_box(4.4, 4.4), ("CO", "d-letters d-letters-small")), 4.4, 4.4),
    "motion detector": Symbol(
        (
            ("M0 0L-2.9 -2.9A4.1 4.1 0 0 1 2.9 -2.9Z", "d-device"),
            ("M0 0L-1.25 -1.25A1.77 1.77 0 0 1 1.25 -1.25Z", "d-device-solid"),
        ),
        5.0,
        5.0,
        stand=0.0,
        turns=True,
    ),
    "opening contact": Symbol(
        (("M-1.5 -1.5h1v3h-1Z", "d-device-solid"), ("M.5 -1.5h1v3h-1Z", "d-device")), 3.0, 3.0, stand=2.0, turns=True
    ),
    "glass-break detector": Symbol(
        (_disc(2.2, "d-device"), ("M-.3 -1.6L.6 -.5L-.6 .4L.3 1.6", "d-device-line")), 4.4, 4.4
    ),
    "flood detector": Symbol(
        (_disc(2.2, "d-device"), ("M-1.5 -.4q.75 -.9 1.5 0t1.5 0M-1.5 .8q.75 -.9 1.5 0t1.5 0", "d-device-line")),
        4.4,
        4.4,
    ),
    "indoor sounder": Symbol(
        (("M-2.2 1.2a2.2 2.2 0 0 1 4.4 0Z", "d-device"), ("M-2.8 1.75H2.8", "d-device-thick")), 5.6, 3.6
    ),
    "outdoor sounder": Symbol(
        (("M-2.4 2.4V-1.4L0 -2.9L2.4 -1.4V2.4Z", "d-device"), (_BELL, "d-device-line")), 4.8, 5.3
    ),
    "keypad": Symbol((_box(3.6, 4.8), (_dots(0.26), "d-device-solid")), 3.6, 4.8),
    "control unit": Symbol((_box(7.2, 3.6, "d-device d-thick"), ("CU", "d-letters d-letters-small")), 7.6, 4.0),
    "repeater": Symbol(
        (
            _box(4.8, 2.6),
            ("M-1.6 -1.3V-2.9M1.6 -1.3V-2.9", "d-device-line"),
            ("M-.9 0H.9M.35 -.55L.9 0L.35 .55", "d-device-line"),
        ),
        4.8,
        4.6,
    ),
    "hold-up button": Symbol(
        (_disc(2.3, "d-device"), _disc(1.65, "d-device"), ("HU", "d-letters d-letters-tiny")), 4.6, 4.6
    ),
}
"""The symbol of each kind of device."""

FITTINGS: dict[FittingKind, Symbol] = {
    "light": Symbol(
        (_disc(1.5, "d-fitting"), ("M-1.06 -1.06L1.06 1.06M1.06 -1.06L-1.06 1.06", "d-fitting-line")), 3, 3
    ),
    "decoration": Symbol((("M0 -1.5L1.5 0L0 1.5L-1.5 0Z", "d-fitting"), _disc(0.4, "d-fitting-line")), 3, 3),
    "air-vent": Symbol(
        (_box(3.4, 2.0, "d-fitting"), ("M-1.7 -.35H1.7M-1.7 .35H1.7", "d-fitting-line")), 3.4, 2.0, turns=True
    ),
    "fan": Symbol(
        (
            _disc(1.5, "d-fitting"),
            ("M0 0q-1.1 -1.1 0 -1.3q1.1 .2 0 1.3q1.1 1.1 0 1.3q-1.1 -.2 0 -1.3", "d-fitting-line"),
        ),
        3,
        3,
    ),
    "ceiling-fan": Symbol(
        (
            _disc(2.4, "d-fitting"),
            ("M0 0L0 -2.2M0 0L1.9 1.1M0 0L-1.9 1.1", "d-fitting-thick"),
            _disc(0.45, "d-fitting-line"),
        ),
        4.8,
        4.8,
    ),
    "air-conditioner": Symbol(
        (_box(5.2, 1.8, "d-fitting"), ("M-1.8 0q.6 -.8 1.2 0t1.2 0t1.2 0", "d-fitting-line")), 5.2, 1.8, turns=True
    ),
    "heater": Symbol(
        (_box(5.6, 1.4, "d-fitting"), ("M-1.9 -.7V.7M-.65 -.7V.7M.65 -.7V.7M1.9 -.7V.7", "d-fitting-line")),
        5.6,
        1.4,
        turns=True,
    ),
    "stove": Symbol(
        (
            _box(4.2, 3.6, "d-fitting"),
            (
                _FLAME,
                "d-fitting-line",
            ),
        ),
        4.2,
        3.6,
        turns=True,
    ),
    "boiler": Symbol((_box(3.8, 3.4, "d-fitting"), ("B", "d-letters d-letters-soft d-letters-small")), 3.8, 3.4),
    "cooker": Symbol(
        (
            _box(4.4, 4.4, "d-fitting"),
            ("".join(_disc(0.75, "", x, y)[0] for x in (-1.05, 1.05) for y in (-1.05, 1.05)), "d-fitting-line"),
        ),
        4.4,
        4.4,
        turns=True,
    ),
    "shower": Symbol(
        (
            _box(4.4, 4.4, "d-fitting"),
            ("M-2.2 -2.2L2.2 2.2M2.2 -2.2L-2.2 2.2", "d-fitting-line"),
            _disc(0.5, "d-fitting"),
        ),
        4.4,
        4.4,
    ),
    "socket": Symbol(
        (("M-1.3 .7a1.3 1.3 0 0 1 2.6 0", "d-fitting"), ("M-1.6 .7H1.6M0 -.6V-1.5", "d-fitting-line")),
        3.2,
        2.4,
        turns=True,
    ),
    "router": Symbol(
        (_box(4.2, 1.9, "d-fitting"), ("M1.4 -.95V-2.4", "d-fitting-line"), _disc(0.25, "d-fitting-line", -1.2, 0)),
        4.2,
        3.4,
    ),
    "modem": Symbol((_box(4.2, 2.4, "d-fitting"), ("M", "d-letters d-letters-soft d-letters-small")), 4.2, 2.4),
    "beam": Symbol((("M-3 0H3", "d-beam"),), 6, 1),
    "tall-furniture": Symbol(
        (_box(5.2, 2.6, "d-fitting"), ("M-2.6 1.3L2.6 -1.3", "d-fitting-line")), 5.2, 2.6, turns=True
    ),
    "bed": Symbol(
        (_box(3.6, 5.2, "d-fitting"), ("M-1.2 -2.1h2.4v1h-2.4ZM-1.8 -.6H1.8", "d-fitting-line")), 3.6, 5.2, turns=True
    ),
    "chimney": Symbol((_box(3, 3, "d-fitting"), _disc(1.0, "d-fitting-line")), 3, 3),
    "consumer-unit": Symbol(
        (_box(5.0, 2.4, "d-fitting"), ("M-1.5 -.6V.6M-.5 -.6V.6M.5 -.6V.6M1.5 -.6V.6", "d-fitting-line")),
        5.0,
        2.4,
        turns=True,
    ),
}
"""The symbol of each kind of fitting."""


_ALL: dict[str, Symbol] = {str(kind): symbol for symbols in (DEVICES, FITTINGS) for kind, symbol in symbols.items()}


def symbol_of(kind: str) -> Symbol:
    """Give the symbol of a kind of device or fitting."""
    return _ALL[kind]


def put(canvas: Canvas, layer: str, kind: str, at: tuple[float, float], turn: float = 0.0, **data: str) -> None:
    """Draw the symbol of a kind at a point of the paper; its shapes are kept once in the drawing."""
    part = "symbol-" + kind.replace(" ", "-")
    canvas.define(part, symbol_of(kind).shapes)
    canvas.use(layer, part, at, turn=turn, kind=kind, **data)
