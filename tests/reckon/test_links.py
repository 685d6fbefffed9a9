"""What a straight line crosses in small homes, and the links of their wire-free devices."""

from datetime import date
from math import hypot
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.model.home import Home
from asfitted.reckon.crossings import Crossing, End, crossings, end_of
from asfitted.reckon.of_radio import radio_of, wire_free
from asfitted.reckon.radio_moves import best_move
from asfitted.record.reader import read_text
from tests.dwelling.homes import dwelling_of

ON = date(2026, 11, 1)
ROW = """
{id: west, use: living, corner: [0, 0], size: [4.0, 4.0]}
{id: middle, use: circulation, corner: [4.1, 0], size: [2.0, 4.0]}
{id: east, use: bedroom, corner: [6.2, 0], size: [4.0, 4.0]}
"""
MADE = "walls: {inside: {thickness: 0.10, of: brick}, outside: {thickness: 0.30, of: brick}}\n"
DOOR = "openings:\n  - {door: west - middle, id: d, from-south: 1.5, width: 0.8, height: 2.0, leaf: steel}\n"


def told(found: tuple[Crossing, ...]) -> list[tuple[str, str, str | None]]:
    return [(each.group, each.of, each.opening) for each in found]


def test_a_wall_between_two_rooms_is_crossed_once_with_its_material_thickness_and_angle() -> None:
    dwelling = dwelling_of(ROW, MADE)
    (wall,) = crossings(dwelling, End(2, 1, 1.5), End(5, 1, 1.5))
    assert (wall.group, wall.of, wall.between, wall.assumed) == ("wall", "brick", ("west", "middle"), False)
    assert (wall.thickness, wall.angle) == pytest.approx((0.10, 0.0), abs=1e-6)
    (oblique,) = crossings(dwelling, End(2, 0.5, 1.5), End(5, 3.5, 1.5))
    assert oblique.angle == pytest.approx(45.0, abs=1e-6)


def test_a_line_through_a_shut_door_crosses_its_leaf_and_over_the_door_the_wall() -> None:
    dwelling = dwelling_of(ROW, MADE + DOOR)
    assert told(crossings(dwelling, End(2, 1.9, 1.5), End(5, 1.9, 1.5))) == [("leaf", "steel", "d")]
    assert told(crossings(dwelling, End(2, 1.9, 2.2), End(5, 1.9, 2.2))) == [("wall", "brick", None)]
    assert told(crossings(dwelling, End(2, 1.0, 1.5), End(5, 1.0, 1.5))) == [("wall", "brick", None)]


def test_an_archway_is_open() -> None:
    dwelling = dwelling_of(ROW, "openings: [{archway: west - middle, id: arch, from-south: 1, width: 2, height: 2.1}]")
    assert told(crossings(dwelling, End(2, 2, 1.5), End(5, 2, 1.5))) == [("open", "", "arch")]


def test_from_room_to_garden_one_outer_wall_or_pane_is_crossed() -> None:
    window = "openings: [{window: west west, id: w, from-south: 1, width: 1, sill: 0.9, height: 1.2, glass: plain}]"
    dwelling = dwelling_of(ROW, MADE + window)
    assert told(crossings(dwelling, End(-2, 1.5, 1.5), End(2, 1.5, 1.5))) == [("pane", "plain", "w")]
    assert told(crossings(dwelling, End(2, 3, 1.5), End(-2, 3, 1.5))) == [("wall", "brick", None)]


def test_across_the_open_between_two_wings_two_outer_walls_are_crossed() -> None:
    court = """
    {id: west, use: living, corner: [0, 0], size: [3, 8]}
    {id: base, use: kitchen, corner: [3.1, 0], size: [4, 3]}
    {id: east, use: bedroom, corner: [7.2, 0], size: [3, 8]}
    """
    dwelling = dwelling_of(court, MADE)
    found = crossings(dwelling, End(1, 6, 1.5), End(9, 6, 1.5))
    assert [each.between for each in found] == [("west", None), (None, "east")]
    assert [each.thickness for each in found] == [0.30, 0.30]


