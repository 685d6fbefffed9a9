"""The office edition: the firm's site over all its homes, as a plain tree of files."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from typing import Any

from asfitted.history.story import Stories
from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import SiteConfig
from asfitted.pages.figures import Figure, diagrams, figures_of, plans
from asfitted.pages.layers import layered_plans
from asfitted.pages.office_history import pages_of_home, pages_over_all
from asfitted.pages.office_sheets import STYLE, sheet_pages
from asfitted.pages.render import render
from asfitted.pages.site import Site, base_tree
from asfitted.pages.views.office_board import AheadView, visits_ahead
from asfitted.pages.views.office_due import due_months
from asfitted.pages.views.office_findings import families_of, findings_by_room
from asfitted.pages.views.office_home import home_view
from asfitted.pages.views.office_homes import LOOKS, counts, folder, home_rows
from asfitted.pages.views.office_learned import learned_view
from asfitted.pages.views.office_record import record_parts
from asfitted.pages.views.office_rooms import storeys, unplaced
from asfitted.pages.views.office_rules import rule_lines, rule_pages, set_lines, settle
from asfitted.pages.views.office_short import shortfalls
from asfitted.pages.views.office_sums import asks, sheets
from asfitted.pages.views.office_visits import variation_views, visit_views
from asfitted.pages.views.photos import album, photos_of
from asfitted.rules.catalogue import Catalogue, catalogue
from asfitted.upkeep.calendar import calendar
from asfitted.upkeep.calendar_file import Entry
from asfitted.upkeep.calendar_of_visits import visit_calendar, visit_entries

STYLES: tuple[str, ...] = (
    "assets/asfitted.css",
    "assets/drawing.css",
    "assets/layers.css",
    "assets/office.css",
    STYLE,
)
"""Stylesheets that office pages need, from the documents folder."""
SCRIPTS: tuple[str, ...] = ("assets/asfitted.js", "assets/office.js")
"""Scripts that office pages need, from the documents folder."""
POLYFILLS = ("assets/vendor/iframe-worker/iframe-worker.js",)
"""What search needs on a page opened from disk; the engine would fetch it from a foreign host otherwise."""
FEATURES = ("navigation.sections",)

_NAV: list[Any] = [
    {"Office": [
        {"Homes": "homes/index.md"}, {"What is due": "due.md"}, {"Visits ahead": "visits-ahead.md"},
        {"What falls short": "short.md"}, {"What the fleet shows": "learned.md"},
        {"What changed": "changes.md"}, {"Variations": "variations.md"}, {"Rules": "rules.md"},
    ]},
    {"Handbook": [{"Start": "index.md"}, {"The record": "record.md"}]},
]  # fmt: skip


@dataclass(frozen=True)
class Unreadable:
    """A home or a rule set of the firm's own that cannot be used, and why not, one sentence each."""

    id: str
    troubles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HomeHead:
    """What the head of every page of a home says."""

    label: str
    reference: str
    rules: str
    rules_title: str
    revision: str


def office_tree(
    dossiers: Sequence[Dossier],
    unread: Sequence[Unreadable],
    config: SiteConfig,
    on: date,
    rules: Catalogue | None = None,
    unread_sets: Sequence[Unreadable] = (),
    stories: Stories | None = None,
) -> dict[str, str | bytes]:
    """Write the office pages of every home, what they need, and the pages over all homes.

    Args:
        dossiers: the homes that can be used.
        unread: the homes that cannot.
        config: the firm's site.
        on: the day the pages are made for.
        rules: the catalogue with the firm's own rule sets; the one of the program unless given.
        unread_sets: the firm's own rule sets that cannot be used.
        stories: the revisions of every home; None where there is no repository.

    Returns:
        Pages, drawings, calendars and assets by their path in the documents folder. The same arguments give the same
        bytes.
    """
    base = base_tree(Site(config.name, "", []))
    tree = {path.removeprefix("docs/"): content for path, content in base.items() if path.startswith("docs/")}
    tree |= {path: _asset(path) for path in (*STYLES, *SCRIPTS) if path not in tree}
    rules = rules or catalogue()
    ahead = visits_ahead(dossiers, on)
    visits = _visits_planned(dossiers, ahead, on)
    tree |= _pages_over_all(dossiers, unread, on, rules, ahead)
    tree |= _visits_file("calendar.ics", config.name, [entry for each in visits.values() for entry in each])
    tree |= _rules(dossiers, rules, unread_sets)
    tree |= pages_over_all(dossiers, stories, rules, on)
    for dossier in dossiers:
        written = _home(dossier, visits[dossier.id]) | pages_of_home(dossier, stories, rules.rules, _shared(dossier))
        tree |= {f"homes/{folder(dossier.id)}/{path}": content for path, content in written.items()}
    return tree


