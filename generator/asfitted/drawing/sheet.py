"""The sheet: the scale, where the drawing, legend, notes and title block go, north arrow and scale bar."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, radians, sin

from asfitted.drawing.canvas import Canvas, View, num, polyline
from asfitted.drawing.drawing import TitleBlock
from asfitted.drawing.lettering import SIZES, shortened, width_of, wrapped
from asfitted.drawing.samples import SAMPLES, draw_sample
from asfitted.drawing.symbols import put
from asfitted.drawing.words import capital
from asfitted.language import plain_figure, say

SCALES = (20, 25, 50, 75, 100, 200)
"""Scales from the largest; the usual ones of building drawings (ISO 5455), and 1:25 and 1:75, which rules carry."""
SHEETS = ((180.0, 257.0), (257.0, 180.0))
"""Width and height in mm of what prints on A4 within margins of 15 and 20 mm, upright and across."""

NARROWEST = 124.0
_EDGE = 4.0
_ROW = 5.8
_SYMBOL = 9.2
_LINE = 3.6
_SCALE_ROW = 11.5
BLOCK = 15.0
"""Millimetres that the title block takes, with the gap above it."""
_BAR = {20: (1.0, 4), 25: (1.0, 4), 50: (2.0, 4), 75: (3.0, 3), 100: (5.0, 5), 200: (10.0, 5)}
"""Length in metres of the scale bar at each scale, and into how many parts it is divided."""


@dataclass(frozen=True)
class Margins:
    """Paper kept free round the drawn part, in mm, for dimensions."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Entry:
    """One line of the legend: the kind whose symbol or sample it shows, its words, and the line of a sample."""

    kind: str
    words: str
    line: str = "fails"


@dataclass(frozen=True)
class Sheet:
    """A sheet laid out: its size in mm, the view of the plan on it, and the heights where its parts begin."""

    width: float
    height: float
    view: View
    legend: tuple[Entry, ...]
    columns: tuple[float, ...]
    notes: tuple[str, ...]
    drawn: tuple[float, float, float, float]
    below: float

    @property
    def inner(self) -> float:
        """The width between the edges."""
        return self.width - 2 * _EDGE


def lay_out(
    bounds: tuple[float, float, float, float], margins: Margins, legend: Sequence[Entry], notes: Sequence[str]
) -> Sheet:
    """Lay out a sheet at the largest scale at which it prints on A4.

    Args:
        bounds: west, south, east and north of what is drawn, in metres.
        margins: paper round it for dimensions.
        legend: what the legend names.
        notes: sentences below the legend.
    """
    for scale in SCALES:
        for across, down in SHEETS:
            for least in (NARROWEST, across):
                sheet = _at_scale(scale, bounds, margins, legend, notes, least)
                if sheet.width <= across and sheet.height <= down:
                    return sheet
    return _at_scale(SCALES[-1], bounds, margins, legend, notes, SHEETS[0][0])


def _columns(legend: Sequence[Entry], inner: float) -> tuple[float, ...]:
    """Give the widths of as many columns of the legend as stand side by side."""
    for count in range(min(6, len(legend)), 0, -1):
        rows = ceil(len(legend) / count)
        groups = [legend[start : start + rows] for start in range(0, len(legend), rows)]
        widths = [max(width_of(entry.words, "d-legend") for entry in group) + _SYMBOL + 3.0 for group in groups]
        if sum(widths) - 3.0 <= inner or count == 1:
            spare = max(0.0, (inner - sum(widths)) / len(widths))
            return tuple(width + min(spare, 8.0) for width in widths)
    return ()


def _at_scale(
    scale: int,
    bounds: tuple[float, float, float, float],
    margins: Margins,
    legend: Sequence[Entry],
    notes: Sequence[str],
    least: float,
) -> Sheet:
    west, south, east, north = bounds
    wide, high = (east - west) * 1000 / scale, (north - south) * 1000 / scale
    needed = _EDGE * 2 + margins.left + wide + margins.right
    width = ceil(max(needed, least))
    inner = width - 2 * _EDGE
    columns = _columns(legend, inner)
    lines = tuple(line for note in notes for line in wrapped(note, "d-note", inner))
    left = _EDGE + (inner - margins.left - wide - margins.right) / 2 + margins.left
    top = _EDGE + margins.top
    below = top + high + margins.bottom
    rows = ceil(len(legend) / len(columns)) if columns else 0
    height = (
        below
        + _SCALE_ROW
        + rows * _ROW
        + (1.0 if rows else 0.0)
        + len(lines) * _LINE
        + (1.5 if lines else 0.0)
        + BLOCK
        + _EDGE
    )
    view = View(scale, left - west * 1000 / scale, top + north * 1000 / scale)
    drawn = (_EDGE / 2, _EDGE / 2, width - _EDGE / 2, below)
    return Sheet(float(width), float(ceil(height)), view, tuple(legend), columns, lines, drawn, below)


def draw_sheet(canvas: Canvas, sheet: Sheet, block: TitleBlock, north: float | None) -> None:
    """Draw scale bar, north arrow, legend, notes and title block below the drawing.

    ``north`` is the compass bearing of the plan's upper edge in degrees, None for a section.
    """
    _scale_bar(canvas, sheet)
    if north is not None:
        _north_arrow(canvas, (sheet.width - _EDGE - 5.0, sheet.below + 4.8), north)
    y = sheet.below + _SCALE_ROW
    y = _legend(canvas, sheet, y)
    for line in sheet.notes:
        canvas.text("frame", (_EDGE, y + _LINE - 1.0), line, "d-note")
        y += _LINE
    title_block(canvas, (sheet.width, sheet.height), block, f"1:{sheet.view.scale}")


