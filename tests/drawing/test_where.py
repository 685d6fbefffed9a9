"""Where a device may go, as drawn: the layer on the diagram of a room, and the elevation of a wall."""

from math import hypot

import pytest
from shapely import Polygon

from asfitted.drawing.canvas import View
from asfitted.drawing.drawing import Drawing
from asfitted.drawing.wall import devices_on, wall_elevation
from asfitted.drawing.zones import best_of
from asfitted.rules.placing import STRIP, Zone
from tests.drawing.homes import KIND, block_for, draw, drawn, elements, having, home_of, parsed, points, zones_of

ROOMS = [(name, room) for name in ("terrace", "bungalow", "loft") for room in home_of(name)[1].rooms]
WALLS = [("loft", f"{wall.room}.{wall.name}") for wall in home_of("loft")[1].rooms["loft"].walls]


def drawn_area(drawing: Drawing, kind: str) -> float:
    """Measure what paths of a class enclose, in square metres; legend samples are left out."""
    total = 0.0
    for element in having(drawing, class_=kind):
        if element.get("data-legend") is None:
            rings = [points(ring) for ring in (element.get("d") or "").split("Z") if ring]
            outer = [Polygon(ring) for ring in rings]
            total += sum(a.area * (-1 if any(b.contains(a) for b in outer if b is not a) else 1) for a in outer)
    return total * (drawing.scale / 1000) ** 2


@pytest.mark.parametrize(("name", "room"), ROOMS)
def test_the_zone_of_the_ceiling_is_drawn_to_scale(name: str, room: str) -> None:
    ceiling = zones_of(name, room)[0]
    assert drawn_area(draw(name, "where", room), "d-zone") == pytest.approx(ceiling.shape.area, abs=0.01)


@pytest.mark.parametrize(("name", "part"), WALLS)
def test_the_zone_of_a_wall_is_drawn_to_scale_on_its_elevation(name: str, part: str) -> None:
    (zone,) = zones_of(name, part)
    assert drawn_area(draw(name, "wall", part), "d-zone") == pytest.approx(zone.shape.area, abs=0.01)


@pytest.mark.parametrize(("name", "room"), ROOMS)
def test_a_strip_along_each_wall_shows_where_it_serves_and_between_which_heights(name: str, room: str) -> None:
    drawing, walls = draw(name, "where", room), zones_of(name, room)[1:]
    metres = sum(stretch.length for zone in walls for stretch in zone.stretches)
    assert drawn_area(drawing, "d-zone-strip") == pytest.approx(metres * STRIP, abs=0.02 * max(1.0, metres))
    words = {e.text for e in having(drawing, class_="d-zone-figure")}
    single = {
        f"h {s.heights[0][0]:.2f} to {s.heights[0][1]:.2f}" for z in walls for s in z.stretches if len(s.heights) == 1
    }
    assert single <= words


def best(zones: list[Zone]) -> tuple[float, ...]:
    """Give the figures of the best place as they stand on the drawing."""
    place = best_of(zones)
    assert place is not None
    return tuple(metres for _, metres in place.tapes)


@pytest.mark.parametrize(("name", "room"), ROOMS)
def test_the_best_place_is_marked_with_its_distances_drawn_to_scale(name: str, room: str) -> None:
    drawing, zones = draw(name, "where", room), zones_of(name, room)
    figures = {e.text for e in having(drawing, class_="d-zone-figure")}
    lines = [points(e.get("d") or "") for e in having(drawing, class_="d-best-line")]
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) * drawing.scale / 1000 for a, b, *_ in lines]
    for metres in best(zones):
        assert f"{metres:.2f}" in figures
        assert any(length == pytest.approx(metres, abs=0.002) for length in lengths)


@pytest.mark.parametrize(("name", "room"), ROOMS)
def test_every_rule_in_the_legend_has_its_number_on_the_drawing_and_the_other_way_round(name: str, room: str) -> None:
    numbers = [e.text for e in having(draw(name, "where", room), class_="d-ban-number")]
    assert all(numbers.count(number) == 2 for number in numbers)
    assert {int(number or 0) for number in numbers} == set(range(1, len(set(numbers)) + 1))


