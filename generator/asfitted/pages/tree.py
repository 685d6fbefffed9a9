"""A site as a plain tree of files: written aside, then swapped in whole."""

import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from asfitted.pages.exchange import exchanged

Tree = Mapping[str, str | bytes]
"""Files by their path, with forward slashes, from the root of the site."""


def write_tree(tree: Tree, folder: Path) -> None:
    """Write a tree into a folder, making what folders it needs.

    Raises:
        ValueError: for a path that would leave the folder.
    """
    for path, content in sorted(tree.items()):
        target = folder / path
        if not target.resolve().is_relative_to(folder.resolve()):
            raise ValueError(f"{path} would leave {folder}")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content.encode() if isinstance(content, str) else content)


@contextmanager
def file_aside(target: Path) -> Iterator[Path]:
    """Give the path of a file to write beside ``target``; at the end of a good run it takes the target's place.

    When the run fails it is removed and the target stays as it was.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    try:
        yield aside / target.name
        (aside / target.name).replace(target)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


@contextmanager
def written_aside(target: Path) -> Iterator[Path]:
    """Give an empty folder beside ``target`` to fill; at the end of a good run it takes the target's place.

    When the run fails the folder is removed and the target stays as it was.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    aside.chmod(0o755)
    try:
        yield aside
        _swap(aside, target)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _swap(aside: Path, target: Path) -> None:
    """Let a folder take the place of another; at no moment is there none, where the system can exchange two."""
    if not target.exists():
        aside.rename(target)
        return
    if exchanged(aside, target):
        return
    before = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent)) / "before"
    target.rename(before)
    try:
        aside.rename(target)
    except OSError:
        before.rename(target)
        raise
    finally:
        shutil.rmtree(before.parent, ignore_errors=True)
