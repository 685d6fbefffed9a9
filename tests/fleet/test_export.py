"""The tables of the export, read back by general libraries: what the records hold, no more and no less."""

import csv
import re
import sqlite3
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from asfitted.fleet.export import TABLES, VIEWS, Row, as_markdown, export
from asfitted.fleet.export_files import NotWritten, sink_for
from asfitted.fleet.load import Loaded, load_homes
from asfitted.fleet.table import Table, of_model
from asfitted.model.device import Device
from tests.conftest import BROKEN, GOOD

ROOT = Path(__file__).parents[2]
HANDBOOK = (ROOT / "docs" / "export.md").read_text(encoding="utf-8")
ON = date(2026, 11, 25)
SECRETS = ("Anna", "grandmother", "terrier", "jewellery", "spaniel", "deaf", "Pocket")
HOSTILE = "=1+1'); DROP TABLE home;--"
PERSONAL = (
    GOOD.replace(
        "label: Cabin with one room", f'label: "{HOSTILE}", note: the grandmother of Anna, place: [54.3, -2.8]'
    )
    .replace("household: {", "household: {pets: [{kind: terrier, mass: 8 kg}], hard-of-hearing: {cabin: 1}, ")
    .replace("use: bedroom,", "use: bedroom, name: Anna's room, note: jewellery here,")
    .replace("name: cabin smoke alarm", "name: Anna smoke alarm, note: barked at by a spaniel")
    .replace("doors: closed}}", "doors: closed, note: Anna is deaf}}")
    + "variations: [{rule: smoke-clear-of-wall, device: SA1, why: Pocket of Anna, agreed: householder, on: 2026-03-04}]\n"
)


@pytest.fixture(scope="module")
def demo() -> list[Loaded]:
    """The demo homes, and what cannot be used beside them."""
    return load_homes(ROOT / "homes", ON, with_revision=False)


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> list[Loaded]:
    """A home whose record says much of people, and one that cannot be used."""
    homes = tmp_path_factory.mktemp("homes")
    for name, text in (("ash", PERSONAL), ("beech", BROKEN)):
        (homes / name).mkdir()
        (homes / name / "record.yml").write_text(text, encoding="utf-8")
    return load_homes(homes, ON, with_revision=False)


