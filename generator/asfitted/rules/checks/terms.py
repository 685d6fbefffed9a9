"""The terms on which a rule is put: for which devices, at which grade, and how far short is still only close."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from asfitted.model.device import Device
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict

USUAL_GRADE = "2"
"""The grade taken where the record gives none: what homes usually have (common practice, no source)."""


def left_out(options: Mapping[str, Any], device: Device) -> str:
    """Give the setting by which a rule leaves a device out, in words; empty when the rule bears on it.

    Options: ``if``, values that settings must have, where they are recorded at all; ``unless``, values that they must
    not have.
    """
    for key, values in options.get("if", {}).items():
        value = _setting(device, key)
        if value is not None and value not in values:
            return f"{key} is {value}"
    for key, values in options.get("unless", {}).items():
        value = _setting(device, key)
        if value in values:
            return f"{key} is {value}"
    return ""


def unknown_term(options: Mapping[str, Any], device: Device) -> str:
    """Give the setting that decides whether a rule bears on a device and is not recorded; empty when all are."""
    return next((key for key in options.get("if", {}) if _setting(device, key) is None), "")


def _setting(device: Device, key: str) -> object:
    value = getattr(device, key.replace("-", "_"), None)
    return value if not isinstance(value, bool) else "yes" if value else "no"


def grade(case: Case) -> str:
    """Give the grade of the system; the usual one where the record gives none."""
    return case.home.system.intruder_grade or USUAL_GRADE


def graded(rule: Rule, limit: Limit, case: Case) -> tuple[Limit, str]:
    """Give the limit with the figure for the grade of the system, and words on which grade was taken.

    Options: ``by-grade``, the figures of grades that ask for another than the limit's own.
    """
    by_grade = rule.options.get("by-grade", {})
    if not by_grade:
        return limit, ""
    figure = by_grade.get(grade(case))
    if figure is not None:
        limit = replace(limit, least=figure) if limit.least is not None else replace(limit, most=figure)
    taken = "" if case.home.system.intruder_grade else "; the record gives no grade, so grade 2 is taken"
    return limit, f" at grade {grade(case)}{taken}"


def eased(finding: Finding, band: float) -> Finding:
    """Let a figure that falls short by no more than a band be borderline instead of a failure."""
    if finding.verdict is not Verdict.FAILS or finding.margin is None or finding.margin < -band:
        return finding
    says = f"{finding.says} That misses it, but not by so much that it does not conform."
    return replace(finding, verdict=Verdict.BORDERLINE, says=says)


def has_any(case: Case, what: str) -> bool:
    """Say whether the home has any device that warns of ``fire``, or that guards against an ``intruder``."""
    return any(device.is_fire == (what == "fire") for device in case.home.devices.values())
