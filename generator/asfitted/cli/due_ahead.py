"""The visits and purchases ahead, as text, JSON or CSV. Text from records is made harmless for each."""

import csv
import io
import json
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

import click

from asfitted.upkeep.board import HomePlan, Purchase, forecast
from asfitted.upkeep.bundle import PlannedVisit
from asfitted.upkeep.task import Task

_WIDE = 79


def show_visits(plans: Sequence[HomePlan], on: date, until: date, form: str) -> None:
    """Print the bundled visits of homes as ``text``, ``json`` or ``csv``."""
    if form == "json":
        _json({"on": on, "until": until, "homes": [_home(home) for home in plans]})
    elif form == "csv":
        _csv(_VISIT_HEADS, (row for home in plans for row in _rows(home)))
    else:
        for home in plans:
            _show_home(home, until)


def show_forecast(plans: Sequence[HomePlan], on: date, until: date, form: str) -> None:
    """Print what is wanted by quarter as ``text``, ``json`` or ``csv``."""
    rows = [_cells(bought) for bought in forecast(plans)]
    if form == "json":
        _json({"on": on, "until": until, "quarters": [dict(zip(_BUY_HEADS, row, strict=True)) for row in rows]})
    elif form == "csv":
        _csv(_BUY_HEADS, rows)
    elif rows:
        from asfitted.cli.terminal import table_of

        table_of([[str(cell) for cell in row] for row in rows], _BUY_HEADS, right=[4])
    else:
        click.echo(f"Nothing is wanted by {until}.")


_BUY_HEADS = ("quarter", "task of", "kind", "what", "count")
_VISIT_HEADS = ("home", "visit", "not before", "not after", "task", "on", "due", "earliest", "latest")


def _cells(bought: Purchase) -> tuple[str, str, str, str, int]:
    return bought.words, bought.who, bought.part.kind, bought.part.name, bought.part.count


def _show_home(home: HomePlan, until: date) -> None:
    from asfitted.cli.terminal import clean, heading

    number, least = len(home.plan.visits), home.plan.least
    heading(home.id)
    how = "no plan has fewer" if home.plan.proven else f"no plan has fewer than {least}"
    visits = f"{number} visit{'s' * (number != 1)}" if number else "No visit"
    click.echo(f"  {visits} up to {until}; {how}." if number else f"  {visits} up to {until}.")
    for visit in home.plan.visits:
        click.echo(f"  {visit.day}  not before {visit.not_before}, not after {visit.not_after}")
        for line in _lines(visit):
            click.echo(clean(line))


def _lines(visit: PlannedVisit) -> Iterable[str]:
    gathered: dict[str, list[str]] = {}
    for task in visit.tasks:
        gathered.setdefault(task.interval.title, []).append(task.tag or "")
    for title, tags in gathered.items():
        named = ", ".join(tag for tag in tags if tag)
        times = f" ({len(tags)} times)" if len(tags) > 1 and not named else ""
        yield _folded(f"{title}{': ' if named else ''}{named}{times}")
    if visit.parts:
        yield _folded(f"Bring: {', '.join(f'{part.count} x {part.name}' for part in visit.parts)}")


def _folded(line: str) -> str:
    from textwrap import fill

    return fill(line, _WIDE, initial_indent=" " * 4, subsequent_indent=" " * 6)


def _home(home: HomePlan) -> dict[str, Any]:
    return {
        "home": home.id,
        "least": home.plan.least,
        "proven": home.plan.proven,
        "visits": [
            {
                "day": visit.day,
                "not-before": visit.not_before,
                "not-after": visit.not_after,
                "tasks": [_task(task) for task in visit.tasks],
                "parts": [{"kind": part.kind, "name": part.name, "count": part.count} for part in visit.parts],
            }
            for visit in home.plan.visits
        ],
    }


def _task(task: Task) -> dict[str, Any]:
    return {
        "id": task.id,
        "title": task.interval.title,
        "on": task.tag,
        "earliest": task.earliest,
        "due": task.due,
        "latest": task.latest,
    }


def _rows(home: HomePlan) -> Iterable[Sequence[object]]:
    for visit in home.plan.visits:
        for task in visit.tasks:
            days = (visit.day, visit.not_before, visit.not_after)
            window = (task.due, task.earliest, task.latest)
            yield home.id, *days, task.interval.title, task.tag or "system", *window


def _json(value: object) -> None:
    click.echo(json.dumps(value, default=str, indent=2, ensure_ascii=False))


def _csv(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    from asfitted.cli.terminal import clean

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow([_no_formula(clean(cell)) if isinstance(cell, str) else cell for cell in row])
    click.echo(out.getvalue(), nl=False)


def _no_formula(cell: str) -> str:
    """Keep a table program from reading text of a record as a formula."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t")) else cell
