"""Records in few words, read the way a technician's are."""

from datetime import date
from pathlib import Path

from asfitted.model.home import Home
from asfitted.record.reader import read_text
from asfitted.upkeep.schedule import schedule
from asfitted.upkeep.task import Task

HEAD = """\
record: 1
home: {label: Flat}
storeys:
  - {id: ground, height: 2.40, rooms: [{id: hall, use: circulation, corner: [0, 0], size: [4, 4]}]}
"""
PLACE = "on: ceiling of hall, from-west: 1, from-south: 1"


def home(devices: str = "", visits: str = "", household: str = "") -> Home:
    """Read a home; each argument is the inside of a YAML flow mapping or list."""
    text = HEAD + f"household: {{{household}}}\ndevices: {{{devices}}}\nvisits: [{visits}]\n"
    reading = read_text(text.encode(), Path("record.yml"))
    assert reading.home, [trouble.sentence for trouble in reading.troubles]
    return reading.home


def smoke(tag: str = "SA1", more: str = "") -> str:
    """Give a smoke alarm that hangs in the hall."""
    return f"{tag}: {{kind: smoke alarm, {PLACE}{', ' if more else ''}{more}}}"


def task(found: Home, name: str, on: str = "2026-11-25") -> Task:
    """Give the one task of that id."""
    (only,) = [task for task in schedule(found, date.fromisoformat(on)) if task.id == name]
    return only


def ids(found: Home, on: str = "2026-11-25") -> set[str]:
    """Give the ids of all tasks."""
    return {task.id for task in schedule(found, date.fromisoformat(on))}
