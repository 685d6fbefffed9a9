"""What falls short, on the plan: the clear distance that is not kept, where, and which way to move."""

from collections.abc import Sequence
from math import hypot

from asfitted.drawing.canvas import XY, Canvas, View, num
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.lines import arrow, dimension
from asfitted.drawing.sheet import Entry
from asfitted.dwelling.shapes import Dwelling
from asfitted.rules.finding import Finding, Mark, Verdict

SHOWN = {Verdict.FAILS: "fails", Verdict.BORDERLINE: "borderline"}
"""The verdicts that a drawing shows, and the name of their line."""


def shown_here(
    findings: Sequence[Finding], dwelling: Dwelling, *, storey: str | None = None, room: str | None = None
) -> list[Finding]:
    """Give the findings with a mark, of the verdicts shown, that are about a storey or a room."""
    kept = []
    for finding in findings:
        if finding.mark is None or finding.verdict not in SHOWN:
            continue
        subject = finding.subject
        spot = dwelling.spots.get(subject.id) if subject.kind == "device" else None
        in_room = subject.room or (subject.id if subject.kind == "room" else spot.room if spot else None)
        on_storey = subject.storey or (dwelling.rooms[in_room].storey if in_room in dwelling.rooms else None)
        if (room is None or in_room == room) and (storey is None or on_storey == storey):
            kept.append(finding)
    return kept


def legend_of(findings: Sequence[Finding]) -> list[Entry]:
    """Give the lines of the legend for the findings shown."""
    verdicts = {finding.verdict for finding in findings}
    words = {Verdict.FAILS: "does not conform", Verdict.BORDERLINE: "borderline"}
    return [Entry(SHOWN[verdict], words[verdict], mark=True) for verdict in SHOWN if verdict in verdicts]


def draw_findings(canvas: Canvas, view: View, findings: Sequence[Finding], taken: Taken, beside: float = 0.0) -> None:
    """Draw the marks of findings; the same mark of two findings once.

    ``beside`` is how far in mm the found distance is drawn beside its line, where a tape's distance may run along it.
    """
    seen: set[tuple[object, ...]] = set()
    for finding in findings:
        mark = finding.mark
        assert mark is not None
        key = (mark.at, mark.towards, mark.radius, mark.move_to, mark.zone.wkb if mark.zone else None)
        if key not in seen:
            seen.add(key)
            _mark(canvas, view, mark, SHOWN[finding.verdict], taken, beside)


def _mark(canvas: Canvas, view: View, mark: Mark, line: str, taken: Taken, beside: float) -> None:
    at = view.at(mark.at)
    kind = f"d-mark d-mark-{line}"
    if mark.zone is not None and not mark.zone.is_empty:
        outline = view.path(mark.zone)
        canvas.hatched("clearances", outline, "d-mark-hatch")
        canvas.path("clearances", outline, kind)
    if mark.radius:
        canvas.circle("clearances", at, view.length(mark.radius), kind, radius=num(mark.radius))
    if mark.towards is not None:
        end = view.at(mark.towards)
        found = hypot(mark.towards[0] - mark.at[0], mark.towards[1] - mark.at[1])
        start, end = _moved_aside(canvas, at, end, beside) if beside else (at, end)
        dimension(
            canvas,
            start,
            end,
            f"{found:.2f}",
            taken,
            layer="clearances",
            line="d-mark",
            tick="d-mark",
            letters="d-mark-figure",
        )
    if mark.move_to is not None:
        end = view.at(mark.move_to)
        arrow(canvas, "clearances", at, end, "d-mark", "d-mark-head")
        canvas.circle("clearances", end, 0.9, "d-mark")
        taken.take(Box.over([at, end], 0.8), 1.0)


def _moved_aside(canvas: Canvas, start: XY, end: XY, off: float) -> tuple[XY, XY]:
    """Move a line sideways by mm, and join its ends to where they were."""
    long = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    nx, ny = -(end[1] - start[1]) / long * off, (end[0] - start[0]) / long * off
    moved = (start[0] + nx, start[1] + ny), (end[0] + nx, end[1] + ny)
    for old, new in zip((start, end), moved, strict=True):
        canvas.line("clearances", [old, new], "d-mark-thin")
    return moved
