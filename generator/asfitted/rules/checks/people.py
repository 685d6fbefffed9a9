"""The people behind the system."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question


def keyholders(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many keyholders are named, in a home that is guarded against intruders."""
    assert limit.least is not None
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("household", "keyholders"))
    people = case.home.household.keyholders
    if not case.has_intruder_system:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the record would call a keyholder.")
    elif people is None:
        says = "The record does not say how many keyholders are named."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Ask the householder, and record the count and the day.")
    else:
        count = {0: "No keyholder is", 1: "One keyholder is"}.get(people.named, f"{people.named} keyholders are")
        yield ask.measured(
            people.named,
            0.0,
            f"{count} named besides the householder",
            remedy=f"Ask the householder to name {max(limit.least - people.named, 0):.0f} more.",
        )
