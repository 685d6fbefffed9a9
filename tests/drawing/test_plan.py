"""The plan of a storey: true to scale, doors on the right side, every device and nothing else in the legend."""

import re
from math import hypot

import pytest
from shapely import LineString, Point, box

from asfitted.drawing.drawing import Drawing
from asfitted.drawing.overlay import SHOWN
from asfitted.drawing.plan import storey_plan
from asfitted.drawing.room import room_diagram
from asfitted.drawing.section import ceiling_section
from asfitted.drawing.standing import coverage
from asfitted.drawing.walls import wall_shape
from asfitted.rules.finding import Finding, Mark, Verdict
from tests.drawing.homes import (
    FINDINGS,
    HERE,
    NAMES,
    XY,
    block_for,
    draw,
    drawn,
    elements,
    finding,
    having,
    home_of,
    lay_out,
    moved_to,
    points,
)

PLANS = [(name, storey.id) for name in NAMES for storey in home_of(name)[1].storeys]

ANCHORS: dict[tuple[str, str], tuple[str, XY]] = {
    ("terrace", "ground"): ("SA1", (1.10, 1.95)),
    ("terrace", "first"): ("SA3", (1.20, 1.20)),
    ("bungalow", "ground"): ("SA2", (6.63 + 1.80, 4.10 - 0.70)),
    ("loft", "ground"): ("SA3", (1.45, 2.60)),
    ("loft", "upper"): ("SA1", (4.00, 3.40 - 0.90)),
}
"""A ceiling device of each plan and its place worked out by hand from the record."""

SWINGS = {
    "front-door": ("hall", (0.45, 0.0)),
    "living-door": ("living", (1.90, 2.00)),
    "kitchen-door": ("kitchen", (1.70, 4.30)),
    "toilet-door": ("toilet", (4.20, 4.50)),
}
"""Doors of the terrace: the room into which each swings and where it hangs, worked out by hand from the record."""


def plan_point(drawing: Drawing, anchor: tuple[str, XY], on_paper: XY) -> XY:
    """Turn a point of the paper back into metres, from a device whose place is known."""
    tag, (x, y) = anchor
    (symbol,) = [e for e in having(drawing, tag=tag) if e.tag == "use"]
    at = moved_to(symbol)
    return x + (on_paper[0] - at[0]) * drawing.scale / 1000, y - (on_paper[1] - at[1]) * drawing.scale / 1000


def test_room_of_4_20_m_measures_84_mm_at_1_to_50() -> None:
    drawing = drawn("terrace", "plan", "ground", ())
    (line,) = [e for e in having(drawing, room="living") if e.get("class") == "d-dimension"]
    start, end = points(line.get("d", ""))
    assert drawing.scale == 50
    assert hypot(end[0] - start[0], end[1] - start[1]) == pytest.approx(84.00, abs=0.011)


@pytest.mark.parametrize(("name", "storey"), PLANS)
def test_walls_on_paper_are_the_walls_of_the_dwelling_at_scale(name: str, storey: str) -> None:
    drawing = draw(name, "plan", storey)
    shape = home_of(name)[1].storey(storey)
    west, south, east, north = wall_shape(shape, shape.openings).bounds
    (wall,) = having(drawing, class_="d-wall")
    xs, ys = zip(*points(wall.get("d", "")), strict=True)
    assert (max(xs) - min(xs)) * drawing.scale / 1000 == pytest.approx(east - west, abs=0.02 * drawing.scale / 1000)
    assert (max(ys) - min(ys)) * drawing.scale / 1000 == pytest.approx(north - south, abs=0.02 * drawing.scale / 1000)
    inside_of_wall = plan_point(drawing, ANCHORS[name, storey], (min(xs), max(ys)))
    assert inside_of_wall == pytest.approx((west, south), abs=0.02 * drawing.scale / 1000)


