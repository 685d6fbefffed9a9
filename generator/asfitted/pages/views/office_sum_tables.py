"""What the calculations of a topic come to: a sentence, and tables whose rows lead to the workings."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from asfitted.pages.dossier import Dossier
from asfitted.pages.wording import listed
from asfitted.reckon.sums import Sum, opening_words, room_called


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table; ``anchor`` is the working it comes from, empty for none."""

    cells: tuple[str, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of results: its caption, the heads of its columns, its rows, and a word beneath it."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class TopicOfHome:
    """A home with the calculations of one topic, each under the anchor of its working."""

    dossier: Dossier
    sums: tuple[tuple[Sum, str], ...]

    @property
    def anchors(self) -> Iterator[str]:
        """The anchors in the order of the results."""
        return (anchor for _, anchor in self.sums)

    def anchor(self, about: str) -> str:
        """Give the anchor of what is about something, empty for none."""
        return next((anchor for one, anchor in self.sums if one.about == about), "")

    def room(self, room: str) -> str:
        """Give a room as the record calls it."""
        return room_called(self.dossier.dwelling, room)

    def opening(self, opening: str) -> str:
        """Give an opening as the record calls it."""
        return opening_words(self.dossier.dwelling, opening)


Said = tuple[str, tuple[Table, ...]]
"""A sentence without a verdict, and tables; those without a row are left out of the page."""


def nothing(what: str, lost: Sequence[str]) -> str:
    """Say why there is no result: places the record does not give, or nothing of the kind."""
    if lost:
        return (
            f"Nothing is worked out: the record does not say where {listed(lost)} {'is' if len(lost) == 1 else 'are'}."
        )
    return f"Nothing is worked out: the record holds no {what}."
