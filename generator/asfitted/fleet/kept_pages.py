"""Pages kept from one build to the next while serving: saving one record leaves most pages as they were.

Turning Markdown into a page takes longer than all else together, and a firm's site has hundreds of pages. What a page
shows follows from its source and from what stands around it: the configuration, the theme, the handbook and the list
of files. While these stay the same, the page of the build before is used again.
"""

from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Template
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents

_NOTHING = Template("")
"""Takes the place of the theme's template for a page that is there already."""


@dataclass
class _Kept:
    markdown: str
    content: str
    toc: TableOfContents
    title: str | None
    anchors: set[str] | None
    links: dict[str, dict[str, str]]
    output: str = ""


class KeptPages:
    """The pages of the build before, by the path of their source; follows MkDocs through the events of a page."""

    def __init__(self) -> None:
        self._pages: dict[str, _Kept] = {}
        self._again: set[str] = set()
        self._around: Hashable = None

    def begin(self, files: Files, config: MkDocsConfig) -> None:
        """Begin a build: forget every page when anything around the pages has changed."""
        around = _around(files, config)
        if around != self._around:
            self._pages.clear()
        self._around = around
        self._again.clear()

    def markdown(self, markdown: str, page: Page) -> str:
        """Give the source of a page to the engine; nothing, when the page is kept."""
        kept = self._pages.get(page.file.src_uri)
        if kept is None or kept.markdown != markdown or not kept.output:
            return markdown
        self._again.add(page.file.src_uri)
        return ""

    def content(self, html: str, page: Page, files: Files) -> str:
        """Keep what the engine made of the source, or give what was kept."""
        name = page.file.src_uri
        if name not in self._again:
            links = {file.src_uri: anchors for file, anchors in (page.links_to_anchors or {}).items()}
            made = _Kept(page.markdown or "", html, page.toc, page.title, page.present_anchor_ids, links)
            self._pages[name] = made
            return html
        kept = self._pages[name]
        page.toc, page.title, page.present_anchor_ids = kept.toc, kept.title, kept.anchors
        now = ((files.get_file_from_path(target), anchors) for target, anchors in kept.links.items())
        page.links_to_anchors = {file: anchors for file, anchors in now if file}
        page.meta["template"] = _NOTHING
        return kept.content

    def output(self, output: str, page: Page) -> str:
        """Keep the finished page, or give the one that was kept."""
        name = page.file.src_uri
        if name in self._again:
            return self._pages[name].output
        if name in self._pages:
            self._pages[name].output = output
        return output


def _around(files: Files, config: MkDocsConfig) -> Hashable:
    theme = config.theme.custom_dir
    own = [file.abs_src_path for file in files.documentation_pages() if file.abs_src_path]
    read = [config.config_file_path, *own, *(Path(theme).rglob("*") if theme else ())]
    saved = ((str(path), Path(path).stat().st_mtime_ns) for path in read)
    return (*sorted(saved), *sorted(files.src_uris))
