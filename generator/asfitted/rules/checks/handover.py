"""The hand-over: papers, what was shown and taught, who accepted, and what could not be tested."""

from collections.abc import Iterator
from typing import Any

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.home_terms import on_home_terms
from asfitted.rules.checks.terms import has_any
from asfitted.rules.checks.visits import about_home, path_of
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question, listed

HAND_OVER = ("installation", "commissioning", "alteration", "service")
"""Kinds of visit at which something is handed over or shown."""


@on_home_terms
def handed_over(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the papers a household needs were handed over, at whichever visit.

    Options: ``kinds`` of visit; ``papers``, each with its ``name``, the ``words`` by any of which the record calls it
    (small or capital letters alike), and ``for``, fire or intruder, where only such homes need it; and the terms of
    :mod:`asfitted.rules.checks.home_terms`.
    """
    given = [paper for visit in case.visits if visit.kind in rule.options["kinds"] for paper in visit.handed_over]
    text = " | ".join(given).casefold()
    ask = _about_hand_over(rule, limit, case)
    lacks = [
        paper["name"]
        for paper in _wanted(rule.options["papers"], case)
        if not any(word.casefold() in text for word in paper["words"])
    ]
    if not _commissioned(case):
        yield ask.answer(Verdict.NOT_APPLICABLE, "The system has not been commissioned yet.")
    elif not given:
        says = f"The record does not say whether the household was given {listed(lacks)}."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Hand the papers over, and record them under handed-over.")
    elif lacks:
        says = f"What was handed over does not include {listed(lacks)} ({limit.by_whom})."
        yield ask.answer(Verdict.FAILS, says, f"Hand over {listed(lacks)}, and record it under handed-over.")
    else:
        yield ask.answer(Verdict.CONFORMS, f"Handed over: {listed(list(dict.fromkeys(given)))}.")


def taught(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the household was shown how to do what it will have to do, at whichever visit.

    Options: ``topics``, each with its ``name`` as in the record and ``for``, fire or intruder.
    """
    known = {topic for visit in case.visits for topic in visit.taught}
    lacks = [topic["name"] for topic in _wanted(rule.options["topics"], case) if topic["name"] not in known]
    ask = _about_hand_over(rule, limit, case)
    if not _commissioned(case):
        yield ask.answer(Verdict.NOT_APPLICABLE, "The system has not been commissioned yet.")
    elif not known:
        says = "The record does not say what the household was shown how to do."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Let them do it, and record it under taught.")
    elif lacks:
        says = f"The household was not shown “{'”, “'.join(lacks)}” ({limit.by_whom})."
        yield ask.answer(Verdict.FAILS, says)
    else:
        yield ask.answer(Verdict.CONFORMS, f"The household was shown {len(known)} things, all that are asked for.")


def hand_over_says(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that some visit of the hand-over gives a word: to whom it was shown, or who accepted it.

    Options: ``key``; ``kinds`` of visit; ``measure``.
    """
    key = rule.options["key"]
    said = [
        (visit.date, value)
        for visit in case.visits
        if visit.kind in rule.options["kinds"] and (value := getattr(visit, key.replace("-", "_")))
    ]
    ask = _about_hand_over(rule, limit, case)
    if not _commissioned(case):
        yield ask.answer(Verdict.NOT_APPLICABLE, "The system has not been commissioned yet.")
    elif not said:
        yield ask.answer(Verdict.NOT_VERIFIED, f"The record does not give {key}.", rule.options["measure"])
    else:
        day, who = said[-1]
        yield ask.answer(Verdict.CONFORMS, f"On {day}: {key} {who}.")


def not_tested_told(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that somebody was told of all that could not be tested; what was tested later no longer counts."""
    open_items = [
        (visit, item)
        for visit in case.visits
        for item in visit.not_tested
        if not (item.device and any(later.date > visit.date for later, _ in _tests(case, item.device)))
    ]
    silent = [(visit, item) for visit, item in open_items if not item.told]
    ask = about_home(rule, limit, case, path_of(case, silent[-1][0]) if silent else ("visits",))
    if not open_items:
        yield ask.answer(Verdict.NOT_APPLICABLE, "Nothing stands in the list of what could not be tested.")
    elif silent:
        what = listed([f"“{item.what}” of {visit.date}" for visit, item in silent])
        yield ask.answer(Verdict.FAILS, f"Nobody was told, as the record has it, of {what} ({limit.by_whom}).")
    else:
        what = listed([f"“{item.what}” (told: {item.told})" for _, item in open_items])
        yield ask.answer(Verdict.CONFORMS, f"Somebody was told of all that could not be tested: {what}.")


def all_listed(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that, once commissioned, every device is tested or stands in the list of what could not be tested."""
    ask = about_home(rule, limit, case, ("visits",))
    listed_tags = {item.device for visit in case.visits for item in visit.not_tested if item.device}
    forgotten = [
        tag
        for tag, device in case.home.devices.items()
        if not (device.fitted and device.fitted > case.on) and tag not in listed_tags and not _tests(case, tag)
    ]
    if not case.home.devices:
        yield ask.answer(Verdict.NOT_APPLICABLE, "The record has no devices.")
    elif not _commissioned(case):
        says = "The record has no commissioning visit."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Test every device, list what could not be, and record the visit.")
    elif forgotten:
        says = f"{listed(forgotten)} {'was' if len(forgotten) == 1 else 'were'} neither tested nor listed"
        remedy = f"Test {listed(forgotten)}, or list under not-tested with the reason."
        yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).", remedy)
    else:
        yield ask.answer(Verdict.CONFORMS, f"Every device ({len(case.home.devices)}) was tested or listed.")


def _tests(case: Case, tag: str) -> list[Any]:
    return list(case.tests_of(tag)) if tag in case.home.devices else []


def _commissioned(case: Case) -> bool:
    return any(visit.kind == "commissioning" for visit in case.visits)


def _wanted(items: list[dict[str, Any]], case: Case) -> Iterator[dict[str, Any]]:
    return (item for item in items if "for" not in item or has_any(case, item["for"]))


def _about_hand_over(rule: Rule, limit: Limit, case: Case) -> Question:
    last = next((v for v in reversed(case.visits) if v.kind in HAND_OVER), None)
    return about_home(rule, limit, case, path_of(case, last) if last else ("visits",))
