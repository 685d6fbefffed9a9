"""Where the tables and keys of a TOML file stand, for errors that name the line; the standard reader does not tell."""

import re
from collections.abc import Iterator

from asfitted.model.base import Path
from asfitted.record.located import Mark

_TABLE = re.compile(r"\s*\[([^\[\]]+)\]")
_KEY = re.compile(r"""\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*=""")
_PART = re.compile(r""""([^"]*)"|'([^']*)'|([\w-]+)""")
_SAID = re.compile(r"(.+) \(at (?:line (\d+), column (\d+)|end of document)\)")


def mark_of(text: str, path: Path) -> Mark:
    """Give the line and column of a table or key; of the nearest part around it where it cannot be found."""
    places = dict(_places(text))
    for length in range(len(path), 0, -1):
        if (found := places.get(path[:length])) is not None:
            return _inside(text, found, path[length:])
    return 1, 1


def syntax_error(said: str, text: str) -> tuple[Mark, str]:
    """Part what the standard reader says of a broken file into the place and the words."""
    if (match := _SAID.fullmatch(said)) is None:
        return (1, 1), said
    words = match[1][:1].lower() + match[1][1:]
    if match[2] is None:
        lines = text.splitlines() or [""]
        return (len(lines), len(lines[-1]) + 1), f"{words}, up to the end of the file"
    return (int(match[2]), int(match[3])), words


def _places(text: str) -> Iterator[tuple[Path, Mark]]:
    table: Path = ()
    for number, line in _outside_long_texts(text):
        if match := _TABLE.match(line):
            table = _parts(match[1])
            for length in range(len(table), 0, -1):
                yield table[:length], (number, match.start(1) + 1)
        elif match := _KEY.match(line):
            yield (*table, *_parts(match[1])), (number, match.start(1) + 1)


def _outside_long_texts(text: str) -> Iterator[tuple[int, str]]:
    """Give the numbered lines, without those inside a text of several lines."""
    inside = ""
    for number, line in enumerate(text.splitlines(), 1):
        if not inside:
            yield number, line
        for quotes in ('"""', "'''"):
            if inside in ("", quotes) and line.count(quotes) % 2:
                inside = "" if inside else quotes


def _parts(dotted: str) -> Path:
    return tuple(next(part for part in match.groups() if part is not None) for match in _PART.finditer(dotted))


def _inside(text: str, mark: Mark, rest: Path) -> Mark:
    """Find what is left of a path within a table that stands in one line."""
    if not rest:
        return mark
    line = text.splitlines()[mark[0] - 1]
    found = re.search(rf"(?<![\w-]){re.escape(str(rest[0]))}\s*=", line[mark[1] - 1 :])
    return (mark[0], mark[1] + found.start()) if found else mark
