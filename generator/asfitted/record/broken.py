"""Broken YAML in words for the person who typed it."""

from typing import NamedTuple

from asfitted.model.base import Problem
from asfitted.record.located import Mark


class _Slip(NamedTuple):
    """What a YAML reader says, and what that means at the keyboard."""

    said: tuple[str, ...]
    found: str
    expected: str
    remedy: str = ""
    at_start: bool = False


_SLIPS = (
    _Slip(
        ("mapping values are not allowed",),
        "a second “: ” in one value",
        "one “key: value” a line",
        "Quote text that holds “: ”, put a space behind each colon, and check the indentation.",
    ),
    _Slip(("scanning a quoted scalar",), "a quotation mark that is never closed", "a closing one", at_start=True),
    _Slip(("parsing a flow mapping",), "a { that is not closed", "a comma or a } after each value", at_start=True),
    _Slip(("parsing a flow sequence",), "a [ that is not closed", "a comma or a ] after each value", at_start=True),
    _Slip(("parsing a flow node",), "a bracket that is not closed", "a value, or the closing bracket"),
    _Slip(("expected ':'",), "a line without “: ”", "“key: value”, with a space behind the colon", at_start=True),
    _Slip(
        ("parsing a block mapping", "parsing a block collection"),
        "a line that does not fit those above it",
        "“key: value” with the same indentation as its neighbours",
    ),
    _Slip(("cannot start any token",), "a sign that cannot start a value", "text that starts with it in quotes"),
    _Slip(("scanning a block scalar",), "text behind | or >", "the text in the lines below it"),
    _Slip(("escape",), "a \\ that means nothing in double quotes", "single quotes round text with \\"),
    _Slip(("directive", "'%'", '"%"'), "a line that starts with %", "the record alone", at_start=True),
)


def broken_yaml(said: str, at: Mark, start: Mark, text: str) -> tuple[Mark, Problem]:
    """Say where and how YAML is broken.

    Args:
        said: the words of the YAML reader.
        at: where it stopped.
        start: where what it could not finish begins.
        text: the whole text.
    """
    lines = text.splitlines() or [""]
    place = _inside(at, lines)
    before = lines[place[0] - 1][: place[1]]
    if before.endswith("\t") or ("\t" in before and before.isspace()):
        return place, Problem((), "a tab", "spaces for indentation")
    for slip in _SLIPS:
        if any(part in said for part in slip.said):
            place = _inside(start, lines) if slip.at_start else place
            return place, Problem((), f"broken YAML: {slip.found}", slip.expected, slip.remedy)
    return place, Problem((), f"broken YAML: {said}", "indentation by spaces, “key: value”, and text in quotes")


def unreadable_character(text: str, position: int) -> tuple[Mark, Problem]:
    """Say where a text holds a character that YAML cannot."""
    lines = f"{text[:position]}x".splitlines()
    found = f"a control character (U+{ord(text[position]):04X})"
    remedy = "Delete it; it may be unseen in the editor."
    return (len(lines), len(lines[-1])), Problem((), found, "plain text", remedy)


def _inside(mark: Mark, lines: list[str]) -> Mark:
    """Give a mark in the text: what is missing at its end is missing behind the last line."""
    line, column = mark
    if line > len(lines):
        return len(lines), len(lines[-1]) + 1
    return line, min(column, len(lines[line - 1]) + 1)