@pytest.mark.parametrize(("name", "room"), ROOMS)
def test_the_description_says_for_each_surface_what_the_drawing_shows(name: str, room: str) -> None:
    drawing, zones = draw(name, "where", room), zones_of(name, room)
    for zone in zones:
        said = zone.surface.called[:1].upper() + zone.surface.called[1:]
        assert f"{said}: " in drawing.description
    assert "The rules that bear on it: " in drawing.description
    assert any("0.02 m to spare" in (e.text or "") for e in elements(drawing))


def test_without_zones_nothing_of_the_layer_is_drawn() -> None:
    kinds = {e.get("class") for e in elements(drawn("terrace", "room", "living", ()))}
    assert not {kind for kind in kinds if kind and kind.startswith(("d-zone", "d-ban", "d-best"))}


def test_a_wall_is_seen_from_inside_so_that_north_of_an_east_wall_is_on_the_left() -> None:
    home, dwelling = home_of("terrace")
    for wall, left in (("east", "north"), ("west", "south"), ("north", "west"), ("south", "east")):
        (zone,) = zones_of("terrace", f"hall.{wall}")
        drawing = wall_elevation(dwelling, home, block_for(home, wall), zone, KIND)
        ends = [e for e in having(drawing, class_="d-word") if (e.text or "").endswith(" end")]
        assert min(ends, key=lambda e: float(e.get("x") or 0)).text == f"{left} end"


@pytest.mark.parametrize(("name", "part"), WALLS)
def test_an_elevation_gives_the_length_and_the_heights_at_both_ends(name: str, part: str) -> None:
    (zone,) = zones_of(name, part)
    wall, ceiling = zone.surface.wall, zone.surface.room.ceiling
    assert wall is not None
    figures = [e.text for e in having(draw(name, "wall", part), class_="d-figure")]
    assert f"{wall.length:.2f}" in figures
    assert {f"{ceiling.height_at(*end):.2f}" for end in (wall.a, wall.b)} <= set(figures)


def test_openings_stand_on_the_elevation_at_their_size() -> None:
    home, dwelling = home_of("terrace")
    seen = 0
    for wall in dwelling.rooms["living"].walls:
        (zone,) = zones_of("terrace", f"living.{wall.name}")
        drawing = wall_elevation(dwelling, home, block_for(home, "w"), zone, KIND)
        view = View(drawing.scale, 0.0, 0.0)
        for opening in zone.surface.openings:
            (hole,) = having(drawing, opening=opening)
            xs, ys = zip(*points(hole.get("d") or ""), strict=True)
            placed = dwelling.openings[opening]
            assert max(xs) - min(xs) == pytest.approx(view.length(placed.opening.width), abs=0.03)
            assert max(ys) - min(ys) == pytest.approx(view.length(placed.height), abs=0.03)
            seen += 1
    assert seen >= 2


def test_devices_on_a_wall_stand_at_their_height() -> None:
    home, dwelling = home_of("terrace")
    shown: dict[str, float | None] = {}
    for wall in dwelling.rooms["hall"].walls:
        (zone,) = zones_of("terrace", f"hall.{wall.name}")
        drawing = wall_elevation(dwelling, home, block_for(home, "w"), zone, KIND)
        tags = {e.get("data-tag") for e in having(drawing, class_="d-tag")}
        assert tags == set(devices_on(dwelling, home, wall))
        shown |= {str(tag): dwelling.spots[str(tag)].z for tag in tags}
        assert {f"h {dwelling.spots[str(tag)].z:.2f} m" for tag in tags} == {
            e.text for e in having(drawing, class_="d-height")
        }
    assert shown


def test_a_wall_without_a_place_says_so_and_why() -> None:
    drawing = draw("loft", "wall", "loft.south")
    notes = " ".join(e.text or "" for e in having(drawing, class_="d-note"))
    assert "No place for a smoke alarm" in notes
    assert "“height on a wall” (1.50 m to 2.20 m) cannot be met" in notes


def test_a_ceiling_has_no_elevation() -> None:
    home, dwelling = home_of("terrace")
    with pytest.raises(ValueError, match="no elevation"):
        wall_elevation(dwelling, home, block_for(home, "w"), zones_of("terrace", "hall")[0], KIND)


def test_title_and_description_of_an_elevation_are_in_the_file() -> None:
    drawing = draw("loft", "wall", "loft.south")
    root = parsed(drawing.svg)
    assert "seen from inside" in (root[1].text or "")
    assert root[0].text == drawing.title
