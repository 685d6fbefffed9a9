"""The terms on which a set puts a fire rule to a home: let or not, new or not, category and grade."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import wraps
from typing import Any

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict

_Check = Callable[[Rule, Limit, Case], Iterator[Finding]]

USUAL_CATEGORY = "LD2"
"""The category taken where the record gives none: what BS 5839-6 recommends for homes (from memory)."""


def on_home_terms(check: _Check) -> _Check:
    """Put a check on the terms of the home: as severe as it is there, and in doubt where the record leaves them open.

    Options: ``not-let`` and ``not-new``, how severe the rule is in a home that the record does not call let, or new;
    ``only-let`` and ``only-new`` for one that such a home is free of: while the record does not say, nothing fails.
    """

    @wraps(check)
    def put(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
        home, options = case.home.home, rule.options
        for key, holds in (("not-let", home.rented), ("not-new", home.new)):
            if key in options and not holds:
                limit = replace(limit, severity=options[key])
        unsaid = [
            word
            for word, option, known in (("let", "only-let", home.rented), ("new", "only-new", home.new))
            if options.get(option) and known is None
        ]
        for finding in check(rule, limit, case):
            yield _doubted(finding, unsaid[0]) if unsaid else finding

    return put


def _doubted(finding: Finding, word: str) -> Finding:
    if finding.verdict is not Verdict.FAILS:
        return finding
    says = f"{finding.says} That is asked of homes that are {word}, and the record does not say whether this one is."
    key = "rented" if word == "let" else word
    return replace(finding, verdict=Verdict.NOT_VERIFIED, says=says, remedy=f"Record {key}. If it is: {finding.remedy}")


def not_put(options: Mapping[str, Any], case: Case) -> str:
    """Say why a set does not put a rule to a home; empty when it does.

    Options: ``only-let`` and ``only-new`` for a rule that a home called neither let nor new is free of; ``categories``
    and ``grades``, those of the fire system that ask for it.
    """
    home, system = case.home.home, case.home.system
    if options.get("only-let") and home.rented is False:
        return "The rule is about homes that are let, and this one is not."
    if options.get("only-new") and home.new is False:
        return "The rule is about new work, and this home is not new."
    if "categories" in options and (system.fire_category or USUAL_CATEGORY) not in options["categories"]:
        taken = "" if system.fire_category else ", taken for want of another in the record,"
        return f"Category {system.fire_category or USUAL_CATEGORY}{taken} does not ask for it."
    if "grades" in options and system.fire_grade not in options["grades"]:
        said = f"the fire system is of grade {system.fire_grade}" if system.fire_grade else "the record gives no grade"
        return f"It is asked of grade {' and '.join(options['grades'])}, and {said}."
    return ""
