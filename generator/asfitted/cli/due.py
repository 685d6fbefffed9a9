"""``asfitted due``."""

from datetime import date, timedelta
from pathlib import Path

import click

from asfitted.cli.options import EXIT_UNUSABLE, DayType, chosen, home_argument, homes_option, on_option


@click.command()
@home_argument
@homes_option
@on_option
@click.option("--by", type=DayType(), help="The last day to list; 30 days ahead unless given.")
@click.option("--who", type=click.Choice(["household", "technician"]), help="Only what one of the two does.")
def command(home: tuple[str, ...], homes: Path, on: date, by: date | None, who: str | None) -> None:
    """List what is due by a day, what is overdue first.

    \b
    Examples:
      asfitted due --by 2026-12-31
      asfitted due mill-cottage --who technician
    """
    import sys

    from asfitted.cli.terminal import clean, console, show_trouble, table_of
    from asfitted.fleet.load import load_homes
    from asfitted.upkeep.due import due_by, grouped

    last = by or on + timedelta(days=30)
    loaded = load_homes(homes, on, chosen(homes, home), with_revision=False)
    rows = []
    for item in loaded:
        for trouble in item.troubles:
            show_trouble(trouble)
        for group in grouped(due_by(item.dossier.tasks, last)) if item.dossier else ():
            who_does = group.interval.who
            if who in (None, who_does):
                late = f"{(on - group.due).days} days overdue" if group.due < on else ""
                what = ", ".join(group.tags) or "system"
                rows.append([group.due.isoformat(), item.id, group.interval.title, what, who_does, late])
    rows.sort()
    if rows:
        table_of(rows, ["due", "home", "what", "on", "who", ""])
    else:
        console().print(f"Nothing is due by {last}.")
    for item in loaded:
        for unknown in item.dossier.undated if item.dossier else ():
            console().print(
                clean(f"{item.id}: {unknown.tag} has no date for “{unknown.interval.title}”: {unknown.why}.")
            )
    if any(item.dossier is None for item in loaded):
        sys.exit(EXIT_UNUSABLE)
