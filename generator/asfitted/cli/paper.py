"""What ``pack``, ``labels`` and ``seal`` share: one home read; and how the first two write a page and a PDF."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfitted.cli.options import EXIT_UNUSABLE, Command, chosen

if TYPE_CHECKING:  # the help of a command needs neither
    from asfitted.fleet.load import Loaded
    from asfitted.pages.engine import SiteConfig


def paper_options(command: Command) -> Command:
    """Add ``--to``, ``--html`` and ``--config``."""
    to = click.option(
        "--to", type=click.Path(path_type=Path, file_okay=False), show_default="site/paper/HOME",
        help="The folder to write into.",
    )  # fmt: skip
    html = click.option("--html", is_flag=True, help="Write the page alone, to print from a browser.")
    config = click.option(
        "--config", type=click.Path(path_type=Path, dir_okay=False), default=Path("mkdocs.yml"), show_default=True,
        help="Where the firm's name and details stand.",
    )  # fmt: skip
    return to(html(config(command)))


def need_pdf() -> None:
    """Say before anything is read that no PDF can be made.

    Raises:
        click.ClickException: with what to install.
    """
    from asfitted.pages.pdf import NoPdf, need_library

    try:
        need_library()
    except NoPdf as error:
        raise click.ClickException(f"{error}.") from None


def read_home(home: str, homes: Path, on: date, config: Path) -> "tuple[Loaded, SiteConfig]":
    """Read one home that can be used, and the firm's details; end the command with its troubles where it cannot.

    Raises:
        click.ClickException: when the configuration cannot be used.
    """
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.load import load_catalogue, load_homes
    from asfitted.pages.engine import EngineFailed, read_site_config

    try:
        settings = read_site_config(config)
    except EngineFailed as error:
        raise click.ClickException(str(error)) from None
    named, own = chosen(homes, (home,)), load_catalogue(homes)
    (loaded,) = load_homes(homes, on, named, own=own)
    for trouble in (*own[1], *loaded.troubles):
        show_trouble(trouble)
    if loaded.dossier is None:
        sys.exit(EXIT_UNUSABLE)
    return loaded, settings


def write(name: str, page: str, folder: Path, *, html: bool) -> None:
    """Write a page, and beside it the PDF unless ``html`` asks for the page alone; say what was written.

    Raises:
        click.ClickException: when a file cannot be written.
    """
    from asfitted.cli.terminal import clean, console
    from asfitted.pages.pdf import pdf
    from asfitted.pages.tree import write_tree

    made: dict[str, str | bytes] = {f"{name}.html": page}
    if not html:
        made[f"{name}.pdf"] = pdf(page)
    try:
        write_tree(made, folder)
    except OSError as error:
        raise click.ClickException(f"not written: {error.strerror or error} ({error.filename})") from None
    for file in made:
        console().print(clean(f"{(folder / file).as_posix()}: written"))
