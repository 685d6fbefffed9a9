"""The rules as the office reads them: an index, a page a rule, and the rule sets."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from asfitted.drawing.drawing import Drawing
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_findings import FindingView, finding_view
from asfitted.pages.views.office_homes import LOOKS, folder
from asfitted.pages.views.rule_examples import Shown, judged_examples
from asfitted.rules.catalogue import COMMON, FAMILIES, Catalogue, Limit, Rule, limits_in_order
from asfitted.rules.counts import SetCounts, counts_of
from asfitted.rules.finding import Verdict
from asfitted.rules.judgement import asked
from asfitted.rules.rule_set import RuleSet, rule_set

FALLS_SHORT = (Verdict.FAILS, Verdict.BORDERLINE, Verdict.NOT_VERIFIED, Verdict.VARIATION)
"""The verdicts for which a rule's page lists homes, most pressing first."""

Settled = Mapping[str, RuleSet]
"""Every rule set that a home may name, settled, by its name."""


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit as one rule set has it, and the sets that have it from there."""

    limit: Limit
    title: str
    own: bool
    handed_to: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HomeShort:
    """A home that falls short of a rule, and its findings."""

    folder: str
    label: str
    findings: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class RulePage:
    """Everything the page of a rule shows."""

    rule: Rule
    family: str
    asks: str
    asks_by: str
    limits: tuple[LimitRow, ...]
    lent: tuple[str, ...]
    silent: tuple[str, ...]
    shown: tuple[Shown, ...]
    drawing: Drawing | None
    short: tuple[HomeShort, ...]

    @property
    def own(self) -> bool:
        """Whether the rule is one of a firm's own."""
        return all(row.own for row in self.limits)


@dataclass(frozen=True, slots=True)
class RuleLine:
    """A rule in the index: what it asks, and the sets that ask it by a limit that is not borrowed."""

    rule: Rule
    asks: str
    asked_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SetLine:
    """A rule set in the overview; ``base`` for one that others build on and no home names."""

    name: str
    counts: SetCounts


def settle(catalogue: Catalogue) -> dict[str, RuleSet]:
    """Settle every rule set that a home may name."""
    return {name: rule_set(catalogue, name) for name in catalogue.names()}


def rule_lines(catalogue: Catalogue, settled: Settled) -> list[tuple[str, str, list[RuleLine]]]:
    """Give the index: the key and name of each family with its rules."""
    lines = [RuleLine(rule, _asks(rule, catalogue), tuple(_asking(rule, settled))) for rule in catalogue.rules.values()]
    return [(key, name, [line for line in lines if line.rule.family == key]) for key, name in FAMILIES.items()]


def set_lines(catalogue: Catalogue, settled: Settled) -> list[SetLine]:
    """Give the overview of the rule sets."""
    return [SetLine(name, counts_of(rules, catalogue.chain(name)[1:])) for name, rules in settled.items()]


def rule_pages(catalogue: Catalogue, settled: Settled, dossiers: Sequence[Dossier]) -> Iterator[RulePage]:
    """Give the page of each rule, with the homes that fall short of it in the order of their labels."""
    homes = _short_by_rule(dossiers)
    for rule in catalogue.rules.values():
        examples = judged_examples(rule.id)
        yield RulePage(
            rule=rule,
            family=FAMILIES[rule.family],
            asks=_asks(rule, catalogue),
            asks_by=next((limit.rule_set for limit in _first(rule, catalogue)), COMMON),
            limits=tuple(_row(rule, limit, catalogue, settled) for limit in limits_in_order(rule, catalogue.sets)),
            lent=_sets(rule, settled, "borrowed"),
            silent=tuple(name for name in _sets(rule, settled, "nothing") if name not in rule.limits),
            shown=examples.shown,
            drawing=examples.drawing or _symbols(rule),
            short=tuple(homes.get(rule.id, ())),
        )


def _first(rule: Rule, catalogue: Catalogue) -> list[Limit]:
    """Give the limits by which something is asked, the common one first."""
    return [limit for limit in limits_in_order(rule, catalogue.sets) if not limit.nothing]


def _asks(rule: Rule, catalogue: Catalogue) -> str:
    """Give the rule's sentence with the common limit, or the first there is."""
    limits = _first(rule, catalogue)
    return asked(rule, limits[0]) if limits else rule.says.format(limit="as asked")


def _asking(rule: Rule, settled: Settled) -> Iterator[str]:
    return (name for name, rules in settled.items() if rules.how(rule.id) in ("own", "handed on"))


def _sets(rule: Rule, settled: Settled, how: str) -> tuple[str, ...]:
    return tuple(name for name, rules in settled.items() if rules.how(rule.id) == how and rule.id in rules.rules)


def _row(rule: Rule, limit: Limit, catalogue: Catalogue, settled: Settled) -> LimitRow:
    facts = catalogue.sets[limit.rule_set]
    same = (name for name, rules in settled.items() if rules.limits.get(rule.id) is limit)
    return LimitRow(limit, facts.title, facts.own, tuple(name for name in same if name != limit.rule_set))


def _symbols(rule: Rule) -> Drawing | None:
    """Draw the symbols of the kinds of device that a rule is about."""
    from asfitted.drawing.kinds import DEVICE_KINDS, kind_symbols

    named = [*rule.applies_to, *(kind for kind in rule.options.get("kinds", ()) if isinstance(kind, str))]
    kinds = [kind for kind in DEVICE_KINDS if kind in named]
    return kind_symbols(kinds, rule.title) if kinds else None


def _short_by_rule(dossiers: Sequence[Dossier]) -> dict[str, list[HomeShort]]:
    found: dict[str, list[HomeShort]] = {}
    for dossier in sorted(dossiers, key=lambda d: (d.home.home.label.casefold(), d.id)):
        by_rule: dict[str, list[FindingView]] = {}
        for finding in dossier.findings:
            if finding.verdict in FALLS_SHORT:
                by_rule.setdefault(finding.rule.id, []).append(finding_view(finding))
        for rule_id, views in by_rule.items():
            found.setdefault(rule_id, []).append(HomeShort(folder(dossier.id), dossier.home.home.label, tuple(views)))
    return found


__all__ = ["LOOKS", "RuleLine", "RulePage", "SetLine", "rule_lines", "rule_pages", "set_lines", "settle"]
