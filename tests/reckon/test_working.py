"""Working and sensitivity on a formula whose answers are known by hand."""

from collections.abc import Mapping

import pytest

from asfitted.reckon.working import Input, Step, Working, number, sensitivity


def area(inputs: Mapping[str, Input]) -> Working:
    a, b = inputs["a"].value, inputs["b"].value
    step = Step("A", "area", "a b", f"{number(a)} x {number(b)}", a * b, "m2")
    return Working("area of a rectangle", tuple(inputs.values()), (step,))


SIDES = {
    "a": Input("a", "length", 4.0, "m", "measured", "record", spread=0.1),
    "b": Input("b", "width", 3.0, "m", "assumed", "taken", spread=0.5, ask="measure the width"),
    "c": Input("c", "unused", 1.0, "", "standard", "book"),
}


def test_the_result_is_the_last_step() -> None:
    assert area(SIDES).result.value == pytest.approx(12.0)
    assert [given.symbol for given in area(SIDES).assumed] == ["b"]


def test_the_input_that_moves_the_result_most_comes_first() -> None:
    first, second = sensitivity(area, SIDES)
    assert [first.given.symbol, second.given.symbol] == ["b", "a"]
    assert [first.low, first.high, second.size] == pytest.approx([10.0, 14.0, 0.6])


@pytest.mark.parametrize(
    ("value", "words"), [(1.5, "1.5"), (-0.0001, "0"), (-2.25, "\N{MINUS SIGN}2.25"), (10.0, "10"), (0.12345, "0.123")]
)
def test_figures_are_short_and_true(value: float, words: str) -> None:
    assert number(value) == words
