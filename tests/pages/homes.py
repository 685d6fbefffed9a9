"""Homes for the tests of the pages: one ordinary, one whose every free text is hostile."""

from datetime import date
from pathlib import Path

from asfitted.dwelling.survey import survey
from asfitted.model.home import Home
from asfitted.pages.dossier import Dossier, Firm, Revision
from asfitted.record.reader import read_text
from asfitted.rules.catalogue import catalogue
from asfitted.rules.finding import Finding
from asfitted.rules.rule_set import rule_set
from asfitted.upkeep.schedule import schedule

ON = date(2026, 3, 10)
FIRM = Firm("Lantern & Latch", "01632 960 123", "Weekdays, 8 to 17", "112", "Outside these hours, leave a message.")

RECORD = """
record: 1
home: {label: House by the mill, reference: LL-7, place: [54.0, -2.8]}
storeys:
  - id: ground
    height: 2.40
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [1.80, 4.20]}
      - {id: living, name: living room, use: living, beside: "east of hall, flush south", size: [4.60, 3.90]}
    openings:
      - {door: hall south, id: front-door, from-west: 0.45, width: 0.90, to: outside, leaf: steel, hinge: west}
      - {window: living south, id: w1, from-west: 1.10, width: 1.80, sill: 0.85, height: 1.20}
      - {door: hall - living, id: ld, from-south: 1.20, width: 0.80}
  - id: first
    height: {ridged: {low: 1.90, high: 3.05, ridge: east-west}}
    rooms:
      - {id: bedroom, use: bedroom, corner: [0, 0], size: [6.50, 4.20]}
devices:
  SA1: {kind: smoke alarm, on: ceiling of living, from-west: 1.60, from-south: 1.95, made: 2025-11, battery: "sealed, 10 years", linked: [SA2], serial: 77-0042}
  SA2: {kind: smoke alarm, on: ceiling of bedroom, from-west: 3.00, from-south: 1.00, made: 2025-11, battery: "sealed, 10 years", linked: [SA1]}
  CO1: {kind: carbon monoxide alarm, in: living, wall: east, from-south: 0.80, height: 1.70, made: 2026-01, battery: "2 x AA, 2 years"}
  MD1: {kind: motion detector, in: living, corner: south-east, height: 210 cm}
  OC1: {kind: opening contact, on: front-door, gap: 9 mm, edge: lock side, height: 1.80}
  OS1: {kind: outdoor sounder, outside: hall south, from-west: 1.20, height: 2.20}
  CU1: {kind: control unit, in: hall, wall: west, from-south: 1.10, height: 1.40}
visits:
  - date: 2026-03-04
    kind: commissioning
    by: technician 4
    tests:
      SA1: {button: sounded, smoke: 8 s, link: all sounded}
      SA2: {button: silent}
      CO1: {button: sounded}
      MD1: {walk: detected, steps: 2}
      OC1: {opened: signalled}
      CU1: {mains-off: held}
    not-tested: [{what: outdoor sounder, device: OS1, why: "late in the evening"}]
    handed-over: [manual, how to test]
    shown-to: householder
"""

EMPTY = """
record: 1
home: {label: Empty}
storeys:
  - {id: ground, height: 2.40, rooms: [{id: hall, use: circulation, corner: [0, 0], size: [1.8, 4.2]}]}
"""
HALF = (
    EMPTY
    + """
devices:
  SA1: {kind: smoke alarm, in: hall}
  SA2: {kind: smoke alarm}
  MD1: {kind: motion detector, in: hall, corner: north-east}
  CU1: {kind: control unit}
"""
)
"""A home whose work is half done: devices without a place, and nothing tested."""

HOSTILE = (
    "**x** <script>alert(1)</script> [a](javascript:alert(1)) {{ 7*7 }} {% raw %} `c` ![i](http://e.invalid/p.png) "
    "<img src=x onerror=alert(2)> :material-x: &lt; \\\\* </title> </svg> {: onclick=alert(3) } | a | \u2028- item ++ ~~s~~"
)


def home(record: str = RECORD) -> Home:
    reading = read_text(record.encode(), Path("record.yml"))
    assert reading.home, [trouble.sentence for trouble in reading.troubles]
    return reading.home


def hostile_home() -> Home:
    """Put hostile text into every field of free words that a household's pages may show."""
    plain = home()
    text = {"note": HOSTILE, "name": HOSTILE}
    return plain.model_copy(
        update={
            "home": plain.home.model_copy(update={"label": HOSTILE, "reference": HOSTILE, "note": HOSTILE}),
            "storeys": tuple(
                storey.model_copy(
                    update={
                        **text,
                        "rooms": tuple(room.model_copy(update=text) for room in storey.rooms),
                        "openings": tuple(o.model_copy(update={"name": HOSTILE}) for o in storey.openings),
                    }
                )
                for storey in plain.storeys
            ),
            "devices": {
                tag: device.model_copy(
                    update={
                        **text,
                        "model": HOSTILE,
                        "serial": HOSTILE,
                        "battery": device.battery.model_copy(update={"type": HOSTILE}) if device.battery else None,
                    }
                )
                for tag, device in plain.devices.items()
            },
            "visits": tuple(
                visit.model_copy(
                    update={
                        "by": HOSTILE,
                        "note": HOSTILE,
                        "shown_to": HOSTILE,
                        "handed_over": (HOSTILE,),
                        "not_tested": tuple(
                            n.model_copy(update={"what": HOSTILE, "why": HOSTILE}) for n in visit.not_tested
                        ),
                    }
                )
                for visit in plain.visits
            ),
        }
    )


def dossier(of: Home, findings: tuple[Finding, ...] = (), on: date = ON) -> Dossier:
    dwelling, problems = survey(of)
    assert dwelling, problems
    return Dossier(
        "millside",
        of,
        dwelling,
        findings,
        schedule(of, on),
        Revision("4f1c2ab", on),
        on,
        rule_set(catalogue(), of.home.rules),
    )
