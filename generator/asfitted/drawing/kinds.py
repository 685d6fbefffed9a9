"""The symbols of some kinds of device, each with its name: for a page about the kinds and not about a place."""

from collections.abc import Sequence

from asfitted.drawing.canvas import Canvas
from asfitted.drawing.drawing import Drawing
from asfitted.drawing.symbols import put
from asfitted.model.words import DEVICE_KINDS

__all__ = ["DEVICE_KINDS", "kind_symbols"]

_ROW, _WIDTH = 9.0, 60.0


def kind_symbols(kinds: Sequence[str], title: str) -> Drawing:
    """Draw the symbols of kinds of device, one a row.

    Args:
        kinds: the kinds, as the record names them.
        title: what the drawing is about.
    """
    description = f"Symbols of the devices that the rule is about: {', '.join(kinds)}."
    height = _ROW * len(kinds) + 2.0
    canvas = Canvas("kinds", _WIDTH, height, title, description)
    for number, kind in enumerate(kinds):
        y = 1.0 + _ROW * (number + 0.5)
        put(canvas, "devices", kind, (6.0, y))
        canvas.text("text", (13.0, y + 1.0), kind, "d-legend")
    return Drawing(canvas.name, canvas.svg(), _WIDTH, height, 1, title, description)
