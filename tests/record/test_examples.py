"""Folders of example records: adding a case is adding a file.

Every record in ``good`` reads and lays out without trouble. Every record in ``bad`` begins with one comment line
``# expect: LINE:COLUMN SENTENCE`` for each trouble, in order; ``...`` stands for anything.
"""

import re
from pathlib import Path

import pytest

from asfitted.dwelling.survey import survey
from asfitted.record.located import Located
from asfitted.record.reader import read

HERE = Path(__file__).parent
GOOD = sorted((HERE / "good").glob("*.yml"))
BAD = sorted((HERE / "bad").glob("*.yml"))
EXPECT = "# expect: "


def troubles_of(file: Path) -> list[Located]:
    reading = read(file)
    if reading.home is None:
        return list(reading.troubles)
    _, problems = survey(reading.home)
    return sorted(map(reading.locate, problems), key=lambda trouble: trouble.mark)


@pytest.mark.parametrize("file", GOOD, ids=lambda file: file.stem)
def test_good_record_reads_and_lays_out(file: Path) -> None:
    reading = read(file)
    assert [trouble.sentence for trouble in reading.troubles] == []
    assert reading.home is not None
    dwelling, problems = survey(reading.home)
    assert problems == []
    assert dwelling is not None
    assert set(dwelling.rooms) == set(reading.home.rooms)
    assert set(dwelling.spots) == {tag for tag, device in reading.home.devices.items() if device.placed}


@pytest.mark.parametrize("file", BAD, ids=lambda file: file.stem)
def test_bad_record_tells_all_its_troubles_in_order(file: Path) -> None:
    lines = file.read_text(encoding="utf-8").splitlines()
    expected = [line.removeprefix(EXPECT) for line in lines if line.startswith(EXPECT)]
    found = troubles_of(file)
    told = [f"{trouble.mark[0]}:{trouble.mark[1]} {trouble.sentence}" for trouble in found]
    assert expected, "a bad record begins with what is expected of it"
    assert len(told) == len(expected), "\n".join(told)
    for line, pattern in zip(told, expected, strict=True):
        assert re.fullmatch(re.escape(pattern).replace(r"\.\.\.", ".*", 1), line), f"{line}\n{pattern}"
    assert [trouble.mark for trouble in found] == sorted(trouble.mark for trouble in found)


def test_place_names_file_line_and_column() -> None:
    trouble = troubles_of(HERE / "bad" / "unknown_in_device.yml")[0]
    assert trouble.place.endswith("bad/unknown_in_device.yml:10:9")
    assert trouble.sentence.startswith("devices.SA1.knid: found the unknown key “knid”; expected ")
