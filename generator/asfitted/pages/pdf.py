"""A print-ready page to PDF. The only module that knows the PDF library, WeasyPrint, which is an optional extra."""

import logging
import re
from functools import cache
from hashlib import sha256
from html import escape, unescape
from typing import Any

from asfitted.drawing.drawing import stylesheet

MISSING = (
    "making a PDF needs the library WeasyPrint; install it with: pip install 'asfitted[pdf]'. "
    "Or ask for --html, and print that from a browser"
)
NO_LETTERS = (
    "the PDF library finds no Pango, which sets its letters; on Debian install it with: "
    "apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0. Or ask for --html, and print that from a browser"
)
_DRAWING = re.compile(r'<svg\b[^>]*\bclass="drawing"[^>]*>.*?</svg>', re.DOTALL)
_TITLE = re.compile(r"(<title[^>]*>)(.*?)(</title><desc[^>]*>)(.*?)(</desc>)", re.DOTALL)
_TEXT = re.compile(r'<text\b([^>]*?)\bclass="([^"]*)"([^>]*)>(.*?)</text>', re.DOTALL)


class NoPdf(Exception):  # noqa: N818 - says what happened
    """No PDF can be made; carries why, and what to install."""


def need_library() -> None:
    """Say before anything is done that the library is missing.

    Raises:
        NoPdf: when it is, or what it rests on.
    """
    _library()


def pdf(page: str) -> bytes:
    """Make a PDF of a print-ready page that carries all it needs: tagged, with bookmarks, the same bytes each time.

    The page says its day in ``dcterms.created`` and ``dcterms.modified``.

    Args:
        page: the HTML; whatever it would fetch is left out.

    Raises:
        NoPdf: when the library is missing, or what it rests on.
    """
    library = _library()
    log = logging.getLogger("weasyprint")
    level = log.level
    log.setLevel(logging.CRITICAL)  # it names every property of CSS that only browsers know
    try:
        nothing = library.urls.URLFetcher(allowed_protocols=())
        html = library.HTML(string=_DRAWING.sub(_carried, page), url_fetcher=nothing, base_url=None)
        made: bytes = html.write_pdf(pdf_variant="pdf/ua-1", pdf_identifier=sha256(page.encode()).digest()[:16])
    finally:
        log.setLevel(level)
    return made


def _library() -> Any:
    try:
        import weasyprint
    except ImportError:
        raise NoPdf(MISSING) from None
    except OSError:
        raise NoPdf(NO_LETTERS) from None
    return weasyprint


def _carried(found: re.Match[str]) -> str:
    """Let a drawing carry its own plain stylesheet, and its description as what is read aloud.

    The library reads no style of the page for a drawing, knows no custom properties there, and paints the edge of a
    letter over the letter; so the edge is written apart, below it.
    """
    plain, edged = _plain_styles()

    def described(part: re.Match[str]) -> str:
        told = escape(f"{unescape(part[2])}. {unescape(part[4])}", quote=False)
        return f"{part[1]}{told}{part[3]}{part[4]}{part[5]}<style>{plain}</style>"

    def twice(part: re.Match[str]) -> str:
        if edged.isdisjoint(part[2].split()):
            return part[0]
        edge = f'<text{part[1]}class="{part[2]} d-edge"{part[3]}>{part[4]}</text>'
        return edge + part[0]

    return _TEXT.sub(twice, _TITLE.sub(described, found[0], count=1))


@cache
def _plain_styles() -> tuple[str, frozenset[str]]:
    """Give the light stylesheet of drawings without media queries, custom properties and edges; and what has edges."""
    text = re.sub(r"/\*.*?\*/", "", stylesheet(), flags=re.DOTALL)
    text = re.sub(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}", "", text)
    values = dict(re.findall(r"(--drawing-[\w-]+):\s*([^;]+);", text.partition("}")[0]))
    edges = re.search(r"([^{}]+)\{([^{}]*paint-order[^{}]*)\}", text)
    assert edges is not None
    text = text.replace(edges[0], f".d-edge {{{edges[2]}fill: var(--drawing-paper);}}")
    plain = re.sub(r"var\((--[\w-]+)\)", lambda name: values[name[1]], text)
    plain = re.sub(r"(--drawing-[\w-]+|color-scheme|height|max-width):[^;]+;", "", plain)  # a size would rescale it
    return " ".join(plain.split()), frozenset(re.findall(r"\.([\w-]+)", edges[1]))
