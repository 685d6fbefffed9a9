"""What a check says: verdicts and findings."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from asfitted.rules.catalogue import Limit, Rule

if TYPE_CHECKING:  # the rules can be listed without loading the geometry and the model
    from shapely.geometry.base import BaseGeometry

    from asfitted.model.base import Path
    from asfitted.model.home import Variation


class Verdict(StrEnum):
    """The answer of a check, worst first."""

    FAILS = "does not conform"
    NOT_VERIFIED = "not verified"
    BORDERLINE = "borderline"
    VARIATION = "variation"
    CONFORMS = "conforms"
    NOT_APPLICABLE = "not applicable"

    @property
    def rank(self) -> int:
        """The place in the order worst first, from 0."""
        return list(Verdict).index(self)


@dataclass(frozen=True, slots=True)
class Subject:
    """What a finding is about: a device by its tag, a room, a storey, or the home; and the place where it shows."""

    kind: str  # device, room, storey, home
    id: str
    name: str
    room: str | None = None
    storey: str | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """Something a drawing can show of a finding, on the plan of a storey: where it falls short, and of what."""

    at: tuple[float, float]
    towards: tuple[float, float] | None = None
    radius: float | None = None
    move_to: tuple[float, float] | None = None
    zone: "BaseGeometry | None" = None


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says about one subject.

    ``found``, ``margin`` and ``tolerance`` are in the unit of the limit; None where the rule is not about a figure.
    ``says`` is a plain sentence with what was found against what is asked and by whom; ``remedy`` what to do, or,
    where evidence lacks, what to measure. ``path`` is where in the record the reader should look.
    """

    rule: Rule
    limit: Limit
    subject: Subject
    verdict: Verdict
    says: str
    remedy: str
    path: "Path"
    found: float | None = None
    margin: float | None = None
    tolerance: float | None = None
    variation: "Variation | None" = None
    mark: Mark | None = None

    @property
    def key(self) -> tuple[str, str, str]:
        """What names the finding from one revision to the next: rule, kind of subject, subject."""
        return self.rule.id, self.subject.kind, self.subject.id
