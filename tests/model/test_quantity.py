"""Quantities in words, checked against the units library's own full registry and the published definitions."""

import re
from functools import cache
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.model.base import Unusable
from asfitted.model.quantity import UNIT_WORDS, read_quantity

BASE = {"[length]": "metre", "[mass]": "kilogram", "[time]": "second", "[]": "degree"}
VOLTS = {"volt", "volts", "V", "mV", "millivolt"}
LEVELS = {"decibel", "dB", "dBA"}  # the library counts these on a logarithmic scale; a record only carries them


@cache
def full_registry() -> Any:
    return pint.UnitRegistry()


@pytest.mark.parametrize("word", sorted(UNIT_WORDS - LEVELS))
def test_every_unit_word_means_what_the_full_registry_says(word: str) -> None:
    # outside check: the default definitions of the units library (month and year are its Julian ones)
    theirs = full_registry()(word.replace("deg", "degree") if word == "deg" else word)
    unit = "volt" if word in VOLTS else BASE[str(theirs.dimensionality).replace("dimensionless", "[]")]
    assert read_quantity(f"3 {word}", unit) == pytest.approx(float((3 * theirs).to(unit).magnitude), rel=1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        # NIST Special Publication 811, appendix B.8: exact factors
        ("1 ft", "metre", 0.3048),
        ("1 in", "metre", 0.0254),
        ("1 lb", "kilogram", 0.45359237),
        ("7 ft 2 in", "metre", 2.1844),
        ("6 ft 3 in", "metre", 1.905),
        ("7ft2in", "metre", 2.1844),
        ("2.10", "metre", 2.10),
        ("2,10", "metre", 2.10),
        ("210 cm", "metre", 2.10),
        ("  8 mm ", "metre", 0.008),
        ("012", "metre", 12.0),
        ("-0.5 m", "metre", -0.5),
        ("12°", "degree", 12.0),
        ("37.5 deg", "degree", 37.5),
        ("85 dB(A)", "decibel", 85.0),
        ("78 dB", "decibel", 78.0),
        ("2900 mV", "volt", 2.9),
        ("1 h 30 min", "second", 5400.0),
        ("10 years", "second", 10 * 365.25 * 86400),
        ("2 weeks", "second", 1_209_600.0),
    ],
)
def test_known_quantities(text: str, unit: str, value: float) -> None:
    assert read_quantity(text, unit) == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            " ",
            "m",
            "two",
            "nan",
            ".nan",
            "inf",
            "-inf",
            ".inf",
            "1e3",
            "1_000",
            "12:30",
            "0x1F",
            "0o12",
            "1 2",
            "1 m 2",
        ),
        *(
            "3 kg",
            "3 s",
            "3 cubits",
            "3 mm2",
            "3 m*m",
            "3 ()",
            "3 ((",
            "3 m(",
            "1,000",
            "1,000 mm",
            "--3",
            "+",
            "3 m;",
            "½",
        ),
        *("5'", "3 curie", "3 mmm", "3 M", "3 FT", "9" * 400, "٣ م"),
    ],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(Unusable):
        read_quantity(text, "metre")


def test_bare_number_is_in_the_unit_asked_for() -> None:
    assert [read_quantity("3", unit) for unit in ("metre", "degree", "kilogram", "second", "decibel", "volt")] == [
        3.0
    ] * 6


FORMATS = {"m": 1.0, "cm": 100.0, "mm": 1000.0, "ft": 1 / 0.3048}


@given(st.floats(-1000, 1000), st.sampled_from(sorted(FORMATS)))
def test_any_length_written_in_any_unit_reads_back(length: float, unit: str) -> None:
    written = f"{length * FORMATS[unit]:.10f} {unit}"
    assert read_quantity(written, "metre") == pytest.approx(length, abs=2e-9)


@given(st.integers(0, 12), st.floats(0, 11.99))
def test_feet_and_inches_add_up(feet: int, inches: float) -> None:
    written = f"{feet} ft {inches:.6f} in"
    assert read_quantity(written, "metre") == pytest.approx(feet * 0.3048 + float(f"{inches:.6f}") * 0.0254, abs=2e-9)


@given(st.text(max_size=40))
def test_any_text_is_a_number_or_a_sentence(text: str) -> None:
    try:
        told = str(read_quantity(text, "metre"))
    except Unusable as trouble:
        told = f"{trouble.found}; expected {trouble.expected}"
    assert told.isprintable()
    assert re.search(r"[0-9]|expected .", told)
