"""Labels: a printable A4 sheet with a QR code, tag and kind a device, at sizes in millimetres."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING
from urllib.parse import quote

from markupsafe import Markup

from asfitted.drawing.canvas import num
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.render import render
from asfitted.pages.wording import sentence

if TYPE_CHECKING:
    from segno import QRCode

PAPER = (210.0, 297.0)
"""A4 in mm (ISO 216)."""
EDGE = 5.0
"""Millimetres along the edge of the paper that many printers leave blank (common practice, no source)."""
QUIET = 4
"""Modules kept blank round a QR code (ISO/IEC 18004, as quoted by GS1 UK, "How big should a QR code be": read)."""
LEAST_MODULE = 0.396
"""The smallest module in mm (GS1 General Specifications, 5.12.3.1, as quoted by GS1 UK: read); that is for a scanner at
a till, and holds here for want of a figure for telephones."""
CORRECTION = "M"
"""Error correction level: about 15 % of the code words may be spoiled (ISO/IEC 18004, from memory)."""
WORDS = 19.0
"""Millimetres that tag, kind and home need beside the code."""
_GIVEN = re.compile(r"(\d{1,2})x(\d{1,2}) of (\d{1,3}(?:\.\d+)?)x(\d{1,3}(?:\.\d+)?)")


class NoLabels(Exception):  # noqa: N818 - says what happened
    """No sheet can be made; carries why, and what to do."""


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """How many labels stand across and down, and the width and height of one in mm."""

    columns: int
    rows: int
    width: float
    height: float

    @property
    def left(self) -> float:
        """The margin at the left in mm."""
        return (PAPER[0] - self.columns * self.width) / 2

    @property
    def top(self) -> float:
        """The margin at the top in mm."""
        return (PAPER[1] - self.rows * self.height) / 2

    @property
    def words(self) -> str:
        """It in words, as the command line takes it."""
        return f"{self.columns}x{self.rows} of {self.width:g}x{self.height:g}"


@dataclass(frozen=True, slots=True)
class Label:
    """One label: its place on the sheet in mm, its code as an svg element, and what stands beside it."""

    left: float
    top: float
    code: Markup
    tag: str
    kind: str


def label_sheet(words: str) -> LabelSheet:
    """Give a sheet by its name, or by its grid and the size of a label: ``3x8 of 60x32``.

    Raises:
        NoLabels: for a name that is none, or a grid that is larger than the paper.
    """
    known = sheets()
    given = _GIVEN.fullmatch(words.strip())
    if given is None and words not in known:
        raise NoLabels(f"{words!r} is no label sheet; write one of {', '.join(known)}, or as 3x8 of 60x32, in mm")
    sheet = (
        known[words] if given is None else LabelSheet(int(given[1]), int(given[2]), float(given[3]), float(given[4]))
    )
    if not (sheet.columns and sheet.rows and sheet.width and sheet.height):
        raise NoLabels("a sheet has at least one label, and a label has a size")
    if sheet.left < EDGE or sheet.top < EDGE:
        raise NoLabels(f"{sheet.words} mm does not fit on A4 with {EDGE:g} mm left free at the edges")
    return sheet


@cache
def sheets() -> Mapping[str, LabelSheet]:
    """Give the sheets that have a name."""
    data = tomllib.loads((files("asfitted.pages") / "data" / "labels.toml").read_text(encoding="utf-8"))
    return {name: LabelSheet(**fields) for name, fields in data.items()}


def says(home: str, tag: str, firm: Firm) -> str:
    """Give what the code of a device says: the address of its card on the household's site, or else home and tag.

    Args:
        home: the home's id.
        tag: the device's.
        firm: whose base address for the households' sites counts, where there is one.
    """
    if firm.sites:
        return f"{firm.sites.rstrip('/')}/{quote(home)}/devices.html#{quote(tag.lower())}"
    return f"{home} {tag}"


def labels_page(dossier: Dossier, firm: Firm, sheet: LabelSheet) -> str:
    """Write the labels of a home, one a device in the order of the record, as a print-ready page.

    Args:
        dossier: the home.
        firm: whose base address for the households' sites counts, where there is one.
        sheet: how the labels stand on the paper.

    Raises:
        NoLabels: when a label is too small for a code that can be read, or there is no device.
    """
    devices = dossier.home.devices
    if not devices:
        raise NoLabels("the home has no device to label")
    told = {tag: says(dossier.id, tag, firm) for tag in devices}
    code = min(sheet.height - 2.0, sheet.width - WORDS)
    modules = max(_modules(text) for text in told.values()) + 2 * QUIET
    least = LEAST_MODULE * modules
    if code < least:
        raise NoLabels(
            f"a label of {sheet.width:g} x {sheet.height:g} mm is too small: its code needs {least + 0.05:.1f} mm, so "
            f"take labels of at least {least + WORDS + 0.05:.1f} x {least + 2.05:.1f} mm, or a shorter address"
        )
    module = code / modules
    pages: list[list[Label]] = []
    for number, (tag, device) in enumerate(devices.items()):
        row, column = divmod(number % (sheet.columns * sheet.rows), sheet.columns)
        if not row and not column:
            pages.append([])
        left, top = sheet.left + column * sheet.width, sheet.top + row * sheet.height
        pages[-1].append(Label(left, top, _code(told[tag], module, f"Code of {tag}"), tag, sentence(device.kind)))
    return render(
        "labels.html",
        style=Markup((files("asfitted.pages") / "assets" / "labels.css").read_text(encoding="utf-8")),  # noqa: S704 - ours
        home=dossier.id,
        on=dossier.on,
        language=dossier.home.home.language,
        pages=pages,
        sheet=sheet,
        code=code,
        module=module,
        quiet=QUIET,
        correction=CORRECTION,
        addressed=bool(firm.sites),
        marks=_marks(sheet),
    )


def _modules(text: str) -> int:
    """Give the modules along a side of the code of a text, without the quiet zone."""
    return int(_made(text).symbol_size(border=0)[0])


def _made(text: str) -> "QRCode":
    import segno

    return segno.make_qr(text, error=CORRECTION, boost_error=False)


def _code(text: str, module: float, title: str) -> Markup:
    """Draw the code of a text at a module in mm, quiet zone and all."""
    drawn: str = _made(text).svg_inline(
        scale=1,
        border=QUIET,
        omitsize=True,
        title=title,
        svgclass="code",
        lineclass=None,
        dark="#000000",
        light="#ffffff",
    )
    size = num(module * (_modules(text) + 2 * QUIET))
    sized = drawn.replace("<svg ", f'<svg width="{size}mm" height="{size}mm" ', 1)
    return Markup(sized)  # noqa: S704 - the library's, with a title of ours


def _marks(sheet: LabelSheet) -> str:
    """Give the path of the cut marks: along the edges of the grid, outside it, at every cut, 1 mm off and 3 mm long."""
    right, bottom = PAPER[0] - sheet.left, PAPER[1] - sheet.top
    across = [sheet.left + column * sheet.width for column in range(sheet.columns + 1)]
    down = [sheet.top + row * sheet.height for row in range(sheet.rows + 1)]
    path = [f"M{num(x)} {num(y)}v3" for x in across for y in (sheet.top - 4.0, bottom + 1.0)]
    path += [f"M{num(x)} {num(y)}h3" for y in down for x in (sheet.left - 4.0, right + 1.0)]
    return "".join(path)
