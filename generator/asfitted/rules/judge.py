"""Every rule of the catalogue over a home."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from difflib import get_close_matches

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.base import Path, Problem
from asfitted.model.home import Home, Variation
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Rule, Severity, catalogue, rule_sets
from asfitted.rules.checks import CHECKS
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import listed

NEVER_VARIED: Severity = "law"
"""A variation cannot set aside what the rule set marks as law."""


def judge(home: Home, dwelling: Dwelling, on: date) -> tuple[Finding, ...]:
    """Judge a home on a day by the rule set it names.

    Returns:
        Every finding, worst verdict first, then in the order of the catalogue and the record.
    """
    case = Case(home, dwelling, on)
    found = [
        _with_variation(finding, case)
        for rule in catalogue().values()
        for finding in CHECKS[rule.check](rule, rule.limit(case.rule_set), case)
    ]
    return tuple(sorted(found, key=lambda finding: finding.verdict.rank))


def rule_problems(home: Home) -> list[Problem]:
    """Find rule sets, rules and subjects named in a record that the catalogue does not have."""
    problems = [*_unknown(("home", "rules"), home.home.rules, rule_sets(), "rule set")]
    for index, agreed in enumerate(home.variations):
        path = ("variations", index)
        unknown = _unknown((*path, "rule"), agreed.rule, list(catalogue()), "rule")
        problems += unknown or _wrong_subject(path, agreed)
    return problems


def _unknown(path: Path, name: str, known: list[str], what: str) -> list[Problem]:
    if name in known:
        return []
    near = get_close_matches(name, known, 1)
    remedy = f"Did you mean {near[0]}?" if near else f"asfitted rules lists every {what}."
    return [Problem(path, f"“{name}”", f"a {what} of the catalogue", remedy)]


def _wrong_subject(path: Path, agreed: Variation) -> list[Problem]:
    """Find a variation that does not name what its rule is about: a device, a room, or the home as a whole."""
    about = _kind_of_subject(catalogue()[agreed.rule])
    named = {"device": agreed.device, "room": agreed.room}
    if all((value is not None) == (kind == about) for kind, value in named.items()):
        return []
    found = listed([f"{kind} {value}" for kind, value in named.items() if value]) or "neither device nor room"
    wanted = "neither, since the rule is about the home" if about == "home" else f"the {about} it is agreed for, alone"
    return [Problem(path, found, wanted)]


def _kind_of_subject(rule: Rule) -> str:
    """Give what a variation of a rule has to name; for a storey, one of its rooms."""
    kinds = {"home": "home", "room": "room", "storey": "room"}
    return kinds.get(rule.applies_to[0], "device")


def _with_variation(finding: Finding, case: Case) -> Finding:
    """Take account of what was agreed in writing about a finding that does not conform."""
    if finding.verdict is not Verdict.FAILS:
        return finding
    for agreed in _about(finding, case):
        if agreed.on > case.on:
            continue
        by_whom = agreed.agreed.removeprefix("the ").removeprefix("The ")
        words = f"Agreed by the {by_whom} on {agreed.on}: {agreed.why.rstrip('.')}."
        if finding.limit.severity == NEVER_VARIED:
            return replace(finding, says=f"{finding.says} {words} But what the law asks cannot be agreed away.")
        if agreed.until is not None and agreed.until < case.on:
            return replace(finding, says=f"{finding.says} {words} That lapsed on {agreed.until}.")
        until = f" It holds until {agreed.until}." if agreed.until else ""
        return replace(
            finding, verdict=Verdict.VARIATION, says=f"{finding.says} {words}{until}", remedy="", variation=agreed
        )
    return finding


def _about(finding: Finding, case: Case) -> Iterator[Variation]:
    """Give the variations of a finding's rule that name its subject, the latest first."""
    subject = finding.subject
    storey = {room.id for room in case.dwelling.rooms.values() if room.storey == subject.id}
    for agreed in sorted(case.home.variations, key=lambda v: v.on, reverse=True):
        names = {
            "device": agreed.device == subject.id,
            "room": agreed.room == subject.id,
            "storey": agreed.room in storey,
            "home": agreed.device is None and agreed.room is None,
        }
        if agreed.rule == finding.rule.id and names[subject.kind]:
            yield agreed