def office_site_tree(
    dossiers: Sequence[Dossier],
    unread: Sequence[Unreadable],
    config: SiteConfig,
    handbook: Mapping[str, bytes],
    on: date,
    rules: Catalogue | None = None,
    unread_sets: Sequence[Unreadable] = (),
    stories: Stories | None = None,
) -> dict[str, str | bytes]:
    """Write the office edition as a tree that the engine renders without anything of ours.

    Args:
        dossiers: the homes that can be used.
        unread: the homes that cannot.
        config: the firm's site; its navigation is kept, less what is not there.
        handbook: the firm's own pages by their path; they take the place of ours of the same path.
        on: the day the pages are made for.
        rules: the catalogue with the firm's own rule sets; the one of the program unless given.
        unread_sets: the firm's own rule sets that cannot be used.
        stories: the revisions of every home; None where there is no repository.
    """
    docs = {**office_tree(dossiers, unread, config, on, rules, unread_sets, stories), **handbook}
    docs.setdefault("index.md", render("office/index.md", name=config.name))
    nav = list(_present(config.nav or _NAV, docs))
    listed = set(_listed(nav))
    pages = [path for path in docs if path.endswith(".md") and not path.startswith(("homes/", "rules/"))]
    small_print = f"{config.firm.name or config.name}. Advice, not a certificate."
    base = base_tree(Site(config.name, small_print, []))
    tree = {path: content for path, content in base.items() if path.startswith("overrides/")}
    tree["mkdocs.yml"] = render(
        "office/mkdocs.yml",
        name=config.name,
        small_print=small_print,
        features=FEATURES,
        polyfills=POLYFILLS,
        styles=STYLES,
        scripts=SCRIPTS,
        unlisted=sorted(path for path in pages if path not in listed),
        nav=nav,
    )
    return tree | {f"docs/{path}": docs[path] for path in sorted(docs)}


def _present(nav: Sequence[Any], docs: Mapping[str, object]) -> Iterator[Any]:
    """Leave out of a navigation what leads to no page of ours."""
    for entry in nav:
        if isinstance(entry, str):
            if entry in docs:
                yield entry
            continue
        for title, below in entry.items():
            kept = list(_present(below if isinstance(below, list) else [below], docs))
            if kept:
                yield {title: kept if isinstance(below, list) else kept[0]}


def _listed(nav: Sequence[Any]) -> Iterator[str]:
    for entry in nav:
        if isinstance(entry, str):
            yield entry
        else:
            for below in entry.values():
                yield from _listed(below if isinstance(below, list) else [below])


def _asset(path: str) -> str:
    return files("asfitted.pages").joinpath(*path.split("/")).read_text(encoding="utf-8")


def _visits_planned(dossiers: Sequence[Dossier], ahead: AheadView, on: date) -> dict[str, tuple[Entry, ...]]:
    """Give the planned visits of each home as entries of a calendar."""
    return {
        dossier.id: visit_entries(dossier.home, plan, on, dossier.revision.at)
        for dossier, plan in zip(dossiers, ahead.plans, strict=True)
    }


def _visits_file(path: str, name: str, visits: Sequence[Entry]) -> dict[str, str | bytes]:
    """Write planned visits as a calendar file, where there are any: RFC 5545, 3.6 knows no calendar without entries."""
    return {path: visit_calendar(f"Visits planned: {name}", visits)} if visits else {}


def _pages_over_all(
    dossiers: Sequence[Dossier], unread: Sequence[Unreadable], on: date, rules: Catalogue, ahead: AheadView
) -> dict[str, str | bytes]:
    return {
        "homes/index.md": render(
            "office/homes.md", rows=home_rows(dossiers), unread=sorted(unread, key=lambda home: home.id), on=on
        ),
        "due.md": render("office/due.md", months=due_months(dossiers, on), planned=bool(ahead.months), on=on),
        "visits-ahead.md": render("office/visits-ahead.md", view=ahead, on=on),
        "short.md": render("office/short.md", parts=shortfalls(dossiers, rules), homes=len(dossiers), on=on),
        "learned.md": render("office/learned.md", view=learned_view(dossiers, on), on=on),
        "record.md": render("office/record.md", parts=record_parts()),
    }


