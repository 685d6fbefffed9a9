"""The homes that the drawing tests draw, findings to mark on them, and how a drawing is read back."""

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

from shapely import box

from asfitted.drawing.cover import alarm_layer, coverage_layer
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.ground import Layer
from asfitted.drawing.plan import storey_plan
from asfitted.drawing.radio import radio_layer
from asfitted.drawing.room import room_diagram
from asfitted.drawing.section import ceiling_section
from asfitted.drawing.shifts import shifts_plan
from asfitted.drawing.sound import sound_layer
from asfitted.drawing.walks import entry_route, undetected_walk
from asfitted.drawing.wall import wall_elevation
from asfitted.drawing.ways_out import ways_out_layer
from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.model.home import Home
from asfitted.reckon.of_coverage import rooms_covered
from asfitted.reckon.of_home import Reckoned, reckoned
from asfitted.reckon.of_walks import route_working
from asfitted.reckon.undetected import weakest
from asfitted.record.reader import read_text
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Catalogue, Limit, Rule, SetFacts, Source, rule_of
from asfitted.rules.checks.clearance import keep_clear
from asfitted.rules.finding import Finding, Mark, Subject, Verdict
from asfitted.rules.placing import Ban, Candidate, Trial, Zone, surfaces, zone
from asfitted.rules.rule_set import RuleSet, rule_set

HERE = Path(__file__).parent
NAMES = ("terrace", "bungalow", "loft")
RECKONED = ("terrace", "bungalow")
"""The homes of which what is reckoned is drawn."""
KIND = "smoke alarm"
"""The kind of device for which the drawings of these tests show where it may go."""
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
    source = Source("common-practice", "common practice")
    limit = Limit("common", unit, source, "common practice", "advice", least=asked)
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
    """Draw a *plan*, *room* or *section* with its findings, *where* in a room or on a *wall*, or the *changes*."""
    return drawn(name, what, part)


def drawn(name: str, what: str, part: str, findings: tuple[Finding, ...] | None = None) -> Drawing:
    """Draw a part of a test home anew, with its findings or those given."""
    home, dwelling = home_of(name)
    marked = FINDINGS[name] if findings is None else findings
    if what == "reckoned":
        return pictures(name)[part]
    if what == "changes":
        from tests.drawing import changed

        plan = shifts_plan(dwelling, changed.before()[1], part, home, block_for(home, "Changes"), changed.shifts())
        assert plan is not None
        return plan
    if what == "plan":
        return storey_plan(dwelling, part, home, block_for(home, dwelling.storey(part).storey.called), marked)
    if what == "wall":
        (zone,) = zones_of(name, part)
        return wall_elevation(dwelling, home, block_for(home, zone.surface.called), zone, KIND)
    block = block_for(home, dwelling.rooms[part].room.called)
    if what == "where":
        return room_diagram(dwelling, part, home, block, zones=zones_of(name, part), kind=KIND)
    if what == "room":
        return room_diagram(dwelling, part, home, block, marked)
    drawing = ceiling_section(dwelling, part, home, block, marked)
    assert drawing is not None
    return drawing


@cache
def known_of(name: str) -> Reckoned:
    """Give what is reckoned of a test home on the day of the drawings."""
    return reckoned(*home_of(name), date(2026, 3, 5))


@cache
def pictures(name: str) -> dict[str, Drawing]:
    """Draw all that is reckoned of a test home, each by its name."""
    return {drawing.name: drawing for drawing in pictures_of(known_of(name))}


def layers_of(known: Reckoned, storey: str) -> dict[str, Layer]:
    """Give the layers of a storey of which there is something to show."""
    home, dwelling = known.home, known.dwelling
    covers = rooms_covered(dwelling, known.coverage)
    made = {
        "coverage": coverage_layer(dwelling, storey, home, known.coverage, covers),
        "alarms": alarm_layer(dwelling, storey, home, known.field),
        "radio": radio_layer(dwelling, storey, home, known.radio, 9.0, None),
        "sound": sound_layer(dwelling, storey, home, known.sound),
        "ways-out": ways_out_layer(dwelling, storey, home, known.ways, known.second_ways),
    }
    return {name: layer for name, layer in made.items() if layer}


def pictures_of(known: Reckoned) -> Iterator[Drawing]:
    """Draw all that is reckoned of a home; with no move proposed for its radio."""
    home, dwelling = known.home, known.dwelling
    for storey in dwelling.storeys:
        for name, layer in layers_of(known, storey.id).items():
            block = block_for(home, "Walks" if name == "ways-out" else storey.storey.called)
            yield layer.alone(dwelling, storey.id, home, block)
    block = block_for(home, "Walks")
    if route := weakest(known.walks):
        seconds = route_working(home, dwelling, route, known.on).result.value
        yield from undetected_walk(dwelling, home, block, route, seconds, known.coverage)
    for way in known.entries:
        yield from entry_route(dwelling, home, block, way)


@cache
def asked() -> RuleSet:
    """Give a few placing rules of these tests' own, so that no drawing changes with the catalogue."""
    fact = {"source": "common-practice", "status": "common practice", "severity": "advice"}
    words = dict.fromkeys(("says", "why", "measured", "remedy"), "")
    asks = {
        "walls": ("clear of walls", "clear-of", {"of": "walls"}, {"least": 0.5}),
        "lights": ("clear of lights", "clear-of", {"of": "fittings", "kinds": ["light"]}, {"least": 0.3}),
        "windows": ("clear of windows", "clear-of", {"of": "glazed"}, {"least": 0.8}),
        "band": ("height on a wall", "band", {}, {"least": 1.5, "most": 2.2}),
    }
    rules = {
        key: rule_of(
            "fire", key,
            {**words, "title": title, "applies-to": [KIND], "unit": "m", "check": check, "options": options,
             "limits": {"common": {**fact, **limit}}},
        )
        for key, (title, check, options, limit) in asks.items()
    }  # fmt: skip
    return rule_set(Catalogue(rules, {"common": SetFacts("common", "these tests", "")}), "common")


def band(rule: Rule, limit: Limit, trial: Trial) -> Iterator[Ban]:
    """Forbid of a wall what is below the least and above the greatest height."""
    if trial.surface.wall is not None:
        shape = trial.surface.outline.difference(trial.surface.between(limit.least or 0.0, limit.most or 9.0))
        yield Ban(rule, limit, "its height", shape)


def zones_of(name: str, part: str) -> list[Zone]:
    """Give the zones of the surfaces of a room, or of one of its walls, named as *room.wall*."""
    home, dwelling = home_of(name)
    room, _, wall = part.partition(".")
    case = Case(home, dwelling, date(2026, 3, 5), asked())
    placings = {"clear-of": keep_clear, "band": band}
    return [
        zone(Trial(case, Candidate(KIND), surface, 0.02), placings)
        for surface in surfaces(dwelling, dwelling.rooms[room])
        if not wall or surface.called == f"{wall} wall"
    ]


def every_part() -> Iterator[tuple[str, str, str]]:
    """Give home, kind and part of every drawing of the test homes."""
    yield from (("terrace", "changes", storey) for storey in ("ground", "first"))
    for name in NAMES:
        _, dwelling = home_of(name)
        yield from ((name, "plan", storey.id) for storey in dwelling.storeys)
        yield from ((name, "room", room) for room in dwelling.rooms)
        yield from ((name, "where", room) for room in dwelling.rooms)
        yield from ((name, "wall", f"{wall.room}.{wall.name}") for wall in next(iter(dwelling.rooms.values())).walls)
        yield from ((name, "reckoned", part) for part in pictures(name) if name in RECKONED)
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
