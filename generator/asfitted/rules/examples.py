"""Examples of what each rule says: small records held as data, read and judged like any home.

The handbook shows them, and the tests hold them to the verdict they claim.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import tomli

from asfitted.dwelling.survey import survey
from asfitted.record.reader import read_text
from asfitted.rules.case import Case
from asfitted.rules.catalogue import COMMON, FAMILIES, Catalogue, catalogue
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judge import judge
from asfitted.rules.rule_set import RuleSet, rule_set

ON = date(2026, 11, 25)
"""The day for which examples are judged, unless one says otherwise."""

FRAME = """\
record: 1
home: {{label: Example house, rules: {rules}{home}}}
household: {household}
system: {system}
storeys:
  - id: ground
    level: 0.3
    height: {height}
    rooms:
      - {{id: hall, use: circulation, corner: [0, 0], size: [2.0, 5.0]}}
      - {{id: living, use: {use}, beside: "east of hall, flush south", size: [6.0, 5.0]}}
      - {{id: bathroom, use: bathroom, beside: "north of hall, flush west", size: [2.0, 2.0]}}
{rooms}    openings:
      - {{door: hall south, id: front-door, from-west: 0.5, width: 0.9, height: 2.0, hinge: west{front_door}}}
      - {{door: hall - living, id: living-door, from-south: 2.0, width: 0.8}}
      - {{door: hall - bathroom, id: bathroom-door, from-west: 0.6, width: 0.8}}
      - {{window: living south, id: living-window, from-west: 2.0, width: 2.0, sill: 0.9, height: 1.2{window}}}
{openings}    fittings: [{fittings}]
    stairs: [{stairs}]
{storeys}devices: {{{devices}}}
visits: [{visits}]
variations: [{variations}]
"""
"""The small house of the examples. A part that ends in a line break stands on lines of its own."""

PARTS: Mapping[str, str] = {
    "rules": COMMON, "home": "", "household": "{}", "system": "{}", "height": "2.40", "use": "living", "rooms": "",
    "front_door": "", "window": "", "openings": "", "fittings": "", "stairs": "", "storeys": "", "devices": "",
    "visits": "", "variations": "",
}  # fmt: skip
"""What an example says of each part unless it says something else."""
_LINES: Mapping[str, str] = {"rooms": "      - ", "openings": "      - "}
"""Parts given as a list of which each stands on a line of its own."""


@dataclass(frozen=True, slots=True)
class Example:
    """One record and what a rule says of it: the verdict, and the subject it is about.

    ``parts`` are those of the small house that differ, as YAML; ``shown`` names those a reader should see.
    """

    rule: str
    verdict: Verdict
    about: str
    parts: Mapping[str, str]
    on: date = ON
    note: str = ""

    @property
    def text(self) -> str:
        """The whole record."""
        return home_text(**self.parts)


@dataclass(frozen=True, slots=True)
class Examples:
    """The examples of one rule, and why it never gives some verdicts."""

    given: tuple[Example, ...] = ()
    never: Mapping[Verdict, str] = field(default_factory=dict)


def home_text(**parts: Any) -> str:
    """Write the record of the small house with some parts of its own."""
    filled = {**PARTS, **parts}
    for name, lead in _LINES.items():
        if isinstance(filled[name], list | tuple):
            filled[name] = "".join(f"{lead}{item}\n" for item in filled[name])
    return FRAME.format(**filled)


@cache
def examples() -> Mapping[str, Examples]:
    """Give the examples of every rule that has some."""
    return {rule_id: given for family in FAMILIES for rule_id, given in examples_of(family).items()}


@cache
def examples_of(family: str) -> Mapping[str, Examples]:
    """Give the examples of the rules of one family; none for a family that does not come with the program."""
    if family not in FAMILIES:
        return {}
    text = (files("asfitted.rules") / "data" / "examples" / f"{family}.toml").read_text(encoding="utf-8")
    found: dict[str, Examples] = {}
    for rule_id, entry in tomli.loads(text).items():
        never = {Verdict(verdict): why for verdict, why in entry.get("never", {}).items()}
        found[rule_id] = Examples(tuple(_example(rule_id, item) for item in entry.get("examples", ())), never)
    return found


def _example(rule_id: str, entry: Mapping[str, Any]) -> Example:
    parts = {key.replace("-", "_"): value for key, value in entry.items()}
    verdict, about = Verdict(parts.pop("verdict")), parts.pop("about", "home")
    on, note = parts.pop("on", ON), parts.pop("note", "")
    if unknown := parts.keys() - PARTS.keys():
        raise ValueError(f"an example of {rule_id} gives {', '.join(sorted(unknown))}, which the house has not")
    return Example(rule_id, verdict, about, parts, on, note)


def case_of(text: str, on: date = ON, rules: Catalogue | None = None) -> Case:
    """Read a record and lay it out for judging by the rule set it names.

    Raises:
        ValueError: when the record cannot be used, with what is wrong.
    """
    reading = read_text(text.encode(), Path("record.yml"))
    if reading.home is None:
        raise ValueError("; ".join(trouble.sentence for trouble in reading.troubles))
    dwelling, problems = survey(reading.home)
    if dwelling is None:
        raise ValueError("; ".join(f"{problem.path}: {problem.found}" for problem in problems))
    name = reading.home.home.rules
    return Case(reading.home, dwelling, on, rule_set(rules, name) if rules else _shipped(name))


@cache
def _shipped(name: str) -> RuleSet:
    return rule_set(catalogue(), name)


def judged(case: Case, rule_id: str) -> list[Finding]:
    """Give the findings of one rule over a case, with the moves, doubts and variations that all findings get."""
    return list(judge(case.home, case.dwelling, case.on, case.rules, (rule_id,)))