def test_a_line_through_the_end_of_a_wall_counts_one_inner_wall() -> None:
    rooms = """
    {id: south, use: living, corner: [0, 0], size: [8.1, 3]}
    {id: left, use: bedroom, corner: [0, 3.1], size: [4, 3]}
    {id: right, use: bedroom, corner: [4.1, 3.1], size: [4, 3]}
    """
    (wall,) = crossings(dwelling_of(rooms, MADE), End(3.95, 1, 1.5), End(4.15, 5, 1.5))
    assert (wall.between, wall.angle > 80) == (("south", "right"), True)
    assert wall.thickness == pytest.approx(0.10, abs=1e-6)
    (wall,) = crossings(dwelling_of(rooms, MADE), End(1.0, 2.9, 1.5), End(7.1, 3.2, 1.5))
    assert (wall.between, wall.of) == (("south", "right"), "brick")
    assert wall.thickness == pytest.approx(0.10, abs=1e-6)


def test_a_device_on_a_wall_does_not_cross_that_wall_into_its_own_room_but_does_behind_it() -> None:
    devices = "devices: {CU1: {kind: control unit, in: middle, wall: west, from-south: 1.0, height: 1.5}}\n"
    dwelling = dwelling_of(ROW, MADE, after=devices)
    unit = end_of(dwelling, dwelling.spots["CU1"])
    assert crossings(dwelling, unit, End(5, 1, 1.5)) == ()
    assert told(crossings(dwelling, unit, End(2, 1, 1.5))) == [("wall", "brick", None)]


STOREYS = """\
record: 1
home: {label: Two storeys}
storeys:
  - id: ground
    height: 2.40
    walls: {inside: {thickness: 0.10, of: stud}, outside: {thickness: 0.30, of: brick}}
    rooms:
      - {id: living, use: living, corner: [0, 0], size: [4, 4]}
      - {id: kitchen, use: kitchen, corner: [4.1, 0], size: [4, 4]}
  - id: upper
    height: 2.40
    rooms:
      - {id: bedroom, use: bedroom, corner: [0, 0], size: [8.1, 4]}
system: {SYSTEM}
devices:
  CU1: {kind: control unit, in: living, wall: west, from-south: 2.0, height: 1.5}
  MD1: {kind: motion detector, in: kitchen, corner: north-east, height: 2.1, battery: "1 x CR123, 3 years"}
  MD2: {kind: motion detector, in: bedroom, corner: north-east, height: 2.1, battery: "1 x CR123, 3 years"}
  MD3: {kind: motion detector, in: kitchen, corner: north-west, height: 2.1, joined-by: cable}
  FD1: {kind: flood detector, battery: "1 x CR123, 3 years"}
  SA1: {kind: smoke alarm, on: ceiling of living, from-west: 2, from-south: 2, battery: "sealed, 10 years", linked: [SA2]}
  SA2: {kind: smoke alarm, on: ceiling of bedroom, from-west: 2, from-south: 2, battery: "sealed, 10 years", linked: [SA1]}
MORE
visits:
  - {date: 2026-03-01, kind: commissioning, by: technician 1, tests: {MD1: {signal: 40 dB}, MD2: {signal: 21 dB}}}
  - {date: 2026-09-01, kind: service, by: technician 1, tests: {MD2: {signal: 12 dB}}}
"""


def home_of(more: str = "", system: str = "") -> tuple[Home, Dwelling]:
    text = STOREYS.replace("MORE", more).replace("{SYSTEM}", "{" + system + "}")
    reading = read_text(text.encode(), Path("record.yml"))
    assert reading.home is not None, [trouble.sentence for trouble in reading.troubles]
    dwelling, problems = survey(reading.home)
    assert problems == []
    assert dwelling is not None
    return reading.home, dwelling


def test_links_go_to_the_control_unit_and_between_linked_alarms() -> None:
    home, dwelling = home_of()
    radio = radio_of(home, dwelling, ON)
    assert [(link.tag, link.to, link.floors) for link in radio.links] == [
        ("MD1", "CU1", 0),
        ("MD2", "CU1", 1),
        ("SA1", "SA2", 1),
        ("SA2", "SA1", 1),
    ]
    assert radio.without_place == ("FD1",)
    assert "MD3" not in wire_free(home)


