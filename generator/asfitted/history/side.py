"""One revision of a home, ready to be compared and judged; what is costly is done when it is first asked for."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path

from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.history.revision import Unavailable
from asfitted.model.home import Home
from asfitted.reckon.of_home import Reckoned, reckoned
from asfitted.record.reader import read_text
from asfitted.rules.catalogue import Catalogue
from asfitted.rules.finding import Finding
from asfitted.rules.judge import judge
from asfitted.rules.rule_set import RuleSet, rule_set

_CANNOT = "that revision cannot be used"


@dataclass(frozen=True, eq=False)
class Side:
    """A home as it was at a revision.

    Attributes:
        home: the record.
        day: the day of the revision: what was due or lapsed by then.
        catalogue: the rules that stood beside it, a firm's own among them.
        digest: SHA-256 of the record's bytes.
    """

    home: Home
    day: date
    catalogue: Catalogue
    digest: str = ""

    @cached_property
    def dwelling(self) -> Dwelling | None:
        """Its shapes; None where they do not fit together."""
        return survey(self.home)[0]

    @cached_property
    def trouble(self) -> Unavailable | None:
        """Why it cannot be judged, if it cannot."""
        if self.home.home.rules not in self.catalogue.names():
            return Unavailable(f"{_CANNOT}: there is no rule set {self.home.home.rules} today")
        if self.dwelling is None:
            problem = survey(self.home)[1][0]
            return Unavailable(f"{_CANNOT}: found {problem.found}; expected {problem.expected}")
        return None

    @cached_property
    def rules(self) -> RuleSet:
        """The rule set it is judged by."""
        return rule_set(self.catalogue, self.home.home.rules)

    def reckoned(self, on: date) -> Reckoned:
        """Give what is reckoned of it on a day.

        Raises:
            ValueError: when it cannot be judged; see ``trouble``.
        """
        if self.trouble is not None or self.dwelling is None:
            raise ValueError("a home that cannot be judged")
        return reckoned(self.home, self.dwelling, on)

    def findings(self, on: date, only: Collection[str] = (), known: Reckoned | None = None) -> tuple[Finding, ...]:
        """Judge it on a day, by all rules or those named; ``known`` is what is reckoned of it on that day.

        Raises:
            ValueError: when it cannot be judged; see ``trouble``.
        """
        if self.trouble is not None or self.dwelling is None:
            raise ValueError("a home that cannot be judged")
        if only:
            return judge(self.home, self.dwelling, on, self.rules, only, known)
        if on not in self._judged:
            self._judged[on] = judge(self.home, self.dwelling, on, self.rules, (), known)
        return self._judged[on]

    @cached_property
    def _judged(self) -> dict[date, tuple[Finding, ...]]:
        """What was found by all rules, by the day: a timeline asks it of every revision three times."""
        return {}


def side_of(raw: bytes | None, day: date, catalogue: Catalogue, file: Path = Path("record.yml")) -> Side | Unavailable:
    """Read a record as it was at a revision; one that today's program cannot read is said, with its first trouble."""
    if raw is None:
        return Unavailable("the content of the record is missing from the repository, or damaged")
    reading = read_text(raw, file)
    if reading.home is None:
        first, more = reading.troubles[0], len(reading.troubles) - 1
        also = f" ({more} more)" if more else ""
        where = f"line {first.mark[0]}: {first.sentence}".rstrip(".")
        return Unavailable(f"{_CANNOT}: {where}{also}")
    return Side(reading.home, day, catalogue, reading.digest)
