"""The languages of the household edition: which there are, their catalogues, and how each writes days and numbers.

A catalogue is a gettext file, ``locale/<code>/LC_MESSAGES/household.po``, read as it stands; nothing is compiled. How
one is made and kept is in DEVELOPERS.md, "Add a language".
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import cache, lru_cache, partial
from gettext import NullTranslations
from importlib.resources import files
from io import BytesIO
from typing import get_args

from asfitted.language import Language, speaking, spoken
from asfitted.model.words import LanguageCode

CODES: tuple[LanguageCode, ...] = get_args(LanguageCode)
FINISHED: tuple[LanguageCode, ...] = ("en", "nb", "de", "es")
"""The languages whose catalogues are whole: tests hold every message of these to be translated."""
DOMAIN = "household"
_LONG = {"en": "d MMMM y"}
"""How a day is written where it is not as Babel's data say: English without the comma of the United States."""


def catalogue_path(code: str) -> str:
    """Give the path of a language's catalogue in the package of the pages."""
    return f"locale/{code}/LC_MESSAGES/{DOMAIN}.po"


@contextmanager
def speaking_for(code: LanguageCode) -> Iterator[None]:
    """Speak a home's language for a while."""
    with speaking(language(code)):
        yield


@cache
def language(code: LanguageCode) -> Language:
    """Give a language with its translations; what a catalogue does not translate yet comes out in English."""
    if code == "en":
        return Language()
    from babel.numbers import get_decimal_symbol

    text = files("asfitted.pages").joinpath(*catalogue_path(code).split("/")).read_bytes()
    return Language(code, translations(text), get_decimal_symbol(code), partial(_long, code))


def translations(catalogue: bytes) -> NullTranslations:
    """Read a catalogue as it stands; what is not translated, or only supposed to be, is left out."""
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po
    from babel.support import Translations

    compiled = BytesIO()
    write_mo(compiled, read_po(BytesIO(catalogue)))
    compiled.seek(0)
    return Translations(compiled, domain=DOMAIN)


def long_date(day: date) -> str:
    """Give a day in words: 4 March 2026."""
    return _long(spoken().code, day)


def month_of(day: date) -> str:
    """Give the month of a day in words: March 2026."""
    return _formatted(spoken().code, "yMMMM", day.replace(day=1))


def short_month(day: date) -> str:
    """Give the month of a day in short: Mar."""
    return _formatted(spoken().code, "LLL", day.replace(day=1))


def _long(code: str, day: date) -> str:
    return _formatted(code, _LONG.get(code, "long"), day)


@lru_cache(maxsize=4096)
def _formatted(code: str, form: str, day: date) -> str:
    from babel.dates import format_date, format_skeleton

    return format_skeleton(form, day, locale=code) if form == "yMMMM" else format_date(day, form, locale=code)
