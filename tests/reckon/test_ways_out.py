"""Ways out: lengths by hand and by a second library, the way round the kitchen, keys, windows as second ways."""

from math import hypot

import networkx as nx
import pytest

from asfitted.dwelling.paths import walk, walks
from asfitted.reckon.ways_out import kitchens, second_ways, way_inputs, way_working, ways_out
from tests.reckon.laid_out import laid_out

HOME = """
record: 1
home: {label: ways out}
household: {sleepers: {bedroom: 1, study: 1}}
storeys:
  - id: ground
    level: 0
    height: 2.50
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [2.0, 8.0]}
      - {id: kitchen, use: kitchen, beside: "east of hall, flush south", size: [4.0, 4.0]}
      - {id: study, use: study, beside: "east of hall, flush north", size: [4.0, 3.9]}
    openings:
      - {door: hall south, id: front-door, from-west: 0.5, width: 1.0, to: outside, key-needed: yes}
      - {door: kitchen east, id: back-door, from-south: 1.5, width: 1.0, to: outside}
      - {door: hall - kitchen, id: kitchen-door, from-south: 1.5, width: 1.0}
      - {door: hall - study, id: study-door, from-south: 4.5, width: 1.0}
      - {door: kitchen - study, id: hatch, from-west: 2.5, width: 1.0}
      - {window: study east, id: study-window, from-south: 1.0, width: 1.0, sill: 0.90, height: 1.2}
      - {window: study north, id: top-light, from-west: 1.0, width: 0.60, sill: 1.60, height: 0.50, opening-part: no}
    stairs:
      - {id: stairs, in: hall, to: landing, from-west: 0, from-south: 5.0, size: [1.0, 2.4], up: north}
  - id: first
    level: 2.7
    height: 2.40
    rooms:
      - {id: landing, use: circulation, corner: [0, 0], size: [2.0, 8.0]}
      - {id: bedroom, use: bedroom, beside: "east of landing, flush south", size: [4.0, 8.0]}
    openings:
      - {door: landing - bedroom, id: bedroom-door, from-south: 1.5, width: 1.0}
      - {window: bedroom east, id: bedroom-window, from-south: 1.0, width: 0.44, sill: 0.90, height: 0.90, climb: {from: porch roof, drop: 0.8, wide: 2.0}}
      - {window: bedroom north, id: unknown-window, from-west: 1.0, width: 1.0, sill: 0.90}
    fittings:
      - {bed: bedroom, wall: east, from-north: 1.0, size: [2.0, 1.5]}
"""


def test_a_way_out_is_the_sum_of_its_straight_pieces() -> None:
    record, dwelling = laid_out(HOME)
    way = next(way for way in ways_out(record, dwelling) if (way.bed[0], way.exit) == ("bedroom", "front-door"))
    # Bed's middle (5.1, 6.25) to the door (2.1, 2), through it, to the stair head (0.5, 7.4), down its slope, and to
    # the front door (1, 0).
    by_hand = hypot(3.0, 4.25) + 0.1 + hypot(1.5, 5.4) + hypot(2.4, 2.7) + hypot(0.5, 5.0)
    assert way.walk.length == pytest.approx(by_hand)
    working = way_working("bedroom", way_inputs(way))
    assert working.result.value == pytest.approx(by_hand)
    assert working.result.formula.count("+") == len(way.walk.legs) - 1


def test_round_the_kitchen_the_way_is_longer_and_passes_none() -> None:
    record, dwelling = laid_out(HOME)
    # From a corner of the study the front door is nearer through the kitchen's two doors than by the hall.
    start, goal = ("study", (5.9, 4.2)), ("hall", (1.9, 1.0))
    short, around = walk(dwelling, start, goal), walk(dwelling, start, goal, kitchens(dwelling))
    assert short is not None
    assert around is not None
    assert "kitchen" in short.rooms
    assert around.rooms == ("study", "hall")
    assert around.length > short.length
    assert kitchens(dwelling) == {"kitchen"}
    for way in ways_out(record, dwelling):
        if way.round_kitchens is not None:
            assert "kitchen" not in way.round_kitchens.rooms
            assert way.round_kitchens.length >= way.walk.length - 1e-9


