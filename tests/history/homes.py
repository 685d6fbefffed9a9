"""Records for the tests: one home whose every part can be changed alone."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from string import Template

from asfitted.history.side import Side, side_of
from asfitted.rules.catalogue import catalogue

DAY = date(2026, 6, 1)

TEMPLATE = Template("""\
record: 1
home: {label: Cottage, rules: $rules, rented: $rented, note: $home_note}
household:
  sleepers: {bedroom: $sleepers}
  pets: [{kind: dog, mass: $dog, roams: [hall, living]}]
  keyholders: {named: $keyholders, confirmed: 2026-01-10}
  valued-rooms: [living, bedroom]
system: {entry-time: $entry_time, exit-time: 45 s, tells: household}
storeys:
  - id: ground
    name: $storey_name
    height: 2.40
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [2.00, 5.00]}
      - {id: living, use: living, corner: [2.10, 0], size: [$living_wide, 5.00]}
      - {id: study, use: $study_use, corner: [0, 5.10], size: [2.00, 3.00], name: $study_name}
    openings:
      - {door: hall south, id: front-door, from-west: $door, width: 0.90, to: outside, leaf: $leaf, hinge: west}
      - {window: living south, id: window, from-west: 1.00, width: 1.20, sill: 0.90, height: 1.10}
    fittings:
      - {light: hall, from-west: $light, from-south: 2.50}
      - {light: living, from-west: 1.00, from-south: 1.00}
      - {light: living, from-west: 3.00, from-south: 1.00, note: $light_note}
      - {tall-furniture: living, id: dresser, wall: north, from-west: $dresser, size: [1.00, 0.40], height: 1.90}
    stairs:
      - {id: stairs, in: hall, to: bedroom, from-west: 0, from-north: $stairs, size: [0.80, 2.50], up: north}
  - id: first
    height: 2.30
    rooms:
      - {id: bedroom, use: bedroom, corner: [0, 0], size: [4.00, 5.00]}
devices:
  SA1: {kind: smoke alarm, name: $sa1_name, on: ceiling of hall, from-west: $sa1_west, from-south: $sa1_south, model: optical, serial: A-001, made: 2024-01, fitted: 2024-05-10, battery: "sealed, 10 years", linked: [SA2]}
  SA2: {kind: smoke alarm, on: ceiling of living, from-west: $sa2_west, from-south: $sa2_south, serial: A-002, made: 2024-01, fitted: 2024-05-10, battery: $sa2_battery, linked: [SA1], note: $sa2_note}
  MD1: {kind: motion detector, in: living, corner: south-east, height: $md1_height, facing: $md1_facing, serial: M-001, fitted: 2024-05-10, model: $md1_model, mode: $md1_mode}
  IS1: {kind: indoor sounder, in: hall, wall: west, from-south: $is1_south, height: 2.10, cut-off: $is1_cut_off, serial: S-001, fitted: 2024-05-10}
visits:
  - {date: 2024-05-10, kind: installation, by: technician 1, note: $visit_note}
  - date: 2024-05-11
    kind: commissioning
    by: technician 2
    tests:
      SA1: {button: sounded, smoke: $reading, level: {bedroom: 80 dB}, doors: closed}
      SA2: {button: sounded, smoke: 8 s}
  - {date: 2025-05-12, kind: service, by: technician 2, tests: {SA1: {button: sounded}, SA2: {button: sounded}}}
variations:
  - {rule: outer-door-watched, opening: front-door, why: $why, agreed: "the householder, in writing", on: 2024-05-11, until: 2027-01-01}
""")

PLAIN: Mapping[str, str] = {
    "rules": "common", "rented": "no", "home_note": "stone", "sleepers": "2", "dog": "14 kg", "keyholders": "2",
    "entry_time": "30 s", "storey_name": "ground floor", "living_wide": "4.00", "study_use": "study",
    "study_name": "study", "door": "0.50", "leaf": "timber", "light": "1.00", "light_note": "pendant",
    "dresser": "0.50", "stairs": "1.00", "sa1_name": "hall alarm", "sa1_west": "1.00", "sa1_south": "1.50",
    "sa2_west": "2.00", "sa2_south": "2.50", "sa2_battery": "2 x AA", "sa2_note": "first",
    "md1_height": "2.10", "md1_facing": "315 deg", "md1_model": "type 1", "md1_mode": "instant",
    "is1_south": "1.00", "is1_cut_off": "10 min", "visit_note": "done", "reading": "9 s", "why": "glass all round",
}  # fmt: skip


def text(**values: str) -> str:
    """Write the record with some of its values other than usual."""
    return TEMPLATE.substitute({**PLAIN, **values})


def side(written: str, day: date = DAY) -> Side:
    """Read a record that can be used."""
    found = side_of(written.encode(), day, catalogue(), Path("record.yml"))
    assert isinstance(found, Side), found.says
    assert found.trouble is None, found.trouble
    return found
