"""``asfitted find`` and ``asfitted export`` as the office uses them."""

import csv
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.conftest import BROKEN, GOOD, SHORT, Run

ON = ("--on", "2026-11-25")
HANDBOOK = Path(__file__).parents[2] / "docs" / "find.md"
HOSTILE = "=HYPERLINK(1) <script>alert(1)</script> | `x` {{ 7*7 }}"
ODD = (
    GOOD.replace("label: Cabin with one room", f'label: "{HOSTILE}", reference: "@SH-1"')
    .replace("model: optical", f'model: "{HOSTILE}", firmware: 2.1, note: of Anna')
    .replace("use: bedroom,", "use: bedroom, name: Anna's room,")
    .replace("batch: 25-51, ", "")
)
HOMES: dict[str, str | bytes] = {"ash": GOOD, "beech": ODD, "cedar": SHORT}


def test_it_says_what_is_affected_and_what_may_be(run: Run) -> None:
    done = run("find", "--kind", "smoke alarm", "--batch", "25-51", *ON, homes=HOMES)
    assert done.exit_code == 0
    assert "2 affected and 1 that may be, in 3 of 3 homes." in done.stdout
    assert "cabin, ground storey: on the ceiling, 2.00 m from the south wall, 0.31 m from the west wall" in done.stdout
    assert "not recorded: batch" in done.stdout
    assert "stands in the history" in done.stdout


def test_the_exit_status_says_found_none_found_or_not_all_searched(run: Run) -> None:
    assert run("find", "--mobile", "2G", *ON, homes=HOMES).exit_code == 1
    done = run("find", "--model", "optical", *ON, homes={"elm": BROKEN})
    assert done.exit_code == 2
    assert "elm/record.yml:10:9  cannot be used" in done.stderr
    assert "Not searched, as the record cannot be used: elm." in done.stdout
    assert "2 affected" in done.stdout


def test_a_verdict_with_its_rule_finds_the_device(run: Run) -> None:
    rule = ("--rule", "smoke-clear-of-wall", "--verdict", "does not conform", "--format", "json", *ON)
    said = run("find", *rule, homes=HOMES).stdout
    assert [(item["home"], item["subject"], item["verdicts"]) for item in json.loads(said)["found"]] == [
        ("cedar", "SA1", ["smoke-clear-of-wall: does not conform"])
    ]


def test_verdicts_alone_find_rooms_and_homes_too(run: Run) -> None:
    words = ("--verdict", "conforms", "--format", "json", *ON)
    every = json.loads(run("find", *words, homes=HOMES).stdout)["found"]
    assert {item["kind"] for item in every} == {"smoke alarm", "room", "opening", "storey", "home"}
    assert {item["subject"] for item in every if item["kind"] == "room"} == {"cabin"}
    device = json.loads(run("find", *words, "--kind", "smoke alarm").stdout)["found"]
    assert {item["kind"] for item in device} == {"smoke alarm"}
    room = json.loads(run("find", *words, "--use", "kitchen").stdout)["found"]
    assert room == []


def test_csv_and_json_hold_the_same_and_no_cell_is_a_formula(run: Run) -> None:
    search = ("find", "--made", "2025-12..2026-02", "--use", "bedroom", *ON)
    found = json.loads(run(*search, "--format", "json", homes=HOMES).stdout)
    assert found["looked-for"] == {"made": ["2025-12..2026-02"], "use": ["bedroom"]}
    rows = list(csv.DictReader(run(*search, "--format", "csv").stdout_bytes.decode().splitlines()))
    assert len(rows) == len(found["found"]) == 3
    for row, item in zip(rows, found["found"], strict=True):
        for name, cell in row.items():
            value = {True: "yes", False: "no"}.get(item[name], item[name]) if name == "certain" else item[name]
            value = "; ".join(value) if isinstance(value, list) else value
            assert cell == (f"'{value}" if value[:1] in "=@" and value else value)
    assert rows[1]["label"].startswith("'=HYPERLINK")
    assert rows[1]["reference"] == "'@SH-1"


