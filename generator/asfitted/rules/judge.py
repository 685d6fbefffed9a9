"""Every rule of the catalogue over a home."""

from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import date
from difflib import get_close_matches

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.base import Path, Problem
from asfitted.model.home import Home, Variation
from asfitted.reckon.of_home import Reckoned
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Catalogue, Limit, Rule, Severity
from asfitted.rules.checks import CHECKS
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.rule_set import RuleSet
from asfitted.rules.siting import with_moves

NEVER_VARIED: Severity = "law"
"""A variation cannot set aside what the rule set marks as law."""


def judge(
    home: Home,
    dwelling: Dwelling,
    on: date,
    rules: RuleSet,
    only: Collection[str] = (),
    known: Reckoned | None = None,
) -> tuple[Finding, ...]:
    """Judge a home on a day by a rule set, by all its rules or by those named; ``known`` is what is reckoned of it.

    Returns:
        Every finding, worst verdict first, then in the order of the catalogue and the record.
    """
    case = Case(home, dwelling, on, rules, known)
    put = [rule for rule in rules.rules.values() if not only or rule.id in only]
    found = with_moves(case, (finding for rule in put for finding in findings(rule, case)))
    judged = [_with_variation(_with_doubt(finding), case) for finding in found]
    return tuple(sorted(judged, key=lambda finding: finding.verdict.rank))


def findings(rule: Rule, case: Case) -> Iterator[Finding]:
    """Put one rule to a home. A limit that asks nothing has one finding, about the home, that says so."""
    limit = case.rules.limits[rule.id]
    if limit.nothing:
        yield _nothing_asked(rule, limit, case)
    else:
        yield from CHECKS[rule.check](rule, limit, case)


def _nothing_asked(rule: Rule, limit: Limit, case: Case) -> Finding:
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("home", "rules"))
    known = f" ({limit.by_whom})" if limit.source.key else ""
    says = f"The rule set of {case.rules.facts.title} {limit.silence}{known}."
    if rule.never_borrowed and not limit.source.key:
        says += " What another set asks would be wrong here: ask the authority or the insurer."
    return ask.answer(Verdict.NOT_APPLICABLE, says)


def _with_doubt(finding: Finding) -> Finding:
    """Let nothing fail on a figure that nobody is sure of: it is for a person to look up."""
    limit = finding.limit
    if finding.verdict is not Verdict.FAILS or not limit.weak:
        return finding
    own = limit.status == "common practice"
    doubt = "Nobody has read that in its own text for this project, and it is not certain."
    says = f"{finding.says} {'How much is needed is not certain.' if own else doubt}"
    safe = f" To be on the safe side: {finding.remedy[:1].lower()}{finding.remedy[1:]}" if finding.remedy else ""
    look = "Try it on site and decide." if own else f"Look it up in {limit.source.title} before you rely on it."
    remedy = f"{look}{safe}"
    return replace(finding, verdict=Verdict.NOT_VERIFIED, says=says, remedy=remedy)


def rule_problems(home: Home, catalogue: Catalogue) -> list[Problem]:
    """Find rule sets, rules and subjects named in a record that the catalogue does not have."""
    problems = [*_unknown(("home", "rules"), home.home.rules, catalogue.names(), "rule set")]
    for index, agreed in enumerate(home.variations):
        path = ("variations", index)
        rule = catalogue.rules.get(agreed.rule)
        unknown = _unknown((*path, "rule"), agreed.rule, list(catalogue.rules), "rule")
        problems += _wrong_subject(path, agreed, rule) if rule else unknown
    return problems


def _unknown(path: Path, name: str, known: list[str], what: str) -> list[Problem]:
    if name in known:
        return []
    near = get_close_matches(name, known, 1)
    remedy = f"Did you mean {near[0]}?" if near else f"asfitted rules lists every {what}."
    return [Problem(path, f"“{name}”", f"a {what} of the catalogue", remedy)]


def _wrong_subject(path: Path, agreed: Variation, rule: Rule) -> list[Problem]:
    """Find a variation that does not name what its rule is about: a device, room or opening, or the home as a whole."""
    about = _kind_of_subject(rule)
    named = {"device": agreed.device, "room": agreed.room, "opening": agreed.opening}
    if all((value is not None) == (kind == about) for kind, value in named.items()):
        return []
    nothing = "no opening" if about == "opening" else "neither device nor room"
    found = listed([f"{kind} {value}" for kind, value in named.items() if value]) or nothing
    wanted = "neither, since the rule is about the home" if about == "home" else f"the {about} it is agreed for, alone"
    return [Problem(path, found, wanted)]


def _kind_of_subject(rule: Rule) -> str:
    """Give what a variation of a rule has to name; for a storey, one of its rooms."""
    kinds = {"home": "home", "room": "room", "storey": "room", "opening": "opening"}
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
            "opening": agreed.opening == subject.id,
            "storey": agreed.room in storey,
            "home": agreed.device is None and agreed.room is None and agreed.opening is None,
        }
        if agreed.rule == finding.rule.id and names[subject.kind]:
            yield agreed
