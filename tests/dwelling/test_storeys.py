"""Storeys stacked, stairs between them, and the ways one can walk."""

import networkx as nx
import pytest

from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.ways import OUTSIDE, door_graph, rooms_without_way_in
from tests.dwelling.homes import adjacent_rooms, dwelling_of, lay_out_text

HOUSE = """
record: 1
home: {{label: House}}
storeys:
  - id: ground
    height: 2.40
    rooms:
      - {{id: hall, use: circulation, corner: [0, 0], size: [2, 4]}}
      - {{id: living, use: living, beside: "east of hall, flush south", size: [4, 4]}}
    openings:
      - {{door: hall south, id: front-door, from-west: 0.4, width: 0.9}}
      - {{door: hall - living, id: living-door, from-south: 1.2, width: 0.8}}
      - {{window: living south, id: window, from-west: 1.2, width: 1.8}}
    stairs:
      - {{id: flight, in: hall, to: landing, from-west: 0, from-south: 1, size: [0.9, 2.6], up: north}}
  - id: first
    height: {{ridged: {{low: 1.9, high: 3.0, ridge: east-west}}}}
    {level}
    rooms:
      - {{id: landing, use: circulation, corner: [0, 0], size: [2, 4]}}
      - {{id: bedroom, use: bedroom, beside: "east of landing, flush south", size: [4, 4]}}
      - {{id: flue, use: void, beside: "north of landing, flush west", size: [0.6, 0.6]}}
    openings:
      - {{door: landing - bedroom, id: bedroom-door, from-south: 1.2, width: 0.8}}
"""


def house(level: str = "") -> tuple[Dwelling | None, list[str]]:
    return lay_out_text(HOUSE.format(level=level))


def laid_out() -> Dwelling:
    dwelling, problems = house()
    assert problems == []
    assert dwelling is not None
    return dwelling


@pytest.mark.parametrize(
    ("level", "metres"), [("", 2.65), ("level: 2.70", 2.70), ("level: 270 cm", 2.70), ("level: 2.40", 2.40)]
)
def test_storeys_stand_on_one_another(level: str, metres: float) -> None:
    dwelling, problems = house(level)
    assert problems == []
    assert dwelling is not None
    assert [storey.level for storey in dwelling.storeys] == [0.0, pytest.approx(metres)]
    assert dwelling.storey("first").level == pytest.approx(metres)


@pytest.mark.parametrize("level", ["level: 2.30", "level: -2.65"])
def test_storey_below_the_ceiling_under_it_is_told_with_the_figure(level: str) -> None:
    dwelling, problems = house(level)
    assert dwelling is None
    assert len(problems) == 1
    short = 2.40 - float(level.removeprefix("level: "))
    assert f"{short:.2f} m below the ceiling of ground floor" in problems[0]
    assert "storeys from the lowest to the highest" in problems[0]


def test_cellar_may_lie_below_the_ground() -> None:
    rooms = "rooms: [{id: R, use: store, corner: [0, 0], size: [3, 3]}]"
    text = "record: 1\nhome: {label: Cellar}\nstoreys:\n"
    text += f"  - {{id: cellar, level: -2.60, height: 2.20, {rooms.replace('R', 'cellar-room')}}}\n"
    text += f"  - {{id: ground, height: 2.40, {rooms.replace('R', 'hall')}}}\n"
    dwelling, problems = lay_out_text(text)
    assert problems == []
    assert dwelling is not None
    assert [storey.level for storey in dwelling.storeys] == pytest.approx([-2.60, -0.15])


def test_flight_takes_up_its_rectangle_and_leads_up() -> None:
    (flight,) = laid_out().storey("ground").flights
    assert flight.outline.bounds == pytest.approx((0, 1, 0.9, 3.6))
    assert (flight.storey, flight.to_storey) == ("ground", "first")


def test_door_graph_joins_rooms_by_doors_and_stairs_only() -> None:
    graph = door_graph(laid_out())
    assert set(graph.nodes) == {"hall", "living", "landing", "bedroom", "flue", OUTSIDE}
    assert {key for _, _, key in graph.edges(keys=True)} == {"front-door", "living-door", "flight", "bedroom-door"}
    assert nx.shortest_path(graph, "bedroom", OUTSIDE) == ["bedroom", "landing", "hall", OUTSIDE]
    assert nx.shortest_path_length(graph, "living", "bedroom") == 3


def test_void_needs_no_way_in_and_other_rooms_do() -> None:
    assert rooms_without_way_in(laid_out()) == []
    without_its_door = HOUSE.rpartition("    openings:\n")[0]
    dwelling, problems = lay_out_text(without_its_door.format(level=""))
    assert problems == []
    assert dwelling is not None
    assert rooms_without_way_in(dwelling) == ["bedroom"]


def test_home_whose_doors_are_not_recorded_yet_says_nothing_of_ways() -> None:
    assert rooms_without_way_in(dwelling_of("{id: hall, use: circulation, corner: [0, 0], size: [2, 4]}")) == []


def test_two_doors_between_the_same_rooms_are_two_edges() -> None:
    dwelling = dwelling_of(
        "{id: a, use: living, corner: [0, 0], size: [4, 4]}\n{id: b, use: living, corner: [4.1, 0], size: [4, 4]}",
        "openings:\n  - {door: a - b, id: one, from-south: 0.2, width: 0.8}\n"
        "  - {archway: b - a, id: two, from-north: 0.2, width: 0.8}\n",
    )
    assert door_graph(dwelling).number_of_edges("a", "b") == 2
    assert [opening.id for opening in dwelling.openings_of("b")] == ["one", "two"]


def test_rooms_next_to_each_other_share_a_wall() -> None:
    pairs = {frozenset(pair) for pair in (("hall", "living"), ("landing", "bedroom"), ("landing", "flue"))}
    assert adjacent_rooms(laid_out()) == pairs
