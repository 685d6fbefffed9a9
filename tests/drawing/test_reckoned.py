"""Pictures of what is reckoned: true to scale when read back, with the same figures, told by shape and in words too."""

import re
from datetime import date
from itertools import pairwise
from math import dist, hypot

import pytest
from shapely import Point, union_all

from asfitted.drawing.drawing import Drawing, stylesheet
from asfitted.drawing.marks import AREAS, LINES, POINTS
from asfitted.drawing.radio import is_weak, radio_layer
from asfitted.drawing.sun import HIGH, WIDE, days_in, sun_chart
from asfitted.drawing.walks import cut
from asfitted.drawing.ways_out import ways_out_layer
from asfitted.reckon.of_coverage import rooms_covered
from asfitted.reckon.of_home import reckoned
from asfitted.reckon.sun import Day, Exposure
from asfitted.reckon.undetected import weakest
from asfitted.reckon.ways_out import CAUTION
from tests.drawing.homes import (
    HERE,
    RECKONED,
    XY,
    block_for,
    elements,
    having,
    home_of,
    known_of,
    lay_out,
    moved_to,
    pictures,
    pictures_of,
    points,
)

ON = date(2026, 3, 5)
ROUNDED = 0.015
"""Millimetres by which a point on paper may be out: both coordinates are rounded to 0.01 mm."""


def metres(drawing: Drawing, millimetres: float) -> float:
    """Turn a length on paper back into metres."""
    return millimetres * drawing.scale / 1000


def area_on_paper(drawing: Drawing, d: str) -> float:
    """Give square metres of closed straight path data; a ring that turns the other way is a hole."""
    twice = 0.0
    for ring in d.split("Z"):
        corners = points(ring)
        twice += sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*corners, *corners[:1]]))
    return abs(twice) / 2 * (drawing.scale / 1000) ** 2


def length_on_paper(drawing: Drawing, **data: str) -> float:
    """Give metres of all lines with some data attributes."""
    lines = [points(e.get("d", "")) for e in having(drawing, **data) if e.tag == "path"]
    return metres(drawing, sum(dist(a, b) for line in lines for a, b in pairwise(line)))


def on_plan(drawing: Drawing, tag: str, at: XY, paper: XY) -> XY:
    """Turn a point of the paper back into metres of the plan, from a device whose place is known."""
    (symbol,) = [e for e in having(drawing, tag=tag) if e.tag == "use"]
    x, y = moved_to(symbol)
    return at[0] + metres(drawing, paper[0] - x), at[1] - metres(drawing, paper[1] - y)


def circle(drawing: Drawing, spot: str) -> XY:
    """Give where a round mark is on paper."""
    mark, *_ = [e for e in having(drawing, spot=spot) if e.tag == "circle"]  # the legend shows it once more
    return float(mark.get("cx", "nan")), float(mark.get("cy", "nan"))


def words(drawing: Drawing) -> list[str]:
    """Give all that is written on a drawing."""
    return [e.text or "" for e in elements(drawing) if e.tag == "text"]


