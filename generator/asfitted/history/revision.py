"""The revision of a record."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Revision:
    """The last commit that touched a record: short id and day; both None when there is none.

    ``changed`` is true when the record on disk is not the one that was committed.
    """

    commit: str | None = None
    day: date | None = None
    changed: bool = False

    @property
    def words(self) -> str:
        """The revision in words for a title block."""
        if self.commit is None:
            return "not committed"
        return f"{self.commit} of {self.day}" + (", changed since" if self.changed else "")
