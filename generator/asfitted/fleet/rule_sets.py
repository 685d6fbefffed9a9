"""The firm's own rule sets, which stand beside the homes."""

from pathlib import Path
from typing import TYPE_CHECKING

from asfitted.rules.catalogue import Catalogue, catalogue

if TYPE_CHECKING:
    from asfitted.record.located import Located

FOLDER = "rule-sets"
"""The folder beside the homes that holds one file a rule set; it is no home."""


def load_catalogue(homes: Path) -> "tuple[Catalogue, tuple[Located, ...]]":
    """Give the catalogue with the firm's own rule sets, which stand beside the homes, and what is wrong with those."""
    folder = homes / FOLDER
    files = sorted(path for path in folder.glob("*.toml") if path.is_file())
    if not files:
        return catalogue(), ()
    from asfitted.rules.own import LARGEST, own_sets

    return own_sets({path: _beginning(path, LARGEST + 1) for path in files}, catalogue())


def _beginning(path: Path, size: int) -> bytes:
    """Read a file as far as anybody will look at it; nothing of one that cannot be opened."""
    try:
        with path.open("rb") as file:
            return file.read(size)
    except OSError:
        return b""
