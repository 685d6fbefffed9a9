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

    def how(self, rule_id: str) -> str:
        """Give how the set came by its limit of a rule: ``own``, ``handed on``, ``borrowed`` or ``nothing``.

        ``own`` stands in the set itself, ``handed on`` in one that it builds on, ``borrowed`` in the common one.
        """
        limit = self.limits.get(rule_id)
        if limit is None or limit.nothing:
            return "nothing"
        if limit.borrowed_by:
            return "borrowed"
        return "own" if limit.rule_set == self.name else "handed on"


def rule_set(catalogue: Catalogue, name: str) -> RuleSet:
    """Settle a rule set: its own limits first, then those of the sets it builds on, then borrowed from the common one.

    A borrowed limit says so. A figure that is never borrowed is left out instead: such a limit asks nothing. A rule
    that only a firm's own sets know is no rule of a set that builds on none of them.

    Raises:
        KeyError: when the catalogue has no such set.
    """
    chain, facts = catalogue.chain(name), catalogue.sets[name]
    asked = [rule for rule in catalogue.rules.values() if not _of_others(rule, catalogue, chain)]
    limits = {rule.id: _limit(rule, chain, facts) for rule in asked}
    rules = {
        rule.id: replace(rule, options={**rule.options, **limits[rule.id].options}) if limits[rule.id].options else rule
        for rule in asked
    }
    return RuleSet(facts, rules, limits)


def _of_others(rule: Rule, catalogue: Catalogue, chain: tuple[str, ...]) -> bool:
    """Whether only firms' own sets know a rule, and none of them is in a chain."""
    return bool(rule.limits) and all(catalogue.sets[name].own and name not in chain for name in rule.limits)


def _limit(rule: Rule, chain: tuple[str, ...], facts: SetFacts) -> Limit:
    for name in chain:
        if name in rule.limits:
            return rule.limits[name]
    if COMMON not in rule.limits or rule.never_borrowed:
        return Limit(facts.name, rule.unit, SILENT, "common practice", "advice", nothing=True)
    return replace(rule.limits[COMMON], borrowed_by=facts.title)
