"""A trial of a firm's own rule on the examples of the rules that share its check."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from asfitted.rules.catalogue import Catalogue
from asfitted.rules.examples import Example, case_of, examples_of, home_text, judged
from asfitted.rules.rule_set import rule_set

TRIALS = 3
"""Examples that a rule is tried on."""


def works(rules: Catalogue, name: str, rule_id: str) -> bool:
    """Whether a rule of a set can be put to a home at all, whatever it then says."""
    settled = rule_set(rules, name)
    tried = islice(_of_its_check(rules, rules.rules[rule_id].check), TRIALS)
    try:
        for case in [case_of(home_text()), *(case_of(example.text, example.on) for example in tried)]:
            judged(replace(case, rules=settled), rule_id)
    except Exception:  # noqa: BLE001 - whatever a check stumbles over, it is the options that were wrong
        return False
    return True


def _of_its_check(rules: Catalogue, check: str) -> Iterator[Example]:
    """Give the examples of the rules that use a check; only the families reached for are read."""
    for rule in rules.rules.values():
        if rule.check == check and rule.id in examples_of(rule.family):
            yield from examples_of(rule.family)[rule.id].given
