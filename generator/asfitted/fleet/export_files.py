"""The tables written: one SQLite file, or a folder of CSV or Parquet files, aside first and then swapped in whole."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from asfitted.fleet.csv_text import Cell, write_rows
from asfitted.fleet.export import MEANING_COLUMNS, TABLES, VIEWS, Row, Sink, meanings
from asfitted.fleet.table import Table, Type
from asfitted.pages.tree import file_aside, written_aside

FORMATS = ("sqlite", "csv", "parquet")
MARK = 0x41534654
"""What says in the head of an SQLite file that this program made it (``PRAGMA application_id``)."""
NO_PARQUET = "writing Parquet needs the library pyarrow; install it with: pip install 'asfitted[parquet]'"
_SQL: dict[Type, str] = {"text": "TEXT", "whole": "INTEGER", "real": "REAL", "truth": "INTEGER", "day": "TEXT"}


class NotWritten(Exception):  # noqa: N818 - says what happened
    """The tables cannot be written; carries why, and what to do."""


@contextmanager
def sink_for(form: str, target: Path) -> Iterator[Sink]:
    """Give where rows go for a form: ``sqlite``, ``csv`` or ``parquet``; at the end of a good run all stands in place.

    Raises:
        NotWritten: when the target holds something else, the disk refuses, or a library is missing.
    """
    makers = {"sqlite": _sqlite, "csv": _csv, "parquet": _parquet}
    try:
        with makers[form](target) as sink:
            yield sink
    except OSError as error:
        raise NotWritten(f"{target}: {error.strerror or error}") from None
    except sqlite3.Error as error:
        raise NotWritten(f"{target}: {error}") from None


@contextmanager
def _sqlite(target: Path) -> Iterator[Sink]:
    _refuse_other_file(target)
    with file_aside(target) as aside, closing(sqlite3.connect(aside)) as data:
        data.executescript(schema())
        data.executemany("INSERT INTO meaning VALUES (?, ?, ?, ?, ?)", meanings())

        def sink(table: Table[Any], rows: Sequence[Row]) -> None:
            places = ", ".join("?" * len(table.every_column))
            data.executemany(
                f"INSERT INTO {table.name} VALUES ({places})",  # noqa: S608 - names of ours
                [tuple(map(_plain, row)) for row in rows],
            )

        yield sink
        data.commit()


def schema() -> str:
    """Give the SQL that makes the tables and views, with the meaning of each column as a comment beside it."""
    made = [f"PRAGMA application_id = {MARK};", "PRAGMA user_version = 1;", "PRAGMA journal_mode = OFF;"]
    for table in TABLES:
        keys = [f"PRIMARY KEY ({', '.join(table.primary_key)})"]
        keys += [
            f"FOREIGN KEY ({', '.join(ref.columns)}) REFERENCES {ref.table} ({', '.join(_key_of(ref.table))})"
            for ref in table.refers
        ]
        columns = [_declared(table, number) for number in range(len(table.every_column))]
        parts = [f"  {name}{',' if keys else ''} -- {means}" for name, means in columns]
        made.append(f"CREATE TABLE {table.name} ( -- {table.means}\n" + "\n".join([*parts, "  " + ",\n  ".join(keys)]))
        made.append(") WITHOUT ROWID;")
    made.append("CREATE TABLE meaning (table_name TEXT, column_name TEXT, type TEXT, unit TEXT, means TEXT,")
    made.append("  PRIMARY KEY (table_name, column_name));")
    made += [f"CREATE VIEW {view.name} AS {view.sql};" for view in VIEWS]
    return "\n".join(made) + "\n"


def _declared(table: Table[Any], number: int) -> tuple[str, str]:
    column = table.every_column[number]
    needed = " NOT NULL" if column.name in table.primary_key else ""
    return f"{column.name} {_SQL[column.type]}{needed}", column.means + (f", {column.unit}" if column.unit else "")


def _key_of(name: str) -> tuple[str, ...]:
    return next(table.primary_key for table in TABLES if table.name == name)


def _plain(cell: Cell) -> Cell:
    return cell.isoformat() if isinstance(cell, date) else int(cell) if isinstance(cell, bool) else cell


@contextmanager
def _csv(target: Path) -> Iterator[Sink]:
    _refuse_other_folder(target, "csv")
    with written_aside(target) as folder, ExitStack() as open_files:

        def opened(name: str, heads: Sequence[str]) -> Any:
            file = open_files.enter_context((folder / f"{name}.csv").open("w", encoding="utf-8", newline=""))
            write_rows(file, [heads])
            return file

        files = {table.name: opened(table.name, [c.name for c in table.every_column]) for table in TABLES}
        write_rows(opened("meaning", MEANING_COLUMNS), meanings())

        def sink(table: Table[Any], rows: Sequence[Row]) -> None:
            write_rows(files[table.name], (map(_plain, row) for row in rows))

        yield sink
        open_files.close()  # before the folder takes its place


@contextmanager
def _parquet(target: Path) -> Iterator[Sink]:
    _refuse_other_folder(target, "parquet")
    pa, parquet = need_parquet()
    types = {
        "text": pa.string(),
        "whole": pa.int64(),
        "real": pa.float64(),
        "truth": pa.bool_(),
        "day": pa.date32(),
    }
    schemas = {
        table.name: pa.schema(
            [
                pa.field(column.name, types[column.type], metadata={"means": column.means, "unit": column.unit})
                for column in table.every_column
            ],
            metadata={"means": table.means},
        )
        for table in TABLES
    }
    schemas["meaning"] = pa.schema([pa.field(name, pa.string()) for name in MEANING_COLUMNS])
    with written_aside(target) as folder, ExitStack() as open_files:
        files = {
            name: open_files.enter_context(parquet.ParquetWriter(folder / f"{name}.parquet", schema))
            for name, schema in schemas.items()
        }
        waiting: dict[str, list[Row]] = {name: [] for name in schemas}

        def write(name: str) -> None:
            columns = zip(*waiting[name], strict=True) if waiting[name] else [[] for _ in schemas[name]]
            made = [pa.array(list(cells), field.type) for cells, field in zip(columns, schemas[name], strict=True)]
            files[name].write_table(pa.Table.from_arrays(made, schema=schemas[name]))
            waiting[name].clear()

        def sink(table: Table[Any], rows: Sequence[Row]) -> None:
            waiting[table.name] += rows
            if len(waiting[table.name]) >= _ROW_GROUP:
                write(table.name)

        waiting["meaning"] += meanings()
        yield sink
        for name in schemas:
            write(name)
        open_files.close()


_ROW_GROUP = 50_000
"""Rows kept in memory before a group of them is written."""


def need_parquet() -> tuple[Any, Any]:
    """Give the library for Parquet.

    Raises:
        NotWritten: when it is missing.
    """
    try:
        import pyarrow as pa
        from pyarrow import parquet
    except ImportError:
        raise NotWritten(NO_PARQUET) from None
    return pa, parquet


def _refuse_other_file(target: Path) -> None:
    """Refuse to replace what is no earlier export."""
    if target.is_dir():
        raise NotWritten(f"{target} is a folder; name a file, such as {target / 'homes.sqlite'}")
    if target.exists():
        with target.open("rb") as file:
            head = file.read(72)
        if head[:16] != b"SQLite format 3\0" or head[68:72] != MARK.to_bytes(4, "big"):
            raise NotWritten(f"{target} is there and is no earlier export; name another file")


def _refuse_other_folder(target: Path, ending: str) -> None:
    """Refuse to replace a folder that holds anything but an earlier export."""
    if not target.exists():
        return
    if not target.is_dir():
        raise NotWritten(f"{target} is a file; name a folder")
    ours = {f"{name}.{ending}" for name in ("meaning", *(table.name for table in TABLES))}
    if other := sorted(entry.name for entry in target.iterdir() if entry.name not in ours):
        raise NotWritten(f"{target} holds other things, such as {other[0]!r}; name a new folder")
