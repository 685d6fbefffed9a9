"""A home with something of everything for the documents on paper, and what its PDF says."""

import re
from dataclasses import replace
from datetime import date
from html import unescape

from asfitted.model.home import Home
from asfitted.pages.dossier import Dossier
from asfitted.pages.pdf import NoPdf, need_library
from asfitted.rules.judge import judge
from tests.pages.homes import ON, RECORD, dossier, home

try:
    need_library()
    NO_PDF = ""
except NoPdf as error:
    NO_PDF = str(error)
"""Why no PDF can be made on this machine; empty where one can."""

DIGEST = "0123456789abcdef" * 4
VARIED = (
    RECORD
    + """
variations:
  - {rule: outdoor-sounder-height, device: OS1, why: the eaves are low here, agreed: "householder, in writing", on: 2026-03-04}
  - {rule: control-unit-watched, device: CU1, why: "a dog sleeps there, for now", agreed: householder, on: 2025-03-04, until: 2026-01-31}
"""
)
NOTHING = """
record: 1
home: {label: Empty shell}
storeys: [{id: ground, height: 2.4, rooms: [{id: hall, use: circulation, corner: [0, 0], size: [2, 3]}]}]
"""

SMALL = """
record: 1
home: {label: House by the mill, reference: LL-7}
storeys:
  - id: ground
    height: 2.40
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [1.80, 4.20]}
      - {id: living, name: living room, use: living, beside: "east of hall, flush south", size: [4.60, 3.90]}
devices:
  SA1: {kind: smoke alarm, on: ceiling of living, from-west: 1.60, from-south: 1.95, made: 2025-11, battery: "sealed, 10 years"}
visits: [{date: 2026-03-04, kind: commissioning, by: technician 4, tests: {SA1: {button: sounded, smoke: 8 s}}}]
"""


def judged(of: Home, on: date = ON) -> Dossier:
    laid_out = dossier(of, on=on)
    return replace(laid_out, findings=judge(of, laid_out.dwelling, on, laid_out.rules))


def varied() -> Dossier:
    return judged(home(VARIED))


def words(html: str) -> str:
    """Give what a page says: its text on one line, without styles and drawings."""
    html = re.sub(r"<(style|svg)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u2060", "").split())


def section(page: str, chapter: str) -> str:
    """Give the HTML of one chapter of a pack."""
    found = re.search(rf'<section class="chapter chapter--{chapter}">.*?</section>', page, re.DOTALL)
    assert found is not None, chapter
    return found[0]
