"""The site engine: renders a written tree into pages. Which one is a choice; the tree is the same for all.

A written tree needs nothing of ours: ``mkdocs build`` in its folder gives the same site. An adapter in
:mod:`asfitted.pages.engines` is all that another engine needs.
"""

import re
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from asfitted.pages.dossier import Firm
from asfitted.pages.engines import ENGINES, EngineFailed


@dataclass(frozen=True)
class SiteConfig:
    """What the root ``mkdocs.yml`` says that our own pages need."""

    name: str = "Install records"
    nav: list[Any] = field(default_factory=list)
    firm: Firm = field(default_factory=Firm)
    engine: str = ENGINES[0]


def read_site_config(file: Path) -> SiteConfig:
    """Read the root configuration; without one, the defaults.

    Raises:
        EngineFailed: when the file cannot be used, with the reason.
    """
    if not file.is_file():
        return SiteConfig()
    from asfitted.pages.engines.mkdocs import load

    return site_config(load(file))


def site_config(config: Any) -> SiteConfig:
    """Take what our pages need from a loaded MkDocs configuration.

    Raises:
        EngineFailed: when it asks for an engine that has no adapter, or gives the households' sites an address that
            is none or not a private one.
    """
    extra = config.extra or {}
    firm = extra.get("firm") or {}
    known = {key: str(value) for key, value in firm.items() if key in Firm.__dataclass_fields__}
    if not re.fullmatch(r"(https://[^\s/]+(/\S*)?)?", known.get("sites", "")):
        raise EngineFailed("extra.firm.sites: expected an address that begins with https://, as homes are private")
    engine = str(extra.get("engine") or ENGINES[0])
    if engine not in ENGINES:
        raise EngineFailed(f"extra.engine: found {engine}; expected one of {', '.join(ENGINES)}")
    return SiteConfig(config.site_name, list(config.nav or []), Firm(**known), engine)


def render_site(tree: Path, site: Path, day: date, engine: str = ENGINES[0]) -> int:
    """Render a written tree into an empty folder.

    Args:
        tree: the folder that holds ``mkdocs.yml``.
        site: where the pages go.
        day: the day that stands in the site wherever the engine would write today.
        engine: which engine, one of :data:`asfitted.pages.engines.ENGINES`.

    Returns:
        The number of pages.

    Raises:
        EngineFailed: when the engine is not installed, stops, or warns, for example of a link that leads nowhere.
    """
    if engine == "zensical":
        from asfitted.pages.engines.zensical import render
    else:
        from asfitted.pages.engines.mkdocs import render
    return render(tree, site, day)


__all__ = ["EngineFailed", "SiteConfig", "read_site_config", "render_site", "site_config"]
