"""``asfitted labels``."""

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
@click.option(
    "--sheet", default="medium", show_default=True, metavar="SHEET",
    help="small (4x9 of 45x28 mm), medium (3x8 of 60x32), large (2x5 of 90x50), or your own, such as “3x7 of 62x36”.",
)  # fmt: skip
def command(home: str, homes: Path, on: date, to: Path | None, config: Path, sheet: str, *, html: bool) -> None:
    """Make a sheet of labels on A4, one a device, with a QR code, the tag, the kind and the home's id.

    The code says the address of the device's card on the household's site where extra.firm.sites of the configuration
    gives the address under which the sites are served; otherwise the home's id and the tag, and nothing else.

    \b
    Examples:
      asfitted labels mill-cottage
      asfitted labels mill-cottage --sheet "2x8 of 80x34" --html
    """
    from asfitted.pages.labels import NoLabels, label_sheet, labels_page

    if not html:
        need_pdf()
    try:
        layout = label_sheet(sheet)
        loaded, settings = read_home(home, homes, on, config)
        assert loaded.dossier is not None
        page = labels_page(loaded.dossier, settings.firm, layout)
    except NoLabels as error:
        raise click.ClickException(f"{error}.") from None
    write("labels", page, to or Path("site") / "paper" / loaded.id, html=html)
