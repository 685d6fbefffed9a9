"""What falls short over all homes, verdict by verdict and rule by rule."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_findings import FindingView, finding_view
from asfitted.pages.views.office_homes import LOOKS, folder
from asfitted.rules.catalogue import Catalogue, Rule, catalogue
from asfitted.rules.finding import Verdict

SHORT = (Verdict.FAILS, Verdict.BORDERLINE, Verdict.NOT_VERIFIED, Verdict.VARIATION)
"""The verdicts somebody has to look at, most pressing first."""


@dataclass(frozen=True, slots=True)
class Place:
    """The findings of one rule at one home."""

    id: str
    folder: str
    label: str
    findings: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class RuleShort:
    """One rule and the homes where it is not met."""

    rule: Rule
    places: tuple[Place, ...]

    @property
    def number(self) -> int:
        """How many findings there are."""
        return sum(len(place.findings) for place in self.places)


@dataclass(frozen=True, slots=True)
class Short:
    """All findings of one verdict."""

    verdict: Verdict
    look: str
    rules: tuple[RuleShort, ...]

    @property
    def anchor(self) -> str:
        """The id of its section."""
        return self.verdict.value.replace(" ", "-")

    @property
    def number(self) -> int:
        """How many findings there are."""
        return sum(rule.number for rule in self.rules)


def shortfalls(dossiers: Sequence[Dossier], rules: Catalogue | None = None) -> tuple[Short, ...]:
    """Give what falls short by verdict, by rule in the order of the catalogue, and by home in the order of labels."""
    rules = rules or catalogue()
    gathered: dict[tuple[Verdict, str], list[Place]] = {}
    for dossier in sorted(dossiers, key=lambda d: (d.home.home.label.casefold(), d.id)):
        for key, views in _of_home(dossier).items():
            place = Place(dossier.id, folder(dossier.id), dossier.home.home.label, tuple(views))
            gathered.setdefault(key, []).append(place)
    return tuple(Short(verdict, LOOKS[verdict], tuple(_rules(gathered, verdict, rules))) for verdict in SHORT)


def _of_home(dossier: Dossier) -> dict[tuple[Verdict, str], list[FindingView]]:
    found: dict[tuple[Verdict, str], list[FindingView]] = {}
    for finding in dossier.findings:
        found.setdefault((finding.verdict, finding.rule.id), []).append(finding_view(finding))
    return found


def _rules(gathered: dict[tuple[Verdict, str], list[Place]], verdict: Verdict, rules: Catalogue) -> Iterable[RuleShort]:
    for rule in rules.rules.values():
        if places := gathered.get((verdict, rule.id)):
            yield RuleShort(rule, tuple(places))
