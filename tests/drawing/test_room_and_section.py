"""The diagram of a room, and the section through a ceiling."""

from math import atan, cos, degrees, hypot

import pytest

from asfitted.drawing.drawing import Drawing
from asfitted.drawing.lettering import SIZES
from asfitted.drawing.profile import profile_of, slope_distance
from asfitted.drawing.section import ceiling_section
from asfitted.rules.finding import Mark
from tests.drawing.homes import block_for, draw, drawn, elements, finding, having, home_of, points


def lengths(what: str, name: str, part: str, **data: str) -> list[float]:
    """Measure lines of a drawing in metres."""
    drawing = draw(name, what, part)
    found = []
    for element in having(drawing, **data):
        if "d-tape" in (element.get("class") or "").split() or element.get("class") in ("d-dimension", "d-ridge"):
            (ax, ay), (bx, by) = points(element.get("d", ""))
            found.append(hypot(bx - ax, by - ay) * drawing.scale / 1000)
    return found


@pytest.mark.parametrize(
    ("name", "room", "tag", "side", "metres"),
    [
        ("terrace", "living", "SA2", "west", 1.10),
        ("terrace", "living", "SA2", "south", 1.95),
        ("terrace", "living", "GB1", "south", 2.00),
        ("terrace", "living", "OS1", "west", 3.60),
        ("bungalow", "living", "CO1", "south", 3.60),
        ("bungalow", "living", "SA1", "north", 2.00),
    ],
)
def test_tape_distance_is_drawn_as_recorded_and_to_scale(
    name: str, room: str, tag: str, side: str, metres: float
) -> None:
    (length,) = lengths("room", name, room, tape=tag, side=side)
    assert length == pytest.approx(metres, abs=0.002)
    kinds = ("d-figure d-tape-figure", "d-mark-figure")
    figures = [e.text for kind in kinds for e in having(draw(name, "room", room), class_=kind)]
    assert f"{metres:.2f}" in figures


def test_walls_of_a_walked_room_are_each_measured() -> None:
    drawing = draw("bungalow", "room", "living")
    figures = {e.text for e in having(drawing, class_="d-figure")}
    assert {"2.00", "0.85", "1.30", "2.01", "4.10", "3.20", "3.00", "3.31", "7.10"} <= figures


def test_heights_stand_with_the_tags() -> None:
    heights = [e.text for e in having(draw("terrace", "room", "living"), class_="d-height")]
    assert sorted(str(h) for h in heights) == ["h 2.00 m", "h 2.10 m", "h 2.40 m", "h 2.80 m"]


def test_neighbours_are_named_at_the_doors() -> None:
    names = {e.text for e in having(draw("terrace", "room", "hall"), class_="d-neighbour")}
    assert names == {"outside", "living room", "kitchen"}


def test_room_shows_no_device_of_another_room() -> None:
    tags = {e.text for e in having(draw("terrace", "room", "kitchen"), class_="d-tag")}
    assert tags == {"HA1", "CO1"}


def test_flat_ceiling_has_no_section() -> None:
    home, dwelling = home_of("terrace")
    assert ceiling_section(dwelling, "living", home, block_for(home, "living")) is None


@pytest.mark.parametrize(
    ("room", "tag", "run", "rise", "half"),
    [
        ("loft", "SA1", 0.80, 3.05 - 1.20, 1.70),
        ("loft", "SA2", 0.65, 3.05 - 1.20, 1.70),
        ("store", "CO1", 0.60, 1.90 - 0.90, 1.70),
    ],
)
def test_distance_down_the_slope_is_run_over_cosine_of_pitch(
    room: str, tag: str, run: float, rise: float, half: float
) -> None:
    _, dwelling = home_of("loft")
    profile = profile_of(dwelling.rooms[room])
    assert profile is not None
    # plane trigonometry: the hypotenuse is the run over the cosine of the slope, whose tangent is rise over run
    closed_form = run / cos(atan(rise / half))
    assert slope_distance(profile, dwelling.spots[tag]) == pytest.approx(closed_form, abs=1e-9)
    assert lengths("section", "loft", room, slope=tag) == pytest.approx([closed_form], abs=0.002)
    assert lengths("section", "loft", room, run=tag) == pytest.approx([run], abs=0.002)


def test_slope_distance_of_a_3_4_5_triangle() -> None:
    _, dwelling = home_of("loft")
    from asfitted.drawing.profile import Profile
    from asfitted.dwelling.ceilings import CeilingShape
    from asfitted.dwelling.shapes import Spot

    profile = Profile(CeilingShape(0.0, 3.0, (1.0, 0.0), 0.0, 8.0, ridged=True), 0.0, 8.0, 4.0)
    spot = Spot("upper", "loft", (0.0, 0.0), 0.0, "ceiling")
    assert slope_distance(profile, spot) == pytest.approx(5.0)
    assert profile.ceiling.pitch == pytest.approx(degrees(atan(0.75)))
    assert dwelling.rooms["loft"].ceiling.ridged


def test_alarm_height_in_the_section_is_to_scale() -> None:
    expected = 3.05 - 0.80 * (3.05 - 1.20) / 1.70
    assert lengths("section", "loft", "loft", height="SA1") == pytest.approx([expected], abs=0.002)


def test_section_says_heights_pitch_and_distances_in_words() -> None:
    said = draw("loft", "section", "loft").description
    assert "1.20 m at the low edge, 3.05 m at the ridge, pitch 47 degrees" in said
    assert "SA1 smoke alarm on the ceiling of the Loft bedroom" in said
    assert "1.18 m down the slope from the ridge" in said


def test_section_marks_the_clear_distance_and_where_to_move() -> None:
    drawing = draw("loft", "section", "loft")
    (circle,) = having(drawing, radius="1")
    assert float(circle.get("r", 0)) == pytest.approx(1000 / drawing.scale)
    assert having(drawing, class_="d-mark-head")


def test_ring_in_the_section_shows_only_below_the_ceiling() -> None:
    drawing = draw("loft", "section", "loft")
    (circle,) = having(drawing, radius="1")
    (window,) = [e for e in elements(drawing) if f"url(#{e.get('id')})" == circle.get("clip-path")]
    (ceiling,) = having(drawing, ceiling="underside")
    assert set(points(ceiling.get("d", ""))) <= set(points(window[0].get("d", "")))


def test_distance_that_a_tape_and_a_mark_share_has_one_figure() -> None:
    def figures(drawing: Drawing) -> list[str | None]:
        return [e.text for e in elements(drawing) if e.text == "1.10"]

    shared = finding("SA2", Mark(home_of("terrace")[1].spots["SA2"].point or (0.0, 0.0), (1.9, 1.95)))
    assert len(figures(drawn("terrace", "room", "living", ()))) == 1
    assert len(figures(drawn("terrace", "room", "living", (shared,)))) == 1


@pytest.mark.parametrize(("room", "door", "name"), [("hall", "living-door", "living room")])
def test_name_of_a_neighbour_stands_beyond_the_open_leaf(room: str, door: str, name: str) -> None:
    drawing = drawn("terrace", "room", room, ())
    (leaf,) = [e for e in having(drawing, opening=door) if e.get("class") == "d-leaf"]
    (words,) = [e for e in having(drawing, class_="d-neighbour") if e.text == name]
    tip = max(x for x, _ in points(leaf.get("d", "")))  # the door opens eastwards out of the hall
    # turned words reach three tenths and seven tenths of their size to either side of where they are put
    assert float(words.get("x", 0)) - 0.75 * SIZES["d-neighbour"] > tip
