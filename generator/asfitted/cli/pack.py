"""``asfitted pack``."""

from datetime import date
from pathlib import Path

import click

from asfitted.cli.options import homes_option, on_option
from asfitted.cli.paper import need_pdf, paper_options, read_home, write


@click.command()
@click.argument("home")
@homes_option
@on_option
@paper_options
def command(home: str, homes: Path, on: date, to: Path | None, config: Path, *, html: bool) -> None:
    """Make the hand-over pack of a home: one document on A4, as a print-ready page and as a PDF.

    What to do when it sounds, ways out, how to test, the year ahead, batteries and cautions, in the words of the
    household's site; then as-fitted drawings to scale, devices, test results, a statement of what was checked with all
    that falls short or is not proven, and room for signatures by role. It names the record's revision and SHA-256,
    which "asfitted compare" takes.

    \b
    Examples:
      asfitted pack mill-cottage
      asfitted pack mill-cottage --html --to /media/stick
    """
    from asfitted.pages.pack import hand_over_pack

    if not html:
        need_pdf()
    loaded, settings = read_home(home, homes, on, config)
    assert loaded.dossier is not None
    page = hand_over_pack(loaded.dossier, settings.firm, loaded.reading.digest)
    write("hand-over-pack", page, to or Path("site") / "paper" / loaded.id, html=html)
