"""Two folders exchanged in one step, so that a reader finds the one or the other and never none."""

import ctypes
import sys
from functools import cache
from pathlib import Path
from typing import Any

_EXCHANGE = 2
"""RENAME_EXCHANGE of Linux, renameat2(2)."""
_HERE = -100
"""AT_FDCWD: paths are taken from the current folder."""


def exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders of one disk; False where this system or disk cannot, and then nothing has happened."""
    call = _call()
    return bool(call) and call(_HERE, bytes(one.absolute()), _HERE, bytes(other.absolute()), _EXCHANGE) == 0


@cache
def _call() -> Any:
    return getattr(ctypes.CDLL(None), "renameat2", None) if sys.platform == "linux" else None
