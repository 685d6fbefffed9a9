"""Records as bytes: encodings, line ends, sizes and depths that no example file can show readably."""

import time
from pathlib import Path

import pytest

from asfitted.record.reader import Reading, read, read_text
from asfitted.record.tree import LARGEST

FILE = Path("homes/x/record.yml")
SMALLEST = (Path(__file__).parent / "good" / "smallest.yml").read_bytes()


def only_trouble(reading: Reading) -> tuple[tuple[int, int], str]:
    assert reading.home is None
    (trouble,) = reading.troubles
    return trouble.mark, trouble.sentence


def test_byte_order_mark_is_no_part_of_the_record() -> None:
    plain, marked = read_text(SMALLEST, FILE), read_text(b"\xef\xbb\xbf" + SMALLEST, FILE)
    assert plain.home is not None
    assert marked.home == plain.home
    assert marked.marks == plain.marks


def test_line_ends_of_other_systems_read_the_same() -> None:
    plain, other = read_text(SMALLEST, FILE), read_text(SMALLEST.replace(b"\n", b"\r\n"), FILE)
    assert plain.home is not None
    assert other.home == plain.home
    assert other.marks == plain.marks


def test_empty_file_asks_for_a_record() -> None:
    mark, sentence = only_trouble(read_text(b"", FILE))
    assert mark == (1, 1)
    assert sentence == "found nothing; expected a record, starting with “record: 1”."


def test_byte_that_is_not_utf8_is_named_with_its_column_in_characters() -> None:
    raw = "record: 1\nhome: {label: Größe ".encode() + b"\xe9" + b"}\n"
    mark, sentence = only_trouble(read_text(raw, FILE))
    assert mark == (2, 21)
    assert "0xE9" in sentence
    assert "UTF-8" in sentence


def test_record_saved_as_utf16_is_refused() -> None:
    mark, sentence = only_trouble(read_text("record: 1\n".encode("utf-16"), FILE))
    assert mark == (1, 1)
    assert "UTF-8" in sentence


def test_nul_byte_is_found_behind_letters_of_two_bytes() -> None:
    mark, sentence = only_trouble(read_text("record: 1\nhome: {label: Größe\0}\n".encode(), FILE))
    assert mark == (2, 20)
    assert "U+0000" in sentence


@pytest.mark.parametrize("size", [LARGEST + 1, 10_000_000], ids=["just too large", "ten megabytes"])
def test_large_record_is_refused_at_once(size: int) -> None:
    begun = time.perf_counter()
    _, sentence = only_trouble(read_text(SMALLEST + b"#" * (size - len(SMALLEST)), FILE))
    assert time.perf_counter() - begun < 1.0
    assert f"{size:,}" in sentence
    assert "at most 1,000,000 characters" in sentence


def test_large_file_is_refused_without_reading_it(tmp_path: Path) -> None:
    file = tmp_path / "record.yml"
    with file.open("wb") as out:
        out.truncate(50_000_000)
    _, sentence = only_trouble(read(file))
    assert "50,000,000 bytes" in sentence


def test_record_of_the_largest_size_is_read() -> None:
    reading = read_text(SMALLEST + b"#" * (LARGEST - len(SMALLEST)), FILE)
    assert reading.home is not None


@pytest.mark.parametrize("bracket", ["[", "{", "- ", "? ", "{a: ", "[{a: "])
def test_hundred_thousand_levels_are_refused_without_a_crash(bracket: str) -> None:
    begun = time.perf_counter()
    mark, _ = only_trouble(read_text(b"record: 1\nhome: " + bracket.encode() * 100_000, FILE))
    assert time.perf_counter() - begun < 5.0
    assert mark[0] == 2


def test_missing_file_says_how_to_start_one(tmp_path: Path) -> None:
    mark, sentence = only_trouble(read(tmp_path / "mill-end" / "record.yml"))
    assert mark == (1, 1)
    assert "asfitted new mill-end" in sentence


def test_folder_in_place_of_a_record_is_refused(tmp_path: Path) -> None:
    _, sentence = only_trouble(read(tmp_path))
    assert "expected a file that may be read" in sentence


def test_digest_follows_the_bytes() -> None:
    assert read_text(SMALLEST, FILE).digest == read_text(SMALLEST, Path("other.yml")).digest
    assert read_text(SMALLEST, FILE).digest != read_text(SMALLEST + b"\n", FILE).digest
