"""The catalogues of the household edition made up to date: ``python -m asfitted.pages.catalogues``.

Gathers every message that a household may read - from Python, from templates, from the words in TOML files and from
the words of the record format - into ``locale/household.pot``, and brings the catalogue of each language into line with
it: translations stay, new messages come in empty. A language that has no catalogue yet gets one. For developers only:
no build runs this.
"""

import ast
import tomllib
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any, get_args

import click
from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po

from asfitted.model.device import Device
from asfitted.model.words import DEVICE_KINDS, FITTING_KINDS, Corner, RoomUse, Side
from asfitted.pages.languages import CODES, DOMAIN, catalogue_path
from asfitted.pages.wording import not_shown

PACKAGE = Path(__file__).parents[1]
TEMPLATE = f"pages/locale/{DOMAIN}.pot"
_PYTHON = {"say": (0,), "to_say": (0,), "say_many": (0, 1), "counted": (1, 2)}
"""Functions, and which of their arguments are messages."""
_JINJA = {"_": None, "gettext": None, "ngettext": (1, 2), "counted": (2, 3)}
_OFFICE = ("cli/", "fleet/", "pages/office", "pages/views/office", "pages/views/sheet", "pages/catalogues")
"""Where only the office edition and the command line speak, which stay English."""
_TEMPLATES = ("household/*.md", "parts/*.md", "mkdocs.yml")
_WORDS: dict[str, set[str]] = {
    "pages/data/kinds.toml": {"does", "test", "linked", "sound", "care", "light", "avoid"},
    "pages/data/howto.toml": {"first", "title", "steps", "sealed", "always"},
    "pages/data/cautions.toml": {"title", "lines"},
    "pages/data/words.toml": {"word", "means"},
    "pages/data/results.toml": set(),  # every one
    "upkeep/data/intervals.toml": {"title", "how", "since", "source"},
    "rules/data/**/*.toml": {"plain"},
}
"""The keys in TOML files under which a household reads what stands there."""
_STILL = datetime(2026, 1, 1, tzinfo=UTC)
"""Stands for the day of making, which is none of a message's business: the same messages give the same file."""

Message = tuple[str | tuple[str, ...], str, str]
"""A message, alone or one and many; the file it stands in; and a word for whoever translates it."""


def template() -> Catalog:
    """Gather every message of the household edition."""
    made = Catalog(
        project="asfitted", version="1", charset="utf-8", creation_date=_STILL, revision_date=_STILL, fuzzy=False,
        header_comment="# Messages of the household edition. Written by python -m asfitted.pages.catalogues.",
    )  # fmt: skip
    for message, file, comment in (*_of_model(), *_of_toml(), *_of_templates(), *_of_python()):
        made.add(message, locations=[(file, 0)], auto_comments=[comment] if comment else [])
    return made


def written(catalog: Catalog) -> bytes:
    """Write a catalogue as its file holds it."""
    out = BytesIO()
    write_po(out, catalog, width=110, include_lineno=False)
    lines = out.getvalue().splitlines(keepends=True)
    return b"".join(line for line in lines if not line.startswith(b'"Generated-By: '))  # a version is no message


def brought_up_to_date(code: str, before: bytes | None, messages: Catalog) -> Catalog:
    """Give the catalogue of a language with just the messages there are: translations kept, new ones empty."""
    catalog = read_po(BytesIO(before), locale=code) if before else Catalog(locale=code, charset="utf-8")
    catalog.update(messages, no_fuzzy_matching=True, update_creation_date=False)
    catalog.creation_date = catalog.revision_date = _STILL
    catalog.project, catalog.version = messages.project, messages.version
    catalog.last_translator = "see the history of this file"
    catalog.language_team = code
    catalog.header_comment = f"# The household edition in {code}. How to keep it: DEVELOPERS.md, Add a language."
    catalog.fuzzy = False
    catalog.obsolete.clear()
    return catalog


