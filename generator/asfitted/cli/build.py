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
@click.option("--jobs", type=click.IntRange(1, 256), help="How many processes build; otherwise one a processor.")
@click.option("--fresh", is_flag=True, help="Build all again, whether anything has changed or not.")
@click.option("--no-office", is_flag=True, help="Build the households' sites alone.")
@click.option(
    "--keep-days", type=click.IntRange(0, 366), default=0, show_default=True,
    help="For so many days let a site stand where nothing but the day has changed and none of its tasks has a date.",
)  # fmt: skip
@click.option(
    "--engine", type=click.Choice(ENGINES),
    help="What renders the pages; extra.engine of the configuration, otherwise mkdocs.",
)  # fmt: skip
def command(
    home: tuple[str, ...],
    homes: Path,
    on: date,
    to: Path,
    config: Path,
    docs: Path,
    jobs: int | None,
    engine: str | None,
    keep_days: int,
    *,
    fresh: bool,
    no_office: bool,
) -> None:
    """Build each household's site and the office's site.

    Every household gets a folder of its own, TO/homes/HOME, that opens from disk without a server and holds nothing of
    any other home. The office's site is TO/office. What the engine was given stands in TO/trees. A home whose record
    cannot be used is left out, its earlier site stays, and the others are built; the exit status is then 2. A site of
    which nothing has changed is left as it is.

    \b
    Examples:
      asfitted build
      asfitted build mill-cottage --to /media/stick
      asfitted build --jobs 4 --no-office
    """
    from asfitted.cli.build_show import progress, show_built
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.build import Busy, Order, build_sites
    from asfitted.fleet.load import load_catalogue
    from asfitted.pages.engine import EngineFailed, read_site_config

    try:
        settings = read_site_config(config)
        settings = replace(settings, engine=engine or settings.engine)
    except EngineFailed as error:
        raise click.ClickException(str(error)) from None
    wanted = chosen(homes, home)
    _, own_troubles = load_catalogue(homes)
    for trouble in own_troubles:
        show_trouble(trouble)
    handbook = {
        path.relative_to(docs).as_posix(): path.read_bytes() for path in sorted(docs.rglob("*")) if path.is_file()
    }
    order, office = Order(homes, to, on, settings, handbook), not (home or no_office)
    try:
        with progress() as tell:
            built = build_sites(
                order, wanted, tell, office=office, jobs=jobs, fresh=fresh, keep_days=keep_days
            )  # fmt: skip
    except Busy as busy:
        raise click.ClickException(f"another build, process {busy}, works in {to}; wait for it to end.") from None
    except OSError as error:
        raise click.ClickException(f"{error.strerror or error}: {error.filename or to}") from None
    show_built(built)
    if own_troubles or any(site.trouble or site.troubles for site in built):
        sys.exit(EXIT_UNUSABLE)
