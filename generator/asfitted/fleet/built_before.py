"""What was built before, so that what has not changed is left alone. Safe to delete: then all is built again."""

import json
import sqlite3
from dataclasses import asdict, dataclass, field
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

from asfitted.fleet.inputs import Seen

_TABLE = "CREATE TABLE IF NOT EXISTS built (name TEXT PRIMARY KEY, fact TEXT NOT NULL, digest TEXT NOT NULL)"


@dataclass(frozen=True)
class Fact:
    """One site as it was built: from what, on which day, until when no task's state changes, and its folder."""

    inputs: str
    on: str
    until: str | None
    pages: int
    folder: tuple[int, int] | None
    photos: Seen = field(default_factory=dict)


class BuiltBefore:
    """A file of facts, each with its digest: a fact that was damaged is none, and a damaged file begins anew."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._open: sqlite3.Connection | None = None

    def facts(self) -> dict[str, Fact]:
        """Give all that is known, by the names of the sites."""
        try:
            rows = self._connection().execute("SELECT name, fact, digest FROM built").fetchall()
        except (sqlite3.Error, OSError):
            self.forget()
            return {}
        return {name: fact for name, text, digest in rows if (fact := _fact(name, text, digest))}

    def keep(self, name: str, fact: Fact) -> None:
        """Keep a fact. One that cannot be kept costs time at the next build, and nothing else."""
        text = json.dumps(asdict(fact), sort_keys=True)
        try:
            with self._connection() as connection:
                connection.execute("INSERT OR REPLACE INTO built VALUES (?, ?, ?)", (name, text, _digest(name, text)))
        except (sqlite3.Error, OSError):
            self.forget()

    def forget(self) -> None:
        """Begin anew."""
        self.close()
        for end in ("", "-wal", "-shm"):
            self._file.with_name(self._file.name + end).unlink(missing_ok=True)

    def close(self) -> None:
        """Let go of the file."""
        if self._open is not None:
            self._open.close()
            self._open = None

    def _connection(self) -> sqlite3.Connection:
        if self._open is None:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            self._open = sqlite3.connect(self._file)
            self._open.execute("PRAGMA journal_mode=WAL")
            self._open.execute("PRAGMA synchronous=NORMAL")
            self._open.execute(_TABLE)
        return self._open


def folder_seen(folder: Path) -> tuple[int, int] | None:
    """Tell one folder from another of the same name; None where there is none."""
    try:
        seen = folder.stat()
    except OSError:
        return None
    return seen.st_ino, seen.st_mtime_ns


def fact_is_fresh(fact: Fact, on: date, days: int) -> bool:
    """Say whether a site may stand on a day, by when it was built: that day, or so many before with no date between."""
    built = date.fromisoformat(fact.on)
    until = date.fromisoformat(fact.until) if fact.until else on
    return built == on or (0 < (on - built).days <= days and on <= until)


def _fact(name: str, text: Any, digest: Any) -> Fact | None:
    if _digest(name, text) != digest:
        return None
    read = json.loads(text)
    return Fact(**read | {"folder": tuple(read["folder"]) if read["folder"] else None})


def _digest(name: object, text: object) -> str:
    return sha256(f"{name}\n{text}".encode("utf-8", "surrogateescape")).hexdigest()
