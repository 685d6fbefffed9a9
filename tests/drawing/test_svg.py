"""What every drawing must be as a file and as an element of a page, whatever is on it."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfitted.drawing.canvas import Canvas, clean, num
from asfitted.drawing.drawing import stylesheet
from asfitted.drawing.lettering import SIZES
from asfitted.drawing.plan import storey_plan
from asfitted.drawing.room import room_diagram
from asfitted.dwelling.survey import survey
from tests.drawing.homes import block_for, draw, drawn, elements, every_part, home_of, lay_out, parsed

EVERY = list(every_part())
HOSTILE = "</svg><script>alert(1)</script>"


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_element_is_one_block_without_declaration_style_or_blank_line(name: str, what: str, part: str) -> None:
    inline = draw(name, what, part).inline
    assert inline.startswith("<svg ")
    assert inline.endswith("</svg>")
    assert "<style" not in inline
    assert all(line.strip() for line in inline.splitlines())


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_file_is_well_formed_and_carries_the_stylesheet_behind_title_and_description(
    name: str, what: str, part: str
) -> None:
    alone = draw(name, what, part).alone
    root = parsed(alone)
    assert alone.startswith("<?xml ")
    assert [child.tag.rpartition("}")[2] for child in root][:3] == ["title", "desc", "style"]
    assert "prefers-color-scheme: dark" in (root[2].text or "")


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_ids_are_unique_prefixed_and_every_reference_is_there(name: str, what: str, part: str) -> None:
    drawing = draw(name, what, part)
    ids = re.findall(r'\bid="([^"]+)"', drawing.svg)
    used = re.findall(r'(?:href="#|url\(#)([^")]+)', drawing.svg)
    assert len(ids) == len(set(ids))
    assert all(found.startswith(f"{drawing.name}-") for found in ids)
    assert set(used) <= set(ids)


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_title_and_description_are_the_first_children_and_name_the_picture(name: str, what: str, part: str) -> None:
    drawing = draw(name, what, part)
    root = parsed(drawing.svg)
    title, description = root[0], root[1]
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
    assert title.text == drawing.title
    assert description.text == drawing.description
    assert min(len(drawing.title), len(drawing.description)) > 20


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_sheet_is_in_millimetres_and_prints_on_a4(name: str, what: str, part: str) -> None:
    drawing = draw(name, what, part)
    root = parsed(drawing.svg)
    wide, high = drawing.width_mm, drawing.height_mm
    assert (root.get("width"), root.get("height")) == (f"{num(wide)}mm", f"{num(high)}mm")
    assert root.get("viewBox") == f"0 0 {num(wide)} {num(high)}"
    assert (wide <= 180 and high <= 257) or (wide <= 257 and high <= 180)


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_same_inputs_give_the_same_bytes(name: str, what: str, part: str) -> None:
    first = draw(name, what, part)
    home_of.cache_clear()
    assert drawn(name, what, part).alone == first.alone


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_coordinates_are_rounded_to_a_hundredth_of_a_millimetre(name: str, what: str, part: str) -> None:
    numbers = re.findall(
        r"\d+\.\d+", " ".join(re.findall(r' (?:d|x|y|cx|cy|r|transform)="([^"]*)"', draw(name, what, part).svg))
    )
    assert numbers
    assert all(len(number.partition(".")[2]) <= 2 for number in numbers)


@pytest.mark.parametrize(("name", "what", "part"), EVERY)
def test_every_class_is_in_the_stylesheet_and_no_colour_is_in_the_drawing(name: str, what: str, part: str) -> None:
    drawing = draw(name, what, part)
    known = set(re.findall(r"\.([a-z][a-z-]+)", stylesheet()))
    used = {kind for e in elements(drawing) for kind in e.get("class", "").split() if not kind.startswith("layer")}
    assert used <= known
    assert not re.search(r'(?:stroke|style)="|fill="(?!url)|#[0-9a-f]{3,6}\b(?=")', drawing.svg)


def test_type_sizes_for_fitting_text_are_those_of_the_stylesheet() -> None:
    css = stylesheet()
    for kind, size in SIZES.items():
        selector = re.escape("." + ".".join(kind.split()[-1:] if "tape" not in kind else ["d-figure"]))
        sizes = re.findall(selector + r"(?:\.[a-z-]+)? \{[^}]*font-size: ([\d.]+)px", css)
        assert str(size).removesuffix(".0") in [found.removesuffix(".0") for found in sizes] or "d-strong" in kind


def hostile_home(name: str) -> tuple[str, str]:
    """Draw a home whose label, reference, room and opening are named as given, as plan and as room."""
    home, _ = home_of("loft")
    rooms = tuple(room.model_copy(update={"name": name}) for room in home.storeys[1].rooms)
    upper = home.storeys[1].model_copy(update={"rooms": rooms, "name": name})
    facts = home.home.model_copy(update={"label": name, "reference": name})
    changed = home.model_copy(update={"storeys": (home.storeys[0], upper), "home": facts})
    dwelling, problems = survey(changed)
    assert dwelling is not None, problems
    block = block_for(changed, name)
    return storey_plan(dwelling, "upper", changed, block).alone, room_diagram(dwelling, "loft", changed, block).alone


def test_hostile_name_stays_text() -> None:
    for alone in hostile_home(HOSTILE):
        found = [e.tag.rpartition("}")[2] for e in parsed(alone).iter()]
        assert "script" not in found
        assert "<script" not in alone
        assert "&lt;script&gt;" in alone


@settings(max_examples=25)
@given(st.text(min_size=1, max_size=40))
def test_any_name_leaves_a_well_formed_drawing_without_control_characters(name: str) -> None:
    for alone in hostile_home(name):
        parsed(alone)
        assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", alone)


@given(st.text())
def test_clean_text_is_one_line(words: str) -> None:
    assert len(clean(words).splitlines()) <= 1


@pytest.mark.parametrize(("value", "written"), [(-0.001, "0"), (1.005e2, "100.5"), (2.0, "2"), (-3.456, "-3.46")])
def test_lengths_are_written_short(value: float, written: str) -> None:
    assert num(value) == written


def test_a_drawing_name_with_odd_characters_gives_plain_ids() -> None:
    canvas = Canvas('a"b c', 10, 10, "A title", "A description")
    assert 'id="a-b-c-title"' in canvas.svg()


def test_text_record_is_drawn_as_it_is_named() -> None:
    text = b"""
record: 1
home: {label: "A & B <c>"}
storeys:
  - id: ground
    height: 2.4
    rooms: [{id: hall, use: circulation, name: 'Hall & "way"', corner: [0, 0], size: [3, 3]}]
"""
    home, dwelling = lay_out(text)
    drawing = storey_plan(dwelling, "ground", home, block_for(home, "ground"))
    assert 'Hall &amp; "way"' in drawing.svg
    assert "A &amp; B &lt;c&gt;" in drawing.svg
