"""The site engine: MkDocs with Material renders a written tree. The only module, with the plugin, that knows MkDocs.

A written tree needs nothing of ours: ``mkdocs build`` in its folder gives the same site. Another engine that reads
``mkdocs.yml`` can take its place here.
"""

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

from asfitted.pages.dossier import Firm

CONFIG_NAME = "mkdocs.yml"
UNUSED = ("**/*.map", "assets/javascripts/lunr/**/*.js", "sitemap.xml.gz")
"""What the theme puts into every site and no page of ours loads: source maps, and search in other languages."""


class EngineFailed(Exception):  # noqa: N818 - says what happened
    """The engine could not render a tree; carries what it said."""


@dataclass(frozen=True)
class SiteConfig:
    """What the root ``mkdocs.yml`` says that our own pages need."""

    name: str = "Install records"
    nav: list[Any] = field(default_factory=list)
    firm: Firm = field(default_factory=Firm)


def read_site_config(file: Path) -> SiteConfig:
    """Read the root configuration; without one, the defaults.

    Raises:
        EngineFailed: when the file cannot be used, with the reason.
    """
    if not file.is_file():
        return SiteConfig()
    with _quiet():
        from mkdocs.config import load_config
        from mkdocs.exceptions import MkDocsException

        try:
            config = load_config(str(file))
        except MkDocsException as error:
            raise EngineFailed(f"{file}: {error}") from None
    return site_config(config)


def site_config(config: Any) -> SiteConfig:
    """Take what our pages need from a loaded MkDocs configuration."""
    firm = (config.extra or {}).get("firm") or {}
    known = {key: str(value) for key, value in firm.items() if key in Firm.__dataclass_fields__}
    return SiteConfig(config.site_name, list(config.nav or []), Firm(**known))


def render_site(tree: Path, site: Path, stamp: date) -> int:
    """Render a written tree into an empty folder.

    Args:
        tree: the folder that holds ``mkdocs.yml``.
        site: where the pages go.
        stamp: the day that stands in the site wherever the engine would write today.

    Returns:
        The number of pages.

    Raises:
        EngineFailed: when the engine stops or warns, for example of a link that leads nowhere.
    """
    with _quiet() as said, _stamped(stamp):
        from mkdocs.commands.build import build
        from mkdocs.config import load_config
        from mkdocs.exceptions import MkDocsException

        try:
            # MkDocs takes a relative path from the folder of the configuration, not from where we stand.
            config = load_config(str(tree.resolve() / CONFIG_NAME), site_dir=str(site.resolve()), strict=True)
            config.plugins.on_startup(command="build", dirty=False)
            build(config)
            config.plugins.on_shutdown()
        except (MkDocsException, SystemExit) as error:
            raise EngineFailed("\n".join([*said, str(error)])) from None
    for pattern in UNUSED:
        for file in site.glob(pattern):
            file.unlink()
    lunr = site / "assets/javascripts/lunr"
    if lunr.is_dir() and not any(lunr.rglob("*.js")):
        for folder in sorted(lunr.rglob("*"), reverse=True):
            folder.rmdir()
        lunr.rmdir()
    return sum(1 for _ in site.rglob("*.html"))


def serve_site(config: Path, address: str) -> None:
    """Serve the site of a configuration until interrupted, building it again when something it shows is saved.

    Raises:
        EngineFailed: when the configuration cannot be used.
    """
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    from mkdocs.commands.serve import serve
    from mkdocs.exceptions import MkDocsException

    logging.getLogger("mkdocs").setLevel(logging.INFO)
    logging.basicConfig(format="%(message)s")
    try:
        serve(str(config), dev_addr=address)
    except MkDocsException as error:
        raise EngineFailed(str(error)) from None


@contextmanager
def _stamped(day: date) -> Iterator[None]:
    """Let the engine take a day for today, as SOURCE_DATE_EPOCH asks of reproducible builds."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = str(int(datetime.combine(day, time(), UTC).timestamp()))
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before


@contextmanager
def _quiet() -> Iterator[list[str]]:
    """Keep the engine's log from the terminal and give its warnings; its notice about its own future is known."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    said: list[str] = []

    class Keep(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            said.append(record.getMessage())

    keep, log = Keep(logging.WARNING), logging.getLogger("mkdocs")
    propagate, log.propagate = log.propagate, False
    log.addHandler(keep)
    try:
        yield said
    finally:
        log.removeHandler(keep)
        log.propagate = propagate