def test_outer_wall_has_its_thickness_with_mitred_corners() -> None:
    _, dwelling = home_of("loft")
    ground = dwelling.storey("ground")
    assert wall_shape(ground, ()).bounds == pytest.approx((-0.30, -0.30, 6.40, 5.50))
    whole = wall_shape(ground, ()).area
    assert whole == pytest.approx(6.70 * 5.80 - (2.10 + 3.90) * 5.20)


def test_rooms_that_share_one_line_get_a_wall_of_the_usual_thickness_astride_it() -> None:
    _, dwelling = lay_out(TWO_ROOMS)
    walls = wall_shape(dwelling.storeys[0], ())
    across = LineString([(2.0, 1.5), (4.0, 1.5)]).intersection(walls)
    assert across.bounds == pytest.approx((2.95, 1.5, 3.05, 1.5))


def test_an_opening_leaves_nothing_of_the_wall() -> None:
    _, dwelling = home_of("terrace")
    ground = dwelling.storey("ground")
    walls = wall_shape(ground, ground.openings)
    assert walls.intersection(box(0.45, -0.30, 1.35, 0.0)).area == pytest.approx(0.0, abs=1e-9)
    assert walls.intersection(box(1.35, -0.30, 1.80, 0.0)).area == pytest.approx(0.45 * 0.30)


@pytest.mark.parametrize("door", list(SWINGS))
def test_door_swings_into_its_room_and_hangs_on_its_side(door: str) -> None:
    drawing = draw("terrace", "plan", "ground")
    room, hinge = SWINGS[door]
    found = having(drawing, opening=door)
    (arc,) = [e.get("d", "") for e in found if e.get("class") == "d-swing"]
    (leaf,) = [e.get("d", "") for e in found if e.get("class") == "d-leaf"]
    anchor = ANCHORS["terrace", "ground"]
    hung, tip = (plan_point(drawing, anchor, p) for p in points(leaf)[:2])
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", arc)]
    shut = plan_point(drawing, anchor, (numbers[-2], numbers[-1]))
    swept = Point((tip[0] + shut[0]) / 2, (tip[1] + shut[1]) / 2)
    assert hung == pytest.approx(hinge, abs=0.002)
    assert home_of("terrace")[1].rooms[room].outline.contains(swept)


def test_door_leaf_and_arc_meet_in_a_quarter_circle_round_the_hinge() -> None:
    drawing = draw("terrace", "plan", "ground")
    for door in SWINGS:
        found = having(drawing, opening=door)
        (arc,) = [e.get("d", "") for e in found if e.get("class") == "d-swing"]
        (leaf,) = [e.get("d", "") for e in found if e.get("class") == "d-leaf"]
        (hx, hy), (tx, ty) = points(leaf)[:2]
        x0, y0, radius, _, _, large, sweep, x1, y1 = (float(n) for n in re.findall(r"-?[\d.]+", arc))
        assert (x0, y0) == (tx, ty)
        assert hypot(x0 - hx, y0 - hy) == pytest.approx(radius, abs=0.02)
        assert hypot(x1 - hx, y1 - hy) == pytest.approx(radius, abs=0.02)
        assert (tx - hx) * (x1 - hx) + (ty - hy) * (y1 - hy) == pytest.approx(0, abs=0.5)
        assert large == 0
        # SVG 2, 9.3.8: sweep 1 draws in the direction of positive angles, clockwise on a page whose y runs down
        assert sweep == int((tx - hx) * (y1 - hy) - (ty - hy) * (x1 - hx) > 0)


@pytest.mark.parametrize(("name", "storey"), PLANS)
def test_every_device_of_the_storey_appears_once_or_is_noted_as_not_placed(name: str, storey: str) -> None:
    home, dwelling = home_of(name)
    drawing = draw(name, "plan", storey)
    here = {tag for tag in home.devices if dwelling.spots[tag].storey == storey}
    placed = {tag for tag in here if dwelling.spots[tag].point is not None}
    symbols = [e.get("data-tag") for e in elements(drawing) if e.tag == "use" and e.get("data-tag")]
    written = [e.text for e in having(drawing, class_="d-tag")]
    notes = " ".join(e.text or "" for e in having(drawing, class_="d-note"))
    assert sorted(str(tag) for tag in symbols) == sorted(placed)
    assert sorted(str(tag) for tag in written) == sorted(placed)
    assert all(tag in notes for tag in here - placed)
    assert all(f"{tag} {home.devices[tag].kind}" in drawing.description for tag in here)


