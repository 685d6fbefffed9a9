"""From a figure and a limit to a verdict, and from a verdict to a finding."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.finding import Finding, Mark, Subject, Verdict

if TYPE_CHECKING:
    from asfitted.model.base import Path

_EXACT = 1e-9
MEASURE_AGAIN = "Measure again with a finer instrument. To have more to spare:"
"""What to do about a margin smaller than the tolerance, before what gives it more room."""


def verdict_of(margin: float, tolerance: float) -> Verdict:
    """Judge a margin: how far the figure is on the good side of its limit.

    A margin smaller than what the measuring may be out by proves nothing either way: borderline.
    """
    if abs(margin) < tolerance - _EXACT:
        return Verdict.BORDERLINE
    return Verdict.CONFORMS if margin >= -_EXACT else Verdict.FAILS


def asked(rule: Rule, limit: Limit) -> str:
    """Write the rule's sentence with the figure of a limit, or the sentence that a limit without one has of its own."""
    says: str = limit.options.get("says", rule.says)
    return says.format(limit=limit.figure)


def listed(words: list[str]) -> str:
    """Join words as a sentence does: ``a``, ``a and b``, ``a, b and c``."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


@dataclass(frozen=True, slots=True)
class Question:
    """One rule put to one subject: what the answer needs to become a finding."""

    rule: Rule
    limit: Limit
    subject: Subject
    path: "Path"

    @property
    def asks(self) -> str:
        """What is asked and by whom, as the end of a sentence; only for a rule about a figure."""
        return f"the rule asks for {self.limit.figure} ({self.limit.by_whom})"

    def answer(self, verdict: Verdict, says: str, remedy: str | None = None) -> Finding:
        """Give the finding of a rule that is about no figure; the remedy is the rule's own unless another is given."""
        needs = verdict in (Verdict.FAILS, Verdict.NOT_VERIFIED)
        wanted = self.rule.remedy if remedy is None else remedy
        return Finding(self.rule, self.limit, self.subject, verdict, says, wanted if needs else "", self.path)

    def measured(
        self, found: float, tolerance: float, says: str, *, remedy: str = "", mark: Mark | None = None
    ) -> Finding:
        """Give the finding of a rule about a figure.

        Args:
            found: the figure, in the unit of the limit.
            tolerance: by how much it may be out.
            says: what was found; what is asked, and by whom, is added.
            remedy: what to do if it falls short; the rule's own unless given.
            mark: what a drawing can show of it.
        """
        margin = self.limit.margin(found)
        verdict = verdict_of(margin, tolerance)
        sentence = f"{says}; {self.asks}."
        remedy = remedy or self.rule.remedy
        if verdict is Verdict.BORDERLINE:
            sentence += f" That is within the {amount(tolerance, self.limit.unit)} by which it was measured."
            remedy = f"{MEASURE_AGAIN} {remedy[:1].lower()}{remedy[1:]}"
        if verdict is Verdict.CONFORMS:
            remedy, mark = "", None
        return Finding(
            self.rule,
            self.limit,
            self.subject,
            verdict,
            sentence,
            remedy,
            self.path,
            found,
            margin,
            tolerance,
            mark=mark,
        )