def test_the_last_reading_beats_the_prediction_and_is_compared_with_it() -> None:
    home, dwelling = home_of()
    links = {link.tag: link for link in radio_of(home, dwelling, ON).links}
    assert links["MD2"].measured == (12.0, date(2026, 9, 1))
    assert links["MD2"].reserve == 12.0
    assert links["MD2"].excess == pytest.approx(12.0 - links["MD2"].predicted)
    assert links["MD2"].working.caveats[-1] == "A margin of 12 dB was measured on 2026-09-01; it beats this prediction."
    assert links["SA1"].measured is None
    assert links["SA1"].reserve == links["SA1"].working.result.value
    earlier = {link.tag: link for link in radio_of(home, dwelling, date(2026, 4, 1)).links}
    assert earlier["MD2"].measured == (21.0, date(2026, 3, 1))
    middle = (links["MD1"].predicted + links["MD2"].predicted) / 2
    assert radio_of(home, dwelling, ON).excess == pytest.approx((40.0 + 12.0) / 2 - middle)
    weakest = radio_of(home, dwelling, ON).weakest
    assert weakest is not None
    assert weakest.tag == "MD2"


def test_what_the_system_says_is_stated_and_the_rest_is_assumed_with_what_to_ask() -> None:
    home, dwelling = home_of(system="radio: 433.92 MHz, radio-power: 5 mW")
    link = radio_of(home, dwelling, ON).links[0]
    assert (link.inputs["f"].value, link.inputs["f"].known) == (433.92, "stated")
    assert link.inputs["P"].value == 5.0
    assert {given.symbol for given in link.working.assumed} == {"S", "G", "sigma"}
    assert all(given.ask for given in link.working.assumed)
    assert link.cross_checks[0].outside == ()
    assert any("433.92 MHz" in " ".join(check.outside) for check in link.cross_checks)


def test_a_budget_adds_the_larger_of_slab_and_class_for_each_wall() -> None:
    # kitchen to living: one stud wall, 3.4 dB as a light wall (COST 231), more than two boards of 12.5 mm cost
    home, dwelling = home_of()
    link = radio_of(home, dwelling, ON).links[0]
    (wall,) = link.walls
    assert (wall.by_class, wall.counted) == (3.4, 3.4)
    assert 0 < wall.by_material < 3.4


REPEATER = "  RP1: {kind: repeater, in: bedroom, wall: west, from-south: 2.0, height: 1.5}"


def test_a_device_goes_over_the_repeater_when_the_weaker_hop_is_stronger_than_the_straight_way() -> None:
    home, dwelling = home_of(REPEATER)
    links = {link.tag: link for link in radio_of(home, dwelling, ON).links}
    assert links["RP1"].to == "CU1"
    assert links["MD1"].to == "CU1"
    straight = {link.tag: link for link in radio_of(*home_of(), ON).links}["MD2"]
    assert links["MD2"].to == "RP1"
    assert min(links["MD2"].predicted, links["RP1"].predicted) > straight.predicted


def test_a_device_that_is_not_fitted_yet_has_no_link_and_relays_none() -> None:
    later = "  MD4: {kind: motion detector, in: kitchen, corner: north-west, joined-by: radio, fitted: 2027-01-01}\n"
    relay = "  RP1: {kind: repeater, in: kitchen, wall: north, from-west: 2, height: 2, fitted: 2027-01-01}"
    home, dwelling = home_of(later + relay)
    assert not {"MD4", "RP1"} & {end for link in radio_of(home, dwelling, ON).links for end in (link.tag, link.to)}


@example([(6, 39), (11, 49), (17, 41)])  # two lie 1.118 m away, and differ by the dust of arithmetic only
@given(st.lists(st.tuples(st.integers(2, 38), st.integers(2, 78)), min_size=2, max_size=6))
def test_an_alarm_goes_to_the_linked_alarm_that_hears_it_best_however_few_are_tried(
    places: list[tuple[int, int]],
) -> None:
    tags = [f"SB{number}" for number in range(len(places))]
    rows = [
        f"  {tag}: {{kind: smoke alarm, on: ceiling of bedroom, from-south: {y / 10}, from-west: {x / 10}, "
        f"battery: 1 x 9V, linked: [{', '.join(other for other in tags if other != tag)}]}}"
        for tag, (y, x) in zip(tags, places, strict=True)
    ]
    home, dwelling = home_of("\n".join(rows))
    found = {link.tag: link for link in radio_of(home, dwelling, ON).links}
    for tag in tags:
        far = {to: found[tag].ends[0].distance(found[to].ends[0]) for to in tags if to != tag}
        # Nothing stands between them: the nearest, and of several exactly as near the first.
        assert found[tag].to == min(far, key=lambda to: round(max(far[to], 1.0), 9))


