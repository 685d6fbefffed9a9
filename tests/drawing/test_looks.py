"""Drawings measured as a browser lays them out: nothing written covers anything else written, or another device."""

import shutil
from collections.abc import Iterator
from typing import Any

import pytest

from tests.drawing.homes import draw, every_part

MEASURE = """
() => {
  const box = e => { const r = e.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom] };
  const inkOf = e => {  // a line of letters fills about the middle three fifths of its box; upright lines lie on their side
    const [l, t, r, b] = box(e), trim = Math.min(r - l, b - t) * 0.2;
    return b - t > r - l ? [l + trim, t, r - trim, b] : [l, t + trim, r, b - trim];
  };
  const sheet = box(document.documentElement);
  const all = query => [...document.querySelectorAll(query)];
  return {
    sheet,
    tags: all("text.d-tag").map(e => [e.textContent, ...inkOf(e)]),
    symbols: all(".layer-devices use").map(e => [e.dataset.tag, ...box(e)]),
    texts: all("text").map(e => [e.textContent, ...inkOf(e)]),
    paper: getComputedStyle(document.querySelector(".d-paper")).fill,
  };
}
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium")
    with sync_playwright() as playwright:
        try:
            started = playwright.chromium.launch(
                executable_path=chromium, args=["--no-sandbox", "--disable-background-networking"]
            )
        except Exception as reason:  # noqa: BLE001 - whatever keeps a browser from starting
            pytest.skip(f"no Chromium: {reason}")
        yield started
        started.close()


@pytest.fixture(scope="module")
def sheet(browser: Any) -> Any:
    """Give the one page that every drawing is opened in: each is a document of its own, and a new page takes longer."""
    return browser.new_page(viewport={"width": 1100, "height": 1100})


def shared(one: list[Any], other: list[Any]) -> float:
    """Give the area that two measured boxes share, in square pixels."""
    wide = min(one[3], other[3]) - max(one[1], other[1])
    high = min(one[4], other[4]) - max(one[2], other[2])
    return float(max(wide, 0.0) * max(high, 0.0))


@pytest.mark.browser
@pytest.mark.parametrize(("name", "what", "part"), list(every_part()))
def test_no_text_covers_another_no_tag_covers_another_device_and_nothing_leaves_the_sheet(
    sheet: Any, tmp_path: Any, name: str, what: str, part: str
) -> None:
    file = tmp_path / "drawing.svg"
    file.write_text(draw(name, what, part).alone, encoding="utf-8")
    sheet.goto(file.as_uri())
    seen = sheet.evaluate(MEASURE)
    tags, symbols, texts = seen["tags"], seen["symbols"], seen["texts"]
    assert not [(a[0], b[0]) for i, a in enumerate(texts) for b in texts[i + 1 :] if shared(a, b) > 1.5]
    assert not [(a[0], b[0]) for a in tags for b in symbols if a[0] != b[0] and shared(a, b) > 1.0]
    right, bottom = seen["sheet"][2:]
    outside = [t for t in texts if t[1] < -1 or t[2] < -1 or t[3] > right + 1 or t[4] > bottom + 1]
    assert not outside


@pytest.mark.browser
@pytest.mark.parametrize(
    ("scheme", "media", "paper"),
    [
        ("light", "screen", "rgb(255, 255, 255)"),
        ("dark", "screen", "rgb(26, 30, 35)"),
        ("dark", "print", "rgb(255, 255, 255)"),
    ],
)
def test_file_follows_the_system_on_screen_and_is_white_in_print(
    browser: Any, tmp_path: Any, scheme: str, media: str, paper: str
) -> None:
    file = tmp_path / "drawing.svg"
    file.write_text(draw("loft", "section", "loft").alone, encoding="utf-8")
    page = browser.new_page(color_scheme=scheme)
    page.goto(file.as_uri())
    page.emulate_media(media=media, color_scheme=scheme)
    assert page.evaluate(MEASURE)["paper"] == paper
    page.close()


@pytest.mark.browser
@pytest.mark.parametrize(
    ("scheme", "system", "paper"),
    [
        ("slate", "light", "rgb(26, 30, 35)"),
        ("default", "dark", "rgb(255, 255, 255)"),
        ("slate", "dark", "rgb(26, 30, 35)"),
    ],
)
def test_element_in_a_page_follows_the_switch_of_the_page(browser: Any, scheme: str, system: str, paper: str) -> None:
    from asfitted.drawing.drawing import stylesheet

    page = browser.new_page(color_scheme=system)
    inline = draw("loft", "section", "loft").inline
    page.set_content(f'<style>{stylesheet()}</style><body data-md-color-scheme="{scheme}">{inline}</body>')
    assert page.evaluate(MEASURE)["paper"] == paper
    page.emulate_media(media="print")
    assert page.evaluate(MEASURE)["paper"] == "rgb(255, 255, 255)"
    page.close()
