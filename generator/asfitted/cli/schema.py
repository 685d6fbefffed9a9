"""``asfitted schema``."""

from pathlib import Path

import click

from asfitted.cli.options import homes_option


@click.command()
@homes_option
@click.option("--write", is_flag=True, help="Write it beside the homes, where the first line of a record points.")
def command(homes: Path, *, write: bool) -> None:
    """Give the JSON Schema of a record, for completion and checking in an editor.

    \b
    Examples:
      asfitted schema --write
      asfitted schema > record.schema.json
    """
    from asfitted.record.schema import SCHEMA_NAME, record_schema

    if not write:
        click.echo(record_schema(), nl=False)
        return
    try:
        homes.mkdir(parents=True, exist_ok=True)
        (homes / SCHEMA_NAME).write_text(record_schema(), encoding="utf-8")
    except OSError as error:
        raise click.ClickException(f"{error.filename}: {error.strerror}") from None
    click.echo(f"Wrote {homes / SCHEMA_NAME}")
