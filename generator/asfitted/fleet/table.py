"""What a table of the export is: its columns with type, unit and meaning, its keys, and how its rows are got."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar, get_args, get_origin, get_type_hints

from asfitted.fleet.csv_text import Cell
from asfitted.model.base import Value
from asfitted.model.quantity import Charge, Current, Duration, Length, Level, Received
from asfitted.model.scalar import Count, Day, Id, Month, Tag, Text, YesNo
from asfitted.pages.dossier import Dossier

Type = Literal["text", "whole", "real", "truth", "day"]
"""Type of a column: text, a whole or a real number, 1 or 0 (yes or no), or a day written year-month-day."""

Item = TypeVar("Item")


@dataclass(frozen=True)
class Column(Generic[Item]):
    """One column. ``means`` is what it says, in a phrase; ``get`` takes its cell from what a row is about."""

    name: str
    type: Type
    means: str
    get: Callable[[Item], Cell]
    unit: str = ""


@dataclass(frozen=True)
class Refers:
    """Columns that name a row of another table by its key, or hold nothing in the last of them."""

    columns: tuple[str, ...]
    table: str


@dataclass(frozen=True)
class Table(Generic[Item]):
    """One table: a row for each of the ``items`` of a home, led by the id of the home.

    Attributes:
        name: of the table.
        means: what one row is.
        columns: behind the id of the home.
        key: columns behind the id of the home that name a row.
        items: what the rows are about.
        refers: to which tables.
    """

    name: str
    means: str
    columns: tuple[Column[Item], ...]
    key: tuple[str, ...]
    items: Callable[[Dossier], Iterable[Item]]
    refers: tuple[Refers, ...] = ()

    @property
    def every_column(self) -> tuple[Column[Any], ...]:
        """The columns with that of the home."""
        return HOME, *self.columns

    @property
    def primary_key(self) -> tuple[str, ...]:
        """The columns that name a row."""
        return HOME.name, *self.key

    def rows(self, dossier: Dossier) -> Iterator[tuple[Cell, ...]]:
        """Give the rows of a home, in the order of its record."""
        for item in self.items(dossier):
            yield dossier.id, *(column.get(item) for column in self.columns)


HOME: Column[Any] = Column("home", "text", "id of the home: the name of its folder", lambda _: "")
"""The first column of every table."""

_KNOWN: tuple[tuple[Any, Type, str], ...] = (
    (Length, "real", "m"),
    (Duration, "real", "s"),
    (Level, "real", "dB"),
    (Received, "real", "dBm"),
    (Current, "real", "A"),
    (Charge, "real", "Ah"),
    (Count, "whole", ""),
    (YesNo, "truth", ""),
    (Day, "day", ""),
    (Month, "day", ""),
)
_WORDS = (Text, Id, Tag)


def of_model(
    model: type[Value], *names: str, of: Callable[[Any], Any] = lambda item: item, also: str = ""
) -> tuple[Column[Any], ...]:
    """Give columns for fields of a part of the record, with the meaning that the record format gives them.

    Args:
        model: the part.
        names: its fields.
        of: how to get from what a row is about to the part; None where the record has none.
        also: put in front of each name.
    """
    hints = get_type_hints(model, include_extras=True)
    return tuple(_column(model, name, hints[name], of, also) for name in names)


def _column(model: type[Value], name: str, hint: Any, of: Callable[[Any], Any], also: str) -> Column[Any]:
    kind, unit = _type_of(hint)
    means = model.model_fields[name].description or ""

    def get(item: Any) -> Cell:
        part = of(item)
        found: Cell = None if part is None else getattr(part, name)
        return found

    return Column(also + name.rstrip("_"), kind, means, get, unit)


def _type_of(hint: Any) -> tuple[Type, str]:
    """Give type and unit of a column for what the record format takes: one of the known, or words.

    Raises:
        TypeError: for anything else, so that no new kind of value becomes text unseen.
    """
    options = [hint, *get_args(hint)]
    for known, kind, unit in _KNOWN:
        if known in options:
            return kind, unit
    if str in options or any(option in _WORDS or get_origin(option) is Literal for option in options):
        return "text", ""
    raise TypeError(f"no column can hold {hint}")
