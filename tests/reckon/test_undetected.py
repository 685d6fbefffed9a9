"""The undetected walk: closed forms, a second library for the shortest way, and properties."""

from datetime import date
from itertools import permutations
from math import hypot, sqrt

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, box, union_all

from asfitted.dwelling.paths import Leg, Walk, walk
from asfitted.reckon.of_coverage import detectors_of
from asfitted.reckon.of_walks import accessible, goals_of, route_working, routes_of, unnoticed, ways_in
from asfitted.reckon.standard import standard
from asfitted.reckon.undetected import Route, Watch, entry_time, first_signal, weakest
from asfitted.reckon.working import Input
from tests.reckon.laid_out import laid_out

DAY = date(2026, 11, 2)
HOME = """
record: 1
home: {label: walks}
household: {sleepers: {bedroom: 1, study: 1}, valued-rooms: [study]}
system: {entry-time: 30 s}
storeys:
  - id: ground
    level: 0
    height: 2.50
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [2.0, 8.0]}
      - {id: living, use: living, beside: "east of hall, flush south", size: [5.0, 4.0]}
      - {id: bedroom, use: bedroom, beside: "east of hall, flush north", size: [5.0, 3.9]}
      - {id: study, use: study, beside: "north of hall, flush west", size: [2.0, 3.0]}
    openings:
      - {door: hall south, id: front-door, from-west: 0.5, width: 1.0, to: outside, entry: yes}
      - {door: hall - living, id: living-door, from-south: 1.0, width: 1.0}
      - {door: hall - bedroom, id: bedroom-door, from-south: 5.5, width: 1.0}
      - {door: hall - study, id: study-door, from-west: 0.5, width: 1.0}
      - {window: living east, id: east-window, from-south: 1.0, width: 1.0, sill: 0.9, height: 1.2}
      - {window: bedroom east, id: bedroom-window, from-south: 1.0, width: 1.0, sill: 0.9, height: 1.2}
      - {window: study north, id: slit, from-west: 0.5, width: 0.12, sill: 0.9, height: 1.2}
      - {window: study west, id: high-window, from-south: 0.5, width: 1.0, sill: 2.45, height: 0.05}
    fittings:
      - {bed: bedroom, wall: north, from-east: 1.0, size: [2.0, 1.0]}
devices:
  CU1: {kind: control unit, in: study, wall: north, from-west: 1.6, height: 1.6}
  KP1: {kind: keypad, in: hall, wall: west, from-south: 3.0, height: 1.4}
  OC1: {kind: opening contact, on: front-door, mode: delayed}
  MD1: {kind: motion detector, in: hall, corner: north-west, height: 2.2, facing: 135 deg, field: 90 deg, range: 5, looks-down: 90 deg}
visits:
  - {date: 2026-03-04, kind: service, by: technician 1, tests: {MD1: {walk: detected, steps: 2}}}
"""


def test_the_shortest_walk_agrees_with_a_second_library() -> None:
    # networkx over doors and corners of rectangular rooms, in which one walks straight.
    _, dwelling = laid_out(HOME)
    doors = {
        "living": ((2.0, 1.5), (2.1, 1.5)),
        "bedroom": ((2.0, 6.0), (2.1, 6.0)),
        "study": ((1.0, 8.0), (1.0, 8.1)),
    }
    graph: nx.Graph[tuple[str, tuple[float, float]]] = nx.Graph()
    spots = {"living": (6.3, 3.3), "bedroom": (6.0, 4.4), "study": (0.2, 10.9)}
    for room, (inside, beyond) in doors.items():
        graph.add_edge(("hall", inside), (room, beyond), weight=hypot(inside[0] - beyond[0], inside[1] - beyond[1]))
        graph.add_edge(
            (room, beyond), (room, spots[room]), weight=hypot(beyond[0] - spots[room][0], beyond[1] - spots[room][1])
        )
        for other in doors.values():
            if other[0] != inside:
                length = hypot(inside[0] - other[0][0], inside[1] - other[0][1])
                graph.add_edge(("hall", inside), ("hall", other[0]), weight=length)
    for start, goal in permutations(spots.items(), 2):
        found = walk(dwelling, start, goal)
        assert found is not None
        assert found.length == pytest.approx(nx.dijkstra_path_length(graph, start, goal), rel=1e-12)


def test_openings_that_can_be_reached() -> None:
    # A slit of 0.12 m is too narrow; 2.45 m is too high to reach.
    _, dwelling = laid_out(HOME)
    assert [opening.id for opening in accessible(dwelling)] == ["front-door", "east-window", "bedroom-window"]


def test_what_is_worth_reaching() -> None:
    record, dwelling = laid_out(HOME)
    called = [goal.called for goal in goals_of(record, dwelling, DAY)]
    assert called == ["control unit CU1", "keypad KP1", "bed, bedroom", "bed, study", "study"]


def test_a_contact_on_the_opening_tells_at_once() -> None:
    record, dwelling = laid_out(HOME)
    for route in routes_of(record, dwelling, DAY, detectors_of(record, dwelling, DAY)):
        if route.opening == "front-door":
            assert route.signal is not None
            assert (route.unseen, route.signal.by, route.signal.waits) == (0.0, "OC1", True)


