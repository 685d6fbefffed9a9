"""The firm's own rule sets, which stand beside the homes."""

from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING

from asfitted.rules.catalogue import Catalogue, catalogue

if TYPE_CHECKING:
    from asfitted.record.located import Located

RECORD = "record.yml"
LARGEST_RECORD = 4_000_000
"""Bytes of a record that are looked through for the name of a set."""
FOLDER = "rule-sets"
"""The folder beside the homes that holds one file a rule set; it is no home."""


def load_catalogue(homes: Path, only: Collection[str] | None = None) -> "tuple[Catalogue, tuple[Located, ...]]":
    """Give the catalogue with the firm's own rule sets, which stand beside the homes, and what is wrong with those.

    Where only some homes are asked about, and none of them can name one of the sets, what the sets ask of checks is not
    tried out: that takes longer than to judge a home.
    """
    folder = homes / FOLDER
    files = sorted(path for path in folder.glob("*.toml") if path.is_file())
    if not files:
        return catalogue(), ()
    from asfitted.rules.own import LARGEST, own_sets

    tried = only is None or any(_names(homes / name / RECORD, files) for name in only)
    return own_sets({path: _beginning(path, LARGEST + 1) for path in files}, catalogue(), tried=tried)


def _names(record: Path, files: Collection[Path]) -> bool:
    """Tell whether a record may name one of the sets: whether its text holds the name at all."""
    text = _beginning(record, LARGEST_RECORD)
    return any(file.stem.encode() in text for file in files)


def _beginning(path: Path, size: int) -> bytes:
    """Read a file as far as anybody will look at it; nothing of one that cannot be opened."""
    try:
        with path.open("rb") as file:
            return file.read(size)
    except OSError:
        return b""
