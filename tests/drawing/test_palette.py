"""The colours: enough contrast in light and dark, and print always dark on white."""

import re

import pytest

from asfitted.drawing.drawing import stylesheet

TEXT = ("ink", "soft", "device", "mark")
LINES = ("ink", "soft", "line", "wall", "device", "mark", "coverage")


def blocks() -> list[dict[str, str]]:
    """Give the palettes of the stylesheet: light, dark by the system, dark by the page's switch."""
    found = [
        dict(re.findall(r"--drawing-([a-z-]+): (#[0-9a-f]{6});", part))
        for part in re.findall(r"\{([^{}]*)\}", stylesheet())
    ]
    return [palette for palette in found if palette]


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, www.w3.org/TR/WCAG22/#dfn-relative-luminance."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, www.w3.org/TR/WCAG22/#dfn-contrast-ratio."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_formula_gives_21_for_black_on_white() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("palette", blocks()[:2], ids=["light", "dark"])
@pytest.mark.parametrize("name", TEXT)
def test_text_has_contrast_of_4_5(palette: dict[str, str], name: str) -> None:
    # WCAG 2.2, success criterion 1.4.3
    assert contrast(palette[name], palette["paper"]) >= 4.5


@pytest.mark.parametrize("palette", blocks()[:2], ids=["light", "dark"])
@pytest.mark.parametrize("name", LINES)
def test_lines_have_contrast_of_3(palette: dict[str, str], name: str) -> None:
    # WCAG 2.2, success criterion 1.4.11
    assert contrast(palette[name], palette["paper"]) >= 3.0


@pytest.mark.parametrize("palette", blocks()[:2], ids=["light", "dark"])
def test_letters_in_a_symbol_have_contrast_of_4_5(palette: dict[str, str]) -> None:
    assert contrast(palette["device"], palette["device-fill"]) >= 4.5


def test_both_ways_to_dark_give_the_same_colours() -> None:
    _, by_system, by_page = blocks()
    assert by_system == by_page


def test_light_and_dark_name_the_same_colours() -> None:
    light, dark, _ = blocks()
    assert light.keys() == dark.keys()


def test_dark_is_for_screens_only() -> None:
    css = stylesheet()
    assert all("screen" in line for line in css.splitlines() if "prefers-color-scheme" in line)
    before = css[: css.index('[data-md-color-scheme="slate"] .drawing')]
    assert before.rstrip().endswith("@media screen {")


def test_no_colour_outside_the_palettes() -> None:
    outside = re.sub(r"--drawing-[a-z-]+: #[0-9a-f]{6};", "", stylesheet())
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl", outside)
