"""``asfitted learned``."""

import json
import sys
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfitted.cli.options import EXIT_UNUSABLE, chosen, home_argument, homes_option, on_option

if TYPE_CHECKING:
    from asfitted.pages.views.office_learned import LearnedView


@click.command()
@home_argument
@homes_option
@on_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(home: tuple[str, ...], homes: Path, on: date, form: str) -> None:
    """Say what the visits to all homes show: false alarms, low batteries, lives of batteries.

    Each figure comes with its counts and with the limits between which the true one lies, 95 times in 100; below a
    stated number of events and years nothing is said. Figures advise: they replace no maker's life, no rule and no
    local code.

    \b
    Exit status:
      0  all homes were counted
      2  the record of a home could not be used; the others were counted

    \b
    Examples:
      asfitted learned
      asfitted learned --on 2026-12-31 --format json
    """
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.load import load_homes
    from asfitted.pages.views.office_learned import learned_view

    loaded = load_homes(homes, on, chosen(homes, home), with_revision=False)
    for trouble in (trouble for item in loaded for trouble in item.troubles):
        show_trouble(trouble)
    view = learned_view([item.dossier for item in loaded if item.dossier], on)
    if form == "json":
        click.echo(json.dumps(_data(view, on), indent=2, ensure_ascii=True))
    else:
        _show(view, on)
    if any(item.dossier is None for item in loaded):
        sys.exit(EXIT_UNUSABLE)


def _show(view: "LearnedView", on: date) -> None:
    from asfitted.cli.terminal import heading, say, table_of

    homes, devices = view.homes, view.seen.devices
    say(
        f"Counted up to {on} in {homes} home{'s' * (homes != 1)}: {devices} device{'s' * (devices != 1)}, "
        f"{view.years} device-years."
    )
    say(f"Figures from {view.least_events} events and {view.least_years} years on, with their limits of 95 in 100.")
    if view.nothing:
        say("There is too little to say anything yet; these are the counts.")
    for table in view.tables:
        heading(table.title)
        rows = [[row.name, str(row.events), row.years, row.says] for row in (*table.rows, *table.places)]
        if rows:
            table_of(rows, ["device", "counted", "device-years", "a device, in a year"], right=[1, 2])
        if table is view.tables[0] and view.seen.false_alarms:
            say(f"{view.seen.false_alarms} in all; of {view.seen.not_told} of them the kind of device is not told.")
    heading("Lives of batteries, as parts of the life the record gives")
    lives = [[row.name, str(row.batteries), str(row.ended), row.lasting, row.half] for row in view.lives]
    if lives:
        table_of(lives, ["device and battery", "seen", "low", "last it", "half last"], right=[1, 2])
    say("Advice: makers' lives, rules and local codes come first.")


def _data(view: "LearnedView", on: date) -> dict[str, object]:
    return {
        "on": on.isoformat(),
        "homes": view.homes,
        "devices": view.seen.devices,
        "device years": round(view.seen.years, 3),
        "false alarms": view.seen.false_alarms,
        "kind not told": view.seen.not_told,
        "least events": view.least_events,
        "least years": view.least_years,
        "rates": [
            {"of": table.title, "by": by, **asdict(row)}
            for table in view.tables
            for by, rows in (("kind", table.rows), ("kind and place", table.places))
            for row in rows
        ],
        "lives": [asdict(row) for row in view.lives],
    }
