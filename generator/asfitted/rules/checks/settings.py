"""How a device is set, as the record says."""

from collections.abc import Iterator

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question


def setting(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge one setting of a device.

    Options: ``setting``, its key in the record; ``good``, the values that conform; ``measure``, what to do when the
    record does not say.
    """
    key = rule.options["setting"]
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, key))
        value = getattr(placed.device, key.replace("-", "_"))
        word = {True: "yes", False: "no"}.get(value, value)
        asks = f"the rule asks for {' or '.join(rule.options['good'])} ({limit.by_whom})"
        if value is None:
            says = f"The record does not give {key} for {placed.words}; {asks}."
            yield ask.answer(Verdict.NOT_VERIFIED, says, rule.options["measure"])
        else:
            verdict = Verdict.CONFORMS if word in rule.options["good"] else Verdict.FAILS
            yield ask.answer(verdict, f"{placed.words}: {key} is {word}; {asks}.")
