"""What falls short, on the plan: the clear distance that is not kept, where, and which way to move."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from asfitted.drawing.canvas import XY, Canvas, View, num
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.lines import arrow, label_along, ticked_line
from asfitted.drawing.sheet import Entry
from asfitted.dwelling.shapes import Dwelling
from asfitted.rules.finding import Finding, Mark, Verdict

SHOWN = {Verdict.FAILS: "fails", Verdict.BORDERLINE: "borderline"}
"""The verdicts that a drawing shows, and the name of their line."""

WORDS = {
    "ring": "clearance asked",
    "found": "distance found",
    "sight": "line of sight",
    "move": "move to",
    "zone": "may go here",
}
"""The parts of marks, and what the legend says of them."""

_FIGURE = 8.0
_FARTHER = (2.6, 4.4, 6.2, 8.0)


@dataclass(frozen=True)
class Told:
    """A distance whose figure a mark gives: where it runs on paper, and the figure."""

    start: XY
    end: XY
    figure: str


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


def legend_of(findings: Sequence[Finding], drawn: frozenset[str] = frozenset(WORDS)) -> list[Entry]:
    """Give the lines of the legend for the findings shown, of whose marks only some parts may be ``drawn``."""
    verdicts = {finding.verdict for finding in findings}
    words = {Verdict.FAILS: "does not conform", Verdict.BORDERLINE: "borderline"}
    lines = {
        part: SHOWN[finding.verdict]
        for finding in sorted(findings, key=lambda finding: -finding.verdict.rank)
        for part in _parts(finding)
    }
    return [
        *(Entry(SHOWN[verdict], words[verdict]) for verdict in SHOWN if verdict in verdicts),
        *(Entry(part, WORDS[part], lines[part]) for part in WORDS if part in lines and part in drawn),
    ]


def _parts(finding: Finding) -> Iterator[str]:
    """Give of what parts the mark of a finding is made."""
    mark = finding.mark
    assert mark is not None
    if mark.radius:
        yield "ring"
    if mark.towards is not None:
        yield "found" if figure_of(finding) else "sight"
    if mark.move_to is not None:
        yield "move"
    if mark.zone is not None and not mark.zone.is_empty:
        yield "zone"


def figure_of(finding: Finding) -> str:
    """Give the distance found as it stands on the mark; nothing where the finding is about an angle.

    What is longer than it looks from above was measured along the slope of the ceiling.
    """
    mark = finding.mark
    if mark is None or mark.towards is None or finding.limit.unit != "m":
        return ""
    level = hypot(mark.towards[0] - mark.at[0], mark.towards[1] - mark.at[1])
    found = level if finding.found is None else finding.found
    return f"{found:.2f} on the slope" if found > level + 0.005 else f"{found:.2f}"


def draw_findings(
    canvas: Canvas, view: View, findings: Sequence[Finding], inside: str, taken: Taken, beside: float = 0.0
) -> list[Told]:
    """Draw the marks of findings; the same mark of two findings once.

    Args:
        canvas: what is drawn on.
        view: the plan on paper.
        findings: those shown, each with a mark.
        inside: path data of what is inside the walls; a clear distance shows only there.
        taken: what else is on the paper.
        beside: how far in mm the found distance is drawn beside its line, where a tape's distance may run along it.

    Returns:
        The distances found, as told.
    """
    canvas.window("rings", inside)
    seen: set[tuple[object, ...]] = set()
    told = []
    for finding in findings:
        mark = finding.mark
        assert mark is not None
        figure = figure_of(finding)
        key = (mark.at, mark.towards, figure, mark.radius, mark.move_to, mark.zone.wkb if mark.zone else None)
        if key in seen:
            continue
        seen.add(key)
        _mark(canvas, view, mark, SHOWN[finding.verdict], taken)
        if mark.towards is not None:
            start, end = view.at(mark.at), view.at(mark.towards)
            if figure:
                _found(canvas, start, end, figure, taken, beside)
                told.append(Told(start, end, figure))
            else:
                canvas.line("clearances", [start, end], "d-mark d-mark-sight")
                taken.take(Box.over([start, end], 0.2), 0.3)
    return told


def _mark(canvas: Canvas, view: View, mark: Mark, line: str, taken: Taken) -> None:
    at = view.at(mark.at)
    kind = f"d-mark d-mark-{line}"
    if mark.zone is not None and not mark.zone.is_empty:
        outline = view.path(mark.zone)
        canvas.hatched("clearances", outline, "d-mark-hatch")
        canvas.path("clearances", outline, kind)
    if mark.radius:
        canvas.circle("clearances", at, view.length(mark.radius), kind, within="rings", radius=num(mark.radius))
    if mark.move_to is not None:
        end = view.at(mark.move_to)
        arrow(canvas, "clearances", at, end, "d-mark", "d-mark-head")
        canvas.circle("clearances", end, 0.9, "d-mark")
        taken.take(Box.over([at, end], 0.8), 1.0)


def _found(canvas: Canvas, start: XY, end: XY, figure: str, taken: Taken, beside: float) -> None:
    """Draw the distance found; its figure goes where no symbol covers it, with a leader where that is far."""
    if hypot(end[0] - start[0], end[1] - start[1]) < 0.01:
        return
    start, end = _moved_aside(canvas, start, end, beside) if beside else (start, end)
    ticked_line(canvas, "clearances", start, end, "d-mark", "d-mark")
    place = label_along(
        canvas, "text", start, end, figure, "d-mark-figure", taken, gap=0.8, farther=_FARTHER, weight=_FIGURE
    )
    taken.take(Box.over([start, end], 0.2), 0.5)
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    near = min(max(middle[0], place.left), place.right), min(max(middle[1], place.top), place.bottom)
    if Box.over([start, end]).gap(place) > 1.5:
        canvas.line("clearances", [middle, near], "d-mark-thin")


def _moved_aside(canvas: Canvas, start: XY, end: XY, off: float) -> tuple[XY, XY]:
    """Move a line sideways by mm, and join its ends to where they were."""
    long = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    nx, ny = -(end[1] - start[1]) / long * off, (end[0] - start[0]) / long * off
    moved = (start[0] + nx, start[1] + ny), (end[0] + nx, end[1] + ny)
    for old, new in zip((start, end), moved, strict=True):
        canvas.line("clearances", [old, new], "d-mark-thin")
    return moved
