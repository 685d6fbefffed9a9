"""``asfitted build``."""

import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import click

from asfitted.cli.options import EXIT_UNUSABLE, chosen, home_argument, homes_option, on_option
from asfitted.pages.engines import ENGINES


@click.command()
@home_argument
@homes_option
@on_option
@click.option("--to", type=click.Path(path_type=Path, file_okay=False), default=Path("site"), show_default=True)
@click.option(
    "--config", type=click.Path(path_type=Path, dir_okay=False), default=Path("mkdocs.yml"), show_default=True,
    help="Where the firm's name and details stand.",
)  # fmt: skip
@click.option(
    "--docs", type=click.Path(path_type=Path, file_okay=False), default=Path("docs"), show_default=True,
    help="The handbook that goes into the office's site.",
)  # fmt: skip
@click.option(
    "--engine", type=click.Choice(ENGINES),
    help="What renders the pages; extra.engine of the configuration, otherwise mkdocs.",
)  # fmt: skip
def command(
    home: tuple[str, ...], homes: Path, on: date, to: Path, config: Path, docs: Path, engine: str | None
) -> None:
    """Build each household's site and the office's site.

    Every household gets a folder of its own, TO/homes/HOME, that opens from disk without a server and holds nothing of
    any other home. The office's site is TO/office. What the engine was given stands in TO/trees. A home whose record
    cannot be used is left out, its earlier site stays, and the others are built; the exit status is then 2.

    \b
    Examples:
      asfitted build
      asfitted build mill-cottage --to /media/stick
    """
    from rich.progress import Progress

    from asfitted.cli.terminal import clean, console, show_trouble
    from asfitted.fleet.build import build_sites
    from asfitted.fleet.load import load_catalogue, load_homes
    from asfitted.fleet.stories import load_stories
    from asfitted.pages.engine import EngineFailed, read_site_config

    try:
        settings = read_site_config(config)
        settings = replace(settings, engine=engine or settings.engine)
    except EngineFailed as error:
        raise click.ClickException(str(error)) from None
    wanted, own = chosen(homes, home), load_catalogue(homes)
    loaded = load_homes(homes, on, wanted, own=own)
    for trouble in (*own[1], *(trouble for item in loaded for trouble in item.troubles)):
        show_trouble(trouble)
    handbook = {
        path.relative_to(docs).as_posix(): path.read_bytes() for path in sorted(docs.rglob("*")) if path.is_file()
    }
    with Progress(console=console(errors=True), transient=True) as progress:
        bar = progress.add_task("", total=len(loaded) + 1)

        def tell(name: str) -> None:
            progress.update(bar, advance=1, description=name)

        stories = None if home else load_stories(homes, on, [item.id for item in loaded], own[0])
        built = build_sites(loaded, settings, handbook, to, on, tell, office=not home, own=own, stories=stories)
    out = console()
    for site in built:
        said = f"not built: {site.trouble}" if site.trouble else f"{site.pages} pages"
        out.print(clean(f"{site.site.as_posix()}: {said}"))
    if own[1] or any(item.dossier is None for item in loaded) or any(site.trouble for site in built):
        sys.exit(EXIT_UNUSABLE)
