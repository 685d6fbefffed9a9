"""The people behind the system."""

from collections.abc import Iterator

from asfitted.model.home import Keyholders
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question

_PATH = ("household", "keyholders")


def keyholders(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many keyholders are named, in a home that is guarded against intruders."""
    assert limit.least is not None
    ask, people = _ask(rule, limit, case), case.home.household.keyholders
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


def keyholders_in_time(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge in how many minutes the slowest keyholder can be there."""
    ask, people = _ask(rule, limit, case), _named(case)
    if people is None:
        yield _nobody(ask, case)
    elif people.within is None:
        says = "The record does not say how soon the keyholders can be there."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Ask, and record within, of the slowest of them.")
    else:
        minutes = people.within / 60
        yield ask.measured(minutes, 0.0, f"The slowest keyholder is there in {minutes:g} min")


def keyholders_shown(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the keyholders were shown how to unset and silence the system."""
    ask, people = _ask(rule, limit, case), _named(case)
    if people is None:
        yield _nobody(ask, case)
    elif people.shown is None:
        says = "The record does not say whether the keyholders were shown how to unset and silence it."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Ask, and record shown.")
    else:
        says = f"The keyholders were {'' if people.shown else 'not '}shown how to unset and silence it"
        yield ask.answer(Verdict.CONFORMS if people.shown else Verdict.FAILS, f"{says} ({limit.by_whom}).")


def keyholders_confirmed(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many days ago the keyholders last agreed."""
    ask, people = _ask(rule, limit, case), _named(case)
    if people is None:
        yield _nobody(ask, case)
    elif people.confirmed is None or people.confirmed > case.on:
        says = "The record does not say when the keyholders last agreed."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Ask, and record the day under confirmed.")
    else:
        days = (case.on - people.confirmed).days
        yield ask.measured(days, 0.0, f"The keyholders last agreed on {people.confirmed}, {days} days ago")


def _ask(rule: Rule, limit: Limit, case: Case) -> Question:
    return Question(rule, limit, Subject("home", "home", case.home.home.label), _PATH)


def _named(case: Case) -> Keyholders | None:
    people = case.home.household.keyholders
    return people if people is not None and people.named and case.has_intruder_system else None


def _nobody(ask: Question, case: Case) -> Finding:
    if not case.has_intruder_system:
        return ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the record would call a keyholder.")
    known = case.home.household.keyholders is not None
    says = "No keyholder is named" if known else "Whether keyholders are named is not known"
    return ask.answer(Verdict.NOT_APPLICABLE, f"{says}; another rule says so.")
