"""What is handed over of each demo home: nothing of another home, nothing from another host, files that others read."""

import re
from collections.abc import Iterable, Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
import vobject
import yaml
from icalendar import Calendar

from asfitted.pages.household import household_tree
from tests.pages.homes import FIRM, dossier, home
from tests.pages.office_site import ROOT, demo
from tests.pages.sealing import texts

HOMES = {one.id: one for one in demo()}
COMMON = re.compile(r"[^\W\d]+|.{1,3}|[\d.:]+|-?[\d.]+ ?[a-z%]+|\d{4}-\d\d(-\d\d)?")
"""What says nothing of a home by itself: single words, figures with their unit, days."""
PLACES = re.compile(r'\s(?:src|poster|srcset|data)="([^"]*)"|<link[^>]*\shref="([^"]*)"|url\(([^)]*)\)|@import\s+(\S+)')
"""Where a page, a style sheet or a drawing names what a browser fetches on opening it."""


@cache
def folder(name: str) -> dict[str, str | bytes]:
    """Give what the household edition of a demo home is built from, or of a home that has nothing to do with them."""
    return household_tree(HOMES[name] if name else dossier(home()), FIRM)


def told(content: str | bytes) -> str:
    """Give a file as running text: calendars unfolded, characters that were escaped as they are read."""
    text = content if isinstance(content, str) else content.decode("utf-8", errors="replace")
    return " ".join(unescape(unescape(re.sub(r"\r?\n[ \t]", "", text))).replace("\\", "").split()).casefold()


@cache
def running(name: str) -> str:
    return "\n".join(f"{path.casefold()} {told(content)}" for path, content in folder(name).items())


@cache
def record(name: str) -> str:
    return (ROOT / "homes" / name / "record.yml").read_text(encoding="utf-8")


@cache
def own(name: str) -> frozenset[str]:
    """Give what a record says in words of its own: labels, references, serials, names, notes, and tags with serials."""
    read = yaml.safe_load(record(name))
    said = {" ".join(text.split()).casefold() for text in texts(read)}
    for tag, device in read["devices"].items():
        said |= {f"{tag} {device['serial']}".casefold()} if device.get("serial") else set()
    return frozenset(text for text in said if not COMMON.fullmatch(text)) | {name}


def words(text: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(text)}(?!\w)")


def leaks(theirs: Iterable[str], text: str) -> set[str]:
    """Give the texts of a record that stand in a text as words of their own."""
    return {each for each in theirs if each in text and words(each).search(text)}


@pytest.mark.parametrize("name", HOMES)
def test_nothing_of_another_home_stands_in_the_folder_of_a_home(name: str) -> None:
    for other in HOMES.keys() - {name}:
        # Words that both records have, or that stand in the folder of any home, say nothing of the other.
        shared = " ".join(record(name).split()).casefold() + running("")
        theirs = {text for text in own(other) if text not in shared}
        assert len(theirs) > 50
        assert leaks(theirs, running(name)) == set(), other
        facts = HOMES[other].home
        at_home = {facts.home.label, *(device.serial for device in facts.devices.values() if device.serial)}
        assert all(text.casefold() in own(other) and text.casefold() in running(other) for text in at_home), other


@pytest.mark.parametrize("name", HOMES)
def test_no_file_of_a_folder_names_anything_of_another_host_to_fetch(name: str) -> None:
    seen = 0
    for path, content in folder(name).items():
        text = content if isinstance(content, str) else content.decode("utf-8", errors="ignore")
        for found in PLACES.finditer(text):
            seen += 1
            address = next(part for part in found.groups() if part is not None).strip("'\"")
            assert not re.match(r"(?:\w+:)?//", address), (path, address)
    assert seen > 3


def written(office: Path) -> Iterator[tuple[str, str | bytes]]:
    """Give every file that is written of the demo homes, for both editions."""
    for file in sorted(office.rglob("*.*")):
        if file.suffix in (".svg", ".ics", ".md"):
            yield file.relative_to(office).as_posix(), file.read_bytes()
    for name in HOMES:
        yield from ((f"{name}/{path}", content) for path, content in folder(name).items())


def test_every_drawing_is_a_well_formed_sheet_in_millimetres_named_and_described(demo_site: Path) -> None:
    seen = 0
    for path, content in written(demo_site.parent / "tree" / "docs"):
        text = content if isinstance(content, str) else content.decode()
        inline = [] if path.endswith(".svg") else re.findall(r'<svg [^>]*class="drawing.*?</svg>', text, re.DOTALL)
        for drawn in [text] if path.endswith(".svg") and "/drawings/" in path else inline:
            root = ET.fromstring(drawn)  # noqa: S314 - our own file
            seen += 1
            mm = re.compile(r"([\d.]+)mm")
            wide, high = (mm.fullmatch(root.get(side, "")) for side in ("width", "height"))
            assert wide, path
            assert high, path
            # One unit of the drawing is one millimetre on paper: SVG 2, section 8.2.
            assert root.get("viewBox") == f"0 0 {wide[1]} {high[1]}", path
            if root.get("aria-hidden") == "true":
                continue  # a sample in the key, beside its words
            parts = [part.tag.rpartition("}")[2] for part in root]
            assert parts[:2] == ["title", "desc"], path
            assert root[0].text, path
            assert root[1].text, path
    assert seen > 300


def test_every_calendar_is_read_alike_by_a_library_that_did_not_write_it(demo_site: Path) -> None:
    seen = 0
    for path, content in written(demo_site.parent / "tree" / "docs"):
        if not path.endswith(".ics"):
            continue
        assert isinstance(content, bytes)
        text = content.decode()
        events = vobject.readOne(text).contents["vevent"]
        ours: Any = Calendar.from_ical(text)
        assert {(str(each.uid.value), str(each.summary.value), str(each.dtstart.value)) for each in events} == {
            (str(each["UID"]), str(each["SUMMARY"]), str(each.decoded("DTSTART"))) for each in ours.walk("VEVENT")
        }
        assert len({each.uid.value for each in events}) == len(events) > 0, path
        for each in events:
            each.validate(raiseException=True)
        seen += 1
    assert seen >= 2 * len(HOMES)
