"""Everything the pages know of one home: the values that reading, judging and planning gave."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from asfitted.dwelling.shapes import Dwelling
from asfitted.history.revision import Revision
from asfitted.model.base import Unusable
from asfitted.model.home import Home
from asfitted.reckon.of_home import Reckoned, reckoned
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.rule_set import RuleSet
from asfitted.upkeep.calendar import last_change
from asfitted.upkeep.task import Task, Undated


@dataclass(frozen=True)
class Firm:
    """The firm's own details, from ``extra.firm`` of the root mkdocs.yml.

    ``sites`` is the address under which the firm serves the households' sites, one folder a home; empty where it
    hands them over as folders.
    """

    name: str = ""
    telephone: str = ""
    hours: str = ""
    emergency: str = "112"
    note: str = ""
    gas: str = ""
    sites: str = ""


def no_photo(file: str) -> bytes:
    """Say that there is no photo, where no folder of a home is at hand.

    Raises:
        Unusable: always.
    """
    raise Unusable("no such file", f"the photo {file}")


@dataclass(frozen=True)
class Dossier:
    """One home, laid out, judged and planned, on a day.

    ``photo`` gives the content of a photo that the record names, when a page asks for it, or raises ``Unusable``.
    """

    id: str
    home: Home
    dwelling: Dwelling
    findings: tuple[Finding, ...]
    tasks: tuple[Task, ...]
    revision: Revision
    on: date
    rules: RuleSet
    undated: tuple[Undated, ...] = ()
    known: Reckoned | None = None
    photo: Callable[[str], bytes] = no_photo

    @cached_property
    def reckoned(self) -> Reckoned:
        """The calculations of the home, each worked out when first asked for; those its verdicts rest on, if known."""
        return self.known or reckoned(self.home, self.dwelling, self.on)

    @property
    def tasks_changed(self) -> datetime:
        """The moment of the last change that may have moved a task."""
        changed, at = self.revision.changed, self.revision.at
        return last_change(self.home, self.tasks, self.on, at, changed=changed)

    def count(self, verdict: Verdict) -> int:
        """How many findings have a verdict."""
        return sum(finding.verdict is verdict for finding in self.findings)

    def tasks_of(self, tag: str | None) -> list[Task]:
        """Give the tasks of a device, or of the system."""
        return [task for task in self.tasks if task.tag == tag]


__all__ = ["Dossier", "Firm", "Revision"]
