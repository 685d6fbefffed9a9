"""Every calculation of the demo homes and of a home of which little is recorded, as an auditor would go over them."""

from datetime import date
from math import isfinite, isnan
from pathlib import Path

import pytest

from asfitted.reckon.of_home import Reckoned, reckoned
from asfitted.reckon.sums import TOPICS, Sum, sums_of
from tests.reckon.laid_out import laid_out

HOMES = Path(__file__).parents[2] / "homes"
LITTLE = """\
record: 1
home: {label: Studio, place: [54.0, -2.8]}
storeys:
  - id: ground
    height: {ridged: {low: 0.60, high: 3.40, ridge: east-west}}
    rooms:
      - {id: studio, use: bedroom, corner: [0, 0], size: [4, 3]}
    openings:
      - {door: studio east, id: front, from-south: 1, width: 0.8, to: outside}
      - {window: studio south, id: pane, from-west: 1, width: 1.2, sill: 0.9, height: 1.2}
household: {sleepers: {studio: 1}}
devices:
  SA1: {kind: smoke alarm, in: studio, linked: [SA2], battery: 1 x 9V}
  SA2: {kind: smoke alarm, on: ceiling of studio, from-west: 1, from-south: 1, linked: [SA1], battery: 2 x AA}
  MD1: {kind: motion detector, in: studio, corner: south-west, battery: 1 x CR123}
  MD2: {kind: motion detector, outside: studio south, from-west: 3, range: 0.01}
  CU1: {kind: control unit, outside: studio east, from-south: 0.5}
  IS1: {kind: indoor sounder, in: studio, cable: {length: 30, core: 0.22}}
  KP1: {kind: keypad, in: studio, wall: east, from-south: 0.2, battery: 4 x AA}
  OC1: {kind: opening contact, on: front, battery: CR2450}
"""
RECORDS = {"little": LITTLE, **{path.parent.name: path.read_text("utf-8") for path in HOMES.glob("*/record.yml")}}


@pytest.fixture(params=sorted(RECORDS), scope="module")
def known(request: pytest.FixtureRequest) -> Reckoned:
    home, dwelling = laid_out(RECORDS[request.param])
    return reckoned(home, dwelling, date(2026, 11, 25))


def sums(known: Reckoned) -> list[Sum]:
    return [one for topic in TOPICS for one in sums_of(known, topic)]


def test_whatever_is_assumed_says_what_to_measure(known: Reckoned) -> None:
    assert [
        (one.about, given.symbol)
        for one in sums(known)
        for given in one.working.inputs
        if given.known == "assumed" and not given.ask
    ] == []


def test_a_model_repeats_its_own_result_from_its_own_inputs(known: Reckoned) -> None:
    found = [(one.model(one.inputs).result.value, one.working.result.value) for one in sums(known) if one.model]
    assert found
    assert [again for again, _ in found] == pytest.approx([first for _, first in found], rel=1e-12)


def test_every_result_lies_within_what_can_be(known: Reckoned) -> None:
    # bounds of physics or of sense: a share, a year's daylight, a sounder at the ear, the shelf, free space at 1 m
    bounds = {"%": (0, 100), "h": (0, 4500), "dB(A)": (0, 120), "years": (0.05, 20), "dB": (-150, 100), "s": (0, 300)}
    for one in sums(known):
        value, (low, high) = one.working.result.value, bounds.get(one.working.result.unit, (-1000, 1000))
        assert not isnan(value)
        assert low <= round(value, 9) <= high or one.topic == "alarm-field", (one.about, value)


def test_an_input_at_either_end_of_its_doubt_still_gives_a_result(known: Reckoned) -> None:
    assert all(isfinite(swing.size) for one in sums(known) for swing in one.swings)
