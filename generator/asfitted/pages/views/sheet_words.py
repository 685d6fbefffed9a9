"""What the technician's sheets say that no record holds: how evidence is got, order of work, cautions, instruments."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.rules.finding import Finding


@dataclass(frozen=True, slots=True)
class Known:
    """Something a sheet asks for: what it is, and what the record says of it, empty where it says nothing."""

    name: str
    value: str = ""


@dataclass(frozen=True, slots=True)
class Doing:
    """A way in which evidence is got, with the caution that goes with it; empty where there is none."""

    id: str
    title: str
    caution: str


@dataclass(frozen=True, slots=True)
class Stage:
    """A part of the work, and the kinds of device it is about."""

    title: str
    kinds: tuple[str, ...]


def doings() -> tuple[Doing, ...]:
    """Give the ways in which evidence is got, in the order of the commissioning sheet."""
    data = _data()
    named = [Doing(each["id"], each["title"], each["caution"]) for each in data["doing"]]
    return (*named, Doing("settle", data["settle"]["title"], data["settle"]["caution"]))


def doing_of(finding: Finding) -> str:
    """Give the id of the way in which the evidence of a finding is got: by the first word of it in the remedy."""
    found = {
        way: match.start()
        for way, words in _words().items()
        if (match := re.search(rf"\b(?:{words})", finding.remedy, re.IGNORECASE))
    }
    return min(found, key=found.__getitem__, default="settle")


def stages() -> tuple[Stage, ...]:
    """Give the parts of the work in their order."""
    return tuple(Stage(each["title"], tuple(each["kinds"])) for each in _data()["stage"])


def instruments() -> Mapping[str, str]:
    """Give what a reading is taken with, by the name of the reading in the model; nothing where hands will do."""
    return {name.replace("-", "_"): words for name, words in _data()["instruments"].items()}


def lines(sheet: str, part: str) -> tuple[str, ...]:
    """Give lines of a sheet that are the same for every home, such as the cautions of drilling."""
    return tuple(_data()[sheet][part])


@cache
def _words() -> Mapping[str, str]:
    return {each["id"]: each["words"] for each in _data()["doing"]}


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads((files("asfitted.pages") / "data" / "sheets.toml").read_text(encoding="utf-8"))
