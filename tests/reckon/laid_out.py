"""Homes for the tests of calculations, read from the text of a record as everything else is."""

from pathlib import Path

from asfitted.dwelling.shapes import Dwelling
from asfitted.dwelling.survey import survey
from asfitted.model.home import Home
from asfitted.record.reader import read_text


def laid_out(text: str) -> tuple[Home, Dwelling]:
    """Read a record that is in order and lay it out."""
    reading = read_text(text.encode(), Path("record.yml"))
    assert reading.home is not None, [trouble.sentence for trouble in reading.troubles]
    dwelling, problems = survey(reading.home)
    assert dwelling is not None, [reading.locate(problem).sentence for problem in problems]
    return reading.home, dwelling
