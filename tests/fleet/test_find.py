"""Which devices a search finds: against a plain scan, and marking by marking."""

import json
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfitted.dwelling.survey import survey
from asfitted.fleet.find import Wanted, search
from asfitted.fleet.load import Loaded
from asfitted.fleet.marking import Answer, Marking
from asfitted.history.revision import Revision
from asfitted.model.base import Unusable
from asfitted.pages.dossier import Dossier
from asfitted.record.reader import read_text
from asfitted.rules.catalogue import catalogue
from asfitted.rules.rule_set import rule_set

HOME = """\
record: 1
home: {label: Cabin}
storeys: [{id: ground, height: 2.40, rooms: [{id: cabin, use: bedroom, corner: [0, 0], size: [4.0, 4.0]}]}]
devices:
"""
VALUES = {
    "kind": ("smoke alarm", "keypad"),
    "model": ("Type 1", "type  2 b", "other"),
    "batch": ("25-9", "25-10", "26-1"),
    "serial": ("A1", "A2", "B1"),
    "firmware": ("2.9", "2.10"),
    "made": ("2024-01", "2024-06", "2025-03-17"),
    "battery": ("1 x CR123", "4 x AA"),
}
"""All that a device of these fleets may have; a condition below always fits some of a key's values and not others."""
ASKED: dict[str, tuple[Any, Callable[[str], bool]]] = {
    "kind": (("keypad",), lambda value: value == "keypad"),
    "model": (("TYPE 2",), lambda value: value == "type  2 b"),
    "batch": ((Marking("25-1..25-10"),), lambda value: value.startswith("25-")),
    "serial": ((Marking("a*"),), lambda value: value in ("A1", "A2")),
    "firmware": ((Marking("..2.9"),), lambda value: value == "2.9"),
    "made": (((date(2024, 2, 1), date(2025, 3, 1)),), lambda value: value != "2024-01"),
    "battery": (("cr123", "cr2"), lambda value: value == "1 x CR123"),
}
Device = dict[str, str]


def _loaded(name: str, devices: list[Device]) -> Loaded:
    lines = [
        f"  SA{number}: {json.dumps({'in': 'cabin', **device})}\n" for number, device in enumerate(devices, start=1)
    ]
    reading = read_text((HOME + "".join(lines)).encode(), Path(name) / "record.yml")
    assert reading.home is not None, reading.troubles
    dwelling, problems = survey(reading.home)
    assert dwelling is not None, problems
    asked = rule_set(catalogue(), "common")
    dossier = Dossier(name, reading.home, dwelling, (), (), Revision(), date(2026, 11, 25), asked)
    return Loaded(name, reading, dossier, ())


def _completions(device: Device) -> Iterator[Device]:
    """Give all that a device may be, as far as its record tells."""
    for values in product(*((device[key],) if key in device else VALUES[key] for key in VALUES)):
        yield dict(zip(VALUES, values, strict=True))


def _scanned(fleet: dict[str, list[Device]], conditions: list[str]) -> tuple[set[str], set[str], int]:
    """Scan a fleet plainly: affected is what fits however the record is filled in, and may be what fits in one way."""
    certain, possible, vague = set(), set(), 0
    for home, devices in fleet.items():
        for number, device in enumerate(devices, start=1):
            fits = [all(ASKED[key][1](whole[key]) for key in conditions) for whole in _completions(device)]
            if all(fits):
                certain.add(f"{home} SA{number}")
            elif any(fits):
                told = any(key in device for key in conditions)
                possible |= {f"{home} SA{number}"} if told else set()
                vague += not told
    return certain, possible, vague


_DEVICE = st.fixed_dictionaries(
    {"kind": st.sampled_from(VALUES["kind"])},
    optional={key: st.sampled_from(values) for key, values in VALUES.items() if key != "kind"},
)