class _Page(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.addresses += [value or "" for name, value in attrs if name in ("src", "href")]

    def handle_data(self, data: str) -> None:
        self.words += data


def test_the_notice_is_a_page_and_a_table_without_the_household(run: Run, tmp_path: Path) -> None:
    words = ("--notice", "<b>Batch</b> 25-51", "--to", "out", "--do", "Take *one* along")
    done = run("find", "--kind", "smoke alarm", "--batch", "25-51", *words, *ON, homes={**HOMES, "elm": BROKEN})
    assert done.exit_code == 2
    assert sorted(file.name for file in (tmp_path / "out").iterdir()) == ["notice.csv", "notice.html"]
    text = (tmp_path / "out" / "notice.html").read_text(encoding="utf-8")
    page = _Page(text)
    assert not {"script", "b", "img", "link"} & set(page.tags)
    assert page.addresses == ["#ash", "#beech", "#cedar"]
    for said in ("<b>Batch</b> 25-51", "Take *one* along", HOSTILE, "Two devices are affected", "one more may be"):
        assert said in page.words
    assert "May be affected: look for the batch" in page.words
    assert "elm: its record cannot be used." in page.words
    assert page.tags.count("input") > 20
    rows = list(csv.DictReader((tmp_path / "out" / "notice.csv").read_text(encoding="utf-8").splitlines()))
    assert [(row["home"], row["certain"], row["lacks"]) for row in rows] == [
        ("ash", "yes", ""),
        ("beech", "no", "batch"),
        ("cedar", "yes", ""),
    ]
    for file in (tmp_path / "out").iterdir():
        assert "Anna" not in file.read_text(encoding="utf-8")
    run("find", "--kind", "smoke alarm", "--batch", "25-51", *words, *ON)
    assert (tmp_path / "out" / "notice.html").read_text(encoding="utf-8") == text


def test_a_notice_that_cannot_be_written_is_said(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    done = run("find", "--model", "optical", "--notice", "T", "--to", "file/out", *ON, homes=HOMES)
    assert done.exit_code == 2
    assert "not written" in done.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "say what to look for"),
        (("--rule", "smoke-clear-of-wal"), "Did you mean smoke-clear-of-wall?"),
        (("--rule-set", "uk-engand"), "Did you mean uk-england?"),
        (("--kind", "smoke"), "smoke alarm"),
        (("--made", "2024"), "2024-03, or a range"),
        (("--made", "2024-06..2024-01"), "the earlier month first"),
        (("--made", ".."), "is no month"),
        (("--batch", "25-60..25-40"), "the lower end of the range first"),
        (("--model", " "), "give some text"),
        (("--model", "x", "--notice", "T"), "go together"),
        (("--model", "x", "--do", "y"), "give --notice TITLE as well"),
        (("--model", "x", "--notice", " ", "--to", "out"), "give the notice a title"),
        (("--model", "x", "nowhere"), "no home 'nowhere'"),
    ],
)
def test_a_question_that_cannot_be_used_is_said(run: Run, words: tuple[str, ...], says: str) -> None:
    done = run("find", *words, *ON, homes={"ash": GOOD})
    assert done.exit_code == 2
    assert says in " ".join(done.stderr.split())


def test_on_a_terminal_of_80_columns_nothing_is_wider_and_no_text_steers_it(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "80")
    done = run("find", "--kind", "smoke alarm", "--battery", "sealed", *ON, homes=HOMES)
    lines = re.sub(r"\x1b\[[0-9;]*m", "", done.stdout).splitlines()
    assert max(map(len, lines)) <= 80
    assert "\x1b" not in "".join(lines)


def test_the_handbook_names_every_option_and_column(run: Run) -> None:
    handbook = HANDBOOK.read_text(encoding="utf-8")
    options = re.findall(r"^  (--[a-z-]+)", run("find", "--help").stdout, re.MULTILINE)
    assert len(options) > 12
    assert [name for name in options if name not in handbook and name not in ("--homes", "--on", "--config")] == []
    heads = run("find", "--kind", "keypad", "--format", "csv", *ON, homes=HOMES).stdout.strip().split(",")
    assert [name for name in heads if f"`{name}`" not in handbook] == []


def test_export_writes_what_is_usable_and_says_what_is_not(run: Run, tmp_path: Path) -> None:
    done = run("export", "--to", "homes.sqlite", *ON, homes=HOMES)
    assert done.exit_code == 0
    assert "homes.sqlite: 3 of 3 homes written" in done.stdout
    done = run("export", "--to", "tables", *ON, homes={"elm": BROKEN})
    assert done.exit_code == 2
    assert "In the table unusable only: elm." in done.stdout
    assert (tmp_path / "tables" / "unusable.csv").read_text(encoding="utf-8").count("elm") == 1


def test_export_refuses_in_a_sentence(run: Run, tmp_path: Path) -> None:
    (tmp_path / "note.sqlite").write_text("keep", encoding="utf-8")
    done = run("export", "--to", "note.sqlite", *ON, homes=HOMES)
    assert done.exit_code == 2
    assert "is there and is no earlier export" in done.stderr
    assert run("export", *ON).exit_code == 2
    assert run("export", "--columns").stdout.startswith("### home\n")
