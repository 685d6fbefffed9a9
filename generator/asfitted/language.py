"""The language in which a household reads, below everything that writes words for it.

English is the language of the code: every sentence for a household is written once, in English, and passes through
:func:`say`. Which language comes out is set round the making of an edition by :func:`speaking`, and nowhere else; where
nothing is set, as in the office edition and at the command line, the English comes out as it stands. Why this is a
context variable and not one more argument of every function that writes a word: see docs/decisions.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date
from gettext import NullTranslations


@dataclass(frozen=True)
class Language:
    """A language: its code by BCP 47, its translations, its decimal mark, and how a day is written in a sentence."""

    code: str = "en"
    translations: NullTranslations = NullTranslations()  # noqa: RUF009 - holds nothing that could change
    decimal: str = "."
    day: Callable[[date], str] = date.isoformat


_SPOKEN: ContextVar[Language] = ContextVar("asfitted language", default=Language())  # noqa: B039 - frozen


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Speak a language for a while."""
    before = _SPOKEN.set(language)
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def spoken() -> Language:
    """Give the language that is spoken now."""
    return _SPOKEN.get()


def say(english: str, /, **values: object) -> str:
    """Say a sentence or a word in the language that is spoken now.

    Args:
        english: the message, whose placeholders stand in braces.
        values: what takes their place; text of a record stays as it was typed.
    """
    told = _SPOKEN.get().translations.gettext(english) if english else english
    return told.format(**values) if values else told


def say_many(one: str, many: str, count: int, /, **values: object) -> str:
    """Say what depends on a count; the ``count`` may stand in the message as a placeholder, in figures."""
    return _SPOKEN.get().translations.ngettext(one, many, count).format(count=count, **values)


def to_say(english: str) -> str:
    """Mark a constant for the catalogues; whoever shows it says it."""
    return english


def figure(value: float, places: int) -> str:
    """Write a number with so many decimals and the decimal mark of the language."""
    return f"{value:.{places}f}".replace(".", _SPOKEN.get().decimal)


def plain_figure(value: float) -> str:
    """Write a number with the decimals that it needs, at most six digits, and the decimal mark of the language."""
    return f"{value:g}".replace(".", _SPOKEN.get().decimal)


def written(day: date) -> str:
    """Write a day as it stands inside a sentence."""
    return _SPOKEN.get().day(day)
