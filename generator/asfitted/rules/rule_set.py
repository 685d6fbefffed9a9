"""The rules as one rule set asks them: every limit settled, and from where."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from asfitted.rules.catalogue import COMMON, Catalogue, Limit, Rule, SetFacts, Source

SILENT = Source("", "the rule set itself, which names no figure")


@dataclass(frozen=True)
class RuleSet:
    """A rule set, settled: the rules with the options it asks for, and one limit each."""

    facts: SetFacts
    rules: Mapping[str, Rule]
    limits: Mapping[str, Limit]

    @property
    def name(self) -> str:
        """The name by which records call it."""
        return self.facts.name


def rule_set(catalogue: Catalogue, name: str) -> RuleSet:
    """Settle a rule set: its own limits first, then those of the sets it builds on, then borrowed from the common one.

    A borrowed limit says so. A figure that is never borrowed is left out instead: such a limit asks nothing.

    Raises:
        KeyError: when the catalogue has no such set.
    """
    chain, facts = catalogue.chain(name), catalogue.sets[name]
    limits = {rule.id: _limit(rule, chain, facts) for rule in catalogue.rules.values()}
    rules = {
        rule.id: replace(rule, options={**rule.options, **limits[rule.id].options}) if limits[rule.id].options else rule
        for rule in catalogue.rules.values()
    }
    return RuleSet(facts, rules, limits)


def _limit(rule: Rule, chain: tuple[str, ...], facts: SetFacts) -> Limit:
    for name in chain:
        if name in rule.limits:
            return rule.limits[name]
    if COMMON not in rule.limits or rule.never_borrowed:
        return Limit(facts.name, rule.unit, SILENT, "common practice", "advice", nothing=True)
    return replace(rule.limits[COMMON], borrowed_by=facts.title)
