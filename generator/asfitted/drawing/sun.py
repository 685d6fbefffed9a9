"""The year of the sun on a motion detector, month by hour: in each cell a bar as high as its share, and the hours."""

from datetime import date

from asfitted.drawing.canvas import Canvas, num, polyline
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.lettering import wrapped
from asfitted.drawing.sheet import BLOCK, title_block
from asfitted.drawing.words import sentences
from asfitted.reckon.sun import Exposure

MONTHS = ("January", "February", "March", "April", "May", "June",
          "July", "August", "September", "October", "November", "December")  # fmt: skip
WIDE, HIGH = 6.0, 7.0
"""Size in mm of a cell: an hour of a month."""
_LEFT, _TOP, _EDGE, _SUM = 11.0, 13.0, 4.0, 11.0
_LEAST = 0.05
"""Hours a month from which a cell is told."""


def sun_chart(tag: str, exposure: Exposure, year: int, block: TitleBlock) -> Drawing:
    """Draw when direct sun falls on a detector, by month and hour of the clock without summer time.

    Args:
        tag: the detector.
        exposure: the sun on it over a year.
        year: which one.
        block: what stands in the title block.
    """
    title = f"Direct sun on {tag} through the year, {block.home}"
    clock = f"Clock time without summer time, {exposure.offset:+.0f} h from UTC." if exposure.offset else _UTC
    notes = [
        "Figures: hours of direct sun in that hour of the day, over the month. A full bar: the sun every day.",
        f"{clock} A clear sky on every day.",
    ]
    width = _EDGE * 2 + _LEFT + 24 * WIDE + _SUM
    lines = [line for note in notes for line in wrapped(note, "d-note", width - 2 * _EDGE)]
    below = _EDGE + _TOP + 12 * HIGH
    height = below + 6.0 + len(lines) * 3.6 + BLOCK + _EDGE
    description = sentences([*_says(tag, exposure), *notes])
    canvas = Canvas(f"sun-{tag}", width, height, title, description)
    left, top = _EDGE + _LEFT, _EDGE + _TOP
    canvas.text("text", (left + 12 * WIDE, _EDGE + 3.2), "hour of the day", "d-legend", anchor="middle")
    canvas.text("text", (left + 24 * WIDE + _SUM / 2, top - 5.2), "hours", "d-legend", anchor="middle")
    for hour in range(25):
        x = left + hour * WIDE
        canvas.line("structure", [(x, top), (x, below)], "d-rule-thin")
        if hour % 2 == 0:
            canvas.text("text", (x, top - 1.4), str(hour), "d-legend", anchor="middle")
    for month, row in enumerate(exposure.matrix):
        _month(canvas, (left, top + month * HIGH), month, year, row)
    canvas.line("structure", [(left, below), (left + 24 * WIDE, below)], "d-rule-thin")
    whole = f"{exposure.hours:.0f}"
    canvas.text("text", (left + 24 * WIDE + _SUM / 2, below + 4.2), whole, "d-value d-strong", anchor="middle")
    canvas.text("text", (left + 24 * WIDE - 1.0, below + 4.2), f"hours in {year}", "d-legend", anchor="end")
    for number, line in enumerate(lines):
        canvas.text("frame", (_EDGE, below + 8.4 + number * 3.6), line, "d-note")
    title_block(canvas, (width, height), block, "none")
    return Drawing(canvas.name, canvas.svg(), width, height, 0, title, description)


_UTC = "Clock time is UTC."


def days_in(month: int, year: int) -> int:
    """Give the days of a month, 0 for January."""
    following = date(year + month // 11, (month + 1) % 12 + 1, 1)
    return (following - date(year, month + 1, 1)).days


def _month(canvas: Canvas, corner: tuple[float, float], month: int, year: int, row: tuple[float, ...]) -> None:
    left, top = corner
    bottom = top + HIGH
    canvas.line("structure", [(left, top), (left + 24 * WIDE, top)], "d-rule-thin")
    canvas.text("text", (left - 1.4, top + HIGH / 2 + 0.9), MONTHS[month][:3], "d-legend", anchor="end")
    for hour, hours in enumerate(row):
        if hours < _LEAST:
            continue
        x, high = left + hour * WIDE, min(hours / days_in(month, year), 1.0) * HIGH
        corners = [(x, bottom), (x + WIDE, bottom), (x + WIDE, bottom - high), (x, bottom - high)]
        canvas.path(
            "coverage", polyline(corners, closed=True), "d-sun", month=str(month + 1), hour=str(hour), hours=num(hours)
        )
        words = f"{hours:.0f}" if hours >= 1 else f"{hours:.1f}"
        canvas.text("text", (x + WIDE / 2, top + HIGH / 2 + 0.9), words, "d-figure", anchor="middle")
    if (total := sum(row)) >= _LEAST:
        words = f"{total:.0f}" if total >= 1 else f"{total:.1f}"
        canvas.text("text", (left + 24 * WIDE + _SUM / 2, top + HIGH / 2 + 0.9), words, "d-value", anchor="middle")


def _says(tag: str, exposure: Exposure) -> list[str]:
    said = [f"Direct sun falls on {tag} for {exposure.hours:.0f} hours a year."]
    for name, row in zip(MONTHS, exposure.matrix, strict=True):
        lit = [hour for hour, hours in enumerate(row) if hours >= _LEAST]
        if lit:
            said.append(f"{name}: {sum(row):.1f} hours, between {lit[0]} and {lit[-1] + 1} o'clock.")
    if (worst := exposure.worst) is not None:
        start, end = (f"{int(m) // 60:02d}:{int(m) % 60:02d}" for m in (worst.first, worst.last))
        said.append(f"Most on one day: {worst.minutes:.0f} minutes on {worst.day.isoformat()}, {start} to {end}.")
    return said