def test_device_without_a_known_point_is_named_in_a_note() -> None:
    notes = [e.text for e in having(draw("terrace", "plan", "ground"), class_="d-note")]
    assert notes == ["Not yet placed on the plan: SA4"]


def test_device_without_any_place_is_noted_on_the_first_storey_and_nowhere_else() -> None:
    text = (HERE / "loft.yml").read_bytes() + b"  SA9: {kind: smoke alarm, name: spare}\n"
    home, dwelling = lay_out(text)
    ground, upper = (storey_plan(dwelling, s.id, home, block_for(home, s.id)) for s in dwelling.storeys)
    assert [e.text for e in having(ground, class_="d-note")] == ["Not yet placed on the plan: SA9"]
    assert "SA9 smoke alarm, place not yet recorded." in ground.description
    assert "SA9" not in upper.svg
    assert "SA9" not in "".join(room_diagram(dwelling, r, home, block_for(home, r)).svg for r in dwelling.rooms)
    section = ceiling_section(dwelling, "loft", home, block_for(home, "loft"))
    assert section is not None
    assert "SA9" not in section.svg


@pytest.mark.parametrize(
    ("ceiling", "west_east", "south_north"),
    [
        ("2.40", 0.8, 1.2),
        ("{ridged: {low: 1, high: 4, ridge: east-west}}", 0.8, 1.2 / 2**0.5),  # 3 m up in 3 m: 45 degrees
        ("{sloping: {low: 1, high: 4, rises: east}}", 1.2 * 0.8, 0.8),  # 3 m up in 4 m: 5 m down the slope
    ],
)
def test_rooflight_is_drawn_as_its_slope_shows_it_from_above(
    ceiling: str, west_east: float, south_north: float
) -> None:
    home, dwelling = lay_out(
        f"""
record: 1
home: {{label: Loft}}
storeys:
  - id: upper
    height: {ceiling}
    rooms: [{{id: loft, use: loft, corner: [0, 0], size: [4, 6]}}]
    openings: [{{rooflight: loft, id: light, from-west: 2, from-south: 1.5, width: 0.8, height: 1.2}}]
""".encode()
    )
    drawing = storey_plan(dwelling, "upper", home, block_for(home, "upper floor"))
    (drawn_light,) = having(drawing, opening="light", class_="d-rooflight")
    corners = points(drawn_light.get("d", ""))[:4]
    wide, high = (
        (max(p[axis] for p in corners) - min(p[axis] for p in corners)) * drawing.scale / 1000 for axis in (0, 1)
    )
    assert (wide, high) == pytest.approx((west_east, south_north), abs=0.002)


@pytest.mark.parametrize(("name", "storey"), PLANS)
def test_legend_holds_exactly_the_kinds_drawn(name: str, storey: str) -> None:
    home, dwelling = home_of(name)
    drawing = draw(name, "plan", storey)
    legend = [e.get("data-legend", "") for e in elements(drawing) if e.get("data-legend")]
    words = [e.text for e in having(drawing, class_="d-legend")]
    devices = {d.kind for tag, d in home.devices.items() if (s := dwelling.spots[tag]).storey == storey and s.point}
    fittings = {f.fitting.kind for f in dwelling.storey(storey).fittings}
    marks = {SHOWN[v] for v in SHOWN if f"d-mark-{SHOWN[v]}" in drawing.svg}
    marks |= {"view"} if any(e.get("data-tag") for e in having(drawing, class_="d-coverage")) else set()
    marks |= {part for found in marked_on(name, storey) for part in parts_of(found)}
    assert len(legend) == len(set(legend)) == len(words)
    assert set(legend) == devices | fittings | marks


