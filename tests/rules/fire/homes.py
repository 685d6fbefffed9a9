"""Small homes of one storey for the tests of fire rules, and the finding of one rule about one subject."""

from asfitted.rules.examples import case_of, judged
from asfitted.rules.finding import Finding
from tests.rules.homes import written


def home(
    rooms: str, devices: str, *, rules: str = "common", height: str = "2.40", openings: str = "", fittings: str = ""
) -> str:
    """Write the record of a home of one storey from parts in YAML flow text."""
    return written(rooms=rooms, devices=devices, rules=rules, height=height, openings=openings, fittings=fittings)


def findings(rule: str, text: str) -> dict[str, Finding]:
    """Judge one rule over a home and give its findings by subject."""
    return {finding.subject.id: finding for finding in judged(case_of(text), rule)}


def verdict(rule: str, subject: str, text: str) -> str:
    """Give what a rule says of a subject: its verdict, *nothing asked*, or *silent* where it does not speak of it."""
    found = findings(rule, text)
    if subject in found:
        return found[subject].verdict.value
    return "nothing asked" if "home" in found else "silent"
