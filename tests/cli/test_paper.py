"""``asfitted pack`` and ``asfitted labels`` as they are called."""

import hashlib
import sys
from pathlib import Path

import pytest

from tests.conftest import BROKEN, GOOD, SHORT, Run
from tests.pages.papers import NO_PDF

ON = ("--on", "2026-03-10")


def test_a_pack_is_written_for_one_home_and_names_its_record(run: Run, tmp_path: Path) -> None:
    done = run("pack", "cabin", "--html", *ON, homes={"cabin": GOOD, "other": SHORT})
    assert done.exit_code == 0, done.output
    assert done.output == "site/paper/cabin/hand-over-pack.html: written\n"
    page = (tmp_path / "site/paper/cabin/hand-over-pack.html").read_text(encoding="utf-8")
    assert hashlib.sha256(GOOD.encode()).hexdigest()[:12] in page
    assert sorted(path.name for path in (tmp_path / "site").rglob("*.*")) == ["hand-over-pack.html"]


@pytest.mark.skipif(bool(NO_PDF), reason=NO_PDF)
def test_labels_are_written_as_page_and_pdf(run: Run, tmp_path: Path) -> None:
    done = run("labels", "cabin", "--to", "out", *ON, homes={"cabin": GOOD})
    assert done.exit_code == 0, done.output
    assert done.output == "out/labels.html: written\nout/labels.pdf: written\n"
    assert (tmp_path / "out/labels.pdf").read_bytes().startswith(b"%PDF-")


def test_labels_take_the_address_from_the_firms_configuration(run: Run, tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Records\nextra: {firm: {name: Lantern, sites: 'https://homes.example.org'}}\n", encoding="utf-8"
    )
    done = run("labels", "cabin", "--html", "--to", "out", *ON, homes={"cabin": GOOD})
    assert done.exit_code == 0, done.output
    assert "the address of the device’s card" in (tmp_path / "out/labels.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", ["pack", "labels"])
def test_without_the_pdf_library_the_command_says_what_to_install(
    run: Run, monkeypatch: pytest.MonkeyPatch, command: str, tmp_path: Path
) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    done = run(command, "cabin", *ON, homes={"cabin": GOOD})
    assert done.exit_code == 1
    assert "pip install 'asfitted[pdf]'" in done.output
    assert not (tmp_path / "site").exists()
    assert run(command, "cabin", "--html", *ON).exit_code == 0


@pytest.mark.parametrize("command", ["pack", "labels"])
def test_a_record_that_cannot_be_used_is_told_and_nothing_is_written(run: Run, command: str, tmp_path: Path) -> None:
    done = run(command, "cabin", "--html", *ON, homes={"cabin": BROKEN})
    assert done.exit_code == 2
    assert "knid" in done.output
    assert not (tmp_path / "site").exists()


def test_what_cannot_be_done_is_said_in_a_sentence(run: Run, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    for words, said in {
        ("pack", "cabn", "--html"): "Did you mean cabin?",
        ("labels", "cabin", "--html", "--sheet", "vast"): "is no label sheet",
        ("labels", "cabin", "--html", "--sheet", "9x20 of 20x12"): "too small",
        ("pack", "cabin", "--html", "--to", "taken/pack"): "not written",
    }.items():
        done = run(*words, *ON, homes={"cabin": GOOD})
        assert done.exit_code in (1, 2)
        assert said in done.output, done.output