def changed(name: str, *changes: tuple[str, str]) -> dict[str, Drawing]:
    """Draw all that is reckoned of a test home with some of its record written otherwise."""
    text = (HERE / f"{name}.yml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return {drawing.name: drawing for drawing in pictures_of(reckoned(*lay_out(text.encode()), ON))}


@pytest.mark.parametrize(("name", "storey"), [("bungalow", "ground"), ("terrace", "ground"), ("terrace", "first")])
def test_area_covered_and_area_left_on_paper_are_what_was_reckoned(name: str, storey: str) -> None:
    drawing, known = pictures(name)[f"coverage-{storey}"], known_of(name)
    for seen in known.coverage.on_storey(storey):
        drawn = "".join(e.get("d", "") for e in having(drawing, covered=seen.tag))
        assert area_on_paper(drawing, drawn) == pytest.approx(seen.covered.area, abs=0.01)
    covers = {
        room: cover
        for room, cover in rooms_covered(known.dwelling, known.coverage).items()
        if known.dwelling.rooms[room].storey == storey
    }
    left = "".join(e.get("d", "") for e in having(drawing, left="not seen"))
    expected = union_all([cover.left for cover in covers.values()]).area
    assert area_on_paper(drawing, left) == pytest.approx(expected, abs=0.01)
    shares = {word for word in words(drawing) if word.endswith("% seen")}
    assert len(shares) <= len(covers)
    for cover in covers.values():
        assert any(abs(float(word.split()[0]) - 100 * cover.share) <= 1.0 for word in shares)


def test_landing_under_an_all_round_detector_is_seen_but_for_the_circle_under_it() -> None:
    # By hand: everything of 1.80 m by 4.20 m is within 5 m of the detector, and nothing is left but what the record's
    # usual steepest beam leaves of a circle under it.
    drawing = pictures("terrace")["coverage-first"]
    (seen,) = known_of("terrace").coverage.on_storey("first")
    drawn = "".join(e.get("d", "") for e in having(drawing, covered="MD2"))
    hole = 1.80 * 4.20 - seen.covered.area
    assert area_on_paper(drawing, drawn) + hole == pytest.approx(7.56, abs=0.01)


@pytest.mark.parametrize(("name", "storey"), [("bungalow", "ground"), ("terrace", "first")])
def test_every_point_of_a_contour_is_as_far_from_an_alarm_as_it_says(name: str, storey: str) -> None:
    drawing, known = pictures(name)[f"alarms-{storey}"], known_of(name)
    fields = [field for field in known.field if known.dwelling.rooms[field.room].storey == storey]
    tag, spot = next(
        (tag, spot)
        for tag, spot in known.dwelling.spots.items()
        if known.home.devices[tag].kind == "smoke alarm" and spot.storey == storey and spot.point
    )
    assert spot.point is not None
    checked = 0
    for line in [e for e in elements(drawing) if e.get("data-contour")]:
        for paper in points(line.get("d", "")):
            at = on_plan(drawing, tag, spot.point, paper)
            far = min(field.field.at(at) for field in fields if field.field.space.buffer(0.01).covers(Point(at)))
            assert far == pytest.approx(float(line.get("data-contour", "nan")), abs=0.01)
            checked += 1
    assert checked > 50


def test_furthest_point_is_marked_where_it_is_with_its_distance() -> None:
    drawing, known = pictures("bungalow")["alarms-ground"], known_of("bungalow")
    worst = max(known.field, key=lambda field: field.far)
    mark, *_ = having(drawing, spot="furthest")
    xs, ys = zip(*points(mark.get("d", "")), strict=True)
    middle = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    spot = known.dwelling.spots["SA1"].point
    assert spot is not None
    assert on_plan(drawing, "SA1", spot, middle) == pytest.approx(worst.point, abs=0.002)
    assert f"{worst.far:.2f} m" in words(drawing)
    assert f"{worst.far:.2f} m" in drawing.description


def test_walk_on_paper_is_as_long_as_reckoned_and_turns_where_it_is_noticed() -> None:
    detector = "MD3: {kind: motion detector, in: bedroom, corner: south-east, height: 2.1, field: 90 deg, range: 8}"
    text = (HERE / "bungalow.yml").read_text(encoding="utf-8")
    known = reckoned(*lay_out(f"{text}  {detector}\n".encode()), ON)
    route, drawings = weakest(known.walks), {drawing.name: drawing for drawing in pictures_of(known)}
    assert route is not None
    assert route.signal is not None
    drawing = drawings["walk-ground"]
    assert length_on_paper(drawing, walk="walked") == pytest.approx(route.unseen, abs=metres(drawing, 0.1))
    assert length_on_paper(drawing, walk="walked on") == pytest.approx(route.left, abs=metres(drawing, 0.1))
    spot = known.dwelling.spots["MD2"].point
    assert spot is not None
    found = on_plan(drawing, "MD2", spot, circle(drawing, "noticed"))
    assert found == pytest.approx(route.signal.spot[1], abs=metres(drawing, ROUNDED))
    assert any(word.startswith(f"{route.signal.by}: {route.unseen:.1f} m, ") for word in words(drawing))


def test_walk_that_nothing_notices_says_so() -> None:
    drawing, route = pictures("bungalow")["walk-ground"], weakest(known_of("bungalow").walks)
    assert route is not None
    assert route.signal is None
    assert any(word.startswith(f"not noticed: {route.walk.length:.1f} m, ") for word in words(drawing))
    assert having(drawing, spot="unnoticed")
    assert not having(drawing, walk="walked on")
    assert "Nothing notices the walk" in drawing.description


def test_walk_cut_at_a_length_keeps_its_whole_length() -> None:
    route = weakest(known_of("terrace").walks)
    assert route is not None
    for share in (0.0, 0.2, 0.5, 0.99, 1.0):
        before, after = cut(route.walk, route.walk.length * share)
        assert sum(leg.length for leg in before) == pytest.approx(route.walk.length * share, abs=0.001)
        assert sum(leg.length for leg in (*before, *after)) == pytest.approx(route.walk.length)


def test_way_from_the_entry_door_to_the_keypad_has_length_and_time() -> None:
    drawings = changed("terrace", ("to: outside, leaf: steel", "to: outside, entry: yes, leaf: steel"))
    drawing = drawings["entry-front-door-ground"]
    # By hand: the middle of the door is at (0.90, 0), the keypad KP1 on the west wall at (0, 0.60).
    assert length_on_paper(drawing, walk="walked") == pytest.approx(hypot(0.90, 0.60), abs=0.002)
    assert "1.1 m, 1 s" in words(drawing)


def test_ways_out_of_one_bed_are_as_long_on_paper_as_the_figures_say() -> None:
    drawing, known = pictures("bungalow")["ways-out-ground"], known_of("bungalow")
    first, *others = known.ways
    assert length_on_paper(drawing, way="way") == pytest.approx(first.walk.length, abs=metres(drawing, 0.1))
    (note,) = [word for word in words(drawing) if word.startswith("1 Bedroom: ")]
    assert re.findall(r"(\d+) m", note) == [f"{way.walk.length:.0f}" for way in (first, *others)]
    assert {"Front door", "Garden door"} <= set(words(drawing))


def test_key_second_way_and_window_to_be_measured_each_have_a_mark_and_words() -> None:
    plain = pictures("bungalow")["ways-out-ground"]
    assert not having(plain, spot="key")
    assert having(plain, spot="window not known")
    assert "window to be measured" in words(plain)
    drawing = changed(
        "bungalow",
        ("to: outside, hinge: north}", "to: outside, hinge: north, key-needed: yes}"),
        ("from-south: 1.20, width: 1.60}", "from-south: 1.20, width: 1.60, height: 1.10, sill: 0.90}"),
    )["ways-out-ground"]
    assert len([e for e in having(drawing, spot="key") if e.tag == "circle"]) == 2  # at the door and in the legend
    assert having(drawing, spot="window")
    assert not having(drawing, spot="window not known")
    assert "The front door needs a key from inside." in drawing.description
    assert "may serve as a second way out" in drawing.description


@pytest.mark.parametrize("name", RECKONED)
def test_every_plan_of_ways_out_says_that_the_plan_is_the_households(name: str) -> None:
    plans = [drawing for part, drawing in pictures(name).items() if part.startswith("ways-out")]
    assert plans
    for drawing in plans:
        assert CAUTION in drawing.description
        assert "practise" in " ".join(words(drawing))


def test_home_without_a_bed_has_no_plan_of_ways_out() -> None:
    home, dwelling = home_of("bungalow")
    assert ways_out_layer(dwelling, "ground", home, (), ()) is None


def test_link_on_paper_runs_between_the_devices_and_a_weak_one_has_another_line() -> None:
    known = known_of("bungalow")
    drawing = pictures("bungalow")["radio-ground"]
    (link,) = known.radio.links
    level_distance = hypot(link.ends[0].x - link.ends[1].x, link.ends[0].y - link.ends[1].y)
    # an aerial stands 0.02 m off the wall, a device is drawn on it
    assert length_on_paper(drawing, link="RP1 CU1") == pytest.approx(level_distance, abs=0.05)
    assert f"≈ {link.reserve:.0f} dB" in words(drawing)
    text = (HERE / "bungalow.yml").read_text(encoding="utf-8")
    text += "visits:\n  - {date: 2026-02-01, kind: service, by: technician 1, tests: {RP1: {signal: 5 dB}}}\n"
    home, dwelling = lay_out(text.encode())
    measured = reckoned(home, dwelling, ON).radio
    assert [is_weak(one, 9.0) for one in measured.links] == [True]
    layer = radio_layer(dwelling, "ground", home, measured, 9.0, None)
    assert layer is not None
    weak = layer.alone(dwelling, "ground", home, block_for(home, "Radio"))
    assert [e.get("class") for e in having(weak, link="RP1 CU1")] == [LINES["weak link"]]
    assert "5 dB" in words(weak)
    assert "weak radio link" in words(weak)
    assert "5 dB measured on 2026-02-01, weak" in weak.description


def test_level_at_a_bed_stands_on_the_plan_with_doors_shut_and_open() -> None:
    drawing, sound = pictures("bungalow")["sound-ground"], known_of("bungalow").sound
    for found in sound.beds:
        assert found.weakest is not None
        doors = "shut" if found.doors == "closed" else "open"
        assert f"≈ {found.weakest.level:.0f} dB(A), doors {doors}" in words(drawing)


def exposure(hours: dict[tuple[int, int], float]) -> Exposure:
    """Give a year of sun from hours by month, 0 for January, and hour of the day."""
    rows = tuple(tuple(hours.get((month, hour), 0.0) for hour in range(24)) for month in range(12))
    return Exposure(sum(hours.values()), rows, (Day(date(2026, 12, 21), 85.0, 845.0, 930.0),), 1.0)


def test_bar_of_the_sun_is_as_high_as_the_share_of_days_and_its_hours_are_written() -> None:
    home, _ = home_of("terrace")
    hours = {(1, 9): 14.0, (11, 14): 31.0, (11, 15): 0.5}
    drawing = sun_chart("MD1", exposure(hours), 2026, block_for(home, "Sun"))
    bars = [e for e in elements(drawing) if e.get("class") == "d-sun"]
    assert len(bars) == len(hours)
    for (month, hour), sun in hours.items():
        (bar,) = having(drawing, class_="d-sun", month=str(month + 1), hour=str(hour))
        xs, ys = zip(*points(bar.get("d", "")), strict=True)
        assert max(xs) - min(xs) == pytest.approx(WIDE, abs=ROUNDED)
        assert max(ys) - min(ys) == pytest.approx(HIGH * sun / days_in(month, 2026), abs=ROUNDED)
    assert {"14", "31", "0.5", "46"} <= set(words(drawing))
    assert "February: 14.0 hours, between 9 and 10 o'clock." in drawing.description
    assert "85 minutes on 2026-12-21, 14:05 to 15:30" in drawing.description
    assert drawing.scale == 0


def test_february_has_29_days_in_a_leap_year() -> None:
    assert [days_in(1, year) for year in (2026, 2028)] == [28, 29]


def test_no_two_kinds_of_line_share_their_dashes_and_weight_and_no_two_areas_their_filling() -> None:
    css = stylesheet()

    def look(kind: str) -> tuple[str | None, ...]:
        rules = [re.search(rf"\.{name} \{{([^}}]*)\}}", css) for name in kind.split()]
        given = {
            key: value for rule in rules if rule for key, value in re.findall(r"(stroke-[a-z]+): ([^;]+);", rule[1])
        }
        return given.get("stroke-width"), given.get("stroke-dasharray")

    looks = [look(kind) for kind in LINES.values()]
    pairs = [("walked", "walked on"), ("way", "other way"), ("link", "weak link")]
    for one, other in pairs:
        assert look(LINES[one])[1] != look(LINES[other])[1]
    assert all(width for width, _ in looks)
    assert len(set(AREAS.values())) == len(AREAS)
    assert not set(LINES) & set(POINTS)


@pytest.mark.parametrize(("name", "part"), [(name, part) for name in RECKONED for part in pictures(name)])
def test_what_the_legend_names_is_on_the_drawing_and_every_picture_speaks(name: str, part: str) -> None:
    drawing = pictures(name)[part]
    drawn = elements(drawing)
    for kind in {e.get("data-legend") for e in drawn} & set(LINES):
        assert kind is not None
        assert len([e for e in drawn if e.get("class") == LINES[kind]]) > 1
    assert drawing.description.count(".") >= 2
    assert drawing.title
