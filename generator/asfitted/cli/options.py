"""Options that several commands share."""

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

EXIT_FALLS_SHORT = 1
"""Something does not conform."""
EXIT_UNUSABLE = 2
"""A record or setting could not be used."""


class DayType(click.ParamType[date]):
    """A day written year-month-day."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Read a day of the years that a record may hold."""
        if isinstance(value, date):
            return value
        try:
            day = datetime.strptime(value, "%Y-%m-%d").date()  # noqa: DTZ007 - a day has no time zone
        except ValueError:
            self.fail(f"{value!r} is not a day; write it as 2026-11-25", param, ctx)
        if not 1950 <= day.year <= 2150:
            self.fail(f"{value!r} is not within the years 1950 to 2150", param, ctx)
        return day


def _today() -> date:
    return date.today()  # noqa: DTZ011 - the day where the technician is


def on_option(command: Command) -> Command:
    """Add ``--on``, the day that stands for today."""
    option = click.option(
        "--on",
        type=DayType(),
        default=_today,
        show_default="today",
        help="The day to take for today.",
    )
    return option(command)


def homes_option(command: Command) -> Command:
    """Add ``--homes``, the folder of homes."""
    option = click.option(
        "--homes",
        type=click.Path(path_type=Path, file_okay=False),
        default=Path("homes"),
        show_default=True,
        help="The folder that holds one folder a home.",
    )
    return option(command)


def home_argument(command: Command) -> Command:
    """Add ``HOME...``, the homes to work on."""
    return click.argument("home", nargs=-1)(command)


def chosen(homes: Path, named: tuple[str, ...]) -> list[str]:
    """Give the ids of the homes named, or of all; a path to a home or to its record names it too.

    Raises:
        click.UsageError: when there is no such home, or no home at all.
    """
    from difflib import get_close_matches

    from asfitted.fleet.load import home_ids

    known = home_ids(homes)
    if not known:
        raise click.UsageError(f"no home in {homes}; start one with: asfitted new HOME")
    ids = [_id(name, homes) for name in named]
    for home in ids:
        if home not in known:
            near = get_close_matches(home, known, 1)
            more = " ..." if len(known) > 12 else ""
            hint = f"Did you mean {near[0]}?" if near else f"There are: {', '.join(known[:12])}{more}"
            raise click.UsageError(f"no home {home!r} in {homes}. {hint}")
    return ids or known


def _id(name: str, homes: Path) -> str:
    """Give the id of a home from its name, or from a path to its folder or its record."""
    if "/" not in name and "\\" not in name and name not in (".", ".."):
        return name
    path = Path(name).resolve()
    folder = path.parent if path.suffix in (".yml", ".yaml") else path
    if folder.parent != homes.resolve():
        raise click.UsageError(f"{name} is no home in {homes}; name the folder that holds it with --homes.")
    return folder.name
