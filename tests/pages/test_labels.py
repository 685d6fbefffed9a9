"""Labels: what the codes say, read by another library, and sizes in millimetres."""

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp

from asfitted.pages.labels import LEAST_MODULE, NoLabels, label_sheet, labels_page, says, sheets
from asfitted.pages.pdf import pdf
from tests.pages.homes import FIRM, RECORD, dossier, home
from tests.pages.papers import NO_PDF, NOTHING, words

HOME = dossier(home(RECORD))
SERVED = replace(FIRM, sites="https://homes.example.org/")
DOTS = 200  # to the inch
MM = 25.4 / DOTS
PAGES = {"plain": (FIRM, "3x8 of 60x32"), "served": (SERVED, "large")}


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Both sheets as pictures of the printed PDF."""
    if NO_PDF:
        pytest.skip(NO_PDF)
    folder = tmp_path_factory.mktemp("labels")
    pictures = {}
    for name, (firm, sheet) in PAGES.items():
        file = folder / f"{name}.pdf"
        file.write_bytes(pdf(labels_page(HOME, firm, label_sheet(sheet))))
        document = pypdfium2.PdfDocument(file)
        assert len(document) == 1
        assert tuple(round(side * 25.4 / 72) for side in document[0].get_size()) == (210, 297)
        pictures[name] = document[0].render(scale=DOTS / 72, grayscale=True).to_pil()
        document.close()
    return pictures


@pytest.fixture(scope="module")
def codes(printed: dict[str, Any]) -> dict[str, list[Any]]:
    return {name: list(zxingcpp.read_barcodes(picture)) for name, picture in printed.items()}


def test_a_code_says_home_and_tag_where_no_site_is_served(codes: dict[str, list[Any]]) -> None:
    assert sorted(code.text for code in codes["plain"]) == sorted(f"millside {tag}" for tag in HOME.home.devices)


def test_a_code_says_the_address_of_the_card_where_sites_are_served(codes: dict[str, list[Any]]) -> None:
    address = "https://homes.example.org/millside/devices.html"
    assert sorted(code.text for code in codes["served"]) == sorted(
        f"{address}#{tag.lower()}" for tag in HOME.home.devices
    )


def module_of(page: str) -> float:
    """Give the size of a module in mm as the sheet says it."""
    return float(re.findall(r"module ([\d.]+) mm", words(page))[0])


def test_codes_are_of_the_level_and_the_size_that_the_sheet_says(codes: dict[str, list[Any]]) -> None:
    for name, (firm, sheet) in PAGES.items():
        module = module_of(labels_page(HOME, firm, label_sheet(sheet)))
        assert module >= LEAST_MODULE
        for code in codes[name]:
            assert code.format == zxingcpp.BarcodeFormat.QRCode
            assert code.ec_level == "M"
            # ISO/IEC 18004: version 1 has 21 modules along a side, each further version 4 more (from memory).
            across = (code.position.top_right.x - code.position.top_left.x) * MM / module
            assert across == pytest.approx(round(across), abs=0.4)
            assert round(across) % 4 == 1


def test_labels_stand_where_the_sheet_puts_them(codes: dict[str, list[Any]]) -> None:
    at = {code.text.split()[-1]: code.position.top_left for code in codes["plain"]}
    tags = list(HOME.home.devices)
    assert (at[tags[1]].x - at[tags[0]].x) * MM == pytest.approx(60, abs=0.3)
    assert (at[tags[3]].y - at[tags[0]].y) * MM == pytest.approx(32, abs=0.3)


def test_the_paper_stays_blank_for_four_modules_round_a_code(
    printed: dict[str, Any], codes: dict[str, list[Any]]
) -> None:
    # ISO/IEC 18004, as quoted by GS1 UK, "How big should a QR code powered by GS1 be": 4 modules on all sides.
    picture = printed["plain"]
    module = module_of(labels_page(HOME, FIRM, label_sheet(PAGES["plain"][1]))) / MM
    for code in codes["plain"]:
        corner, other = code.position.top_left, code.position.bottom_right
        out = 4 * module - 2
        for box in (
            (corner.x - out, corner.y - out, other.x + out, corner.y - 2),
            (corner.x - out, other.y + 3, other.x + out, other.y + out),
            (corner.x - out, corner.y - out, corner.x - 2, other.y + out),
            (other.x + 3, corner.y - out, other.x + out, other.y + out),
        ):
            assert picture.crop(tuple(round(side) for side in box)).getextrema()[0] > 200


def test_every_label_says_tag_kind_and_home_and_nothing_else_of_it() -> None:
    page = labels_page(HOME, FIRM, label_sheet("medium"))
    for tag, device in HOME.home.devices.items():
        kind = device.kind[:1].upper() + device.kind[1:]
        assert f'<p class="tag">{tag}</p><p class="kind">{kind}</p><p class="home">millside</p>' in page
    assert HOME.home.home.label not in page


def test_cut_marks_stand_at_every_cut_outside_the_labels() -> None:
    sheet = label_sheet("3x8 of 60x32")
    (path,) = re.findall(r'<path d="([^"]+)" fill="none"', labels_page(HOME, FIRM, sheet))
    marks = re.findall(r"M([\d.]+) ([\d.]+)([vh])3", path)
    assert {float(x) for x, _, way in marks if way == "v"} == {15, 75, 135, 195}
    assert {float(y) for _, y, way in marks if way == "h"} == {20.5 + 32 * row for row in range(9)}
    assert all(float(y) + 3 < 20.5 or float(y) > 276.5 for _, y, way in marks if way == "v")
    assert all(float(x) + 3 < 15 or float(x) > 195 for x, _, way in marks if way == "h")


@pytest.mark.parametrize("name", sheets())
def test_the_sheets_with_a_name_fit_on_the_paper_and_hold_an_ordinary_address(name: str) -> None:
    assert label_sheet(name).left >= 5
    assert labels_page(HOME, SERVED, label_sheet(name))


def test_more_devices_than_labels_take_another_sheet() -> None:
    page = labels_page(HOME, FIRM, label_sheet("2x2 of 60x32"))
    assert page.count('<section class="paper">') == 2
    assert page.count('class="label"') == len(HOME.home.devices) == 7


def test_a_label_too_small_for_its_code_is_refused_with_a_size_that_does() -> None:
    with pytest.raises(NoLabels, match="too small") as refused:
        labels_page(HOME, SERVED, label_sheet("4x10 of 30x14"))
    found = re.search(r"at least ([\d.]+) x ([\d.]+) mm", str(refused.value))
    assert found is not None
    assert labels_page(HOME, SERVED, label_sheet(f"2x4 of {found[1]}x{found[2]}"))


@pytest.mark.parametrize("said", ["huge", "", "3x8", "0x3 of 60x32", "3x3 of 0x32", "4x4 of 60x32", "3x8 of 60x32; rm"])
def test_a_sheet_that_is_none_is_refused_in_a_sentence(said: str) -> None:
    with pytest.raises(NoLabels, match=r"sheet|fit"):
        label_sheet(said)


def test_a_home_without_devices_has_no_labels() -> None:
    with pytest.raises(NoLabels, match="no device"):
        labels_page(dossier(home(NOTHING)), FIRM, label_sheet("medium"))


def test_a_strange_home_id_stays_a_part_of_the_address() -> None:
    assert says('a/../b?c#d "<', "SA1", SERVED) == "https://homes.example.org/a/../b%3Fc%23d%20%22%3C/devices.html#sa1"
    assert "<script>" not in labels_page(replace(HOME, id="<script>"), FIRM, label_sheet("large"))


def test_the_same_home_gives_the_same_sheet(tmp_path: Path) -> None:
    first = labels_page(HOME, FIRM, label_sheet("small"))
    assert labels_page(dossier(home(RECORD)), FIRM, label_sheet("small")) == first
