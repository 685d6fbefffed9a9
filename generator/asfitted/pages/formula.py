"""Formulas as plain HTML that needs no script and no font: variables, indices and powers are elements of their own.

``var`` holds a variable, ``sub`` an index, ``sup`` a power; "to the power of" stands before a power for who only hears
it. What is no variable stays as it is written.
"""

import re
import tomllib
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache
from importlib.resources import files

from markupsafe import Markup, escape

from asfitted.pages.render import harmless

_GREEK = {"sigma": "σ", "phi": "φ", "lambda": "λ"}
_LETTER = r"[A-Za-zΑ-Ωα-ω]"
_NAME = re.compile(rf"({_LETTER}+'?)(\d*)(?:_((?:\d|{_LETTER})+))?")
_UPRIGHT = frozenset({"lg", "ln", "tan", "sin", "cos", "min", "max", "π", "Φ", "Ω"})
_POWER = Markup('<sup><span class="aloud"> to the power of </span>{}</sup>')


def formula(text: str, symbols: Iterable[str] = ()) -> Markup:
    """Set a formula, or the same with its figures.

    Args:
        text: as a calculation writes it: ``10^(−R1/10)``, ``L_0``, ``r²``.
        symbols: names of more than one letter that are variables in it.
    """
    return _formula(text, frozenset(symbols))


@lru_cache(maxsize=4096)
def _formula(text: str, symbols: frozenset[str]) -> Markup:
    return Markup("").join(_parts(text, symbols))


@lru_cache(maxsize=1024)
def symbol(name: str) -> Markup:
    """Set the name of a variable: its first letter, and the rest as an index."""
    head, rest = (_GREEK[name], "") if name in _GREEK else _split(name)
    return Markup("<var>{}{}</var>").format(
        harmless(head), Markup("<sub>{}</sub>").format(harmless(rest)) if rest else ""
    )


def _split(name: str) -> tuple[str, str]:
    found = re.match(r"(Δ?.'?)(.*)\Z", name, re.DOTALL)
    head, rest = (found[1], found[2]) if found else (name, "")
    return head.replace("'", "\N{PRIME}"), rest.removeprefix("_")


def _parts(text: str, symbols: frozenset[str]) -> Iterator[Markup]:
    at = 0
    while at < len(text):
        if text[at] == "^":
            end = _power_ends(text, at + 1)
            inner = text[at + 1 : end]
            if inner.startswith("(") and inner.endswith(")"):
                inner = inner[1:-1]
            yield _POWER.format(formula(inner, symbols))
            at = end
        elif name := _NAME.match(text, at):
            yield _name(name, symbols)
            at = name.end()
        else:
            end = at + 1
            while end < len(text) and text[end] != "^" and not _NAME.match(text, end):
                end += 1
            yield escape(text[at:end])
            at = end


def _name(found: re.Match[str], symbols: frozenset[str]) -> Markup:
    """Set a name: of one letter, with an index, or known to be a variable; any other is a word."""
    name = found[0]
    one_letter = len(found[1].rstrip("'").removeprefix("Δ")) == 1
    if found[1] in _UPRIGHT or (name not in symbols and not one_letter and found[3] is None):
        return escape(name)
    return symbol(name)


def _power_ends(text: str, start: int) -> int:
    """Give where a power ends: behind its bracket, or behind the word or number it is."""
    if not text.startswith("(", start):
        found = re.compile(r"[\w.,−-]+").match(text, start)
        return found.end() if found else start
    depth = 0
    for at in range(start, len(text)):
        depth += {"(": 1, ")": -1}.get(text[at], 0)
        if depth == 0:
            return at + 1
    return len(text)


def notation(formulas: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Give the signs that formulas use and a reader may not know, each with what it means in words."""
    written = " ".join(formulas)
    return tuple((row["sign"], row["words"]) for row in _signs() if re.search(row["found"], written))


@cache
def _signs() -> list[dict[str, str]]:
    text = (files("asfitted.pages") / "data" / "notation.toml").read_text(encoding="utf-8")
    rows: list[dict[str, str]] = tomllib.loads(text)["sign"]
    return rows
