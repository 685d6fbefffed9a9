"""A small home as a case, with devices, fittings and facts to be varied by a test."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from asfitted.dwelling.survey import survey
from asfitted.record.reader import read_text
from asfitted.rules.case import Case
from asfitted.rules.finding import Finding
from asfitted.rules.judge import judge

ON = date(2026, 11, 25)

FRAME = """
record: 1
home: {{label: Test house, rules: common}}
household: {household}
storeys:
  - id: ground
    height: {height}
    rooms:
      - {{id: hall, use: circulation, corner: [0, 0], size: [2.0, 5.0]}}
      - {{id: living, use: {use}, beside: "east of hall, flush south", size: [6.0, 5.0]}}
      - {{id: bathroom, use: bathroom, beside: "north of hall, flush west", size: [2.0, 2.0]}}
    openings:
      - {{door: hall south, id: front-door, from-west: 0.5, width: 0.9, height: 2.0, hinge: west}}
      - {{door: hall - living, id: living-door, from-south: 2.0, width: 0.8}}
      - {{door: hall - bathroom, id: bathroom-door, from-west: 0.6, width: 0.8}}
      - {{window: living south, id: living-window, from-west: 2.0, width: 2.0, sill: 0.9, height: 1.2}}
    fittings: [{fittings}]
devices: {{{devices}}}
visits: [{visits}]
variations: [{variations}]
"""

Make = Callable[..., Case]
"""Lays out the small home; each part is YAML flow text."""
Ask = Callable[..., Finding]
"""Judges the small home and gives the finding of one rule about one subject."""


@pytest.fixture(scope="session")
def make() -> Make:
    """Give a function that lays out the small home; each part is YAML flow text."""

    def _make(
        devices: str = "",
        *,
        fittings: str = "",
        household: str = "{}",
        visits: str = "",
        variations: str = "",
        height: str = "2.40",
        use: str = "living",
        on: date = ON,
    ) -> Case:
        text = FRAME.format(
            devices=devices,
            fittings=fittings,
            household=household,
            visits=visits,
            variations=variations,
            height=height,
            use=use,
        )
        reading = read_text(text.encode(), Path("record.yml"))
        assert reading.home is not None, [trouble.sentence for trouble in reading.troubles]
        dwelling, problems = survey(reading.home)
        assert dwelling is not None, problems
        return Case(reading.home, dwelling, on)

    return _make


@pytest.fixture(scope="session")
def ask(make: Make) -> Ask:
    """Give a function that judges the small home and returns the finding of one rule about one subject."""

    def _ask(rule: str, subject: str, devices: str = "", **parts: object) -> Finding:
        case = make(devices, **parts)
        found = [f for f in judge(case.home, case.dwelling, case.on) if f.rule.id == rule and f.subject.id == subject]
        assert len(found) == 1, f"{rule} gave {len(found)} findings about {subject}"
        return found[0]

    return _ask
