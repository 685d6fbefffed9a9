"""MkDocs with the Material theme: renders a written tree, reads the firm's configuration and serves it live."""

import logging
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from fnmatch import fnmatch
from pathlib import Path
from typing import Any

from asfitted.pages.engines import EngineFailed

UNUSED = ("*.map", "sitemap.xml.gz")
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
    config = built(tree, site, day)
    languages = config.plugins["material/search"].config.lang or []
    for file in [file for file in site.rglob("*") if file.is_file()]:
        if not is_used(file.relative_to(site).as_posix(), languages):
            file.unlink()
    lunr = site / "assets/javascripts/lunr"
    for folder in sorted([*lunr.rglob("*/"), lunr], reverse=True):
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
    return pages(site)


def built(tree: Path, site: Path, day: date, prepare: Callable[[Any], None] = lambda _: None) -> Any:
    """Let MkDocs build a written tree; give its configuration.

    Args:
        tree: the folder that holds ``mkdocs.yml``.
        site: where the pages go.
        day: what the engine takes for today.
        prepare: what is done to the configuration before it builds.

    Raises:
        EngineFailed: when it stops, or warns.
    """
    with _quiet() as said, _stamped(day):
        from mkdocs.commands.build import build
        from mkdocs.config import load_config
        from mkdocs.exceptions import MkDocsException

        try:
            # MkDocs takes a relative path from the folder of the configuration, not from where we stand.
            config = load_config(str(tree.resolve() / "mkdocs.yml"), site_dir=str(site.resolve()), strict=True)
            prepare(config)
            config.plugins.on_startup(command="build", dirty=False)
            build(config)
            config.plugins.on_shutdown()
        except (MkDocsException, SystemExit) as error:
            raise EngineFailed("\n".join([*said, str(error)])) from None
    return config


def is_used(path: str, languages: Sequence[str]) -> bool:
    """Say of a file of a site whether its pages load it, by the languages of its search; English needs no stemmer."""
    if any(fnmatch(path, pattern) for pattern in UNUSED):
        return False
    if not path.startswith("assets/javascripts/lunr/"):
        return True
    needed = {f"lunr.{language}.min.js" for language in languages if language != "en"}
    return bool(needed) and path.rpartition("/")[2] in needed | {"lunr.stemmer.support.min.js"}


def pages(site: Path) -> int:
    """Count the pages of a site."""
    return sum(1 for _ in site.rglob("*.html"))


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
