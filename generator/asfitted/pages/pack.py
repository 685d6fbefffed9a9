"""The hand-over pack: one document a home for paper, with the same words, drawings and findings as the two sites."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from markupsafe import Markup

from asfitted.drawing.drawing import stylesheet
from asfitted.language import say
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.figures import Figure, diagrams, plans
from asfitted.pages.household import household_tree
from asfitted.pages.languages import speaking_for
from asfitted.pages.on_paper import Chapter, chapter
from asfitted.pages.render import render, translated
from asfitted.pages.views.devices import device_cards
from asfitted.pages.views.office_homes import LOOKS
from asfitted.pages.views.office_visits import variation_views
from asfitted.pages.views.pack import statement, tested
from asfitted.rules.finding import Verdict

FIRST: Mapping[str, tuple[str, ...]] = {
    "sounds": (),
    "ways-out": (),
    "how-to": ("sources", "who-to-call"),
    "dates": ("glance", "calendar", "yours", "theirs"),
    "batteries": (),
    "safety": ("who-to-call",),
}
"""Pages of the household's site that stand in front of the record, with the headings that paper does without."""
LAST: Mapping[str, tuple[str, ...]] = {"words": ()}
"""Pages that stand behind it."""
RECORD = ("drawings", "devices", "tests", "statement", "signatures")
"""The chapters of the record, which are templates of ours."""
TALLEST, WIDEST = 246.0, 180.0
"""A sheet that is higher leaves no room for a heading above it on A4; one that is wider lies across."""
LONGEST = 70
"""Characters of the home's name in the running title."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A drawing of the pack, with its id there and whether it lies across or fills the height of its page."""

    id: str
    figure: Figure
    across: bool
    tall: bool


def hand_over_pack(dossier: Dossier, firm: Firm, digest: str) -> str:
    """Write the hand-over pack of a home as one print-ready page that carries its styles and drawings.

    Args:
        dossier: all that is known of the home on a day.
        firm: who hands it over.
        digest: SHA-256 of the record, by which the pack is matched with a revision later.

    Returns:
        The HTML. The same arguments give the same text.
    """
    pages = household_tree(dossier, firm)
    shown = {name: str(pages[f"docs/{name}.md"]) for name in (*FIRST, *LAST) if f"docs/{name}.md" in pages}
    ids = {name: name for name in (*shown, *RECORD)}
    made = {name: chapter(name, text, ids, {**FIRST, **LAST}[name]) for name, text in shown.items()}
    facts = dossier.home.home
    with speaking_for(facts.language):
        own_words = (
            say("Alarm sounding now? What to do"),
            translated("Danger to life: %(number)s", number=firm.emergency),
        )
    page = render(
        "pack/pack.html",
        style=_styles(dossier, firm),
        language=facts.language,
        urgent=own_words if facts.language != "en" else (),
        label=facts.label,
        reference=facts.reference or "",
        home=dossier.id,
        firm=firm,
        on=dossier.on,
        revision=dossier.revision,
        rules=dossier.rules.facts,
        digest=digest,
        first=[made[name] for name in FIRST if name in made],
        last=[made[name] for name in LAST if name in made],
        sheets=_sheets(dossier),
        cards=device_cards(dossier),
        undated=dossier.undated,
        tested=tested(dossier),
        statement=statement(dossier),
        verdicts=tuple(Verdict),
        looks=LOOKS,
        variations=variation_views(dossier),
        visits=_visits(str(pages.get("docs/visits.md", "")), ids),
        words=_words(),
    )
    return _without_loose_ends(page)


def _without_loose_ends(page: str) -> str:
    """Take the address from links that lead to what was left out."""
    ids = set(re.findall(r'\sid="([^"]*)"', page))
    return re.sub(r' href="#([^"]*)"', lambda found: found[0] if found[1] in ids else "", page)


def _visits(text: str, ids: Mapping[str, str]) -> Chapter:
    """Set what was done at each visit as a part of the test results."""
    return chapter("visits", text, {**ids, "visits": "visits"})


def _sheets(dossier: Dossier) -> list[Sheet]:
    """Give the plans of all storeys, then every room that has a device."""
    used = {spot.room for spot in dossier.dwelling.spots.values()}
    rooms = [figure for room in dossier.dwelling.rooms if room in used for figure in diagrams(dossier, room)]
    return [_sheet(figure) for figure in (*plans(dossier), *rooms)]


def _sheet(figure: Figure) -> Sheet:
    drawing = figure.drawing
    across = drawing.width_mm > WIDEST
    tallest = TALLEST - 257.0 + (WIDEST if across else 257.0)
    return Sheet(f"drawing-{drawing.name}", figure, across, drawing.height_mm > tallest)


def _styles(dossier: Dossier, firm: Firm) -> Markup:
    """Give the stylesheets, with the running title, revision and day as words of CSS."""
    here = files("asfitted.pages") / "assets"
    label = dossier.home.home.label
    title = label if len(label) <= LONGEST else f"{label[:LONGEST]}\N{HORIZONTAL ELLIPSIS}"
    running = {
        "title": title,
        "firm": f"Hand-over pack, {firm.name[:LONGEST]}" if firm.name else "Hand-over pack",
        "revision": f"Revision {dossier.revision.words}. As it stands on {dossier.on}",
    }
    pack = (here / "pack.css").read_text(encoding="utf-8")
    for name, words in running.items():
        pack = pack.replace(f'"({name})"', as_css(words))
    return Markup(stylesheet() + pack)  # noqa: S704 - files of ours, and words whose every letter is escaped


def as_css(words: str) -> str:
    """Write words as a string of CSS, with every character that is no plain letter or figure by its number."""
    return '"' + re.sub(r"[^A-Za-z0-9]", lambda found: f"\\{ord(found[0]):x} ", " ".join(words.split())) + '"'


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads((files("asfitted.pages") / "data" / "pack.toml").read_text(encoding="utf-8"))
