"""The records as tables, for any reporting tool: which tables there are, what they mean, and how they are filled."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from asfitted.fleet.csv_text import Cell
from asfitted.fleet.export_devices import DEVICES, LINKS, SOUND_LEVELS, TESTS, VISITS
from asfitted.fleet.export_dwelling import FITTINGS, HOMES, OPENINGS, ROOMS, STOREYS
from asfitted.fleet.export_work import FINDINGS, TASKS, UNUSABLE, VARIATIONS, unusable_rows
from asfitted.fleet.load import Loaded
from asfitted.fleet.table import Table

TABLES: tuple[Table[Any], ...] = (
    *(HOMES, STOREYS, ROOMS, OPENINGS, FITTINGS, DEVICES, LINKS, VISITS, TESTS, SOUND_LEVELS),
    *(FINDINGS, TASKS, VARIATIONS, UNUSABLE),
)
"""Every table, each behind those it refers to."""

Row = tuple[Cell, ...]
Sink = Callable[[Table[Any], Sequence[Row]], None]
"""Where rows go: takes a table and some more of its rows."""


@dataclass(frozen=True, slots=True)
class View:
    """A question that is asked often, ready to be asked in SQLite. ``sql`` is one SELECT."""

    name: str
    means: str
    sql: str


VIEWS = (
    View(
        "due",
        "every task with its home and, where it is about one, its device",
        "SELECT task.due, task.latest, task.home, home.label, task.title, task.who, task.device, device.kind,"
        " device.room, device.battery_type FROM task JOIN home USING (home) LEFT JOIN device USING (home, device)",
    ),
    View(
        "falls_short",
        "every finding that does not conform, with its home",
        "SELECT finding.home, home.label, finding.rule, finding.title, finding.severity, finding.subject_kind,"
        " finding.subject, finding.room, finding.found, finding.least, finding.most, finding.unit"
        " FROM finding JOIN home USING (home) WHERE finding.verdict = 'does not conform'",
    ),
    View(
        "device_age",
        "every device with its age in years of 365.25 days on the day of the export",
        "SELECT device.home, device.device, device.kind, device.model, device.made,"
        " round((julianday(home.judged_on) - julianday(device.made)) / 365.25, 2) AS years"
        " FROM device JOIN home USING (home)",
    ),
)
"""The views of the SQLite file."""


def export(loaded: Iterable[Loaded], sink: Sink) -> list[str]:
    """Send the rows of homes to where they go, home by home; tell which homes cannot be used.

    Args:
        loaded: the homes, in the order in which their rows are to stand.
        sink: takes the rows.

    Returns:
        The ids of homes that are in no table but ``unusable``.
    """
    unusable = []
    for item in loaded:
        if item.dossier is None:
            unusable.append(item.id)
            sink(UNUSABLE, list(unusable_rows(item)))
            continue
        for table in TABLES:
            sink(table, list(table.rows(item.dossier)))
    return unusable


def meanings() -> Iterator[Row]:
    """Give what the table ``meaning`` holds: of every column its table, name, type, unit and meaning."""
    for table in TABLES:
        for column in table.every_column:
            yield table.name, column.name, column.type, column.unit or None, column.means


MEANING_COLUMNS = ("table_name", "column_name", "type", "unit", "means")
"""The columns of the table ``meaning``."""


def as_markdown() -> str:
    """Say in Markdown what every table and column means, as the handbook shows it."""
    lines: list[str] = []
    for table in TABLES:
        refers = "; ".join(f"{', '.join(_code(name) for name in ref.columns)} → `{ref.table}`" for ref in table.refers)
        lines += [f"### {table.name}", "", f"{table.means[:1].upper()}{table.means[1:]}.", ""]
        lines += [
            f"Key: {', '.join(_code(name) for name in table.primary_key)}." + (f" Refers: {refers}." if refers else "")
        ]
        lines += ["", "| column | type | unit | meaning |", "| --- | --- | --- | --- |"]
        lines += [
            f"| `{column.name}` | {column.type} | {column.unit} | {column.means} |" for column in table.every_column
        ]
        lines.append("")
    lines += ["### Views", "", "In the SQLite file only.", ""]
    lines += [f"- `{view.name}`: {view.means}" for view in VIEWS]
    return "\n".join(lines) + "\n"


def _code(name: str) -> str:
    return f"`{name}`"