def _scale_bar(canvas: Canvas, sheet: Sheet) -> None:
    metres, parts = _BAR[sheet.view.scale]
    step = sheet.view.length(metres / parts)
    x, y = _EDGE, sheet.below + 4.6
    for part in range(parts):
        left = x + part * step
        box = f"M{num(left)} {num(y)}h{num(step)}v1.4h{num(-step)}Z"
        canvas.path("frame", box, "d-bar" if part % 2 == 0 else "d-bar-open")
    for share in (0, parts // 2 if parts % 2 == 0 else 1, parts):
        metre = metres * share / parts
        words = f"{plain_figure(metre)} m" if share == parts else plain_figure(metre)
        anchor = "start" if share == 0 else "middle"
        canvas.text("frame", (x + share * step, y - 0.9), words, "d-word", anchor=anchor)


def _north_arrow(canvas: Canvas, centre: tuple[float, float], plan_north: float) -> None:
    """Point to true north: the plan's upper edge looks to ``plan_north``, so north lies that far anticlockwise."""
    turn = radians(-plan_north)
    ux, uy = sin(turn), -cos(turn)
    x, y = centre

    def at(along: float, side: float) -> tuple[float, float]:
        return x + ux * along - uy * side, y + uy * along + ux * side

    canvas.circle("frame", centre, 3.4, "d-rule-thin")
    canvas.path(
        "frame", polyline([at(3.4, 0), at(-2.4, 1.5), at(-1.5, 0)], closed=True), "d-bar", north=num(-plan_north)
    )
    canvas.path("frame", polyline([at(3.4, 0), at(-2.4, -1.5), at(-1.5, 0)], closed=True), "d-bar-open")
    tip = at(5.0, 0)
    canvas.text("frame", (tip[0], tip[1] + 0.85), say("N"), "d-word", anchor="middle")


def _legend(canvas: Canvas, sheet: Sheet, top: float) -> float:
    if not sheet.legend:
        return top
    canvas.line("frame", [(_EDGE, top - 1.0), (sheet.width - _EDGE, top - 1.0)], "d-rule-thin")
    rows = ceil(len(sheet.legend) / len(sheet.columns))
    for index, entry in enumerate(sheet.legend):
        column, row = divmod(index, rows)
        x, y = _EDGE + sum(sheet.columns[:column]), top + row * _ROW + _ROW / 2 - 0.2
        draw_entry(canvas, entry, (x, y))
        canvas.text("frame", (x + _SYMBOL, y + SIZES["d-legend"] * 0.35), entry.words, "d-legend")
    return top + rows * _ROW + 1.0


def draw_entry(canvas: Canvas, entry: Entry, at: tuple[float, float]) -> None:
    """Draw the symbol or sample of a line of the legend, from a left edge and in the middle of a row."""
    x, y = at
    if entry.kind in SAMPLES:
        draw_sample(canvas, entry.kind, x + 1.0, y, entry.line)
    else:
        turned = entry.kind == "motion detector"
        put(canvas, "frame", entry.kind, (x + 4.3, y + (2.0 if turned else 0.0)), legend=entry.kind)


def entry_alone(name: str, entry: Entry) -> str:
    """Give the symbol or sample of a line of the legend as an element of its own, for a page that has the words."""
    canvas = Canvas(name, _SYMBOL - 0.4, _ROW, "", "")
    draw_entry(canvas, entry, (0.0, _ROW / 2))
    return canvas.svg()


def title_block(canvas: Canvas, size: tuple[float, float], block: TitleBlock, scale: str) -> None:
    """Draw the title block along the lower edge of a sheet of a width and height in mm."""
    width, height = size
    top, left, right = height - _EDGE - BLOCK + 0.6, _EDGE, width - _EDGE
    bottom = height - _EDGE
    middle = (top + bottom) / 2
    inner_width = width - 2 * _EDGE
    stops = [left, left + inner_width * 0.44, left + inner_width * 0.775, right]
    canvas.path("frame", polyline([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True), "d-rule")
    inner = polyline([(left, middle), (right, middle)])
    inner += "".join(polyline([(x, top), (x, bottom)]) for x in stops[1:3])
    canvas.path("frame", inner, "d-rule-thin")
    cells = (
        ((say("Home"), block.home), (say("Reference"), block.reference), (say("Scale"), scale)),
        (
            (say("Subject"), capital(block.subject)),
            (say("Revision"), block.revision),
            (say("Date"), block.on.isoformat()),
        ),
    )
    for y, row in zip((top, middle), cells, strict=True):
        for x, end, (caption, value) in zip(stops, stops[1:], row, strict=False):
            kind = "d-value d-strong" if x == left else "d-value"
            canvas.text("frame", (x + 1.4, y + 2.4), caption, "d-caption")
            if width_of(value, kind) > end - x - 2.4:
                kind = "d-value d-small"
            canvas.text("frame", (x + 1.4, y + 5.9), shortened(value, kind, end - x - 2.4), kind)
