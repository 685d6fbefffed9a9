"""Every example of the handbook says what it claims, and every rule has one of each verdict it can give."""

import pytest

from asfitted.rules.catalogue import catalogue
from asfitted.rules.examples import Example, case_of, examples, judged
from asfitted.rules.finding import Verdict

EACH = [example for given in examples().values() for example in given.given]
WANTED = (Verdict.CONFORMS, Verdict.FAILS, Verdict.BORDERLINE, Verdict.NOT_VERIFIED)


@pytest.mark.parametrize("example", EACH, ids=[f"{e.rule}: {e.verdict} {n}" for n, e in enumerate(EACH)])
def test_an_example_has_the_verdict_it_claims(example: Example) -> None:
    found = {f.subject.id: f for f in judged(case_of(example.text, example.on), example.rule)}
    assert example.about in found
    assert found[example.about].verdict is example.verdict, found[example.about].says


@pytest.mark.parametrize("rule_id", catalogue().rules)
def test_a_rule_has_an_example_of_each_verdict_or_says_why_it_never_gives_it(rule_id: str) -> None:
    given = examples()[rule_id]
    shown = {example.verdict for example in given.given}
    assert [verdict.value for verdict in WANTED if verdict not in shown and verdict not in given.never] == []
    assert not shown & given.never.keys()
    assert all(given.never.values())