def marked_on(name: str, storey: str) -> list[Finding]:
    """Give the findings of a test home that are about a device of a storey."""
    return [found for found in FINDINGS[name] if home_of(name)[1].spots[found.subject.id].storey == storey]


def parts_of(found: Finding) -> set[str]:
    """Give what the legend should name of a finding about a distance."""
    mark = found.mark
    assert mark is not None
    parts = {"ring": mark.radius, "found": mark.towards, "move": mark.move_to, "zone": mark.zone}
    return {part for part, shown in parts.items() if shown is not None}


def legend_words(drawing: Drawing) -> set[str]:
    return {e.text or "" for e in having(drawing, class_="d-legend")}


def test_legend_says_what_each_part_of_a_mark_means() -> None:
    words = legend_words(draw("terrace", "plan", "ground"))
    assert {"clearance asked", "distance found", "move to", "may go here"} <= words
    assert "line of sight" not in words


def test_legend_names_the_view_of_a_detector_without_any_finding_and_only_where_one_is_drawn() -> None:
    assert "view of a motion detector" in legend_words(drawn("bungalow", "plan", "ground", ()))
    assert "view of a motion detector" not in legend_words(drawn("loft", "plan", "upper", ()))


def test_angle_is_marked_by_a_line_of_sight_without_a_figure() -> None:
    drawing = drawn("terrace", "plan", "ground", (finding("SA1", Mark((1.1, 1.95), (1.1, 0.0)), unit="deg", found=7),))
    sight = [e for e in having(drawing, class_="d-mark d-mark-sight") if not e.get("data-legend")]
    (line,) = [points(e.get("d", "")) for e in sight]
    assert hypot(line[1][0] - line[0][0], line[1][1] - line[0][1]) * drawing.scale / 1000 == pytest.approx(
        1.95, abs=0.002
    )
    assert not having(drawing, class_="d-mark-figure")
    assert "line of sight" in legend_words(drawing)


@pytest.mark.parametrize(("found", "figure"), [(1.95, "1.95"), (2.25, "2.25 on the slope"), (None, "1.95")])
def test_mark_gives_the_figure_of_its_finding(found: float | None, figure: str) -> None:
    drawing = drawn("terrace", "plan", "ground", (finding("SA1", Mark((1.1, 1.95), (1.1, 0.0)), found=found),))
    assert [e.text for e in having(drawing, class_="d-mark-figure")] == [figure, "0.00"]  # of the legend


def test_clearance_ring_shows_only_inside_the_outer_walls() -> None:
    drawing = drawn("terrace", "plan", "ground", (finding("SA1", Mark((1.1, 1.95), radius=3.0)),))
    (circle,) = having(drawing, radius="3")
    (window,) = [e for e in elements(drawing) if f"url(#{e.get('id')})" == circle.get("clip-path")]
    xs, ys = zip(*points(window[0].get("d", "")), strict=True)
    (wall,) = having(drawing, class_="d-wall")
    outer_xs, outer_ys = zip(*points(wall.get("d", "")), strict=True)
    thick = 300 / drawing.scale
    assert (min(xs), max(xs)) == pytest.approx((min(outer_xs) + thick, max(outer_xs) - thick), abs=0.03)
    assert (min(ys), max(ys)) == pytest.approx((min(outer_ys) + thick, max(outer_ys) - thick), abs=0.03)


def test_two_devices_on_one_point_cover_neither_each_other_nor_their_tags() -> None:
    drawing = draw("terrace", "plan", "first")
    one, other = (moved_to(next(e for e in having(drawing, tag=tag) if e.tag == "use")) for tag in ("SA3", "MD2"))
    first, second = (
        (float(e.get("x", 0)), float(e.get("y", 0)))
        for tag in ("SA3", "MD2")
        for e in having(drawing, tag=tag)
        if e.tag == "text"
    )
    assert hypot(one[0] - other[0], one[1] - other[1]) > 4.0
    assert abs(first[0] - second[0]) > 9.0 or abs(first[1] - second[1]) > 2.6


