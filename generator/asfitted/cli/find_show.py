"""What a search found, on the terminal, as JSON and as CSV. Text from records is made harmless."""

import json
from datetime import date

import click

from asfitted.cli.terminal import heading, say, table_of
from asfitted.fleet.csv_text import csv_text
from asfitted.fleet.find import Search, Wanted
from asfitted.pages.views.affected import ASKED, COLUMNS


def as_text(found: Search) -> None:
    """Print two tables, affected and may be, and what the search does not cover."""
    for items, title in ((found.certain, "Affected"), (found.possible, "May be affected: the record does not tell")):
        if items:
            heading(title)
            rows = [
                [
                    item.home,
                    item.subject,
                    "\n".join(filter(None, [item.kind, *(f"{name} {value}" for name, value in item.printed)])),
                    "\n".join(
                        filter(None, [item.where, *item.verdicts, *(f"not recorded: {x}" for x in item.to_look_for)])
                    ),
                ]
                for item in items
            ]
            table_of(rows, ["home", "tag", "what", "where"])
    homes = len({item.home for item in found.found})
    heading(f"{len(found.certain)} affected and {len(found.possible)} that may be, in {homes} of {found.homes} homes.")
    for names, count in found.untold.items():
        lack = " and ".join(ASKED[name] for name in names)
        say(f"Of {count} more the record does not tell the {lack}; ask for a kind or a model as well to list them.")
    if found.not_searched:
        say(f"Not searched, as the record cannot be used: {', '.join(found.not_searched)}.")
    say("What was taken down before today stands in the history of a record only, and was not searched.")


def as_json(found: Search, wanted: Wanted, on: date) -> None:
    """Print what was looked for, where, and what was found."""
    data = {
        "on": on.isoformat(),
        "looked-for": {name: list(values) for name, values in wanted.words.items()},
        "homes-searched": found.homes,
        "homes-not-searched": list(found.not_searched),
        "not-told": [{"lacks": list(names), "devices": count} for names, count in found.untold.items()],
        "found": [
            {**item.row, "certain": item.certain, "verdicts": list(item.verdicts), "lacks": list(item.lacks)}
            for item in found.found
        ],
    }
    click.echo(json.dumps(data, indent=2, ensure_ascii=True))


def as_csv(found: Search) -> str:
    """Give what was found as CSV, one row a device."""
    return csv_text([COLUMNS, *([item.row[column] for column in COLUMNS] for item in found.found)])
