"""The homes that the drawing tests draw, findings to mark on them, and how a drawing is read back."""

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

from shapely import box

from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.plan import storey_plan
from asfitted.drawing.room import room_diagram
from asfitted.drawing.section import ceiling_section
from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.model.home import Home
from asfitted.record.reader import read_text
from asfitted.rules.catalogue import Limit, Rule, Source
from asfitted.rules.finding import Finding, Mark, Subject, Verdict

HERE = Path(__file__).parent
NAMES = ("terrace", "bungalow", "loft")
XY = tuple[float, float]


def lay_out(text: bytes) -> tuple[Home, Dwelling]:
    """Read a record and lay the home out."""
    reading = read_text(text, Path("record.yml"))
    assert reading.home is not None, [trouble.sentence for trouble in reading.troubles]
    dwelling, problems = survey(reading.home)
    assert dwelling is not None, problems
    return reading.home, dwelling


@cache
def home_of(name: str) -> tuple[Home, Dwelling]:
    """Give one of the test homes."""
    return lay_out((HERE / f"{name}.yml").read_bytes())


def block_for(home: Home, subject: str) -> TitleBlock:
    """Give a title block of a fixed revision and day."""
    return TitleBlock(home.home.label, home.home.reference or "", subject, "a1b2c3d of 2026-03-04", date(2026, 3, 5))


def finding(
    tag: str,
    mark: Mark,
    verdict: Verdict = Verdict.FAILS,
    says: str = "Too near.",
    *,
    unit: str = "m",
    asked: float = 0.5,
    found: float | None = None,
) -> Finding:
    """Give a finding about a device, with a mark."""
    limit = Limit("common", asked, unit, Source("common-practice", "common practice"), "common practice", "advice")
    rule = Rule("clear", "fire", "clear", "Clear.", "", "", "", ("smoke alarm",), "clear", {}, {"common": limit})
    return Finding(rule, limit, Subject("device", tag, tag), verdict, says, "", ("devices", tag), found, mark=mark)


FINDINGS: dict[str, tuple[Finding, ...]] = {
    "terrace": (
        finding("SA2", Mark((3.0, 1.95), radius=0.5, towards=(1.9, 1.95), move_to=(3.4, 2.6))),
        finding("HA1", Mark((2.05, 5.85), radius=0.3, zone=box(0, 5.5, 1.0, 7.3)), Verdict.BORDERLINE),
    ),
    "bungalow": (),
    "loft": (finding("SA1", Mark((4.0, 2.5), radius=0.68, move_to=(4.0, 2.8)), asked=1.0),),
}


@cache
def draw(name: str, what: str, part: str) -> Drawing:
    """Draw a *plan*, *room* or *section* of a test home with its findings."""
    return drawn(name, what, part)


def drawn(name: str, what: str, part: str, findings: tuple[Finding, ...] | None = None) -> Drawing:
    """Draw a part of a test home anew, with its findings or those given."""
    home, dwelling = home_of(name)
    marked = FINDINGS[name] if findings is None else findings
    if what == "plan":
        return storey_plan(dwelling, part, home, block_for(home, dwelling.storey(part).storey.called), marked)
    block = block_for(home, dwelling.rooms[part].room.called)
    if what == "room":
        return room_diagram(dwelling, part, home, block, marked)
    drawing = ceiling_section(dwelling, part, home, block, marked)
    assert drawing is not None
    return drawing


def every_part() -> Iterator[tuple[str, str, str]]:
    """Give home, kind and part of every drawing of the test homes."""
    for name in NAMES:
        _, dwelling = home_of(name)
        yield from ((name, "plan", storey.id) for storey in dwelling.storeys)
        yield from ((name, "room", room) for room in dwelling.rooms)
        yield from ((name, "section", room.id) for room in dwelling.rooms.values() if not room.ceiling.is_flat)


def parsed(svg: str) -> ET.Element:
    """Parse a drawing of our own."""
    return ET.fromstring(svg.encode())  # noqa: S314 - drawn by this test run


def elements(drawing: Drawing) -> list[ET.Element]:
    """Parse a drawing and give all its elements, their names without the namespace."""
    found = list(parsed(drawing.svg).iter())
    for element in found:
        element.tag = element.tag.rpartition("}")[2]
    return found


def having(drawing: Drawing, **data: str) -> list[ET.Element]:
    """Give the elements with some data attributes, or with some class."""
    wanted = {("class" if key == "class_" else f"data-{key}"): value for key, value in data.items()}
    return [e for e in elements(drawing) if all(e.get(key) == value for key, value in wanted.items())]


def points(d: str) -> list[XY]:
    """Give the corners of straight path data."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", d)]


def moved_to(element: ET.Element) -> XY:
    """Give where a symbol was put."""
    match = re.match(r"translate\((-?[\d.]+) (-?[\d.]+)\)", element.get("transform", ""))
    assert match
    return float(match[1]), float(match[2])
