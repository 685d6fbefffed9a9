"""What a rule set holds, in figures: limits of its own, handed on, borrowed, and how they are known."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from asfitted.rules.catalogue import COMMON, Catalogue, SetFacts, Status
from asfitted.rules.rule_set import RuleSet, rule_set


@dataclass(frozen=True, slots=True)
class SetCounts:
    """The limits of one rule set, counted.

    ``known_by`` counts those that ask something by how they are known.
    """

    facts: SetFacts
    builds_on: tuple[str, ...]
    rules: int
    own: int
    handed_on: int
    borrowed: int
    nothing: int
    known_by: Mapping[Status, int]

    @property
    def asks(self) -> int:
        """The rules by which the set asks something."""
        return self.rules - self.nothing


def set_counts(catalogue: Catalogue, name: str) -> SetCounts:
    """Count the limits of a rule set."""
    return counts_of(rule_set(catalogue, name), catalogue.chain(name)[1:])


def counts_of(rules: RuleSet, builds_on: tuple[str, ...]) -> SetCounts:
    """Count the limits of a settled rule set, given the sets it builds on."""
    ways = Counter(rules.how(rule_id) for rule_id in rules.rules)
    known = Counter(limit.status for limit in rules.limits.values() if not limit.nothing)
    return SetCounts(
        facts=rules.facts,
        builds_on=tuple(name for name in builds_on if name != COMMON),
        rules=len(rules.rules),
        own=ways["own"],
        handed_on=ways["handed on"],
        borrowed=ways["borrowed"],
        nothing=ways["nothing"],
        known_by={status: known[status] for status in get_args(Status)},
    )