def test_a_device_without_a_place_may_be_half_the_diagonal_of_its_room_from_where_it_is_taken_to_be() -> None:
    home, dwelling = home_of("  MD4: {kind: motion detector, in: kitchen, height: 2.1, joined-by: radio}")
    (link,) = [link for link in radio_of(home, dwelling, ON).links if link.tag == "MD4"]
    assert link.inputs["d"].known == "assumed"
    assert link.inputs["d"].spread == pytest.approx(hypot(4, 4) / 2)  # a room of 4 x 4 m


def test_a_move_is_proposed_only_where_it_helps_the_weakest_link() -> None:
    home, dwelling = home_of()
    radio = radio_of(home, dwelling, ON)
    weakest = min(link.predicted for link in radio.links if link.to == "CU1")
    for what in ("control unit", "repeater"):
        move = best_move(home, dwelling, radio, "control unit" if what == "control unit" else "repeater")
        assert move is not None
        assert move.before == pytest.approx(weakest)
        assert move.gain >= 1.0


def test_where_everything_stands_in_one_place_no_move_helps() -> None:
    rooms = "{id: cabin, use: living, corner: [0, 0], size: [1, 1]}"
    text = f"""\
record: 1
home: {{label: Cabin}}
storeys: [{{id: ground, height: 2.4, rooms: [{rooms}]}}]
devices:
  CU1: {{kind: control unit, in: cabin, wall: west, from-south: 0.5, height: 1.5}}
  MD1: {{kind: motion detector, in: cabin, corner: north-east, height: 1.5, battery: "1 x AA"}}
"""
    home = read_text(text.encode(), Path("record.yml")).home
    assert home is not None
    dwelling = survey(home)[0]
    assert dwelling is not None
    assert best_move(home, dwelling, radio_of(home, dwelling, ON), "control unit") is None


def test_a_home_without_radio_has_no_links() -> None:
    home = read_text(
        b"record: 1\nhome: {label: Bare}\nstoreys: [{id: g, height: 2.4, rooms: "
        b"[{id: r, use: living, corner: [0, 0], size: [3, 3]}]}]\n",
        Path("record.yml"),
    ).home
    assert home is not None
    dwelling = survey(home)[0]
    assert dwelling is not None
    radio = radio_of(home, dwelling, ON)
    assert (radio.links, radio.weakest, best_move(home, dwelling, radio, "repeater")) == ((), None, None)


@given(st.integers(0, 4), st.floats(0.2, 3.8), st.floats(0.2, 3.8))
def test_more_rooms_between_two_places_never_strengthen_the_link(walls: int, y: float, other: float) -> None:
    def dwelling(count: int) -> Dwelling:
        width = (12.0 - 0.1 * count) / (count + 1)
        rooms = (
            f"{{id: r{i}, use: living, corner: [{i * (width + 0.1)}, 0], size: [{width}, 4.0]}}"
            for i in range(count + 1)
        )
        return dwelling_of("\n".join(rooms), MADE)

    ends = End(0.2, y, 1.5), End(11.8, other, 1.5)
    assert len(crossings(dwelling(walls), *ends)) == walls


@given(st.floats(0.2, 10.0), st.floats(0.2, 3.8), st.floats(0.2, 10.0), st.floats(0.2, 3.8))
def test_there_and_back_the_same_walls_are_crossed(x: float, y: float, u: float, v: float) -> None:
    dwelling = dwelling_of(ROW, MADE + DOOR)
    one, other = End(x, y, 1.4), End(u, v, 1.6)
    there, back = crossings(dwelling, one, other), crossings(dwelling, other, one)
    assert sorted(each.opening or each.of for each in there) == sorted(each.opening or each.of for each in back)


def test_cutting_the_corner_between_two_wings_crosses_two_outer_walls() -> None:
    wings = """
    {id: west, use: living, corner: [0, 0], size: [3, 8]}
    {id: base, use: kitchen, corner: [3.1, 0], size: [6, 3]}
    """
    found = crossings(dwelling_of(wings, MADE), End(1, 3.9, 1.5), End(8, 2.3, 1.5))
    assert [(each.between, each.thickness) for each in found] == [(("west", None), 0.30), ((None, "base"), 0.30)]
