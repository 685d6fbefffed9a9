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
@click.option("--visits", is_flag=True, help="The technician's visits ahead instead, as few as can be.")
@click.option("--forecast", is_flag=True, help="What to buy by which quarter instead.")
@click.option(
    "--years", type=click.IntRange(1, 20), default=3, show_default=True, help="How far ahead visits are planned."
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "csv"]),
    default="text",
    show_default=True,
    help="Of visits and forecast.",
)
def command(
    home: tuple[str, ...],
    homes: Path,
    on: date,
    by: date | None,
    who: str | None,
    form: str,
    years: int,
    *,
    visits: bool,
    forecast: bool,
) -> None:
    """List what is due by a day, what is overdue first.

    With --visits, bundle the technician's tasks and what falls short into visits for the years ahead; with
    --forecast, list the batteries and devices that those visits and the household use up. What is overdue then is
    planned within a fortnight.

    \b
    Examples:
      asfitted due --by 2026-12-31
      asfitted due mill-cottage --who technician
      asfitted due mill-cottage --visits --years 5
      asfitted due --forecast --format csv
    """  # fmt: skip
    if visits and forecast:
        raise click.UsageError("--visits and --forecast are two lists; ask for one.")
    if (visits or forecast) and (by or who):
        raise click.UsageError("--by and --who belong to the list of what is due; visits take --years.")
    if form != "text" and not (visits or forecast):
        raise click.UsageError("--format belongs to --visits and --forecast.")
    if visits or forecast:
        _ahead(home, homes, on, years, form, visits=visits)
    else:
        _due(home, homes, on, by or on + timedelta(days=30), who)


def _ahead(home: tuple[str, ...], homes: Path, on: date, years: int, form: str, *, visits: bool) -> None:
    import sys

    from dateutil.relativedelta import relativedelta

    from asfitted.cli.due_ahead import show_forecast, show_visits
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.load import load_homes
    from asfitted.upkeep.board import plan_home

    until = on + relativedelta(years=years)
    loaded = load_homes(homes, on, chosen(homes, home), with_revision=False)
    for trouble in (trouble for item in loaded for trouble in item.troubles):
        show_trouble(trouble)
    plans = [
        plan_home(item.id, item.dossier.home, item.dossier.tasks, item.dossier.findings, on, until)
        for item in loaded
        if item.dossier
    ]
    (show_visits if visits else show_forecast)(plans, on, until, form)
    if len(plans) < len(loaded):
        sys.exit(EXIT_UNUSABLE)


def _due(home: tuple[str, ...], homes: Path, on: date, last: date, who: str | None) -> None:
    import sys

    from asfitted.cli.terminal import clean, console, show_trouble, table_of
    from asfitted.fleet.load import load_homes
    from asfitted.upkeep.due import due_by, grouped

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