def test_the_walk_enters_the_reach_of_a_detector_where_a_circle_says() -> None:
    # From the window (7.1, 1.5) straight west through the door to (2, 1.5), then to the study door (1, 8): the detector
    # in (0, 8) reaches 5 m over the whole hall, a circle; the walk enters it at the root of a quadratic, by hand.
    record, dwelling = laid_out(HOME)
    routes = routes_of(record, dwelling, DAY, detectors_of(record, dwelling, DAY))
    route = next(item for item in routes if (item.opening, item.goal) == ("east-window", "control unit CU1"))
    dx, dy = -1.0, 6.5
    length = hypot(dx, dy)
    ux, uy = dx / length, dy / length
    px, py = 2.0 - 0.0, 1.5 - 8.0  # seen from the detector
    b = px * ux + py * uy
    inside = -b - sqrt(b * b - (px * px + py * py - 25.0))
    assert route.signal is not None
    assert route.signal.by == "MD1"
    assert route.unseen == pytest.approx(5.1 + inside, abs=1e-3)  # an arc is drawn with a point a degree


def test_nothing_notices_a_walk_that_stays_out_of_every_view() -> None:
    record, dwelling = laid_out(HOME)
    routes = routes_of(record, dwelling, DAY, detectors_of(record, dwelling, DAY))
    worst = weakest(routes)
    assert worst is not None
    # The keypad is on the edge of the detector's circle: through the living room door, 5.1 m and (2, 1.5).
    assert (worst.opening, worst.goal, worst.signal) == ("east-window", "keypad KP1", None)
    assert worst.unseen == pytest.approx(5.1 + hypot(2.0, 1.5))
    assert worst.left == 0.0


def test_only_what_no_way_round_the_detectors_is_seen_at_is_reached_unnoticed() -> None:
    # The detector covers 5 m of the hall, wall to wall, so the study is not reached; the keypad, 3 m up the hall, is
    # reached within an arm's length before its circle begins, from the living room.
    record, dwelling = laid_out(HOME)
    found = unnoticed(record, dwelling, DAY, detectors_of(record, dwelling, DAY))
    assert found == {"east-window": ("keypad KP1",), "bedroom-window": ("bed, bedroom",)}


def test_steps_of_a_walk_test_beat_those_a_standard_allows() -> None:
    record, dwelling = laid_out(HOME)
    routes = routes_of(record, dwelling, DAY, detectors_of(record, dwelling, DAY))
    route = next(item for item in routes if (item.opening, item.goal) == ("east-window", "control unit CU1"))
    working = route_working(record, dwelling, route, DAY)
    # 2 steps of 0.61 m measured (UL 1641:2015, 15.3.1, for the step), at 1.0 m a second.
    assert working.result.value == pytest.approx(route.unseen + 2 * 0.61)
    before = route_working(record, dwelling, route, date(2026, 3, 3))
    assert before.result.value == pytest.approx(route.unseen + 4 * 0.61)
    assert working.result.unit == "s"


def test_entry_time_of_a_worked_example() -> None:
    # 9 m at 1.0 m/s and 8 s for the code need 17 s (common practice, no source); half as long again is 25.5 s.
    far = Input("d", "walk", 9.0, "m", "measured", "plan")
    working = entry_time({"d": far, **{key: standard("walks", key) for key in ("v", "t_c", "f")}})
    assert [step.value for step in working.steps] == pytest.approx([9.0, 17.0, 25.5])
    assert [item.symbol for item in working.assumed] == ["t_c"]


def test_entry_time_of_a_home_comes_from_its_own_walk() -> None:
    record, dwelling = laid_out(HOME)
    (way,) = ways_in(record, dwelling, DAY)
    assert (way.door, way.keypad) == ("front-door", "KP1")
    assert way.walk.length == pytest.approx(hypot(1.0, 3.0))
    assert way.set_to is not None
    assert way.set_to.value == 30.0
    assert way.working.result.value == pytest.approx(1.5 * (hypot(1.0, 3.0) + 8.0))


def _straight(length: float) -> Walk:
    start, end = ("hall", (0.0, 0.0)), ("hall", (length, 0.0))
    return Walk(start, (Leg(start, end, length),))


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(1, 30)), min_size=1, max_size=5), st.integers(0, 4))
def test_a_further_detector_or_a_wider_one_never_notices_later(discs: list[tuple[int, int]], fewer: int) -> None:
    way = _straight(10.0)

    def unseen(items: list[tuple[int, int]], wider: float = 0.0) -> float:
        watches = [
            Watch(f"MD{n}", Point(x / 10, 0.5).buffer(r / 10 + wider), "ground", (x / 10, 0.5))
            for n, (x, r) in enumerate(items)
        ]
        signal = first_signal(way, "w", {"hall": "ground"}, watches)
        return Route("w", "goal", way, signal).unseen

    assert unseen(discs) <= unseen(discs[:fewer]) + 1e-9
    assert unseen(discs, 0.3) <= unseen(discs) + 1e-9
    assert 0.0 <= unseen(discs) <= 10.0


def test_a_detector_that_is_only_grazed_does_not_notice() -> None:
    watch = Watch("MD1", box(2, 0, 3, 1), "ground", (2.5, 1.0))
    grazed = union_all([Point(5, 0), box(2, 0.001, 3, 1)])
    assert first_signal(_straight(10.0), "w", {"hall": "ground"}, [watch]) is not None
    touched = Watch("MD1", grazed, "ground", (2.5, 1.0))
    assert first_signal(_straight(10.0), "w", {"hall": "ground"}, [touched]) is None


def test_a_contact_on_an_inner_door_notices_when_it_is_opened() -> None:
    hall, living = ("hall", (3.0, 0.0)), ("living", (3.1, 0.0))
    start, end = ("hall", (0.0, 0.0)), ("living", (6.0, 0.0))
    way = Walk(start, (Leg(start, hall, 3.0), Leg(hall, living, 0.1, "door"), Leg(living, end, 2.9)))
    signal = first_signal(way, "w", {"hall": "ground", "living": "ground"}, [Watch("OC1", opening="door")])
    assert signal is not None
    assert (signal.at, signal.by, signal.kind) == (3.0, "OC1", "contact")
