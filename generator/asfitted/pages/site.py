"""What every edition is built on: the engine's configuration, styles, scripts and overrides of a written tree."""

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from asfitted.language import say
from asfitted.pages.render import for_theme, render

ASSETS = (
    "asfitted.css",
    "layers.css",
    "asfitted.js",
    "mark.svg",
    "vendor/iframe-worker/iframe-worker.js",
    "vendor/iframe-worker/LICENSE",
)
"""Ours, and iframe-worker 1.0.4 (MIT): the theme's search from disk needs it and would fetch it from a foreign host."""

OVERRIDES = ("main.html", "404.html", "sitemap.xml")
FEATURES = ("navigation.sections", "navigation.footer")
"""Features of the theme in use. Without them a site reads as well: they fold open the navigation and link on."""

SEPARATOR = r'[\s\-,:;!?=()\[\]"/]+|\.(?!\d)|&[lg]t;'
"""What parts words for the search: a tag such as SA1 is found whole, with or without what stands around it."""

Nav = Sequence[tuple[str, "str | Nav"]]
"""Navigation in order: a title with the path of its page, or with what stands below it."""


@dataclass(frozen=True, slots=True)
class Site:
    """What sets one site apart from another for the engine. Titles are plain text.

    ``urgent`` is a line above every page: its words, and the address of the page it leads to.
    """

    name: str
    small_print: str
    nav: Nav
    language: str = "en"
    urgent: tuple[str, str] | None = None


def base_tree(site: Site) -> dict[str, str | bytes]:
    """Give the files every site needs besides its pages: ``mkdocs.yml``, ``docs/assets/`` and ``overrides/``."""
    from asfitted.drawing.drawing import stylesheet

    here = files("asfitted.pages")
    tree: dict[str, str | bytes] = {"mkdocs.yml": _configuration(site)}
    tree |= {f"docs/assets/{name}": _read(here / "assets", name) for name in ASSETS}
    tree |= {f"overrides/{name}": _read(here / "overrides", name) for name in OVERRIDES}
    tree["docs/assets/drawing.css"] = stylesheet()
    return tree


def _configuration(site: Site) -> str:
    return render(
        "mkdocs.yml",
        name=site.name,
        small_print=site.small_print,
        language=site.language,
        features=FEATURES,
        polyfills=["assets/vendor/iframe-worker/iframe-worker.js"],
        styles=["assets/asfitted.css", "assets/drawing.css", "assets/layers.css"],
        scripts=["assets/asfitted.js"],
        separator=SEPARATOR,
        urgent=site.urgent,
        overdue="" if site.language == "en" else say("overdue"),
        nav=_nav(site.nav),
    )


def _nav(nav: Nav) -> list[dict[str, Any]]:
    return [{for_theme(title): below if isinstance(below, str) else _nav(below)} for title, below in nav]


def _read(folder: Traversable, name: str) -> str:
    return folder.joinpath(*name.split("/")).read_text(encoding="utf-8")
