"""Plans with layers in a real browser: switched by mouse and keyboard, with scripts and without, tapped, printed."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from asfitted.pages.household import household_tree
from asfitted.pages.layers import CALLED, device_links, layered_plans
from tests.pages.browser import DESK, PHONE, browsing, needs_chromium
from tests.pages.homes import FIRM, RECORD, dossier, home, hostile_home
from tests.pages.office_site import build, demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

LOOKS = (
    RECORD.replace("height: 210 cm}", "height: 210 cm, field: 90 deg, range: 12}")
    .replace(
        "  - id: first",
        "    stairs:\n      - {id: stairs, in: hall, to: bedroom, from-north: 0.10, from-west: 0, size: [0.85, 2.60], up: north}\n  - id: first",
    )
    .replace(
        "devices:", "    fittings:\n      - {bed: bedroom, wall: south, from-west: 3.00, size: [1.60, 2.00]}\ndevices:"
    )
)
"""The home of the other tests, with what its motion detector sees and a bed to get out of."""
HOME = demo()[0].id


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(household_tree(dossier(home(LOOKS)), FIRM), tmp_path_factory.mktemp("layers"))


@contextmanager
def opened(browser: "Browser", file: Path, size: dict[str, int], **more: Any) -> "Iterator[Page]":
    with browsing(browser, size, **more) as context:
        page = context.new_page()
        page.goto(file.as_uri())
        yield page


def seen(page: "Page", layer: str) -> int:
    """Count what shows of a layer, on the plans and in the key."""
    return page.locator(f'[data-layer="{layer}"]').locator("visible=true").count()


def switch(page: "Page", layer: str) -> Any:
    return page.locator(f'.plans input[value="{layer}"]')


@needs_chromium
@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without scripts"])
def test_a_layer_shows_on_every_storey_and_in_the_key_when_its_box_is_ticked(
    site: Path,
    chromium: "Browser",
    scripts: bool,  # noqa: FBT001 - a case
) -> None:
    with opened(chromium, site / "index.html", PHONE, java_script_enabled=scripts) as page:
        assert seen(page, "structure") > 2
        assert seen(page, "devices") > 2
        assert seen(page, "coverage") == seen(page, "ways-out") == 0
        page.locator(".plans label", has_text="What motion detectors see").click()
        assert seen(page, "coverage") > 1
        assert page.locator(".plans__key").get_by_text("floor not seen").is_visible()
        switch(page, "devices").focus()
        page.keyboard.press("Space")
        assert seen(page, "devices") == 0
        page.keyboard.press("Tab")
        page.keyboard.press("Space")  # ways out, on
        page.keyboard.press("Tab")
        page.keyboard.press("Space")  # what motion detectors see, off again
        assert seen(page, "coverage") == 0
        with_way = [
            svg
            for svg in page.locator(".plans svg.drawing[role=group]").all()
            if svg.locator('[data-layer="ways-out"] path >> visible=true').count()
        ]
        assert len(with_way) == 2
        assert page.locator(".plans__key").get_by_text("yours to make").is_visible()


@needs_chromium
def test_the_box_that_the_keyboard_is_at_has_a_ring_and_so_has_a_device(site: Path, chromium: "Browser") -> None:
    with opened(chromium, site / "index.html", PHONE) as page:
        switch(page, "devices").focus()
        page.keyboard.press("Tab")
        ring = "getComputedStyle(document.activeElement.closest('label')).outlineStyle"
        assert page.evaluate(ring) == "solid"
        link = page.locator("a.d-tap").first
        touch = "getComputedStyle(document.querySelector('a.d-tap .d-touch')).stroke"
        before = page.evaluate(touch)
        page.locator(".drawing-frame").first.focus()
        page.keyboard.press("Tab")
        assert link.evaluate("link => link === document.activeElement")
        assert page.evaluate(touch) != before == "none"
        page.keyboard.press("Enter")
        page.wait_for_url("**/devices.html#sa1")


@needs_chromium
def test_tapping_a_device_leads_to_its_card(site: Path, chromium: "Browser") -> None:
    with opened(chromium, site / "index.html", PHONE, has_touch=True) as page:
        for tag in ("SA2", "OS1"):
            page.goto((site / "index.html").as_uri())
            page.locator(f'a.d-tap[href="devices.html#{tag.lower()}"] .d-touch').tap()
            page.wait_for_url(f"**/devices.html#{tag.lower()}")
            heading = page.locator(f"#{tag.lower()}")
            assert tag in heading.inner_text()
            box = heading.bounding_box()
            assert box is not None
            assert 0 <= box["y"] < PHONE["height"]


@needs_chromium
def test_boxes_and_devices_are_large_enough_for_a_finger(site: Path, chromium: "Browser") -> None:
    size = "all => all.map(one => { const box = one.getBoundingClientRect(); return Math.min(box.width, box.height) })"
    for screen, least in ((PHONE, 44), (DESK, 24)):
        with opened(chromium, site / "index.html", screen) as page:
            boxes = page.locator(".plans .switch").evaluate_all(size)
            touched = page.locator(".plans .d-touch").evaluate_all(size)
            assert len(boxes) == 3
            assert len(touched) == 7
            assert min(boxes) >= least
            assert min(touched) >= 24  # WCAG 2.2, success criterion 2.5.8
            assert page.evaluate("document.documentElement.scrollWidth") <= screen["width"]


@needs_chromium
def test_paper_shows_what_is_switched_on_and_no_boxes(site: Path, chromium: "Browser") -> None:
    with opened(chromium, site / "index.html", DESK) as page:
        switch(page, "ways-out").check()
        page.emulate_media(media="print")
        assert seen(page, "ways-out") > 2
        assert seen(page, "devices") > 2
        assert seen(page, "coverage") == 0
        assert page.locator(".plans__switches").is_hidden()


@needs_chromium
def test_the_office_plan_shows_what_falls_short_at_once_and_leads_to_the_rooms_page(
    demo_site: Path, chromium: "Browser"
) -> None:
    with opened(chromium, demo_site / "homes" / HOME / "index.html", DESK) as page:
        offered = page.locator(".plans input").evaluate_all("all => all.map(one => one.value)")
        assert {"devices", "dimensions", "coverage", "alarm-field", "radio", "sound", "ways-out"} <= set(offered)
        for layer in offered:
            ticked = layer in ("devices", "clearances", "dimensions")
            assert switch(page, layer).is_checked() == ticked
            assert (seen(page, layer) > 0) == ticked, layer
        link = page.locator("a.d-tap").first
        address = link.get_attribute("href") or ""
        link.focus()
        page.keyboard.press("Enter")
        page.wait_for_url(f"**/{address}")
        assert page.locator(f"#{address.partition('#')[2]}").is_visible()


def test_the_stylesheet_knows_every_layer_that_can_be_switched() -> None:
    css = (files("asfitted.pages") / "assets" / "layers.css").read_text(encoding="utf-8")
    pairs = re.findall(r':has\(input\[value="([a-z-]+)"\]:not\(:checked\)\) \[data-layer="([a-z-]+)"\]', css)
    assert [one for one, _ in pairs] == [other for _, other in pairs]
    assert {"structure", *(one for one, _ in pairs)} == set(CALLED)


def test_a_link_says_tag_kind_and_room_and_every_one_has_its_card() -> None:
    tree = household_tree(dossier(home(LOOKS)), FIRM)
    index, cards = tree["docs/index.md"], tree["docs/devices.md"]
    assert isinstance(index, str)
    assert isinstance(cards, str)
    made = dossier(home(LOOKS))
    links = device_links(made.home, made.dwelling, "devices.html")
    assert links["SA1"].words == "SA1 smoke alarm, living room"
    assert links["OS1"].words == "OS1 outdoor sounder, outside"
    assert len(links) == 7
    for tag, link in links.items():
        assert f'href="{link.address}"' in index
        assert f"{{: #{tag.lower()} " in cards


def test_a_home_has_only_the_layers_that_it_has_something_for() -> None:
    blind = "\n".join(line for line in RECORD.splitlines() if "MD1" not in line)
    bare, full = dossier(home(blind)), dossier(home(LOOKS))
    without = [layer.id for layer in layered_plans(bare, "devices.html").layers]
    assert without[:2] == ["devices", "dimensions"]
    assert not {"structure", "coverage", "ways-out"} & set(without)
    shown = {layer.id: layer for layer in layered_plans(full, "devices.html", ("coverage", "ways-out")).layers}
    assert list(shown) == ["structure", "devices", "ways-out", "dimensions", "coverage"]
    assert [layer.id for layer in shown.values() if not layer.switched] == ["structure"]
    words = [line.words for line in shown["devices"].key]
    assert len(words) == len(set(words)) == 6  # two smoke alarms on two storeys share a line


def test_hostile_words_stay_words_in_the_key_and_on_the_plan() -> None:
    index = household_tree(dossier(hostile_home()), FIRM)["docs/index.md"]
    assert isinstance(index, str)
    assert "<script" not in index
    assert "onerror=alert(2)>" not in index
