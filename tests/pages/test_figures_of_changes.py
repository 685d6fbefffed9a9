"""Changes of a home's history as drawings: each kind that has a place on the plan is shown on its storey."""

import pytest

from asfitted.history.compare_home import compare_home
from asfitted.pages.figures import Figure
from asfitted.pages.figures_of_changes import shift_figures
from tests.history.homes import side, text

PLAIN = text()
CASES = {
    "device moved": ("from-west: 1.00, from-south: 1.50", "from-west: 1.20, from-south: 1.50", "SA1", "moved"),
    "device hung lower": ("height: 2.10, facing", "height: 1.90, facing", "MD1", "higher"),
    "device re-aimed": ("315 deg", "300 deg", "MD1", "re-aimed"),
    "device replaced": ("S-001", "S-009", "IS1", "replaced"),
    "window moved": ("window, from-west: 1.00", "window, from-west: 1.40", "window", "moved"),
    "light moved": ("light: hall, from-west: 1.00", "light: hall, from-west: 0.60", "light", "moved"),
    "dresser moved": ("wall: north, from-west: 0.50", "wall: north, from-west: 1.50", "tall furniture", "moved"),
    "stairs moved": ("from-north: 1.00", "from-north: 0.40", "stairs", "moved"),
}


def figures(old: str, new: str) -> list[Figure]:
    before, after = side(old), side(new)
    return shift_figures(
        before, after, compare_home(before, after).changes, "a1b2c3d to e4f5a6b", name="since", up="../"
    )


@pytest.mark.parametrize("case", CASES)
def test_a_change_is_shown_on_its_storey_with_its_mark_and_sentence(case: str) -> None:
    today, other, tag, shift = CASES[case]
    assert PLAIN.count(today) == 1
    changed = PLAIN.replace(today, other)
    (figure,) = figures(PLAIN, changed)
    assert figure.file == "../drawings/since-ground.svg"
    assert f'data-shift="{shift}" data-tag="{tag}"' in figure.drawing.svg
    says = [change.says for change in compare_home(side(PLAIN), side(changed)).changes]
    assert all(" ".join(sentence.split()) in figure.drawing.description for sentence in says)


def test_what_is_added_one_way_is_removed_the_other_way() -> None:
    line = next(line for line in PLAIN.splitlines(keepends=True) if line.startswith("  MD1:"))
    less = PLAIN.replace(line, "")
    (gone,), (come,) = figures(PLAIN, less), figures(less, PLAIN)
    assert 'data-shift="removed" data-tag="MD1"' in gone.drawing.svg
    assert 'data-shift="added" data-tag="MD1"' in come.drawing.svg


def test_a_device_moved_upstairs_is_on_both_storeys() -> None:
    drawn = figures(PLAIN, PLAIN.replace("ceiling of living", "ceiling of bedroom"))
    marks = {figure.drawing.name: figure.drawing.svg for figure in drawn}
    assert 'data-shift="removed" data-tag="SA2"' in marks["since-ground"]
    assert 'data-shift="added" data-tag="SA2"' in marks["since-first"]


def test_a_storey_that_is_gone_is_drawn_as_it_was() -> None:
    loft = "  - {id: loft, height: 2.20, rooms: [{id: loft-room, use: store, corner: [0, 0], size: [3.00, 3.00]}]}\n"
    alarm = "  SA9: {kind: smoke alarm, on: ceiling of loft-room, from-west: 1.00, from-south: 1.00}\n"
    more = PLAIN.replace("devices:\n", f"{loft}devices:\n{alarm}")
    (figure,) = figures(more, PLAIN)
    assert figure.drawing.name == "since-loft"
    assert 'data-shift="removed" data-tag="SA9"' in figure.drawing.svg


def test_a_change_without_a_place_has_no_drawing() -> None:
    assert figures(PLAIN, PLAIN.replace("cut-off: 10 min", "cut-off: 15 min")) == []
