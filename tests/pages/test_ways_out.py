"""The page on ways out: distances, keys and windows in plain words, and the caution that the plan is theirs to make."""

from typing import get_args

import pytest

from asfitted.pages.figures import PICTURES, figures_of
from asfitted.pages.household import household_tree
from asfitted.pages.views.ways_out import escape_view
from asfitted.reckon.sums import Topic
from tests.pages.homes import FIRM, RECORD, dossier, home

SLEPT_IN = (
    RECORD.replace(
        "    openings:\n",
        "    stairs:\n      - {id: stairs, in: hall, to: bedroom, from-north: 0.10, from-west: 0.0, size: [0.85, 2.60], up: north}\n    openings:\n",
        1,
    )
    .replace("storeys:", "household: {sleepers: {bedroom: 2}}\nstoreys:")
    .replace("leaf: steel,", "leaf: steel, key-needed: yes, name: front <b>door</b>,")
)
BACK = SLEPT_IN.replace(
    "      - {door: hall - living",
    "      - {door: living north, id: back, name: back door, from-west: 1.00, width: 0.90, to: outside}\n      - {door: hall - living",
)
WINDOW = "    openings:\n      - {window: bedroom east, id: bw, name: bedroom window, from-south: 1.2, width: 0.9, height: 1.1, sill: 0.9}\ndevices:"


def page(record: str) -> str:
    written = household_tree(dossier(home(record)), FIRM)["docs/ways-out.md"]
    assert isinstance(written, str)
    return written


def test_home_where_nobody_is_known_to_sleep_has_no_such_page() -> None:
    tree = household_tree(dossier(home()), FIRM)
    assert "docs/ways-out.md" not in tree
    assert "ways-out.md" not in str(tree["mkdocs.yml"]) + str(tree["docs/sounds.md"])


def test_page_says_how_far_it_is_from_each_bed_and_is_linked_from_what_to_do_when_it_sounds() -> None:
    given = dossier(home(BACK))
    (bed,) = escape_view(given).beds
    assert [(way.door, way.far) for way in bed.ways] == [
        (given.dwelling.openings[way.exit].opening.called, f"{way.walk.length:.0f} m") for way in given.reckoned.ways
    ]
    written = page(BACK)
    assert all(f"<b>{way.far}</b>" in written for way in bed.ways)
    tree = household_tree(given, FIRM)
    assert "ways-out.md" in str(tree["docs/sounds.md"])
    assert "ways-out.md" in str(tree["mkdocs.yml"])


def test_page_says_whose_plan_it_is_and_tells_to_practise() -> None:
    written = page(SLEPT_IN)
    assert "This plan is yours to make" in written
    assert "practise it with everybody who sleeps here" in written
    assert "What your fire service says of your home comes first." in written


def test_door_that_needs_a_key_is_named_and_what_a_record_says_is_escaped() -> None:
    written = page(SLEPT_IN)
    assert "Doors that need a key from inside" in written
    assert "<b>door</b>" not in written
    assert "<b>9 m</b>, needs a key" in written


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        (SLEPT_IN, "No window that is known to serve."),
        (SLEPT_IN.replace("devices:", WINDOW, 1), "Bedroom window may serve"),
        (SLEPT_IN.replace("devices:", WINDOW.replace("height: 1.1, ", ""), 1), "Bedroom window still to be measured"),
        (SLEPT_IN.replace("devices:", WINDOW.replace("sill: 0.9", "sill: 1.3"), 1), "No window that is known to serve"),
    ],
)
def test_windows_that_may_serve_are_told_from_those_that_do_not(changed: str, says: str) -> None:
    assert says in page(changed)


def test_each_drawing_of_the_page_is_a_file_of_its_own() -> None:
    given = dossier(home(SLEPT_IN))
    figures, tree = figures_of("ways-out", given, up=""), household_tree(given, FIRM)
    assert [figure.drawing.name for figure in figures] == ["ways-out-ground", "ways-out-first"]
    for figure in figures:
        assert tree[f"docs/{figure.file}"] == figure.drawing.alone
        assert f'href="{figure.file}"' in page(SLEPT_IN)


def test_only_topics_have_pictures_and_power_has_none() -> None:
    assert set(PICTURES) == set(get_args(Topic)) - {"power"}
    assert figures_of("power", dossier(home())) == []


@pytest.mark.parametrize("topic", sorted(PICTURES))
def test_pictures_of_a_topic_are_named_apart_and_lead_to_their_files(topic: Topic) -> None:
    figures = figures_of(topic, dossier(home(BACK)))
    names = [figure.drawing.name for figure in figures]
    assert len(set(names)) == len(names)
    assert [figure.file for figure in figures] == [f"../drawings/{name}.svg" for name in names]
    assert all(figure.caption and figure.caption != figure.drawing.title for figure in figures)