@pytest.fixture(scope="module")
def database(demo: list[Loaded], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo homes as an SQLite file."""
    file = tmp_path_factory.mktemp("export") / "homes.sqlite"
    assert written(demo, "sqlite", file) == []
    return file


def written(loaded: Sequence[Loaded], form: str, target: Path) -> list[str]:
    """Export and tell which homes cannot be used."""
    with sink_for(form, target) as sink:
        return export(loaded, sink)


def asked(file: Path, sql: str) -> list[tuple[Any, ...]]:
    """Ask an SQLite file with the standard library."""
    data = sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)
    try:
        return data.execute(sql).fetchall()
    finally:
        data.close()


def test_every_key_leads_to_a_row(database: Path) -> None:
    assert asked(database, "PRAGMA foreign_key_check") == []
    assert asked(database, "PRAGMA integrity_check") == [("ok",)]
    keyed = [table for table in TABLES if table.refers]
    assert len(keyed) == len(TABLES) - 2  # the home itself, and what cannot be used
    for table in keyed:
        found = {row[2] for row in asked(database, f"PRAGMA foreign_key_list({table.name})")}
        assert found == {ref.table for ref in table.refers}


def test_a_key_that_leads_nowhere_would_be_found(database: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    copy.write_bytes(database.read_bytes())
    with sqlite3.connect(copy) as data:
        data.execute("DELETE FROM device WHERE device = 'SA1'")
    data.close()
    assert asked(copy, "PRAGMA foreign_key_check") != []


def test_the_rows_are_as_many_as_the_records_hold(database: Path, demo: list[Loaded]) -> None:
    dossiers = [item.dossier for item in demo if item.dossier]
    homes = [dossier.home for dossier in dossiers]
    storeys = [storey for home in homes for storey in home.storeys]
    visits = [visit for home in homes for visit in home.visits]
    tests = [test for visit in visits for test in visit.tests.values()]
    linked = sum(len(set(device.linked)) for home in homes for device in home.devices.values())
    expected = {
        "home": len(homes),
        "storey": len(storeys),
        "room": sum(len(storey.rooms) for storey in storeys),
        "opening": sum(len(storey.openings) for storey in storeys),
        "fitting": sum(len(storey.fittings) for storey in storeys),
        "device": sum(len(home.devices) for home in homes),
        "link": linked + sum(len(dossier.reckoned.radio.links) for dossier in dossiers),
        "visit": len(visits),
        "test": len(tests),
        "sound_level": sum(len(test.level) for test in tests),
        "finding": sum(len(dossier.findings) for dossier in dossiers),
        "task": sum(len(dossier.tasks) for dossier in dossiers),
        "variation": sum(len(home.variations) for home in homes),
        "unusable": 0,
    }
    assert {table.name: len(asked(database, f"SELECT * FROM {table.name}")) for table in TABLES} == expected  # noqa: S608
    assert [row[0] for row in asked(database, "SELECT count(*) FROM due")] == [expected["task"]]
    assert all(asked(database, f"SELECT * FROM {view.name} LIMIT 1") for view in VIEWS)  # noqa: S608


def test_a_device_is_told_as_its_record_tells_it(database: Path) -> None:
    """By homes/gable-hatch/record.yml: CU1 holds 2.6 Ah and 12 h, MD1 has a battery for 3 years of 365.25 days."""
    said = asked(
        database,
        "SELECT capacity, standby, mobile, mobile_level FROM device WHERE home = 'gable-hatch' AND device = 'CU1'",
    )
    assert said == [(2.6, 43_200.0, "4G", -88.0)]
    said = asked(
        database,
        "SELECT battery_type, battery_life, made, height FROM device WHERE home = 'gable-hatch' AND device = 'MD1'",
    )
    assert said == [("1 x CR123", 3 * 365.25 * 86_400, "2022-12-01", 1.95)]
    said = asked(
        database,
        "SELECT steps, worked, battery_voltage FROM test WHERE home = 'gable-hatch' AND device = 'MD1' AND visit = 3",
    )
    assert said == [(3, 1, 3.1)]


def test_the_same_records_give_the_same_bytes(database: Path, demo: list[Loaded], tmp_path: Path) -> None:
    again = tmp_path / "again.sqlite"
    written(demo, "sqlite", again)
    assert again.read_bytes() == database.read_bytes()


def test_every_column_is_told_in_the_schema_in_the_table_and_in_the_handbook(database: Path) -> None:
    meaning = asked(database, "SELECT table_name, column_name, means FROM meaning")
    made = dict(asked(database, "SELECT name, sql FROM sqlite_master"))
    for table in TABLES:
        names = [row[1] for row in asked(database, f"PRAGMA table_info({table.name})")]
        told = [row[1:] for row in meaning if row[0] == table.name]
        assert {name for name, _ in told} == set(names)
        assert [means for _, means in told if not means or f"-- {means}" not in made[table.name]] == []
    assert HANDBOOK.endswith(f"<!-- made: asfitted export --columns -->\n\n{as_markdown()}")


def test_the_questions_of_the_handbook_have_the_answers_it_prints(database: Path) -> None:
    questions = re.findall(r"```sql\n(.+?)\n```\n\n```text\n(.+?)\n```", HANDBOOK, re.DOTALL)
    assert len(questions) == 3
    data = sqlite3.connect(database)
    for sql, printed in questions:
        found = data.execute(sql)
        rows = [[head[0] for head in found.description], *found.fetchall()]
        assert "\n".join("|".join(map(str, row)) for row in rows) == printed
    data.close()


def _kept(loaded: Sequence[Loaded]) -> dict[str, list[Row]]:
    kept: dict[str, list[Row]] = {table.name: [] for table in TABLES}

    def sink(table: Table[Any], rows: Sequence[Row]) -> None:
        kept[table.name] += rows

    export(loaded, sink)
    return kept


def _as_typed(cell: object) -> str:
    if isinstance(cell, bool):
        return str(int(cell))
    return "" if cell is None else str(cell)


def test_csv_comes_back_as_it_went_and_no_cell_is_a_formula(
    demo: list[Loaded], odd: list[Loaded], tmp_path: Path
) -> None:
    both = [demo[0], *odd]
    written(both, "csv", tmp_path / "tables")
    for name, rows in _kept(both).items():
        with (tmp_path / "tables" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            _, *found = csv.reader(file)
        assert [[re.sub(r"^'(?==)", "", cell) for cell in row] for row in found] == [
            [_as_typed(cell) for cell in row] for row in rows
        ]
        formulas = [cell for row in found for cell in row if re.match(r"[=+@\t\r\n-]", cell)]
        assert [cell for cell in formulas if not re.fullmatch(r"-[0-9.e-]+", cell)] == []
    assert f"'{HOSTILE}" in (tmp_path / "tables" / "home.csv").read_text(encoding="utf-8")


def test_parquet_comes_back_as_it_went(demo: list[Loaded], tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    written(demo[:2], "parquet", tmp_path / "tables")
    for name, rows in _kept(demo[:2]).items():
        found = parquet.read_table(tmp_path / "tables" / f"{name}.parquet")
        assert [tuple(row.values()) for row in found.to_pylist()] == rows
    length = found_field(parquet.read_schema(tmp_path / "tables" / "room.parquet"), "area")
    assert length == {b"means": b"floor area", b"unit": "m²".encode()}
    first = (tmp_path / "tables" / "test.parquet").read_bytes()
    written(demo[:2], "parquet", tmp_path / "tables")
    assert (tmp_path / "tables" / "test.parquet").read_bytes() == first


def found_field(schema: Any, name: str) -> dict[bytes, bytes]:
    """Give what a Parquet file says beside a column."""
    told: dict[bytes, bytes] = schema.field(name).metadata
    return {key: told[key] for key in (b"means", b"unit")}


def test_nothing_of_the_household_goes_out(odd: list[Loaded], tmp_path: Path) -> None:
    record = odd[0].reading.file.read_text(encoding="utf-8")
    assert all(word in record for word in SECRETS)
    assert odd[0].dossier is not None, odd[0].troubles
    written(odd, "sqlite", tmp_path / "homes.sqlite")
    out = (tmp_path / "homes.sqlite").read_bytes()
    assert [word for word in SECRETS if word.encode() in out] == []
    assert b"Anna" not in "".join(map(str, _kept(odd).values())).encode()
    assert asked(tmp_path / "homes.sqlite", "SELECT label FROM home") == [(HOSTILE,)]


def test_a_home_that_cannot_be_used_stands_in_its_own_table_only(odd: list[Loaded], tmp_path: Path) -> None:
    assert written(odd, "sqlite", tmp_path / "homes.sqlite") == ["beech"]
    assert asked(tmp_path / "homes.sqlite", "SELECT home FROM home") == [("ash",)]
    home, number, line, place = asked(tmp_path / "homes.sqlite", "SELECT home, number, line, place FROM unusable")[0]
    assert (home, number) == ("beech", 1)
    assert "knid" in BROKEN.splitlines()[line - 1]
    assert "SA1" in place


def test_a_run_that_fails_leaves_the_earlier_export(odd: list[Loaded], tmp_path: Path) -> None:
    for form, target in (("sqlite", tmp_path / "homes.sqlite"), ("csv", tmp_path / "tables")):
        written(odd, form, target)
        before = {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()}

        def fail(form: str, target: Path) -> None:
            with sink_for(form, target) as sink:
                export(odd[:1], sink)
                raise OSError(28, "No space left on device")

        with pytest.raises(NotWritten, match="No space left"):
            fail(form, target)
        assert {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()} == before


@pytest.mark.parametrize(
    ("form", "name"), [("sqlite", "note.txt"), ("sqlite", "folder"), ("csv", "note.txt"), ("csv", "folder")]
)
def test_what_is_no_earlier_export_is_never_replaced(form: str, name: str, tmp_path: Path) -> None:
    (tmp_path / "note.txt").write_text("keep", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "keep.txt").write_text("keep", encoding="utf-8")
    with pytest.raises(NotWritten), sink_for(form, tmp_path / name):
        pass
    assert (tmp_path / "note.txt").read_text(encoding="utf-8") == "keep"
    assert [file.name for file in (tmp_path / "folder").iterdir()] == ["keep.txt"]


def test_without_its_library_parquet_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    with pytest.raises(NotWritten, match=r"pip install 'asfitted\[parquet\]'"), sink_for("parquet", tmp_path / "t"):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_kind_of_value_that_no_column_knows_is_refused() -> None:
    with pytest.raises(TypeError, match="no column can hold"):
        of_model(Device, "photos")
