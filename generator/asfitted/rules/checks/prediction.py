"""How a figure that was not measured but reckoned becomes a finding.

A prediction proves nothing. It fails as advice where it falls short by more than it may be out, and it says what to
measure to be surer.
"""

from collections.abc import Iterable
from dataclasses import replace

from asfitted.reckon.working import Input
from asfitted.rules.catalogue import amount
from asfitted.rules.finding import Finding, Mark, Verdict
from asfitted.rules.judgement import Question


def to_measure(inputs: Iterable[Input]) -> str:
    """Give what to measure in place of what was assumed; empty where nothing was."""
    return " ".join(dict.fromkeys(given.ask for given in inputs if given.known == "assumed" and given.ask))


def surer(inputs: Iterable[Input]) -> str:
    """Give the same as the end of a remedy."""
    measure = to_measure(inputs)
    return f"To be surer: {measure}" if measure else ""


def reckoned(
    ask: Question,
    found: float,
    tolerance: float,
    says: str,
    inputs: Iterable[Input] = (),
    *,
    remedy: str = "",
    decides: str = "",
    mark: Mark | None = None,
) -> Finding:
    """Give the finding about a figure that was not measured but reckoned.

    Args:
        ask: the question.
        found: the figure, in the unit of the limit.
        tolerance: by how much the reckoning may be out.
        says: what was found; what is asked, and by whom, is added.
        inputs: what it was reckoned from; assumed ones are named with what to measure.
        remedy: what to do if it falls short; the rule's own unless given.
        decides: what to do if it is too close to call, before what to measure.
        mark: what a drawing can show of it.
    """
    finding = ask.measured(found, tolerance, says, remedy=remedy, mark=mark)
    measure = surer(inputs)
    if finding.verdict is Verdict.BORDERLINE:
        doubt = f"That is within the {amount(tolerance, ask.limit.unit)} by which the reckoning may be out."
        wanted = " ".join(filter(None, (decides, measure))) or ask.rule.remedy
        return replace(finding, says=f"{says}; {ask.asks}. {doubt}", remedy=wanted)
    if finding.verdict is Verdict.FAILS:
        return replace(finding, remedy=" ".join(filter(None, (finding.remedy, measure))))
    return finding
