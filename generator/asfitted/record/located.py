"""Trouble with its place in a file, and its words for the terminal."""

from dataclasses import dataclass
from pathlib import Path as FilePath

from asfitted.model.base import Path, Problem, plain

Mark = tuple[int, int]
"""Line and column, both counted from 1."""


def show_path(path: Path) -> str:
    """Write a path as a person reads it: ``storeys[0].rooms[2].id``."""
    return "".join(f"[{part}]" if isinstance(part, int) else f".{plain(part)}" for part in path).removeprefix(".")


@dataclass(frozen=True, slots=True)
class Located:
    """A problem at a line and column of a file."""

    file: FilePath
    mark: Mark
    problem: Problem

    @property
    def place(self) -> str:
        """The place as ``file:line:column``."""
        return f"{self.file.as_posix()}:{self.mark[0]}:{self.mark[1]}"

    @property
    def sentence(self) -> str:
        """What is wrong, what was expected, and what to do."""
        where = show_path(self.problem.path)
        said = f"{where}: " if where else ""
        said += f"found {self.problem.found}; expected {self.problem.expected}."
        return f"{said} {self.problem.remedy}".rstrip()


@dataclass(frozen=True, slots=True)
class Marks:
    """Where every key and value of a record stands in its file."""

    keys: dict[Path, Mark]
    values: dict[Path, Mark]

    def of(self, path: Path, *, key: bool = False) -> Mark:
        """Give the mark of a path: of its value, or of its key; of the nearest part around it if it is not there."""
        for length in range(len(path), -1, -1):
            found = (self.keys if key else self.values).get(path[:length]) or self.keys.get(path[:length])
            if found:
                return found
        return 1, 1
