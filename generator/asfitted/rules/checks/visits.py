"""The visits: on time, reported, with their cause; false alarms; what is looked at besides the devices."""

from collections.abc import Collection, Iterator
from dataclasses import replace

from dateutil.relativedelta import relativedelta

from asfitted.model.base import Path
from asfitted.model.visit import Visit
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.terms import eased, grade, graded
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed


def report_in_time(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many days after the last visit the householder had its report.

    Options: ``kinds`` of visit that are reported.
    """
    assert limit.most is not None
    visit = last_of(case, rule.options["kinds"])
    if visit is None:
        ask = about_home(rule, limit, case)
        yield ask.answer(Verdict.NOT_APPLICABLE, "No visit that is reported has been made yet.")
        return
    ask = about_home(rule, limit, case, (*path_of(case, visit), "report"))
    waited, what = (case.on - visit.date).days, f"The report of the {visit.kind} visit of {visit.date}"
    if visit.report is not None and visit.date <= visit.report <= case.on:
        days = (visit.report - visit.date).days
        says = f"{what} went out on {visit.report}, {days} days later"
        yield ask.measured(days, 0.0, says, remedy="Send the next one in time.")
    elif waited <= limit.most:
        yield ask.answer(Verdict.NOT_APPLICABLE, f"{what} is not due yet.")
    else:
        says = f"{what} is not recorded, {waited} days later; {ask.asks}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record the day under report, or send it now.")


def visit_age(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many days ago the last visit was made in the home itself.

    Options: ``kinds`` of visit that count.
    """
    assert limit.most is not None
    ask = about_home(rule, limit, case, ("visits",))
    visit = last_of(case, rule.options["kinds"], on_site=True)
    if not case.has_intruder_system:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the home guards against intruders.")
        return
    if visit is None:
        says = f"The record has no {' or '.join(rule.options['kinds'])} visit made in the home."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Commission the system and record the visit.")
        return
    days = (case.on - visit.date).days
    late = days - limit.most
    remedy = f"Make the visit; it is {late:.0f} days late." if late > 0 else ""
    says = f"The last {visit.kind} visit made in the home was on {visit.date}, {days} days ago"
    yield ask.measured(days, 0.0, says, remedy=remedy)


def visits_in_a_year(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge how many visits were made in the last twelve months; of those made over the line one counts at most.

    Options: ``kinds`` of visit that count; ``by-told``, how many by who is told of an alarm; ``by-grade``;
    ``on-site``, grades at which none made over the line counts.
    """
    asked, at = graded(rule, limit, case)
    by_told = rule.options.get("by-told", {})
    tells = case.home.system.tells
    figures = [by_told[tells]] if tells in by_told else list(by_told.values())
    made = visits_of(case, rule.options["kinds"])
    since = case.on - relativedelta(years=1)
    lately = [visit for visit in made if visit.date > since]
    remote = sum(1 for visit in lately if visit.remote)
    over_line = 0 if grade(case) in rule.options.get("on-site", ()) else min(remote, 1)
    count = len(lately) - remote + over_line
    ask = about_home(rule, asked, case, ("visits",))
    if not case.has_intruder_system:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the home guards against intruders.")
    elif not made:
        yield ask.answer(Verdict.NOT_APPLICABLE, "The system has not been commissioned yet.")
    elif made[0].date > since:
        says = f"The system is in its first year, since {made[0].date}."
        yield ask.answer(Verdict.NOT_APPLICABLE, says)
    elif figures and min(figures) <= count < max(figures):
        says = f"In the last twelve months {_visits(count)}, but the record does not say who is told of an alarm."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record tells.")
    else:
        if figures:
            asked = replace(asked, least=max(figures))
            ask = about_home(rule, asked, case, ("visits",))
        days = listed([f"{visit.date}{' (over the line)' if visit.remote else ''}" for visit in lately]) or "none"
        yield ask.measured(count, 0.0, f"In the last twelve months {_visits(count)} ({days}){at}")


def _visits(count: int) -> str:
    return "there was 1 visit" if count == 1 else f"there were {count} visits"


def call_out_cause(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each call-out has its cause, and after a fault or a false alarm says what was found."""
    calls = visits_of(case, ["call-out"])
    without = [visit for visit in calls if visit.cause is None]
    bare = [visit for visit in calls if visit.cause in ("fault", "false alarm") and not _explained(visit)]
    wanting = bare[-1] if bare else without[-1] if without else None
    ask = about_home(rule, limit, case, path_of(case, wanting) if wanting else ("visits",))
    if not calls:
        yield ask.answer(Verdict.NOT_APPLICABLE, "There was no call-out.")
    elif bare:
        days = listed([f"{visit.date} ({visit.cause})" for visit in bare])
        yield ask.answer(Verdict.FAILS, f"The record does not say what was found on {days} ({limit.by_whom}).")
    elif without:
        days = listed([str(visit.date) for visit in without])
        says = f"The record does not say what the call-out of {days} was for."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record cause, and what was found in note.")
    else:
        yield ask.answer(Verdict.CONFORMS, f"Each call-out ({len(calls)}) has its cause and what was found.")


def _explained(visit: Visit) -> bool:
    return bool(visit.note or any(test.note for test in visit.tests.values()))


def false_alarms(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the call-outs of the last twelve months that were false alarms.

    Options: ``police``, true where only those count to which the police were called; ``band``.
    """
    police = rule.options.get("police", False)
    ask = about_home(rule, limit, case, ("visits",))
    since = case.on - relativedelta(years=1)
    calls = [visit for visit in visits_of(case, ["call-out"]) if visit.date > since]
    false = [visit for visit in calls if visit.cause == "false alarm"]
    counted = [visit for visit in false if visit.police_called or not police]
    unsure = [v for v in calls if v.cause is None or (police and v in false and v.police_called is None)]
    if not case.visits:
        yield ask.answer(Verdict.NOT_APPLICABLE, "The record has no visit yet.")
        return
    if police and case.home.system.police is not True and not counted:
        known = case.home.system.police is False or not case.has_intruder_system
        says = "The police are not called to it." if known else "The record does not say whether the police are called."
        verdict = Verdict.NOT_APPLICABLE if known else Verdict.NOT_VERIFIED
        yield ask.answer(verdict, says, "Ask, and record police.")
        return
    days = listed([str(visit.date) for visit in counted])
    whom = " to which the police were called" if police else ""
    count = {0: "was no false alarm", 1: "was 1 false alarm"}.get(len(counted), f"were {len(counted)} false alarms")
    finding = ask.measured(
        len(counted), 0.0, f"There {count}{whom} in the last twelve months{f' ({days})' if days else ''}"
    )
    finding = eased(finding, rule.options.get("band", 0.0))
    if unsure and finding.verdict in (Verdict.CONFORMS, Verdict.BORDERLINE):
        which = listed([str(visit.date) for visit in unsure])
        says = f"The record does not say of the call-out of {which} whether it was a false alarm{whom}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, f"Record cause{' and police-called' if police else ''}.")
    else:
        yield finding


def looked_at(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that things were looked at on the last visit of its kind, or on any since commissioning.

    Options: ``items``, as in the record under checked; ``any-home``, those of them that a home without an intruder
    system needs too; ``kinds`` of visit; ``ever``, true where once is enough.
    """
    kinds, options = rule.options["kinds"], rule.options
    items = options["items"] if case.has_intruder_system else options.get("any-home", [])
    on_them = visits_of(case, kinds)
    counted = on_them if options.get("ever") else on_them[-1:]
    lacks = [item for item in items if not any(item in visit.checked for visit in counted)]
    ask = about_home(rule, limit, case, (*path_of(case, on_them[-1]), "checked") if on_them else ("visits",))
    if not items:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing in the home guards against intruders.")
    elif not on_them:
        yield ask.answer(Verdict.NOT_APPLICABLE, f"There was no {' or '.join(kinds)} visit yet.")
    elif lacks:
        which = f"The {on_them[-1].kind} visit of {on_them[-1].date} does not say"
        which = "No visit says" if options.get("ever") and len(on_them) > 1 else which
        yield ask.answer(Verdict.NOT_VERIFIED, f"{which} “{'”, “'.join(lacks)}”.")
    else:
        yield ask.answer(Verdict.CONFORMS, f"Recorded by {counted[-1].date}: {listed(items)}.")


def last_of(case: Case, kinds: Collection[str], *, on_site: bool = False) -> Visit | None:
    """Give the last visit of some kinds up to the day; with ``on_site`` one that was not made over the line."""
    return next((v for v in reversed(visits_of(case, kinds)) if not (on_site and v.remote)), None)


_CORRECTED = ("remote", "cause", "police_called", "checked", "report", "note", "tests")
"""What of a visit a correction leaves as it was where it says nothing of it."""


def visits_of(case: Case, kinds: Collection[str]) -> list[Visit]:
    """Give the visits of some kinds up to the day, earliest first; a correction is one with what it corrects."""
    corrected = {visit.corrects for visit in case.home.visits if visit.corrects}
    found: list[Visit] = []
    for visit in case.visits:
        before = found[-1] if found else None
        if visit.kind not in kinds:
            continue
        if before and visit.date in corrected and (before.date, before.kind) == (visit.date, visit.kind):
            kept = {name: getattr(before, name) for name in _CORRECTED if not getattr(visit, name)}
            found[-1] = visit.model_copy(update=kept)
        else:
            found.append(visit)
    return found


def path_of(case: Case, visit: Visit) -> Path:
    """Give where a visit stands in the record; of several on one day, the last of its kind."""
    at = [i for i, v in enumerate(case.home.visits) if (v.corrects or v.date) == visit.date and v.kind == visit.kind]
    return ("visits", at[-1]) if at else ("visits",)


def about_home(rule: Rule, limit: Limit, case: Case, path: Path = ("home",)) -> Question:
    """Put a rule to the home as a whole."""
    return Question(rule, limit, Subject("home", "home", case.home.home.label), path)
