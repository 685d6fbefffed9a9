"""``asfitted export``."""

import sys
from datetime import date
from pathlib import Path

import click

from asfitted.cli.options import EXIT_UNUSABLE, chosen, home_argument, homes_option, on_option


@click.command()
@home_argument
@homes_option
@on_option
@click.option("--to", type=click.Path(path_type=Path), help="The file for SQLite, or the folder for CSV or Parquet.")
@click.option("--format", "form", type=click.Choice(["sqlite", "csv", "parquet"]),
              help="SQLite for a file named .sqlite or .db, otherwise CSV, unless given.")  # fmt: skip
@click.option("--columns", is_flag=True, help="Say what every table and column means, and write nothing.")
def command(home: tuple[str, ...], homes: Path, on: date, to: Path | None, form: str | None, *, columns: bool) -> None:
    """Write the records as tables for any reporting tool: SQLite, CSV or Parquet.

    Facts about the people, the names a household gave its rooms, notes, reasons and photos stay in the records. A home
    whose record cannot be used stands in the table "unusable" with its troubles. All is written aside and swapped in
    whole; an earlier export is replaced, and nothing else.

    \b
    Exit status:
      0  every home is in the tables
      2  the record of a home could not be used; the others are in the tables
         (or nothing was written, and why is said)

    \b
    Examples:
      asfitted export --to homes.sqlite
      asfitted export --to tables --format parquet --on 2026-11-25
      asfitted export --columns
    """
    from asfitted.cli.terminal import clean, console, show_trouble
    from asfitted.fleet.export import as_markdown, export

    if columns:
        click.echo(as_markdown(), nl=False)
        return
    if to is None:
        raise click.UsageError("--to: name the file or folder to write, such as --to homes.sqlite")
    from asfitted.fleet.export_files import NotWritten, sink_for
    from asfitted.fleet.load import load_catalogue, load_homes

    form = form or ("sqlite" if to.suffix in (".sqlite", ".sqlite3", ".db") else "csv")
    own = load_catalogue(homes)
    named = chosen(homes, home)
    try:
        with sink_for(form, to) as sink:
            loaded = load_homes(homes, on, named, with_revision=False, own=own)
            for trouble in (*own[1], *(trouble for item in loaded for trouble in item.troubles)):
                show_trouble(trouble)
            unusable = export(loaded, sink)
    except NotWritten as error:
        click.echo(clean(f"Error: {error}."), err=True)
        sys.exit(EXIT_UNUSABLE)
    console().print(clean(f"{to.as_posix()}: {len(named) - len(unusable)} of {len(named)} homes written"))
    if unusable:
        console().print(clean(f"In the table unusable only: {', '.join(unusable)}."))
        sys.exit(EXIT_UNUSABLE)
