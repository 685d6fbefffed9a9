"""Tables as CSV by RFC 4180: UTF-8, a head line, line ends of CR and LF; no cell that a spreadsheet would work out.

A text that begins like a formula gets an apostrophe in front: = + - @, tab and NUL by OWASP ASVS 5.0, requirement
1.2.10 (read); carriage return, line feed and the full-width signs by the OWASP page "CSV Injection" (from memory).
Numbers are written as they are. Where the text itself is needed, SQLite and Parquet put nothing in front.
"""

import csv
import io
from collections.abc import Iterable
from datetime import date
from typing import TextIO

Cell = str | int | float | date | None
"""What a table may hold; a truth is 0 or 1, and None what the record does not say."""
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
"""What a text must not begin with."""


def write_rows(file: TextIO, rows: Iterable[Iterable[Cell]]) -> None:
    """Write rows to a text file that was opened with ``newline=""``; what is not known becomes an empty cell."""
    csv.writer(file).writerows([_harmless(cell) for cell in row] for row in rows)


def csv_text(rows: Iterable[Iterable[Cell]]) -> str:
    """Give rows as CSV."""
    file = io.StringIO(newline="")
    write_rows(file, rows)
    return file.getvalue()


def _harmless(cell: Cell) -> Cell:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA) else cell
