"""``asfitted schema``."""

from pathlib import Path

import click

from asfitted.cli.options import homes_option

RECORD = "record"


@click.command()
@click.argument("what", type=click.Choice([RECORD, "comparison", "trace"]), default=RECORD)
@homes_option
@click.option("--write", is_flag=True, help="Write that of a record beside the homes, where its first line points.")
def command(what: str, homes: Path, *, write: bool) -> None:
    """Give a JSON Schema: of a record, for completion and checking in an editor, or of what a command gives as JSON.

    WHAT is record (unless given), comparison (of compare --format json) or trace (of trace --format json).

    \b
    Examples:
      asfitted schema --write
      asfitted schema > record.schema.json
      asfitted schema comparison > comparison.schema.json
    """
    if what != RECORD:
        from asfitted.history.data import json_schema

        if write:
            raise click.UsageError("--write is for the schema of a record; redirect that of a command to a file")
        click.echo(json_schema(what), nl=False)
        return
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
