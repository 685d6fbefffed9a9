"""``asfitted serve``."""

from pathlib import Path

import click


@click.command()
@click.option(
    "--config",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    default=Path("mkdocs.yml"),
    show_default=True,
)
@click.option(
    "--at",
    default="127.0.0.1:8000",
    show_default=True,
    help="Address and port; this machine only, unless changed.",
)
def command(config: Path, at: str) -> None:
    """Show the office's site and refresh it when a record is saved.

    Runs MkDocs with the asfitted plugin of the configuration; stop it with Ctrl-C.

    \b
    Example:
      asfitted serve
    """
    from asfitted.pages.engines import EngineFailed
    from asfitted.pages.engines.mkdocs import serve

    try:
        serve(config, at)
    except EngineFailed as error:
        raise click.ClickException(str(error)) from None
