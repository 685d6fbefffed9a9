"""The people behind the system."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question


def keyholders(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many keyholders are named, in a home that has a control unit."""
    assert limit.value is not None
    subject = Subject("home", "home", case.home.home.label)
    ask = Question(rule, limit, subject, ("household", "keyholders"))
    people = case.home.household.keyholders
    if not any(placed.device.kind == "control unit" for placed in case.devices):
        yield ask.answer(
            Verdict.NOT_APPLICABLE,
            "There is no control unit that could call anyone.",
        )
    elif people is None:
        says = "The record does not say how many keyholders are named."
        yield ask.answer(
            Verdict.NOT_VERIFIED,
            says,
            "Ask the householder, and record the count and the day.",
        )
    else:
        lacking = int(limit.value) - people.named
        verdict = Verdict.CONFORMS if lacking <= 0 else Verdict.FAILS
        says = f"{people.named} named besides the householder; the rule asks for {limit.value:g} ({limit.by_whom})."
        yield ask.answer(verdict, says, f"Ask the householder to name {max(lacking, 0)} more.")
