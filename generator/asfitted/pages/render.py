"""Templates to text. Whatever a record says is made harmless here, for Markdown and for HTML at once.

Every value that a template prints passes through :func:`harmless`: characters that mean something to Markdown, HTML
or a template language become numeric character references, which a browser shows as they were typed. Only markup
that our own filters and macros made (``markupsafe.Markup``) passes as it is.
"""

import json
import re
from datetime import date
from functools import cache, lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, Undefined
from markupsafe import Markup

from asfitted.language import figure, say, say_many, spoken
from asfitted.pages.languages import long_date, month_of, short_month
from asfitted.pages.wording import counted, listed, sentence

_ALWAYS = re.compile(r"""[&<>"'*_`\[\](){}#|!\\~^=:@$%\t\n\r\u2028\u2029]""")
_AT_START = re.compile(r"\A(\s*)([ +\-.?/,;]|\d+[.)])")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufffe\uffff]")


def harmless(value: object) -> Markup:
    """Turn a value into text that Markdown and HTML both show as it is.

    Control characters, which no reader of a record lets through, become the replacement character.

    Raises:
        TypeError: when there is no value; a template must say itself what stands in its place.
    """
    if isinstance(value, Undefined):
        str(value)  # raises, and names what is missing
    if hasattr(value, "__html__"):
        return Markup(value)  # noqa: S704 - made by our own templates and filters
    if value is None:
        raise TypeError("a template printed a value that is not there")
    return _escaped(str(value))


@lru_cache(maxsize=8192)
def _escaped(text: str) -> Markup:
    """Escape a text; pages say the same over and over."""
    text = _CONTROL.sub("\ufffd", text)
    text = _ALWAYS.sub(_reference, text)
    return Markup(_AT_START.sub(_first, text))  # noqa: S704 - just escaped


def _reference(match: re.Match[str]) -> str:
    return f"&#{ord(match[0])};"


def _first(match: re.Match[str]) -> str:
    blank = "".join(f"&#{ord(character)};" for character in match[1])
    return blank + match[2][:-1] + f"&#{ord(match[2][-1])};"


def day(value: date) -> Markup:
    """Give a day as a ``time`` element."""
    return Markup('<time datetime="{}">{}</time>').format(value.isoformat(), long_date(value))


def due(value: date) -> Markup:
    """Give a due day; the reader's browser adds how many days are left, since a page does not know its reader's day."""
    return Markup('<time class="due" datetime="{}">{}</time>').format(value.isoformat(), long_date(value))


def metres(value: float) -> str:
    """Give a length in metres to the centimetre, with the unit."""
    return f"{figure(value, 2)}\N{NO-BREAK SPACE}m"


def svg(drawing: str) -> Markup:
    """Let a drawing of ours into a page; the search leaves out its letters, which the text around it says in words.

    Raises:
        ValueError: when it has a blank line, at which Markdown would break it apart.
    """
    drawing = drawing.strip()
    if not drawing.startswith("<svg") or re.search(r"\n[ \t]*\n", drawing):
        raise ValueError("a drawing for a page is one svg element without blank lines")
    unsearched = f'<svg data-search-exclude="yes"{drawing.removeprefix("<svg")}'
    return Markup(unsearched)  # noqa: S704 - drawn by asfitted.drawing, which escapes the texts in it


def scalar(value: object) -> Markup:
    """Write text, numbers, lists and mappings as JSON that is YAML too."""
    written = json.dumps(value, ensure_ascii=False)
    return Markup("".join(_yaml_character(character) for character in written))  # noqa: S704 - for mkdocs.yml


def _yaml_character(character: str) -> str:
    if character.isprintable():
        return character
    return f"\\u{ord(character):04x}" if ord(character) <= 0xFFFF else f"\\U{ord(character):08x}"


def for_theme(value: object) -> str:
    """Escape a title or a name for ``mkdocs.yml`` and front matter: the theme puts both into HTML as they stand."""
    text = _CONTROL.sub("\ufffd", str(value))
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def dial(number: str) -> str:
    """Give a telephone number as a ``tel:`` address holds it: digits, and a plus in front."""
    return re.sub(r"(?!^\+)\D", "", number.strip())


def translated(message: str, /, **values: object) -> Markup:
    """Say a passage of a template with its markup, which is ours; what is put into it is made harmless."""
    return Markup(say(message)) % _harmless(values)  # noqa: S704 - our own markup, and a catalogue's


def translated_many(one: str, many: str, count: int, /, **values: object) -> Markup:
    """Say a passage that depends on a count; see :func:`translated`."""
    return Markup(say_many(one, many, count)) % _harmless(values)  # noqa: S704 - see above


def _harmless(values: dict[str, object]) -> dict[str, Markup]:
    return {name: harmless(value) for name, value in values.items()}


def environment() -> Environment:
    """Give the environment in which the templates are rendered: one a language, so that none keeps another's words."""
    return _environment(spoken().code)


@cache
def _environment(language: str) -> Environment:  # noqa: ARG001 - what a template keeps is kept by language
    made = Environment(
        loader=PackageLoader("asfitted.pages", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=harmless,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        extensions=["jinja2.ext.i18n"],
    )
    made.policies["ext.i18n.trimmed"] = True
    # Not the extension's own callables: those would put a value into a passage with HTML in mind and not Markdown.
    made.newstyle_gettext = True  # type: ignore[attr-defined]
    made.globals |= {"gettext": translated, "ngettext": translated_many, "_": say, "counted": counted}
    made.filters |= {"day": day, "due": due, "metres": metres, "month": month_of, "long_date": long_date}
    made.filters |= {"short_month": short_month}
    made.filters |= {"svg": svg, "scalar": scalar, "theme": for_theme, "dial": dial}
    made.filters |= {"counted": counted, "listed": listed, "sentence": sentence}
    return made


def render(template: str, **values: Any) -> str:
    """Render a template of ``pages/templates`` to text.

    Args:
        template: its path there, such as ``household/index.md``.
        values: what it prints.
    """
    text = environment().get_template(template).render(**values)
    return re.sub(r"\n{3,}", "\n\n", text).strip() + "\n"
