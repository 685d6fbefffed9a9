"""MkDocs with the Material theme: renders a written tree, reads the firm's configuration and serves it live."""

import logging
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

from asfitted.pages.engines import EngineFailed

UNUSED = ("**/*.map", "sitemap.xml.gz")
"""What the theme puts into every site and no page of ours loads, besides search in other languages."""


def load(file: Path) -> Any:
    """Load a configuration with its defaults.

    Raises:
        EngineFailed: when the file cannot be used, with the reason.
    """
    with _quiet() as said:
        from mkdocs.config import load_config
        from mkdocs.exceptions import MkDocsException

        try:
            return load_config(str(file))
        except (MkDocsException, ValueError) as error:  # a date that is none is a ValueError of the YAML library
            raise EngineFailed("\n".join([*said, f"{file}: {error}"])) from None


def render(tree: Path, site: Path, day: date) -> int:
    """Render a written tree; see :func:`asfitted.pages.engine.render_site`."""
    with _quiet() as said, _stamped(day):
        from mkdocs.commands.build import build
        from mkdocs.config import load_config
        from mkdocs.exceptions import MkDocsException

        try:
            # MkDocs takes a relative path from the folder of the configuration, not from where we stand.
            config = load_config(str(tree.resolve() / "mkdocs.yml"), site_dir=str(site.resolve()), strict=True)
            config.plugins.on_startup(command="build", dirty=False)
            build(config)
            config.plugins.on_shutdown()
        except (MkDocsException, SystemExit) as error:
            raise EngineFailed("\n".join([*said, str(error)])) from None
    for pattern in UNUSED:
        for file in site.glob(pattern):
            file.unlink()
    _search_in(config.plugins["material/search"].config.lang or [], site / "assets/javascripts/lunr")
    return sum(1 for _ in site.rglob("*.html"))


def _search_in(languages: Sequence[str], lunr: Path) -> None:
    """Leave of what stems words for the search only what the languages of a site need; English needs nothing."""
    needed = {f"lunr.{language}.min.js" for language in languages if language != "en"}
    kept = needed | {"lunr.stemmer.support.min.js"} if needed else set()
    for file in lunr.rglob("*.js"):
        if file.name not in kept:
            file.unlink()
    for folder in sorted([*lunr.rglob("*/"), lunr], reverse=True):
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()


def serve(config: Path, address: str) -> None:
    """Serve the site of a configuration until interrupted, building it again when something it shows is saved.

    Raises:
        EngineFailed: when the configuration or the address cannot be used.
    """
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    from mkdocs.commands import serve as server
    from mkdocs.exceptions import MkDocsException

    logging.getLogger("mkdocs").setLevel(logging.INFO)
    logging.basicConfig(format="%(message)s")
    try:
        server.serve(str(config), dev_addr=address)
    except (MkDocsException, ValueError) as error:
        raise EngineFailed(f"{config}: {error}") from None
    except OSError as error:
        raise EngineFailed(f"cannot serve at {address}: {error.strerror or error}") from None


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
