"""The plan with layers: each layer is there, where its own drawing has it, and the same whichever others are shown."""

import re
from functools import cache
from importlib.resources import files
from math import dist
from xml.etree import ElementTree as ET

import pytest

from asfitted.drawing.canvas import Link
from asfitted.drawing.drawing import Drawing, stylesheet
from asfitted.drawing.ground import Layer
from asfitted.drawing.layers import LayeredPlan, layered_plan
from asfitted.drawing.plan import storey_plan
from asfitted.drawing.sheet import Entry, entry_alone
from tests.drawing.homes import (
    FINDINGS,
    RECKONED,
    XY,
    block_for,
    elements,
    having,
    home_of,
    known_of,
    layers_of,
    moved_to,
    parsed,
    points,
)

STOREYS = [(name, storey.id) for name in RECKONED for storey in home_of(name)[1].storeys]
DATA = ("covered", "creeping", "left", "contour", "link", "way")
"""What marks the lines and areas of the layers that are reckoned."""
HOSTILE = '"><script>alert(1)</script>'
NARROWEST_ON_A_PAGE = 620
"""CSS px: the 31 rem of the stylesheet at a root size of 20 px."""


@cache
def layers(name: str, storey: str) -> dict[str, Layer]:
    return layers_of(known_of(name), storey)


def plan_of(name: str, storey: str, shown: dict[str, Layer], links: dict[str, Link] | None = None) -> LayeredPlan:
    home, dwelling = home_of(name)
    block = block_for(home, storey)
    return layered_plan(dwelling, storey, home, block, shown, findings=FINDINGS[name], links=links)


@cache
def plan(name: str, storey: str) -> LayeredPlan:
    """Give the plan of a storey with every layer, and a link to every device."""
    links = {tag: Link(f"devices.html#{tag.lower()}", f"{tag} {HOSTILE}") for tag in home_of(name)[0].devices}
    return plan_of(name, storey, layers(name, storey), links)


def parts(drawing: Drawing, layer: str) -> str:
    """Give the markup of all that belongs to a layer."""
    return "".join(ET.tostring(group, encoding="unicode") for group in having(drawing, layer=layer))


def in_metres(drawing: Drawing, path: str) -> list[XY]:
    """Turn path data into metres from the first corner of the walls."""
    x, y = points(having(drawing, class_="d-wall")[0].get("d", ""))[0]
    return [((px - x) * drawing.scale / 1000, (y - py) * drawing.scale / 1000) for px, py in points(path)]


def drawn(drawing: Drawing, within: list[ET.Element]) -> list[tuple[str, str, list[XY]]]:
    """Give what has one of the data attributes, its value, and its corners in metres."""
    return [
        (key, element.get(f"data-{key}", ""), in_metres(drawing, element.get("d", "")))
        for element in within
        for key in DATA
        if element.get(f"data-{key}") is not None
    ]


@pytest.mark.parametrize(("name", "storey"), STOREYS)
def test_every_layer_is_told_apart_on_the_drawing_and_in_the_legend(name: str, storey: str) -> None:
    made = plan(name, storey)
    marked = {e.get("data-layer") for e in elements(made.drawing)} - {None}
    findings = {"clearances"} if storey == "ground" and FINDINGS[name] else set()
    assert marked == {"structure", "devices", "dimensions", *findings, *layers(name, storey)}
    assert set(made.legend) == marked
    for layer in marked - {"dimensions"}:
        assert made.legend[str(layer)], layer
    assert not [e for e in elements(made.drawing) if e.get("data-legend")]


@pytest.mark.parametrize(("name", "storey"), STOREYS)
def test_what_a_layer_draws_lies_where_the_drawing_of_its_own_has_it(name: str, storey: str) -> None:
    home, dwelling = home_of(name)
    made, compared = plan(name, storey).drawing, 0
    for key, layer in layers(name, storey).items():
        single = layer.alone(dwelling, storey, home, block_for(home, storey))
        on_plan = [e for group in having(made, layer=key) for e in group.iter()]
        for (kind, of, here), (other_kind, other, there) in zip(
            drawn(made, on_plan), drawn(single, elements(single)), strict=True
        ):
            assert (kind, of, len(here)) == (other_kind, other, len(there))
            # both are rounded to 0.01 mm of paper, at 1:100 or larger
            assert all(dist(a, b) < 0.004 for a, b in zip(here, there, strict=True)), (key, kind, of)
            compared += len(here)
    assert compared > 20


