"""Quantities in words, checked against a general-purpose units library and the published definitions."""

import re
from functools import cache
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from asfitted.model.base import Unusable
from asfitted.model.quantity import UNITS, Charge, Current, Received, read_quantity

KINDS = {
    "length": "metre",
    "angle": "degree",
    "mass": "kilogram",
    "time": "second",
    "level": "decibel",
    "received power": "decibel-milliwatt",
    "voltage": "volt",
    "current": "ampere",
    "charge": "ampere-hour",
    "frequency": "megahertz",
    "power": "milliwatt",
}
LEVELS = {word for word, (kind, _) in UNITS.items() if kind in ("level", "received power")}
# the library counts these on a logarithmic scale; a record only carries them


@cache
def full_registry() -> Any:
    return pint.UnitRegistry()


def in_the_library(word: str) -> Any:
    return full_registry()(word.replace("-", "_"))


@pytest.mark.parametrize("word", sorted(UNITS.keys() - LEVELS))
def test_every_unit_word_means_what_the_units_library_says(word: str) -> None:
    # outside check: the default definitions of pint (month and year are its Julian ones)
    unit = KINDS[UNITS[word][0]]
    theirs = float((3 * in_the_library(word)).to(unit.replace("-", "_")).magnitude)
    assert read_quantity(f"3 {word}", unit) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("word", sorted(UNITS.keys() - LEVELS))
def test_a_unit_word_is_of_no_other_kind(word: str) -> None:
    # outside check: pint's dimensions
    for kind, unit in KINDS.items():
        if kind not in ("level", "received power") and not in_the_library(word).is_compatible_with(
            unit.replace("-", "_")
        ):
            with pytest.raises(Unusable, match=f"no unit of {kind}"):
                read_quantity(f"3 {word}", unit)


def test_the_first_unit_of_every_kind_is_the_one_that_is_read() -> None:
    assert {kind: UNITS[unit] for kind, unit in KINDS.items()} == {kind: (kind, 1.0) for kind in KINDS}
    assert {kind for kind, _ in UNITS.values()} == KINDS.keys()


@pytest.mark.parametrize("word", sorted(LEVELS))
def test_a_level_is_carried_as_it_is_written(word: str) -> None:
    assert read_quantity(f"-85 {word}", KINDS[UNITS[word][0]]) == -85.0


def test_a_received_level_is_no_margin() -> None:
    with pytest.raises(Unusable, match="no unit of level"):
        read_quantity("-92 dBm", "decibel")


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
        ("250 mA", "ampere", 0.25),
        ("1.2 A", "ampere", 1.2),
        ("7 Ah", "ampere-hour", 7.0),
        ("2600 mAh", "ampere-hour", 2.6),
        ("7,2 ampere-hours", "ampere-hour", 7.2),
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
        *("3 m-x", "3 -m", "3 m-", "3-m", "3 Ah", "5'", "3 curie", "3 mmm", "3 M", "3 FT", "9" * 400, "٣ م"),
    ],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(Unusable):
        read_quantity(text, "metre")


def test_bare_number_is_in_the_unit_asked_for() -> None:
    assert {read_quantity("3", unit) for unit in KINDS.values()} == {3.0}


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [(Current, "250 mA", 0.25), (Current, "100 A", 100.0), (Charge, "2600 mAh", 2.6), (Charge, "1000 Ah", 1000.0)],
)
def test_currents_and_charges_are_read_within_their_range(kind: Any, written: str, value: float) -> None:
    assert TypeAdapter(kind).validate_python(written) == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(
    ("kind", "written", "told"),
    [
        (Current, "101 A", "from 0 to 100 amperes"),
        (Current, "-1 mA", "from 0 to 100 amperes"),
        (Current, "7 Ah", "no unit of current"),
        (Charge, "1001", "“1001” ampere-hours; expected from 0 to 1,000 ampere-hours"),
        (Charge, "2 A", "no unit of charge"),
    ],
)
def test_a_current_or_charge_out_of_range_or_kind_is_refused(kind: Any, written: str, told: str) -> None:
    with pytest.raises(ValidationError, match=re.escape(told)):
        TypeAdapter(kind).validate_python(written)


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


def test_a_received_level_in_plain_decibels_reads_as_before() -> None:
    reader = TypeAdapter(Received)
    assert [reader.validate_python(text) for text in ("-88 dB", "-88 dBm", "-88")] == [-88.0] * 3