def _of_python() -> Iterator[Message]:
    for file in sorted(PACKAGE.rglob("*.py")):
        name = file.relative_to(PACKAGE).as_posix()
        if name.startswith(_OFFICE):
            continue
        calls = (node for node in ast.walk(ast.parse(file.read_bytes())) if isinstance(node, ast.Call))
        for call in sorted(calls, key=lambda call: (call.lineno, call.col_offset)):
            places = _PYTHON.get(call.func.id, ()) if isinstance(call.func, ast.Name) else ()
            words = tuple(text for at in places if at < len(call.args) and (text := _text(call.args[at])))
            if places and len(words) == len(places):
                yield (words[0] if len(words) == 1 else words), name, ""


def _text(arg: ast.expr) -> str | None:
    """Give a message that is written out; one that is looked up has its words where they are looked up."""
    return arg.value if isinstance(arg, ast.Constant) and isinstance(arg.value, str) else None


def _of_templates() -> Iterator[Message]:
    folder = PACKAGE / "pages" / "templates"
    for pattern in _TEMPLATES:
        for file in sorted(folder.glob(pattern)):
            options = {"trimmed": "true", "newstyle_gettext": "true", "encoding": "utf-8", "silent": "false"}
            with file.open("rb") as opened:
                for _, message, _, _ in extract("jinja2.ext:babel_extract", opened, _JINJA, ["Translators:"], options):
                    yield message, file.relative_to(PACKAGE).as_posix(), ""


def _of_toml() -> Iterator[Message]:
    for pattern, keys in _WORDS.items():
        for file in sorted(PACKAGE.glob(pattern)):
            name = file.relative_to(PACKAGE).as_posix()
            data = tomllib.loads(file.read_text(encoding="utf-8"))
            for path, text in _texts(data):
                if not keys or (keys & set(path) and path[-1] != "families"):
                    where = " > ".join(path)
                    yield text, name, where
                    if (asked := not_shown(text)) != text:
                        yield asked, name, f"{where}, for a home where nothing was shown yet"


def _texts(data: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], str]]:
    if isinstance(data, str):
        if data:
            yield path, data
    elif isinstance(data, dict):
        for key, value in data.items():
            yield from _texts(value, (*path, key))
    elif isinstance(data, list):
        for value in data:
            yield from _texts(value, path)


def _of_model() -> Iterator[Message]:
    """Give the words that a technician chooses from a list and a household reads as they stand."""
    words, device = "model/words.py", "model/device.py"
    for kind in DEVICE_KINDS:
        yield (kind, f"{kind}s"), words, "a kind of device, inside a sentence"
    for fitting in FITTING_KINDS:
        yield fitting.replace("-", " "), words, "a fitting in a room, inside a sentence"
    for use in get_args(RoomUse):
        yield use, words, "what a room is for, below its name on a plan"
    for side in (*get_args(Side), *get_args(Corner)):
        yield side, words, "a side or corner of a room: the north wall, the north-east corner"
    for edge in get_args(get_args(Device.model_fields["edge"].annotation)[0]):
        yield edge, device, "the edge of a door or window at which a contact sits"


@click.command()
def main() -> None:
    """Bring the template and the catalogues of all languages up to date."""
    messages = template()
    (PACKAGE / TEMPLATE).parent.mkdir(exist_ok=True)
    (PACKAGE / TEMPLATE).write_bytes(written(messages))
    for code in CODES:
        if code == "en":
            continue
        file = PACKAGE / "pages" / catalogue_path(code)
        file.parent.mkdir(parents=True, exist_ok=True)
        catalog = brought_up_to_date(code, file.read_bytes() if file.exists() else None, messages)
        file.write_bytes(written(catalog))
        missing = sum(1 for message in catalog if message.id and not is_translated(message.string))
        click.echo(f"{code}: {len(catalog)} messages, {missing} to translate")


def is_translated(string: Any) -> bool:
    """Whether a message has its words, or all of them where they depend on a count."""
    return bool(string) if isinstance(string, str) else bool(string) and all(string)


if __name__ == "__main__":
    main()
