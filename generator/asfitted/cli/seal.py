"""``asfitted seal``."""

import os
import sys
from datetime import date
from pathlib import Path

import click

from asfitted.cli.options import homes_option, on_option
from asfitted.cli.paper import read_home

LONGEST = 1024
"""Characters of a passphrase; more is another file by mistake."""


@click.command()
@click.argument("home")
@homes_option
@on_option
@click.option(
    "--to", type=click.Path(path_type=Path, dir_okay=False), show_default="site/sealed/HOME/sealed.html",
    help="The file to write.",
)  # fmt: skip
@click.option(
    "--passphrase-file", type=click.Path(path_type=Path, dir_okay=False, allow_dash=True), metavar="FILE",
    help="Read the passphrase from the one line of this file, or from standard input with “-”.",
)  # fmt: skip
@click.option("--suggest", is_flag=True, help="Make a passphrase up and show it once, on the terminal.")
@click.option(
    "--config", type=click.Path(path_type=Path, dir_okay=False), default=Path("mkdocs.yml"), show_default=True,
    help="Where the firm's name and details stand.",
)  # fmt: skip
def command(
    home: str, homes: Path, on: date, to: Path | None, passphrase_file: Path | None, config: Path, *, suggest: bool
) -> None:
    """Seal a household's site with a passphrase, into one file to send or to put on a web server.

    Pages, drawings, search and calendar are encrypted; the file opens in a browser, without a network. The passphrase
    is asked for and shown nowhere. It is never taken from the command line or the environment, where others can read
    it. Give it to the household by another way than the file. Nobody can open the file without it.

    \b
    Examples:
      asfitted seal mill-cottage
      asfitted seal mill-cottage --suggest --to /media/stick/sealed.html
    """
    from asfitted.cli.terminal import clean, console
    from asfitted.fleet.sealing import put, sealed_household
    from asfitted.pages.engine import EngineFailed

    _need_library()
    loaded, settings = read_home(home, homes, on, config)
    assert loaded.dossier is not None
    facts = loaded.dossier.home.home
    known = tuple(name for name in (loaded.dossier.id, facts.label, facts.reference, settings.firm.name) if name)
    passphrase = _passphrase(passphrase_file, known, suggest=suggest)
    file = to or Path("site") / "sealed" / loaded.dossier.id / "sealed.html"
    try:
        put(sealed_household(loaded.dossier, settings, passphrase, os.urandom), file)
    except EngineFailed as error:
        raise click.ClickException(f"not sealed: the site engine stopped: {error}") from None
    except OSError as error:
        raise click.ClickException(f"not sealed: {error.strerror or error} ({error.filename})") from None
    console().print(clean(f"{file.as_posix()}: sealed"))


def _need_library() -> None:
    """Say before anything is asked that the library that encrypts is missing."""
    try:
        import cryptography  # noqa: F401
    except ImportError:
        raise click.ClickException(
            "sealing needs the library cryptography; install it with: pip install 'asfitted[sealed]'"
        ) from None


def _passphrase(file: Path | None, known: tuple[str, ...], *, suggest: bool) -> str:
    """Get the passphrase: made up, from a file, or by asking twice.

    Raises:
        click.ClickException: when it is too weak or cannot be had.
    """
    from asfitted.pages.sealed import made_up_passphrase, passphrase_trouble

    if suggest:
        if file is not None:
            raise click.UsageError("--suggest and --passphrase-file exclude each other")
        if not sys.stderr.isatty():
            raise click.UsageError("--suggest shows a passphrase on a terminal only, so that no log keeps it")
        made_up = made_up_passphrase(os.urandom)
        click.echo(f"Passphrase, shown this once: {made_up}", err=True)
        return made_up
    passphrase = _from_file(file) if file is not None else _asked()
    if trouble := passphrase_trouble(passphrase, known):
        raise click.ClickException(trouble)
    return passphrase


def _asked() -> str:
    if not sys.stdin.isatty():
        raise click.UsageError("there is no terminal to ask for the passphrase on; use --passphrase-file")
    given: str = click.prompt("Passphrase", hide_input=True, confirmation_prompt="The same once more", err=True)
    return given


def _from_file(file: Path) -> str:
    try:
        data = sys.stdin.buffer.read(LONGEST * 4) if str(file) == "-" else file.read_bytes()
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise click.ClickException(f"{file}: not a text in UTF-8") from None
    except OSError as error:
        raise click.ClickException(f"{file}: {error.strerror or error}") from None
    lines = text.splitlines()
    if len(lines) != 1 or len(lines[0]) > LONGEST:
        raise click.ClickException(f"{file}: expected the passphrase alone, on one line")
    return lines[0]