@pytest.mark.parametrize(("name", "storey"), STOREYS)
def test_devices_stand_where_the_plain_plan_has_them(name: str, storey: str) -> None:
    home, dwelling = home_of(name)
    single, made = storey_plan(dwelling, storey, home, block_for(home, storey)), plan(name, storey).drawing
    places = []
    for drawing in (single, made):
        x, y = points(having(drawing, class_="d-wall")[0].get("d", ""))[0]
        symbols = [e for e in elements(drawing) if e.tag == "use" and e.get("data-tag")]
        scale = drawing.scale / 1000
        places.append(
            {
                e.get("data-tag"): tuple((a - b) * scale for a, b in zip(moved_to(e), (x, y), strict=True))
                for e in symbols
            }
        )
    assert places[0].keys() == places[1].keys()
    assert len(places[0]) > 2
    for tag, place in places[0].items():
        assert place == pytest.approx(places[1][tag], abs=0.004), tag


@pytest.mark.parametrize("hidden", ["coverage", "alarms", "radio", "sound"])
def test_a_layer_is_drawn_the_same_whichever_others_there_are(hidden: str) -> None:
    every = layers("bungalow", "ground")
    assert set(every) == {"coverage", "alarms", "radio", "sound", "ways-out"}
    whole = plan_of("bungalow", "ground", every).drawing
    less = plan_of("bungalow", "ground", {key: layer for key, layer in every.items() if key != hidden}).drawing
    assert parts(whole, hidden)
    assert not parts(less, hidden)
    for layer in ("structure", "devices", "dimensions", *(key for key in every if key != hidden)):
        assert parts(less, layer) == parts(whole, layer), layer


def test_two_facts_of_a_room_can_be_read_together() -> None:
    made = plan("bungalow", "ground").drawing
    places = {
        layer: [
            (float(e.get("x", "0")), float(e.get("y", "0")))
            for group in having(made, layer=layer)
            for e in group.iter()
            if e.get("class") == "d-facts" and re.search(r"seen|up to", e.text or "")
        ]
        for layer in ("coverage", "alarms")
    }
    assert len(places["coverage"]) == 2
    assert len(places["alarms"]) >= 3
    assert all(dist(a, b) > 2.35 for a in places["coverage"] for b in places["alarms"])


@pytest.mark.parametrize(("name", "storey"), STOREYS)
def test_every_device_with_a_point_leads_to_its_card_from_an_area_that_a_finger_hits(name: str, storey: str) -> None:
    drawing, (_, dwelling) = plan(name, storey).drawing, home_of(name)
    placed = {tag for tag, spot in dwelling.spots.items() if spot.storey == storey and spot.point}
    links = [e for e in elements(drawing) if e.tag == "a"]
    assert {e.get("href") for e in links} == {f"devices.html#{tag.lower()}" for tag in placed}
    for link in links:
        (symbol,) = [e for e in link if e.tag == "use"]
        tag = symbol.get("data-tag")
        assert link.get("aria-label") == f"{tag} {HOSTILE}"
        assert tag in [e.text for e in link if e.tag == "text"]
        (touched,) = [e for e in link if e.get("class") == "d-touch"]
        across = 2 * float(touched.get("r", "0")) * NARROWEST_ON_A_PAGE / drawing.width_mm
        assert across >= 24  # CSS px; WCAG 2.2, success criterion 2.5.8
    assert "<script" not in drawing.svg


def test_a_plan_with_links_is_a_group_with_a_name_and_one_without_is_a_picture() -> None:
    with_links = parsed(plan("terrace", "ground").drawing.svg)
    without = plan_of("terrace", "ground", {}).drawing
    assert with_links.get("role") == "group"
    assert with_links.get("aria-labelledby") == "layers-ground-title"
    assert with_links.get("aria-describedby") == "layers-ground-desc"
    assert parsed(without.svg).get("role") == "img"
    assert not [e for e in elements(without) if e.tag == "a"]
    assert "<a " not in without.alone


@pytest.mark.parametrize(("name", "storey"), STOREYS)
def test_every_class_of_the_plan_is_in_a_stylesheet_and_its_ids_are_its_own(name: str, storey: str) -> None:
    drawing = plan(name, storey).drawing
    page = (files("asfitted.pages") / "assets" / "layers.css").read_text(encoding="utf-8")
    known = set(re.findall(r"\.([a-z][a-z-]+)", stylesheet() + page))
    used = {kind for e in elements(drawing) for kind in e.get("class", "").split()}
    assert {kind for kind in used if not kind.startswith(("layer", "part-"))} <= known
    ids = re.findall(r'\bid="([^"]+)"', drawing.svg)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'(?:xlink:href="#|url\(#)([^")]+)', drawing.svg)) <= set(ids)
    assert all(line.strip() for line in drawing.svg.splitlines())


@pytest.mark.parametrize("kind", ["smoke alarm", "motion detector", "bed", "weak link", "creeping", "ring", "ear"])
def test_a_sample_beside_its_words_is_hidden_from_those_who_listen(kind: str) -> None:
    root = parsed(entry_alone("key-1", Entry(kind, "words")))
    assert root.get("aria-hidden") == "true"
    assert root.get("role") is None
    assert not [e for e in root.iter() if e.tag.endswith(("title", "desc"))]
    assert len(list(root)) > 1