def test_motion_detector_looks_only_over_its_room() -> None:
    home, dwelling = home_of("bungalow")
    seen = coverage(home.devices["MD1"], dwelling.spots["MD1"], dwelling)
    assert seen is not None
    outline = dwelling.rooms["living"].outline
    assert seen.difference(outline.buffer(1e-9)).area == pytest.approx(0, abs=1e-9)
    assert seen.area > 0.8 * outline.area


def test_motion_detector_without_a_recorded_field_shows_none() -> None:
    home, dwelling = home_of("bungalow")
    bare = home.devices["MD1"].model_copy(update={"field": None})
    assert coverage(bare, dwelling.spots["MD1"], dwelling) is None


@pytest.mark.parametrize(("name", "turn"), [("terrace", "-12"), ("bungalow", "-335"), ("loft", "-90")])
def test_north_arrow_is_turned_back_by_the_bearing_of_the_upper_edge(name: str, turn: str) -> None:
    drawing = draw(name, "plan", "ground")
    assert having(drawing, north=turn)


def test_north_arrow_points_left_where_the_upper_edge_looks_east() -> None:
    drawing = draw("loft", "plan", "ground")
    (arrow,) = having(drawing, north="-90")
    tip, *rest = points(arrow.get("d", ""))
    assert all(tip[0] < x for x, _ in rest)


def test_only_what_fails_or_is_borderline_is_marked() -> None:
    marks = {verdict: finding("SA1", Mark((1.1, 1.95), radius=0.5), verdict) for verdict in Verdict}
    shown = {v: "d-mark" in drawn("terrace", "plan", "ground", (marked,)).svg for v, marked in marks.items()}
    assert {verdict for verdict, seen in shown.items() if seen} == {Verdict.FAILS, Verdict.BORDERLINE}


def test_mark_of_another_storey_is_not_drawn() -> None:
    marked = finding("SA3", Mark((1.2, 1.2), radius=0.5))
    assert "d-mark" not in drawn("terrace", "plan", "ground", (marked,)).svg
    assert "d-mark" in drawn("terrace", "plan", "first", (marked,)).svg


def test_clearance_circle_has_the_radius_at_scale() -> None:
    drawing = drawn("terrace", "plan", "ground", (finding("SA1", Mark((1.1, 1.95), radius=0.5)),))
    (circle,) = having(drawing, radius="0.5")
    assert float(circle.get("r", 0)) == pytest.approx(500 / drawing.scale, abs=0.006)


def test_description_tells_rooms_sizes_and_where_a_device_is() -> None:
    said = draw("terrace", "plan", "ground").description
    assert "Living room, 4.20 m west to east and 4.20 m south to north, 17.6 m², ceiling 2.40 m." in said
    assert (
        "SA2 smoke alarm on the ceiling of the living room, 1.10 m from the west wall and 1.95 m from the south wall."
        in said
    )


def test_stairs_are_up_below_and_down_above() -> None:
    words = [{e.text for e in having(draw("loft", "plan", storey), class_="d-word")} for storey in ("ground", "upper")]
    assert "up" in words[0]
    assert "down" not in words[0]
    assert "down" in words[1]


def test_a_large_storey_takes_a_smaller_scale_and_a_wide_one_lies_across() -> None:
    text = TWO_ROOMS.replace(b"[3, 3]", b"[9, 3]").replace(b"corner: [3, 0]", b"corner: [9, 0]")
    home, dwelling = lay_out(text)
    drawing = storey_plan(dwelling, "ground", home, block_for(home, "ground"))
    assert (drawing.scale, drawing.width_mm > 180) == (100, True)


TWO_ROOMS = b"""
record: 1
home: {label: Two rooms}
storeys:
  - id: ground
    height: 2.4
    rooms:
      - {id: west, use: living, corner: [0, 0], size: [3, 3]}
      - {id: east, use: bedroom, corner: [3, 0], size: [3, 3]}
"""
