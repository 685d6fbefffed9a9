"""Every rule of the catalogue over a home."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from difflib import get_close_matches

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.base import Problem
from asfitted.model.home import Home, Variation
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Severity, catalogue, rule_sets
from asfitted.rules.checks import CHECKS
from asfitted.rules.finding import Finding, Verdict

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
    """Find names of rule sets and rules in a record that the catalogue does not have."""
    used = [(("home", "rules"), home.home.rules, rule_sets(), "rule set")]
    used += [(("variations", i, "rule"), v.rule, list(catalogue()), "rule") for i, v in enumerate(home.variations)]  # type: ignore[misc]
    problems = []
    for path, name, known, what in used:
        if name not in known:
            near = get_close_matches(name, known, 1)
            remedy = f"Did you mean {near[0]}?" if near else f"asfitted rules lists every {what}."
            problems.append(Problem(path, f"“{name}”", f"a {what} of the catalogue", remedy))
    return problems


def _with_variation(finding: Finding, case: Case) -> Finding:
    """Take account of what was agreed in writing about a finding that does not conform."""
    if finding.verdict is not Verdict.FAILS:
        return finding
    for agreed in _about(finding, case.home.variations):
        if agreed.on > case.on:
            continue
        words = f"Agreed by the {agreed.agreed} on {agreed.on}: {agreed.why.rstrip('.')}."
        if finding.limit.severity == NEVER_VARIED:
            return replace(finding, says=f"{finding.says} {words} But what the law asks cannot be agreed away.")
        if agreed.until is not None and agreed.until < case.on:
            return replace(finding, says=f"{finding.says} {words} That lapsed on {agreed.until}.")
        until = f" It holds until {agreed.until}." if agreed.until else ""
        return replace(
            finding,
            verdict=Verdict.VARIATION,
            says=f"{finding.says} {words}{until}",
            remedy="",
            variation=agreed,
        )
    return finding


def _about(finding: Finding, variations: tuple[Variation, ...]) -> Iterator[Variation]:
    """Give the variations of a finding's rule that name its subject, the latest first."""
    subject = finding.subject
    for agreed in sorted(variations, key=lambda v: v.on, reverse=True):
        if agreed.rule != finding.rule.id:
            continue
        named = {"device": agreed.device, "room": agreed.room, "home": None}[subject.kind]
        if named == (None if subject.kind == "home" else subject.id):
            yield agreed
