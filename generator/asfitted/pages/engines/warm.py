"""MkDocs kept warm: many small sites rendered in one process, to the same bytes as one process a site.

Everything that leans on how MkDocs and its theme are made inside stands here and nowhere else. It is used only with the
versions in :data:`PROVEN`; with any other the plain adapter renders, which gives the same site and takes longer. A test
compares both byte for byte.

What is spared: looking through the theme's files and compiling its templates for every site (one Jinja environment a
language: a template module that was imported keeps its first language), and taking drawings, which are ready markup,
through Markdown, the search for anchors and the search index. What the theme brings is stored once and linked.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from hashlib import sha256
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import Any

from jinja2 import BytecodeCache, ChoiceLoader, DictLoader, Environment, FileSystemLoader
from jinja2.bccache import Bucket

from asfitted.pages.engines import mkdocs as plain
from asfitted.pages.engines.shared import Store

PROVEN = {"mkdocs": ("1.6.1",), "mkdocs-material": ("9.8.2",), "jinja2": ("3.1.6",), "markdown": ("3.11.3",)}
"""The versions with which the bytes were compared."""

_UNREAD = re.compile(
    r'<(svg)(?=[\s>]).*?</svg>|<(details)(?=[\s>])(?=[^>]*\sdata-search-exclude="yes").*?</details>', re.DOTALL
)
"""Ready markup that neither Markdown nor the search reads: drawings, and what is folded away and not searched."""
_UNSEARCHED = re.compile(r'\s?data-search-\w+="[^"]+"')
"""What the search takes out of the content of a page once it has looked at it."""
_ANCHOR = re.compile(r'\bid="([^"]*)"')
_OPENS = re.compile(r"<(section|div|figure|details|ul|ol|table|dl|fieldset|nav|p)(?=[\s>])")
"""How a block of HTML begins, behind a blank line. Markdown lets it through as it stands, letter by letter."""
_UNREAD_PLACE = re.compile(r'<(svg|details) id="asfitted-unread-(\d+)"></\1>')
_BLOCK_PLACE = re.compile(r'<div id="asfitted-block-(\d+)"></div>')


def proven() -> bool:
    """Whether the engine that is installed is one of those whose bytes were compared."""
    return all(version(name) in versions for name, versions in PROVEN.items())


class _Compiled(BytecodeCache):
    """Templates as compiled, which languages share; what a template keeps, each environment keeps for itself."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if bucket.key in self._kept:
            bucket.bytecode_from_string(self._kept[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._kept[bucket.key] = bucket.bytecode_to_string()


@dataclass(frozen=True)
class _Theme:
    """The theme in one language over one set of overrides: its environment, and the files it brings."""

    environment: Environment
    brings: Sequence[tuple[str, Path]]


@dataclass
class WarmEngine:
    """Renders written trees one after the other; ``store`` holds once what many sites share."""

    store: Store
    _themes: dict[tuple[str, str], _Theme] = field(default_factory=dict)
    _compiled: _Compiled = field(default_factory=_Compiled)

    def render(self, tree: Path, site: Path, day: date) -> int:
        """Render a written tree; see :func:`asfitted.pages.engine.render_site`."""
        if not proven():
            return plain.render(tree, site, day)
        kept = _Kept()
        _without_positions()

        def prepare(config: Any) -> None:
            theme = self._theme(config)
            config.theme.get_env = lambda: theme.environment
            config.plugins["asfitted.kept"] = kept.plugin()

        config = plain.built(tree, site, day, prepare)
        languages = config.plugins["material/search"].config.lang or []
        for path, file in self._theme(config).brings:
            if not (site / path).exists() and plain.is_used(path, languages):
                self.store.link(file, site / path)
        for path, file in kept.shared:
            self.store.link(file, site / path)
        return plain.pages(site)

    def _theme(self, config: Any) -> _Theme:
        folder = Path(config.theme.custom_dir)
        overrides = {file.relative_to(folder).as_posix(): file for file in sorted(folder.rglob("*")) if file.is_file()}
        texts = {name: file.read_text(encoding="utf-8") for name, file in overrides.items()}
        key = (str(config.theme["language"]), sha256(repr(texts).encode()).hexdigest())
        if key not in self._themes:
            self._themes[key] = _theme(config, folder, texts, self._compiled)
        return self._themes[key]


def _theme(config: Any, folder: Path, texts: dict[str, str], compiled: BytecodeCache) -> _Theme:
    """Make the environment of a theme; it outlives the folder of the tree that it was made for."""
    from mkdocs.structure.files import Files

    environment: Environment = type(config.theme).get_env(config.theme)
    files = Files([])
    files.add_files_from_theme(environment, config)
    brings = [(file.src_uri, Path(file.abs_src_path or "")) for file in files]
    own = [directory for directory in config.theme.dirs if Path(directory) != folder]
    environment.bytecode_cache = compiled
    environment.loader = ChoiceLoader([DictLoader(texts), FileSystemLoader(own)])
    vars(environment)["list_templates"] = lambda *_, **__: []  # what the theme brings is linked by us, not copied
    return _Theme(environment, [(path, file) for path, file in brings if not file.is_relative_to(folder)])


@dataclass
class _Kept:
    """What is kept from MkDocs while it renders one site: ready markup, and files that many sites share."""

    unread: list[str] = field(default_factory=list)
    blocks: list[str] = field(default_factory=list)
    anchors: set[str] = field(default_factory=set)
    shared: list[tuple[str, Path]] = field(default_factory=list)

    def plugin(self) -> Any:
        from mkdocs.config.base import Config
        from mkdocs.plugins import BasePlugin

        kept = self

        class Options(Config):
            pass

        class Plugin(BasePlugin[Options]):
            def on_files(self, files: Any, *, config: Any) -> Any:  # noqa: ARG002 - MkDocs passes it by name
                for file in [file for file in files if file.src_uri.startswith("assets/")]:
                    files.remove(file)
                    kept.shared.append((file.dest_uri, Path(file.abs_src_path)))
                return files

            def on_page_markdown(self, markdown: str, **_: Any) -> str:
                return kept.taken_from(markdown)

            def on_page_content(self, html: str, *, page: Any, **_: Any) -> str:
                page.present_anchor_ids = page.present_anchor_ids | kept.anchors
                return _BLOCK_PLACE.sub(lambda match: kept.blocks[int(match[1])], html)

            def on_post_page(self, output: str, **_: Any) -> str:
                return _UNREAD_PLACE.sub(lambda match: kept.unread[int(match[2])], output)

        return Plugin()

    def taken_from(self, markdown: str) -> str:
        """Take what is ready out of a page; what anchors they have, the page has."""
        self.blocks.clear()
        self.anchors.clear()
        parts = _UNREAD.sub(self._unread_part, markdown).rstrip("\n").split("\n\n")
        left: list[str] = []
        while parts:
            end = _end_of_block(parts)
            left.append(self._block("\n\n".join(parts[:end])) if end else parts[0])
            del parts[: max(end, 1)]
        return "\n\n".join(left) + "\n"

    def _unread_part(self, match: re.Match[str]) -> str:
        part, tag = match[0], match[1] or match[2]
        if part.count(f"<{tag}") > 1:
            return part
        self.anchors.update(_ANCHOR.findall(part))
        self.unread.append(_UNSEARCHED.sub("", part))
        return f'<{tag} id="asfitted-unread-{len(self.unread) - 1}" data-search-exclude="yes"></{tag}>'

    def _block(self, block: str) -> str:
        self.anchors.update(_ANCHOR.findall(block))
        self.blocks.append(block)
        return f'<div id="asfitted-block-{len(self.blocks) - 1}"></div>'


def _end_of_block(parts: Sequence[str]) -> int:
    """Tell how many parts of a page the block of HTML that begins it takes, blank lines in it or not; 0 without one."""
    if not (opens := _OPENS.match(parts[0])):
        return 0
    depth, tags = 0, re.compile(f"<(/?){opens[1]}(?=[\\s>])")
    for number, part in enumerate(parts, 1):
        last = -1
        for tag in tags.finditer(part):
            if depth == 0 and (number > 1 or last >= 0):
                return 0  # closed before the end of a part: for Markdown to say what follows
            depth += -1 if tag[1] else 1
            last = tag.end()
        if depth == 0:
            return number if part[last:] == ">" else 0
    return 0


def _without_positions() -> None:
    """Let the search not count lines and columns, for which it has no use."""
    plugin: Any = import_module("material.plugins.search.plugin")
    plugin.Parser.updatepos = lambda _self, _from, to: to
