"""Every kind of page of both editions as HTML: read by a parser that tells each error, and what a parser lets pass."""

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

import pytest
from tinyhtml5.parser import HTMLParser

from tests.conftest import THOROUGH
from tests.pages.test_access import kinds

LET_PASS = {"unexpected-char-in-comment"}
"""Two hyphens in a comment, as before the name of an option: the standard has let them stand since 2017 (section 13.1.6,
comments, from memory); the parser is older."""
OF_THE_THEME = {("for", "__toc")}
"""The theme names the switch of the table of contents in its menu also where a page asks for no menu."""
NAMES = ("aria-labelledby", "aria-describedby", "aria-controls", "aria-owns", "for", "headers", "list", "form")
"""Attributes that name other elements of the page by their ids."""
LOADS = {
    "link": "href",
    "script": "src",
    "img": "src",
    "iframe": "src",
    "object": "data",
    "source": "src",
    "use": "href",
}
EDITIONS = (
    "revisions_site",
    "hostile_site",
    "household_site",
    "half_household_site",
    "hostile_household_site",
    *(("demo_site",) if THOROUGH else ()),
)
"""The pages of the demo homes are made by the same templates as those of the hostile one, which try them harder."""


def plain(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def read(file: Path) -> tuple[ET.Element, list[str]]:
    """Read a page as a browser does, and give the errors that it overlooks."""
    parser = HTMLParser()
    root = parser.parse(file.read_text(encoding="utf-8"))
    return root, [
        f"{line}:{column} {code} {more}" for (line, column), code, more in parser.errors if code not in LET_PASS
    ]


def misplaced(root: ET.Element) -> Iterator[str]:
    """Give what stands where the standard does not let it stand, of the kinds that these pages are apt to have."""
    for parent in root.iter():
        for place, child in enumerate(parent):
            kind = plain(child)
            if kind == "figcaption" and place not in (0, len(parent) - 1):
                yield "a caption that is neither the first nor the last part of its figure"
            if kind == "style" and plain(parent) not in ("head", "svg", "noscript"):
                yield "a style sheet outside the head"
            if kind == "li" and plain(parent) not in ("ul", "ol", "menu"):
                yield f"a line of a list in a {plain(parent)}"
            if kind in ("dt", "dd") and plain(parent) not in ("dl", "div"):
                yield f"a {kind} in a {plain(parent)}"


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_kind_of_page_is_html_without_an_error_and_names_only_what_is_there(
    edition: str, request: pytest.FixtureRequest
) -> None:
    site: Path = request.getfixturevalue(edition)
    for name in kinds(site).values():
        root, errors = read(site / f"{name}.html")
        assert errors == [], name
        assert set(misplaced(root)) == set(), name
        elements = list(root.iter())
        ids = [element.get("id") for element in elements if element.get("id")]
        assert len(ids) == len(set(ids)), name
        named = {
            (attribute, one)
            for element in elements
            for attribute in NAMES
            for one in (element.get(attribute) or "").split()
        }
        assert {one for one in named if one[1] not in ids} <= OF_THE_THEME, name
        levels = [int(found[1]) for element in elements if (found := re.fullmatch(r"h([1-6])", plain(element)))]
        assert levels.count(1) == 1, name
        assert all(after <= before + 1 for before, after in pairwise(levels)), (name, levels)
        for element in elements:
            address = element.get(LOADS.get(plain(element), "src")) or ""
            assert not urlsplit(address).netloc, (name, address)
        assert root.get("lang"), name
