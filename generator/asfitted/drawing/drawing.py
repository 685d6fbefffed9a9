"""A finished drawing, and the stylesheet that colours it."""

from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class TitleBlock:
    """What stands in the title block: home, the firm's reference, what is shown, revision and day."""

    home: str
    reference: str
    subject: str
    revision: str
    on: date


@dataclass(frozen=True)
class Drawing:
    """A drawing on a sheet of ``width_mm`` by ``height_mm``, with what is on it in words.

    It is 1 to ``scale``; 0 for a chart, which has none.
    """

    name: str
    svg: str
    width_mm: float
    height_mm: float
    scale: int
    title: str
    description: str

    @property
    def inline(self) -> str:
        """The element for a page that carries :func:`stylesheet`: one block without blank lines."""
        return self.svg

    @property
    def alone(self) -> str:
        """A whole file that carries its own stylesheet."""
        head, rest = self.svg.split(">", 1)
        return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}>{_after_description(rest)}\n'


def _after_description(rest: str) -> str:
    """Set the stylesheet behind title and description, which must stay the first children."""
    described, drawn = rest.split("</desc>", 1)
    return f"{described}</desc><style>\n{stylesheet().strip()}\n</style>{drawn}"


@cache
def stylesheet() -> str:
    """Give the stylesheet of all drawings, for pages that show them inline."""
    return (files("asfitted.drawing") / "drawing.css").read_text(encoding="utf-8")
