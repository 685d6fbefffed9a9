"""A trial of a firm's own rule on the examples of the rules that share its check."""

from dataclasses import replace
from itertools import islice

from asfitted.rules.catalogue import Catalogue
from asfitted.rules.examples import case_of, examples, home_text, judged
from asfitted.rules.rule_set import rule_set

TRIALS = 3
"""Examples that a rule is tried on."""


def works(rules: Catalogue, name: str, rule_id: str) -> bool:
    """Whether a rule of a set can be put to a home at all, whatever it then says."""
    settled = rule_set(rules, name)
    check = rules.rules[rule_id].check
    kin = (given for other, given in examples().items() if other in rules.rules and rules.rules[other].check == check)
    texts = [(example.text, example.on) for example in islice((e for given in kin for e in given.given), TRIALS)]
    try:
        for case in [case_of(home_text()), *(case_of(text, on) for text, on in texts)]:
            judged(replace(case, rules=settled), rule_id)
    except Exception:  # noqa: BLE001 - whatever a check stumbles over, it is the options that were wrong
        return False
    return True