@given(
    st.dictionaries(st.sampled_from(["ash", "beech", "cedar"]), st.lists(_DEVICE, max_size=4), min_size=1),
    st.lists(st.sampled_from(list(ASKED)), min_size=1, max_size=3, unique=True),
)
def test_a_search_finds_what_a_plain_scan_finds(fleet: dict[str, list[Device]], conditions: list[str]) -> None:
    wanted = Wanted(**{key: ASKED[key][0] for key in conditions})
    found = search([_loaded(home, devices) for home, devices in fleet.items()], wanted)
    certain, possible, vague = _scanned(fleet, conditions)
    assert {f"{item.home} {item.subject}" for item in found.certain} == certain
    assert {f"{item.home} {item.subject}" for item in found.possible} == possible
    assert sum(found.untold.values()) == vague
    assert found.homes == len(fleet)


@pytest.mark.parametrize(
    ("typed", "printed", "answer"),
    [
        ("25-51", "25-51", True),
        ("25-51", "25-52", False),
        ("25-51", "lot 25-51", None),
        ("25-51", None, None),
        ("k4 201", "K4201", True),
        ("7702-*", "7702-1812", True),
        ("7702-*", "7703-1812", False),
        ("7702-*", "No 7702-1812", None),
        ("25-9..25-10", "25-10", True),
        ("25-9..25-10", "25-8", False),
        ("25-9..25-10", "25-11", False),
        ("25-9..25-10", "lot 25-9", None),
        ("25-9..", "26-1", True),
        ("..2.1", "2.1", True),
        ("..2.1", "2.1.4", False),
        ("2.9..2.10", "2.9.3", True),
        ("2.0..2.1", "v2.0", None),
    ],
)
def test_a_marking_fits_for_certain_perhaps_or_not(typed: str, printed: str | None, answer: Answer) -> None:
    assert Marking(typed).fits(printed) is answer


@pytest.mark.parametrize("typed", ["", " ", "*", "..", "25-60..25-40", "25-1..K1"])
def test_a_marking_that_fits_everything_or_nothing_is_refused(typed: str) -> None:
    with pytest.raises(Unusable):
        Marking(typed)


def test_a_control_unit_without_its_network_may_be_affected_and_one_without_a_mobile_path_is_not() -> None:
    units: list[Device] = [
        {"kind": "control unit", "second-path": "mobile", "mobile": "2G"},
        {"kind": "control unit", "second-path": "mobile", "mobile": "4G"},
        {"kind": "control unit"},
        {"kind": "control unit", "second-path": "radio"},
        {"kind": "keypad"},
    ]
    found = search([_loaded("ash", units)], Wanted(mobile=("2G", "3G")))
    assert [(item.subject, item.lacks) for item in found.found] == [("SA1", ()), ("SA3", ("mobile",))]
    assert found.untold == {}


def test_what_is_too_vague_to_list_is_counted_by_what_the_record_lacks() -> None:
    devices: list[Device] = [{"kind": "keypad"}, {"kind": "keypad", "model": "x"}, {"kind": "keypad", "batch": "9"}]
    found = search([_loaded("ash", devices)], Wanted(batch=(Marking("25-1"),)))
    assert found.found == ()
    assert Counter(found.untold) == {("batch",): 2}


def test_a_device_without_a_place_may_be_in_the_room() -> None:
    devices: list[Device] = [{"kind": "keypad"}, {"kind": "keypad", "wall": "north"}]
    loaded = _loaded("ash", devices)
    assert loaded.dossier is not None
    spots = {"SA1": loaded.dossier.dwelling.spots["SA1"]}
    unplaced = type(loaded.dossier.dwelling)(loaded.dossier.dwelling.storeys, spots)
    dossier = Dossier(
        "ash", loaded.dossier.home, unplaced, (), (), Revision(), date(2026, 11, 25), loaded.dossier.rules
    )
    found = search([Loaded("ash", loaded.reading, dossier, ())], Wanted(kind=("keypad",), use=("bedroom",)))
    assert [(item.subject, item.use, item.lacks) for item in found.found] == [
        ("SA1", "bedroom", ()),
        ("SA2", "", ("use",)),
    ]