def test_an_exit_in_the_kitchen_has_no_way_round_it() -> None:
    record, dwelling = laid_out(HOME)
    through = {
        way.exit: (way.through_kitchen, way.round_kitchens is None)
        for way in ways_out(record, dwelling)
        if way.bed[0] == "bedroom"
    }
    assert through == {"front-door": (False, False), "back-door": (True, True)}


def test_the_nearest_exit_of_each_bed_comes_first_and_keys_are_named() -> None:
    record, dwelling = laid_out(HOME)
    ways = ways_out(record, dwelling)
    for bed in dict.fromkeys(way.bed for way in ways):
        lengths = [way.walk.length for way in ways if way.bed == bed]
        assert lengths == sorted(lengths)
        assert len(lengths) == 2
    assert {way.exit: way.keys for way in ways} == {"front-door": ("front-door",), "back-door": ()}


def test_windows_as_second_ways() -> None:
    # 0.33 m2, 0.45 m and 1.10 m: Approved Document B, volume 1, as quoted in a council's guidance on regulation B1.
    record, dwelling = laid_out(HOME)
    found = {window.opening: window for window in second_ways(record, dwelling)}
    assert found["study-window"].serves is True
    assert found["top-light"].lacks == (
        "it does not open",
        "0.30 m², less than 0.33 m²",
        "its lower edge 1.60 m above the floor, more than 1.10 m",
    )
    assert found["bedroom-window"].lacks == ("0.44 m wide, less than 0.45 m",)
    assert found["bedroom-window"].above_ground == pytest.approx(3.6)
    assert found["bedroom-window"].onto == "porch roof"
    assert found["unknown-window"].serves is None


def test_an_upper_floor_too_high_to_climb_from() -> None:
    record, dwelling = laid_out(HOME.replace("level: 2.7", "level: 4.6"))
    lacks = {window.opening: window.lacks for window in second_ways(record, dwelling)}
    assert "the floor 4.60 m above the ground, more than 4.50 m" in lacks["unknown-window"]
    assert lacks["study-window"] == ()


def test_where_no_door_leads_out_there_is_no_way() -> None:
    record, dwelling = laid_out(HOME.replace("{door: landing - bedroom", "{window: landing - bedroom"))
    assert {way.bed[0] for way in ways_out(record, dwelling)} == {"study"}


def test_many_walks_at_once_agree_with_a_second_library() -> None:
    # networkx over the doors of the ground floor, whose rooms are rectangles in which one walks straight.
    _, dwelling = laid_out(HOME)
    ports = {
        "hall": [(2.0, 2.0), (2.0, 5.0)],
        "kitchen": [(2.1, 2.0), (5.1, 4.0)],
        "study": [(2.1, 5.0), (5.1, 4.1)],
    }
    graph: nx.Graph[tuple[str, tuple[float, float]]] = nx.Graph()
    for one, other in (
        (("hall", (2.0, 2.0)), ("kitchen", (2.1, 2.0))),
        (("hall", (2.0, 5.0)), ("study", (2.1, 5.0))),
        (("kitchen", (5.1, 4.0)), ("study", (5.1, 4.1))),
    ):
        graph.add_edge(one, other, weight=0.1)
    goals = [("hall", (0.3, 7.7)), ("kitchen", (6.0, 0.2)), ("study", (5.8, 4.3)), ("hall", (1.9, 0.1))]
    for room, points in ports.items():
        spots = [*points, *(point for name, point in goals if name == room)]
        for index, a in enumerate(spots):
            for b in spots[:index]:
                graph.add_edge((room, a), (room, b), weight=hypot(a[0] - b[0], a[1] - b[1]))
    for start in goals:
        lengths = nx.single_source_dijkstra_path_length(graph, start)
        found = walks(dwelling, start, goals)
        assert [way.length if way else None for way in found] == pytest.approx([lengths[goal] for goal in goals])
