"""Homes for the tests, read from the text of a record as everything else is."""

from pathlib import Path

from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.record.reader import read_text


def lay_out(rooms: str, more: str = "", *, height: str = "2.40", after: str = "") -> tuple[Dwelling | None, list[str]]:
    """Lay out one storey: its rooms, what else stands on it, and what else stands in the record."""
    text = "record: 1\nhome: {label: Test}\nstoreys:\n  - id: ground\n"
    text += f"    height: {height}\n    rooms:\n"
    text += "".join(f"      - {line.strip()}\n" for line in rooms.strip().splitlines())
    text += "".join(f"    {line}\n" for line in more.splitlines())
    return lay_out_text(text + after)


def lay_out_text(text: str) -> tuple[Dwelling | None, list[str]]:
    """Lay out the home of a record, and tell what is wrong with it."""
    reading = read_text(text.encode(), Path("record.yml"))
    assert reading.home is not None, [trouble.sentence for trouble in reading.troubles]
    dwelling, problems = survey(reading.home)
    return dwelling, [reading.locate(problem).sentence for problem in problems]


def adjacent_rooms(dwelling: Dwelling) -> set[frozenset[str]]:
    """Give the pairs of rooms that share a wall."""
    walls = (wall for room in dwelling.rooms.values() for wall in room.walls)
    return {frozenset((wall.room, face.beyond)) for wall in walls for face in wall.faces if face.beyond}


def dwelling_of(rooms: str, more: str = "", *, height: str = "2.40", after: str = "") -> Dwelling:
    """Lay out one storey that is in order."""
    dwelling, problems = lay_out(rooms, more, height=height, after=after)
    assert problems == []
    assert dwelling is not None
    return dwelling
