"""Text of a record through the templates: shown as typed, and never more than text."""

from collections.abc import Callable
from datetime import date
from html.parser import HTMLParser

import markdown
import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st
from jinja2 import UndefinedError, nodes
from markupsafe import Markup

from asfitted.pages.render import day, dial, due, environment, for_theme, harmless, metres, scalar, svg

HOSTILE = (
    "**x** <script>alert(1)</script>",
    "[a](javascript:alert(1))",
    "{{ 7*7 }}",
    "{% raw %}",
    "- item",
    "1. item",
    "+ item",
    "# head",
    "    code",
    "\tcode",
    "a\n\nb",
    "a  \nb",
    "a\n===",
    ":material-x:",
    "!!! note",
    "[TOC]",
    "&amp;",
    "<!-- c -->",
    "`c`",
    "\\*",
    "a{: onclick=x }",
    "\x02klzzwxh:0000\x03",
    "\u2028- x",
    "] [1]: http://example.invalid",
)


class Shown(HTMLParser):
    """Collects elements, attributes and text of a page."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.text = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data}")


def through_markdown(source: str) -> Shown:
    return Shown(markdown.markdown(source, extensions=["admonition", "attr_list", "md_in_html", "toc", "tables"]))


def as_a_browser_shows(text: str) -> str:
    """Control characters are shown as the replacement character, and blank runs as one blank."""
    return " ".join("".join("\ufffd" if _control(c) else c for c in text).split())


def _control(character: str) -> bool:
    code = ord(character)
    return (code < 32 and character not in "\t\n\r") or 0x7F <= code < 0xA0 or code in (0xFFFE, 0xFFFF)


def hostile(test: Callable[[str], None]) -> Callable[[], None]:
    """Run a test with the texts above and with whatever else there is."""
    for text in HOSTILE:
        test = example(text)(test)
    return given(st.text(max_size=60))(test)


@hostile
def test_any_text_in_a_paragraph_is_shown_as_it_was_typed(text: str) -> None:
    source = environment().from_string("before {{ text }} after").render(text=text)
    shown = through_markdown(source)
    assert shown.elements == ["p"]
    assert as_a_browser_shows(shown.text) == as_a_browser_shows(f"before {text} after")


@hostile
def test_any_text_at_the_start_of_a_line_is_shown_as_it_was_typed(text: str) -> None:
    source = environment().from_string("{{ text }}\n\nend").render(text=text)
    shown = through_markdown(source)
    assert set(shown.elements) == {"p"}
    assert as_a_browser_shows(shown.text) == as_a_browser_shows(f"{text} end")


@hostile
def test_any_text_in_a_heading_and_a_list_is_shown_as_it_was_typed(text: str) -> None:
    source = environment().from_string("# x {{ text }} {: #h }\n\n- y {{ text }}\n").render(text=text)
    shown = through_markdown(source)
    assert shown.elements == ["h1", "ul", "li"]
    assert shown.attributes == [("id", "h")]
    assert as_a_browser_shows(shown.text) == as_a_browser_shows(f"x {text} y {text}")


@hostile
def test_any_text_in_a_block_of_html_and_its_attribute_is_shown_as_it_was_typed(text: str) -> None:
    source = environment().from_string('<div title="{{ text }}">{{ text }}</div>').render(text=text)
    shown = through_markdown(source)
    assert shown.elements == ["div"]
    [(name, value)] = shown.attributes
    assert name == "title"
    assert as_a_browser_shows(value or "") == as_a_browser_shows(shown.text) == as_a_browser_shows(text)


@hostile
def test_any_text_comes_back_from_the_engine_s_configuration(text: str) -> None:
    source = environment().from_string("name: {{ text|scalar }}\n").render(text=text)
    assert yaml.safe_load(source) == {"name": text}


@hostile
def test_any_title_is_text_where_the_theme_puts_it_into_html(text: str) -> None:
    title = for_theme(text)
    shown = Shown(f'<p title="{title}">{title}</p>')
    assert shown.elements == ["p"]
    assert as_a_browser_shows(shown.text) == as_a_browser_shows(text)


def test_markup_of_our_own_passes_unchanged() -> None:
    assert harmless(Markup("<b>a</b>")) == "<b>a</b>"


def test_a_missing_value_is_an_error_and_never_printed() -> None:
    with pytest.raises(UndefinedError):
        environment().from_string("{{ nothing }}").render()
    with pytest.raises(TypeError):
        environment().from_string("{{ nothing }}").render(nothing=None)


def test_no_template_goes_past_the_escaping() -> None:
    """Text that is joined to markup with ``~`` would be escaped for HTML only, and ``safe`` not at all."""
    loader = environment().loader
    assert loader
    names = loader.list_templates()
    assert len(names) > 8
    for name in names:
        source, _, _ = loader.get_source(environment(), name)
        tree = environment().parse(source)
        assert "safe" not in {node.name for node in tree.find_all(nodes.Filter)}, name
        for joined in tree.find_all(nodes.Concat):
            filters = {node.name for node in joined.find_all(nodes.Filter)}
            makes_markup = [*joined.find_all(nodes.Call), *filters & {"day", "due", "svg", "scalar"}]
            assert not makes_markup, name


def test_a_day_is_a_time_element_with_the_day_in_words() -> None:
    assert day(date(2026, 3, 4)) == '<time datetime="2026-03-04">4 March 2026</time>'
    assert due(date(2026, 3, 4)) == '<time class="due" datetime="2026-03-04">4 March 2026</time>'


def test_a_length_is_given_to_the_centimetre_and_does_not_break() -> None:
    assert metres(2.1) == "2.10\N{NO-BREAK SPACE}m"


def test_a_telephone_number_is_dialled_by_its_digits() -> None:
    assert dial("+44 (0)1632 960-123") == "+4401632960123"
    assert dial('112" onclick=x') == "112"


def test_a_drawing_with_a_blank_line_is_refused() -> None:
    assert svg("<svg><g/></svg>\n") == '<svg data-search-exclude="yes"><g/></svg>'
    with pytest.raises(ValueError, match="blank"):
        svg("<svg>\n \n</svg>")
    with pytest.raises(ValueError, match="blank"):
        svg("<script/>")


def test_a_character_beyond_the_basic_plane_survives_the_configuration() -> None:
    assert yaml.safe_load(str(scalar("😀 å \u0085 \U000e0001"))) == "😀 å \u0085 \U000e0001"
