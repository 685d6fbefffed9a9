"""The hand-over pack as a PDF, read back by a second library, and as Chromium prints it."""

import fcntl
import hashlib
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pdfplumber
import pypdfium2
import pytest
from pdfminer.utils import decode_text

from asfitted.drawing.drawing import Drawing
from asfitted.pages.figures import plans
from asfitted.pages.pack import hand_over_pack
from asfitted.pages.pdf import NoPdf, need_library, pdf
from tests.pages.homes import FIRM, dossier, home
from tests.pages.papers import DIGEST, NO_PDF, SMALL

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
MM = 25.4 / 72  # a PDF counts in 1/72 inch (ISO 32000-1, 8.3.2.3)
HOME = dossier(home(SMALL))
GROUND = next(figure.drawing for figure in plans(HOME) if figure.caption == "Ground floor")
MEASURED = (1.80, 4.60)  # hall and living room, side by side, from west to east, in the record

pytestmark = pytest.mark.skipif(bool(NO_PDF), reason=NO_PDF)


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The pack as HTML and PDF, made once for all processes."""
    base = tmp_path_factory.getbasetemp()
    folder = (base if worker_id == "master" else base.parent) / "pack"
    folder.mkdir(exist_ok=True)
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / "pack.pdf").exists():
            page = hand_over_pack(HOME, FIRM, DIGEST)
            (folder / "pack.html").write_text(page, encoding="utf-8")
            (folder / "pack.pdf").write_bytes(pdf(page))
    return folder


@pytest.fixture(scope="module")
def made(files: Path) -> Iterator[Any]:
    with pdfplumber.open(files / "pack.pdf") as document:
        yield document


@pytest.fixture(scope="module")
def texts(files: Path) -> list[list[str]]:
    return lines_of(files / "pack.pdf")


def lines_of(file: Path) -> list[list[str]]:
    """Give the lines of every page."""
    document = pypdfium2.PdfDocument(file)
    try:
        return [page.get_textpage().get_text_range().splitlines() for page in document]
    finally:
        document.close()


def scaled(page: Any, drawing: Drawing) -> list[float]:
    """Give the lengths in metres of the level lines on a page, by the scale of the drawing."""
    lines = [*page.lines, *page.curves, *page.rects]
    return [(line["x1"] - line["x0"]) * MM * drawing.scale / 1000 for line in lines if line["bottom"] - line["top"] < 1]


def assert_to_scale(page: Any, drawing: Drawing) -> None:
    # ISO 5455: a scale is the length on the drawing against the length itself; 0.2 mm of paper is asked for.
    found = scaled(page, drawing)
    for metres in MEASURED:
        assert min(abs(length - metres) for length in found) * 1000 / drawing.scale < 0.2, metres


def test_every_page_has_running_title_revision_day_and_its_number(texts: list[list[str]]) -> None:
    for number, text in enumerate(texts, 1):
        assert text[-2] == "House by the mill Hand-over pack, Lantern & Latch"
        assert text[-1] == f"Revision 4f1c2ab of 2026-03-10. As it stands on 2026-03-10 Page {number} of {len(texts)}"


def test_the_contents_name_the_pages_where_the_chapters_begin(texts: list[list[str]]) -> None:
    entries = [found for line in texts[1] if (found := re.fullmatch(r"(\d+ .+?) ?\.{3,} ?(\d+)", line))]
    assert len(entries) >= 10
    for entry in entries:
        assert entry[1] in texts[int(entry[2]) - 1], entry[1]


def test_paper_is_a4_and_a_known_length_is_true_to_scale(made: Any, texts: list[list[str]]) -> None:
    assert {(round(page.width * MM), round(page.height * MM)) for page in made.pages} <= {(210, 297), (297, 210)}
    number = next(index for index, text in enumerate(texts) if text[0] == "Ground floor")
    assert f"1:{GROUND.scale}" in texts[number]
    assert_to_scale(made.pages[number], GROUND)


def test_bookmarks_lead_to_chapters_and_drawings(made: Any) -> None:
    outlines = [(level, title) for level, title, *_ in made.doc.get_outlines()]
    chapters = [title for level, title in outlines if level == 1]
    assert chapters[0].endswith("When it sounds")
    assert any(title.endswith("Statement of what was checked") for title in chapters)
    assert (2, "Ground floor") in outlines


def test_the_file_says_what_it_is_and_is_tagged(made: Any) -> None:
    assert made.metadata["Title"] == "Hand-over pack: House by the mill"
    assert made.metadata["Author"] == "Lantern & Latch"
    assert made.metadata["CreationDate"].startswith("D:20260310000000")
    catalog = made.doc.catalog
    assert catalog["MarkInfo"]["Marked"]
    assert catalog["Lang"] in (b"en", "en")
    objects = [made.doc.getobj(number) for number in made.doc.xrefs[0].get_objids()]
    told = [decode_text(item["Alt"]) for item in objects if isinstance(item, dict) and "Alt" in item]
    assert any("ground floor" in alt and "SA1" in alt for alt in told)


def test_another_process_makes_the_same_bytes(tmp_path: Path) -> None:
    page = f'<!doctype html><html lang="en"><title>x</title><body><h2>Plan</h2>{GROUND.inline}</body></html>'
    (tmp_path / "page.html").write_text(page, encoding="utf-8")
    code = "import sys, hashlib; from asfitted.pages.pdf import pdf; from pathlib import Path; "
    code += "print(hashlib.sha256(pdf(Path(sys.argv[1]).read_text(encoding='utf-8'))).hexdigest())"
    done = subprocess.run(
        [sys.executable, "-c", code, tmp_path / "page.html"], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == hashlib.sha256(pdf(page)).hexdigest()


def test_a_page_that_asks_for_something_gets_nothing(tmp_path: Path) -> None:
    (tmp_path / "secret.css").write_text("p::after { content: 'from outside' }", encoding="utf-8")
    page = f'<!doctype html><html lang="en"><title>x</title><link rel="stylesheet" href="{(tmp_path / "secret.css").as_uri()}"><p>words'
    (tmp_path / "made.pdf").write_bytes(pdf(page))
    with pdfplumber.open(tmp_path / "made.pdf") as document:
        assert document.pages[0].extract_text() == "words"


def test_without_the_library_a_sentence_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(NoPdf, match=r"pip install 'asfitted\[pdf\]'"):
        need_library()


@pytest.mark.browser
@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
def test_a_browser_prints_the_same_pages(files: Path, texts: list[list[str]], tmp_path: Path) -> None:
    assert CHROMIUM is not None
    subprocess.run(
        [
            CHROMIUM, "--headless", "--no-sandbox", "--disable-background-networking", "--no-pdf-header-footer",
            f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={tmp_path / 'printed.pdf'}",
            (files / "pack.html").as_uri(),
        ],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    printed = lines_of(tmp_path / "printed.pdf")
    assert abs(len(printed) - len(texts)) <= 2
    for number, lines in enumerate(printed, 1):
        text = " ".join(lines)
        assert f"Page {number} of {len(printed)}" in text
        assert "House by the mill" in text
        assert "Revision 4f1c2ab of 2026-03-10" in text
    with pdfplumber.open(tmp_path / "printed.pdf") as document:
        plan = next(number for number, lines in enumerate(printed) if "Ground floor" in lines and number > 1)
        assert_to_scale(document.pages[plan], GROUND)
