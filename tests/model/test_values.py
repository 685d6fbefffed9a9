"""Single values, ceilings, walks, places and tests of the model, one reading and one refusal at a time."""

from datetime import date
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from asfitted.model.base import did_you_mean, key_of, shown, spread_kind
from asfitted.model.building import Fitting, Opening
from asfitted.model.ceiling import Ceiling
from asfitted.model.device import FIRE_KINDS, SETTINGS, Battery
from asfitted.model.quantity import Length
from asfitted.model.scalar import Count, Day, Id, Month, Tag, Text, YesNo
from asfitted.model.visit import Test as DeviceTest
from asfitted.model.walk import Walk
from asfitted.model.words import DEVICE_KINDS

KINDS: dict[str, Any] = {
    "yes-no": YesNo,
    "count": Count,
    "day": Day,
    "month": Month,
    "id": Id,
    "tag": Tag,
    "text": Text,
    "length": Length,
}


def read(kind: str, value: object) -> Any:
    return TypeAdapter(KINDS[kind]).validate_python(value)


@pytest.mark.parametrize(
    ("kind", "typed", "value"),
    [
        ("yes-no", "yes", True),
        ("yes-no", "No", False),
        ("yes-no", "true", True),
        ("yes-no", False, False),
        ("count", "0", 0),
        ("count", "012", 12),
        ("day", "2026-03-04", date(2026, 3, 4)),
        ("day", "2028-02-29", date(2028, 2, 29)),
        ("month", "2026-01", date(2026, 1, 1)),
        ("month", "2026-01-14", date(2026, 1, 14)),
        ("id", "front-bedroom", "front-bedroom"),
        ("tag", "SA1", "SA1"),
        ("tag", "CO12b", "CO12b"),
        ("text", " no ", "no"),
        ("text", "012", "012"),
        ("length", "7 ft 2 in", 2.1844),
        ("length", 2.4, 2.4),
    ],
)
def test_value_reads(kind: str, typed: object, value: object) -> None:
    assert read(kind, typed) == value


@pytest.mark.parametrize(
    ("kind", "typed"),
    [
        *(("yes-no", word) for word in ("on", "off", "y", "1", "", "maybe")),
        *(("count", word) for word in ("-1", "1.5", "two", "10000", "1_0", "٣", True)),
        *(
            ("day", word)
            for word in ("2026-02-30", "2027-02-29", "12026-03-04", "1949-12-31", "2151-01-01", "2026-1-1")
        ),
        *(("day", word) for word in ("04.03.2026", "2026-03", "20260304", "2026-03-04T10:00", "٢٠٢٦-٠٣-٠٤")),
        *(("month", word) for word in ("2026-13", "03/2026", "2026")),
        *(
            ("id", word)
            for word in ("Hall", "front bedroom", "front_bedroom", "-hall", "hall-", "2nd", "a" * 61, "größe")
        ),
        *(("tag", word) for word in ("sa1", "SA", "1SA", "SA1234", "ABCDE1", "SA-1")),
        *(("text", word) for word in ("", "  ", "a\x00", "a\x1b[31m", "a\u202eb", "a\u2028b", "x" * 2001, 3, None)),
        *(("length", word) for word in ("-0.1", "100.1", "nan", True, None, [1])),
    ],
)
def test_value_is_refused(kind: str, typed: object) -> None:
    with pytest.raises(ValidationError):
        read(kind, typed)


def test_key_without_a_value_is_a_key_that_is_not_there() -> None:
    assert Battery.model_validate({"type": "2 x AA", "life": None}) == Battery.model_validate({"type": "2 x AA"})


def test_battery_in_words_and_key_by_key_are_the_same() -> None:
    words, keys = (
        Battery.model_validate("sealed, 10 years"),
        Battery.model_validate({"type": "sealed", "life": "10 years"}),
    )
    assert words == keys
    assert words.sealed
    assert Battery.model_validate("2 x AA").life is None
    assert Battery.model_validate("AA, from the drawer").type == "AA, from the drawer"


def test_ceiling_is_a_number_or_a_slope() -> None:
    assert (Ceiling.model_validate("2.40").lowest, Ceiling.model_validate("2.40").highest) == (2.4, 2.4)
    sloping = Ceiling.model_validate({"sloping": {"low": "1.90", "high": "3.05", "rises": "north"}})
    assert (sloping.lowest, sloping.highest) == (1.9, 3.05)
    assert sloping.slope is not None


@pytest.mark.parametrize(
    ("leg", "bearing", "length"),
    [("E 4.62", 90, 4.62), ("NW 2 ft", 315, 0.6096), ("37.5 deg 2.10", 37.5, 2.1), ("0° 1", 0, 1)],
)
def test_leg_of_a_walk(leg: str, bearing: float, length: float) -> None:
    walk = Walk.model_validate({"from": ["0", "0"], "legs": [leg] * 3})
    assert [walk.legs[0].bearing, walk.legs[0].length] == pytest.approx([bearing, length])


def test_shorthand_and_full_form_are_the_same() -> None:
    short = Fitting.model_validate({"light": "living", "from-west": "1", "from-south": "1"})
    assert short == Fitting.model_validate({"kind": "light", "in": "living", "from-west": "1", "from-south": "1"})
    door = Opening.model_validate({"door": "hall south", "id": "front-door", "width": "0.9"})
    assert (door.kind, door.where, door.called) == ("door", "hall south", "front door")


def test_shorthand_leaves_what_is_no_mapping_to_the_model() -> None:
    assert spread_kind("light", ("light",), "in") == "light"


def test_every_device_kind_has_settings() -> None:
    assert set(SETTINGS) == set(DEVICE_KINDS)
    assert set(SETTINGS) >= FIRE_KINDS


@pytest.mark.parametrize(
    ("test", "outcome"),
    [
        ({}, None),
        ({"note": "looked at"}, None),
        ({"level": {"hall": "78 dB"}}, None),
        ({"pet": "detected"}, None),
        ({"button": "sounded"}, True),
        ({"smoke": "8 s"}, True),
        ({"sounded": "no"}, False),
        ({"button": "sounded", "link": "some silent"}, False),
        ({"walk": "detected", "steps": "2", "pet": "not detected"}, True),
    ],
)
def test_outcome_of_a_test(test: dict[str, object], *, outcome: bool | None) -> None:
    assert DeviceTest.model_validate(test).outcome is outcome


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (None, "nothing"),
        ("", "nothing"),
        ("hall", "“hall”"),
        ({"a": 1}, "keys with values"),
        ([1, 2], "a list of 2"),
        ("x" * 70, f"“{'x' * 60}…”"),
        ("one\ntwo", "“one…”"),
        ("a\x1b[31mb", "“a�[31mb”"),
    ],
)
def test_what_a_sentence_shows_of_a_value(value: object, words: str) -> None:
    assert shown(value) == words


def test_nearest_word_is_suggested() -> None:
    assert did_you_mean("knid", ["kind", "name"]) == "Did you mean kind?"
    assert did_you_mean("smoke detector", DEVICE_KINDS) == "Did you mean smoke alarm?"
    assert did_you_mean("zzz", ["kind", "name"]) == ""
    assert did_you_mean("k" * 1_000_000, ["kind"]) == ""


def test_key_as_typed() -> None:
    assert (key_of("from_north"), key_of("in_"), key_of("id")) == ("from-north", "in", "id")