def _rules(dossiers: Sequence[Dossier], rules: Catalogue, unread_sets: Sequence[Unreadable]) -> dict[str, str | bytes]:
    """Write the index of the rules, a page each, and the overview of the rule sets."""
    settled = settle(rules)
    sets = set_lines(rules, settled)
    tree: dict[str, str | bytes] = {
        "rules.md": render(
            "office/rules.md",
            families=rule_lines(rules, settled),
            sets=sets,
            total=len(rules.rules),
            unread=unread_sets,
        ),
        "rules/sets.md": render("office/sets.md", sets=sets, unread=unread_sets, total=len(rules.rules)),
    }
    for page in rule_pages(rules, settled, dossiers):
        tree[f"rules/{page.rule.id}.md"] = render("office/rule.md", page=page, rule=page.rule, looks=LOOKS)
        if page.drawing is not None:
            tree[f"rules/drawings/{page.rule.id}.svg"] = page.drawing.alone
    return tree


def _home(dossier: Dossier, visits: Sequence[Entry]) -> dict[str, str | bytes]:
    drawn, of_rooms = plans(dossier, dossier.findings), _diagrams(dossier)
    layered = layered_plans(dossier, "rooms.html", findings=dossier.findings)
    rooms = findings_by_room(dossier)
    shared, photos = _shared(dossier), album(photos_of(dossier), dossier.photo)
    tree: dict[str, str | bytes] = {
        "index.md": render("office/home.md", view=home_view(dossier), plans=layered, planned=len(visits), **shared),
        "findings.md": render(
            "office/findings.md",
            rooms=rooms,
            counts=counts(dossier),
            families=families_of(dossier),
            total=len(dossier.findings),
            borrowed=sum(view.borrowed for room in rooms for about in room.about for view in about.findings),
            **shared,
        ),
        "rooms.md": render(
            "office/rooms.md",
            storeys=storeys(dossier),
            unplaced=unplaced(dossier),
            judged={room.id for room in rooms},
            drawings=of_rooms,
            album=photos,
            **shared,
        ),
        "visits.md": render(
            "office/visits.md",
            visits=visit_views(dossier),
            tested=bool(dossier.home.devices),
            variations=variation_views(dossier),
            album=photos,
            **shared,
        ),
        "calendar.ics": calendar(dossier.id, dossier.home.home.label, dossier.tasks, dossier.tasks_changed),
    }
    tree |= _visits_file("visits.ics", dossier.home.home.label, visits)
    tree |= _sums(dossier, shared)
    tree |= sheet_pages(dossier, shared, of_rooms)
    shown = [*drawn, *(figure for figures in of_rooms.values() for figure in figures)]
    return tree | photos.files | {figure.file: figure.drawing.alone for figure in shown}


def _shared(dossier: Dossier) -> dict[str, object]:
    """Give what every page of a home shows."""
    facts, of_set = dossier.home.home, dossier.rules.facts
    head = HomeHead(facts.label, facts.reference or "", facts.rules, of_set.title, dossier.revision.words)
    return {"home": head, "on": dossier.on}


def _sums(dossier: Dossier, shared: Mapping[str, object]) -> dict[str, str | bytes]:
    """Write the index of the calculations of a home, and a sheet for every topic."""
    made = sheets(dossier)
    index = render("office/calculations.md", sheets=made, asks=asks(dossier), **shared)
    tree: dict[str, str | bytes] = {"calculations.md": index}
    for sheet in made:
        figures = figures_of(sheet.topic, dossier)
        tree[f"calculations/{sheet.topic}.md"] = render("office/sheet.md", sheet=sheet, figures=figures, **shared)
        tree |= {f"drawings/{figure.drawing.name}.svg": figure.drawing.alone for figure in figures}
    return tree


def _diagrams(dossier: Dossier) -> dict[str, list[Figure]]:
    """Draw every room that has a device; the others have no figure."""
    used = {spot.room for spot in dossier.dwelling.spots.values()}
    rooms = dossier.dwelling.rooms
    return {room: diagrams(dossier, room, dossier.findings) if room in used else [] for room in rooms}
