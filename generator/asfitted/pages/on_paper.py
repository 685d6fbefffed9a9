"""Pages of the household's site as chapters of a document on paper: the same words, by the engine's own library."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from html.parser import HTMLParser

from markupsafe import Markup

EXTENSIONS = ("admonition", "attr_list", "toc")
"""What the household's site is rendered with (``templates/mkdocs.yml``)."""
ONLY_ON_SCREEN = frozenset({"doors", "hint", "life__today", "photos", "standing__passed"})
"""Classes of what leads round a site, or needs a script."""
_HEADING = re.compile(r"h[1-6]")
_SVG = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_FRONT = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)
_VOID = frozenset({"br", "hr", "img", "input", "wbr"})


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter of a document: its id, its title as HTML, and what stands below the title."""

    id: str
    title: Markup
    html: Markup


def chapter(page: str, text: str, chapters: Mapping[str, str], left_out: Sequence[str] = ()) -> Chapter:
    """Set a page of the household's site for paper.

    Headings go down a level, since the title of the page becomes that of a chapter. What folds is open. A link leads
    to where the chapters hold what it led to; one to anywhere else becomes plain words.

    Args:
        page: its name, such as ``sounds``.
        text: the page as the household's tree holds it, in Markdown.
        chapters: the id of the chapter that each page becomes.
        left_out: ids of headings whose sections paper has no use for.
    """
    from markdown import markdown

    drawings: list[str] = []

    def keep(found: re.Match[str]) -> str:
        drawings.append(found[0])
        return f"<!--drawing {len(drawings) - 1}-->"

    html = markdown(_FRONT.sub("", text), extensions=list(EXTENSIONS))
    reader = _Reader(page, chapters, frozenset(left_out), drawings.__getitem__)
    reader.feed(_SVG.sub(keep, html))
    reader.close()
    made = Markup("".join(reader.out).strip())  # noqa: S704 - rendered from templates of ours, which escape
    return Chapter(chapters[page], Markup("".join(reader.title)), made)  # noqa: S704 - same


class _Reader(HTMLParser):
    """Copies a page, and changes on the way what paper needs otherwise."""

    def __init__(
        self, page: str, chapters: Mapping[str, str], left_out: frozenset[str], drawing: Callable[[int], str]
    ) -> None:
        super().__init__(convert_charrefs=False)
        self.out: list[str] = []
        self.title: list[str] = []
        self._page, self._chapters, self._left_out, self._drawing = page, chapters, left_out, drawing
        self._open: list[tuple[str, str, bool]] = []  # as read, as written, whether what is inside is left out
        self._section = 0  # the level of the heading whose section is being left out

    @property
    def _silent(self) -> bool:
        return bool(self._section) or any(silent for _, _, silent in self._open)

    def _say(self, text: str) -> None:
        if not self._silent:
            (self.title if any(tag == "h1" for tag, _, _ in self._open) else self.out).append(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if _HEADING.fullmatch(tag) and not (self._open and self._silent):
            self._at_heading(int(tag[1]), given)
        classes = set(given.get("class", "").split())
        silent = bool(classes & ONLY_ON_SCREEN) or "hidden" in given
        in_figure = any(read == "figure" for read, _, _ in self._open)
        silent = silent or (in_figure and tag in ("details", "a"))  # the drawing's file, and the drawing in words
        written = self._written(tag, given)
        if tag in _VOID:
            if not silent:
                self._say(_tag(written, given))
            return
        if not silent and written:
            self._say(_tag(written, given))
        self._open.append((tag, written, silent))

    def handle_endtag(self, tag: str) -> None:
        while self._open:
            read, written, silent = self._open[-1]
            if written and not silent:
                self._say(f"</{written}>")
            self._open.pop()
            if read == tag:
                return

    def _at_heading(self, level: int, given: Mapping[str, str]) -> None:
        if self._section and level <= self._section:
            self._section = 0
        if given.get("id") in self._left_out and not self._section:
            self._section = level

    def _written(self, tag: str, given: dict[str, str]) -> str:
        """Give the element to write in the place of one, and set its attributes right; none leaves its content only."""
        if "id" in given:
            given["id"] = f"{self._chapters[self._page]}-{given['id']}"
        if tag == "h1":
            return ""
        if _HEADING.fullmatch(tag):
            return f"h{min(int(tag[1]) + 1, 6)}"
        if tag == "a":
            return self._link(given)
        if tag in ("details", "summary"):
            given["class"] = tag
            return "div" if tag == "details" else "p"
        for name in ("tabindex", "role") if "drawing-frame" in given.get("class", "") else ():
            given.pop(name, None)
        return tag

    def _link(self, given: dict[str, str]) -> str:
        address = given.get("href", "")
        if address.startswith("tel:"):
            return "a"
        file, _, anchor = address.partition("#")
        page = file.removesuffix(".html").removesuffix(".md") if file else self._page
        kept = page in self._chapters and anchor not in self._left_out
        if not kept:
            given.pop("href", None)
            return "span" if given else ""
        given["href"] = f"#{self._chapters[page]}" + (f"-{anchor}" if anchor else "")
        return "a"

    def handle_data(self, data: str) -> None:
        self._say(data)

    def handle_entityref(self, name: str) -> None:
        self._say(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._say(f"&#{name};")

    def handle_comment(self, data: str) -> None:
        if found := re.fullmatch(r"drawing (\d+)", data):
            self._say(self._drawing(int(found[1])))


def _tag(name: str, attributes: Mapping[str, str]) -> str:
    return "".join([f"<{name}", *(Markup(' {}="{}"').format(key, value) for key, value in attributes.items()), ">"])
