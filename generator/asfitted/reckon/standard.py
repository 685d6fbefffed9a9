"""Figures that are taken for want of a record, or from a standard: each with its source, kept as data."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.reckon.working import Input


def standard(topic: str, key: str) -> Input:
    """Give a figure of a topic as an input of a calculation.

    Args:
        topic: the name of its file, ``data/<topic>.toml``.
        key: its table there; of ``creeping-h`` the symbol is what follows the last hyphen.
    """
    row = _rows(topic)[key]
    return Input(
        key.rpartition("-")[2],
        row["meaning"],
        row["value"],
        row["unit"],
        row["known"],
        f"{row['source']} ({row['status']})",
        row.get("spread", 0.0),
        row.get("ask", ""),
    )


@cache
def _rows(topic: str) -> dict[str, Any]:
    text = (files("asfitted.reckon") / "data" / f"{topic}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
