"""``asfitted new``."""

import re
from pathlib import Path

import click

from asfitted.cli.options import homes_option


@click.command()
@click.argument("home")
@homes_option
def command(home: str, homes: Path) -> None:
    """Start the record of a home: a commented skeleton to fill in.

    HOME becomes the name of its folder: lower-case words joined by hyphens, none of them the householder's. An
    existing record is never overwritten.

    \b
    Example:
      asfitted new mill-cottage
    """
    from importlib.resources import files

    from asfitted.record.reader import RECORD_NAME
    from asfitted.record.schema import FIRST_LINE, SCHEMA_NAME, record_schema

    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", home) or len(home) > 60:
        raise click.UsageError(
            f"{home!r} is no name for a home; write lower-case words joined by hyphens: mill-cottage"
        )
    file = homes / home / RECORD_NAME
    skeleton = (files("asfitted.cli") / "skeleton.yml").read_text(encoding="utf-8")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8") as out:
            out.write(FIRST_LINE + "\n" + skeleton)
        if not (homes / SCHEMA_NAME).exists():
            (homes / SCHEMA_NAME).write_text(record_schema(), encoding="utf-8")
    except FileExistsError:
        raise click.ClickException(
            f"{file if file.exists() else file.parent} is there already and was left as it is."
        ) from None
    except OSError as error:
        raise click.ClickException(f"{error.filename}: {error.strerror}") from None
    there = "" if homes == Path("homes") else f" --homes {homes}"
    click.echo(f"Wrote {file}. Fill it in, then: asfitted check {home}{there}")
