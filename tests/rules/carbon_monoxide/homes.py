"""Homes of one storey for the tests of rooms, links, power, sound and carbon monoxide."""

from datetime import date

from asfitted.rules.examples import ON, case_of, judged
from asfitted.rules.finding import Finding, Verdict
from tests.rules.homes import written

__all__ = ["B", "C", "F", "N", "Verdict", "X", "said", "verdict"]

C, F, B = Verdict.CONFORMS, Verdict.FAILS, Verdict.BORDERLINE
N, X = Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE


def said(rule: str, subject: str, **parts: str) -> Finding | None:
    """Judge one rule over a home made of parts in YAML flow text, and give what it says of a subject.

    ``on`` is the day. A rule set that asks nothing says so of the home; None where the rule does not speak of the subject.
    """
    on = date.fromisoformat(parts.pop("on", ON.isoformat()))
    found = {finding.subject.id: finding for finding in judged(case_of(written(**parts), on), rule)}
    return found.get(subject) or found.get("home")


def verdict(rule: str, subject: str, **parts: str) -> Verdict | None:
    """Give the verdict of :func:`said`."""
    finding = said(rule, subject, **parts)
    return finding.verdict if finding else None
