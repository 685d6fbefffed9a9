"""The ways by which an alarm leaves the home, and who is at their other end."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.terms import grade
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question

CENTRE = "receiving centre"


def path_without_mains(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that an alarm leaves the home with the mains off: by a second path, or by a router that goes on."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        second, router = placed.device.second_path, placed.device.router_standby
        if case.home.system.tells == "nobody":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"{placed.words} tells nobody beyond the sounders.")
        elif placed.device.standby_battery is False:
            says = f"{placed.words} has no standby battery in, so it stops with the mains ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says, "Connect the battery, then send a test message with the mains off.")
        elif second in ("mobile", "radio"):
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} has a second path by {second}, apart from the router.")
        elif router:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} goes by the router, which has a standby supply.")
        elif second == "none" and router is False:
            says = f"{placed.words} goes by the router alone, which stops with the mains ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says)
        else:
            lacks = "router-standby" if second == "none" else "second-path"
            remedy = "Switch the mains of the home off, send a test message, and record second-path and router-standby."
            yield ask.answer(Verdict.NOT_VERIFIED, f"The record does not give {lacks} for {placed.words}.", remedy)


def path_category(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the category of the path to a receiving centre by the grade of the system.

    Options: ``by-grade``, by grade the lowest single-path and dual-path category, such as SP2 and DP1.
    """
    system = case.home.system
    ask = Question(rule, limit, _home(case), ("system", "path"))
    wanted = rule.options["by-grade"].get(grade(case))
    remedy = "Ask for the papers of the path, and record path."
    if system.tells in ("nobody", "household") or not case.has_intruder_system:
        yield ask.answer(Verdict.NOT_APPLICABLE, "No receiving centre is told of an alarm.")
    elif system.tells is None:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Who is told of an alarm is not known; another rule says so.")
    elif wanted is None:
        says = f"What grade {grade(case)} asks of the path is not known here."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Look it up in EN 50131-1 and EN 50136-1.")
    elif system.path is None:
        yield ask.answer(Verdict.NOT_VERIFIED, "The record does not give the category of the alarm path.", remedy)
    else:
        enough = any(system.path[:2] == lowest[:2] and system.path >= lowest for lowest in wanted)
        asks = f"the rule asks for {' or '.join(wanted)} or better at grade {grade(case)} ({limit.by_whom})"
        verdict = Verdict.CONFORMS if enough else Verdict.FAILS
        yield ask.answer(verdict, f"The alarm path is of category {system.path}; {asks}.")


def told(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that nobody relies on the police or on a category of path where only the household is told."""
    system = case.home.system
    ask = Question(rule, limit, _home(case), ("system", "tells"))
    relied = "the police are called to it" if system.police else f"it has a path of category {system.path}"
    if not case.has_intruder_system:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the home guards against intruders.")
    elif system.tells is None:
        says = "The record does not say who is told of an alarm."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Ask who gets the alarm, and record tells.")
    elif system.tells == CENTRE:
        yield ask.answer(Verdict.CONFORMS, "An alarm is passed to a receiving centre.")
    elif system.police or system.path:
        whom = "the household only" if system.tells == "household" else "nobody"
        says = f"An alarm tells {whom}, yet the record says that {relied} ({limit.by_whom})."
        yield ask.answer(Verdict.FAILS, says)
    elif system.tells == "household":
        yield ask.answer(Verdict.CONFORMS, "An alarm tells the household only, and nobody else is relied on.")
    else:
        yield ask.answer(Verdict.CONFORMS, "An alarm sounds in the home and tells nobody else.")


def _home(case: Case) -> Subject:
    return Subject("home", "home", case.home.home.label)
