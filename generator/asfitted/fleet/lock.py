"""One build at a time in a folder of sites, and nothing left over of one that was killed."""

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_ASIDE = re.compile(r"\.(.+)-[a-z0-9_]{8}")
"""How the folders are called in which a site or tree is written aside: the name of the target, and eight characters."""


class Busy(Exception):  # noqa: N818 - says what is the case
    """Another build works in the folder; carries which."""


@contextmanager
def only_build(file: Path) -> Iterator[None]:
    """Hold a lock while building. It ends with the process that holds it, however that ends.

    Raises:
        Busy: when another process holds it.
        OSError: when the file cannot be made.
    """
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("a+", encoding="utf-8") as held:
        if not _locked(held.fileno()):
            held.seek(0)
            raise Busy(held.read().strip() or "unknown")
        held.truncate(0)
        held.write(f"{os.getpid()}\n")
        held.flush()
        yield


def _locked(file: int) -> bool:
    try:
        import fcntl
    except ImportError:  # no such locks on this system: the folder is not guarded
        return True
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def clear_away(folder: Path) -> None:
    """Remove what killed builds left in a folder of sites; where one was about to swap, the earlier site comes back."""
    if not folder.is_dir():
        return
    for left in sorted(folder.iterdir()):
        target = _ASIDE.fullmatch(left.name)
        if not target or not left.is_dir():
            continue
        before, site = left / "before", folder / target[1]
        if before.is_dir() and not site.exists():
            before.rename(site)
        shutil.rmtree(left, ignore_errors=True)
