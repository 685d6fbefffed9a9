"""The household edition: the private site of one home, as a plain tree of files."""

import tomllib
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import Any

from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.figures import diagrams, figures_of, plans
from asfitted.pages.render import long_date, render
from asfitted.pages.site import Nav, Site, base_tree
from asfitted.pages.views.dates import rounds, year_ahead
from asfitted.pages.views.devices import DeviceCard, device_cards, was_shown
from asfitted.pages.views.overview import overview
from asfitted.pages.views.rooms import RoomView, burns_gas, room_views, ways_out
from asfitted.pages.views.visits import visit_lines
from asfitted.pages.views.ways_out import escape_view
from asfitted.pages.wording import as_shown, kinds
from asfitted.upkeep.task import Task


def household_tree(dossier: Dossier, firm: Firm) -> dict[str, str | bytes]:
    """Write the household edition of a home.

    Args:
        dossier: all that is known of the home on a day.
        firm: whom the household calls.

    Returns:
        The tree: ``mkdocs.yml``, ``overrides/`` and ``docs/`` with pages, drawings, calendar and assets. The same
        dossier and firm give the same bytes.
    """
    dossier = replace(dossier, tasks=_tasks(dossier))
    cards = device_cards(dossier)
    rooms = room_views(dossier.dwelling, cards)
    label = dossier.home.home.label
    site = Site(
        name=label,
        small_print=f"The alarms of this home as recorded on {long_date(dossier.on)}. Private: keep it to yourself.",
        nav=_nav(rooms, ways=bool(dossier.reckoned.ways)),
        urgent=("Alarm sounding now? What to do", "sounds.html"),
    )
    return (
        base_tree(site)
        | _overview_page(dossier, firm, cards)
        | _ways_out_page(dossier)
        | _room_pages(dossier, rooms)
        | _other_pages(dossier, firm, cards)
        | {"docs/calendar.ics": _calendar(dossier)}
    )


def _tasks(dossier: Dossier) -> tuple[Task, ...]:
    """Give the tasks, told so that a household to whom nothing was shown yet can do them."""
    shown = was_shown(dossier)
    return tuple(
        replace(task, interval=replace(task.interval, how=as_shown(task.interval.how, shown=shown)))
        for task in dossier.tasks
    )


def _nav(rooms: Sequence[RoomView], *, ways: bool) -> Nav:
    below: Nav = [(_title(room, rooms), f"rooms/{room.id}.md") for room in rooms]
    return [
        ("Overview", "index.md"),
        ("When it sounds", "sounds.md"),
        *([("Ways out", "ways-out.md")] if ways else []),
        ("Tests and dates", "tests.md"),
        ("Devices", "devices.md"),
        *([("Rooms", below)] if rooms else []),
        ("Visits", "visits.md"),
        ("Safety", "safety.md"),
    ]


def _title(room: RoomView, rooms: Sequence[RoomView]) -> str:
    twins = sum(other.name == room.name for other in rooms)
    return room.name if twins == 1 else f"{room.name}, {room.storey.lower()}"


def _overview_page(dossier: Dossier, firm: Firm, cards: Sequence[DeviceCard]) -> dict[str, str | bytes]:
    drawn = plans(dossier)
    page = render(
        "household/index.md",
        label=dossier.home.home.label,
        on=dossier.on,
        firm=firm,
        plans=drawn,
        view=overview(dossier, firm, cards),
    )
    return {"docs/index.md": page, **{f"docs/{plan.file}": plan.drawing.alone for plan in drawn}}


def _ways_out_page(dossier: Dossier) -> dict[str, str | bytes]:
    """Write the ways out of a home; nothing where no bed, or no door to the outside, is recorded."""
    if not dossier.reckoned.ways:
        return {}
    drawn = figures_of("ways-out", dossier, up="")
    page = render("household/ways-out.md", view=escape_view(dossier), drawings=drawn)
    return {"docs/ways-out.md": page, **{f"docs/{figure.file}": figure.drawing.alone for figure in drawn}}


def _room_pages(dossier: Dossier, rooms: Sequence[RoomView]) -> dict[str, str | bytes]:
    tree: dict[str, str | bytes] = {}
    for room in rooms:
        drawings = diagrams(dossier, room.id, up="../")
        tree[f"docs/rooms/{room.id}.md"] = render("household/room.md", room=room, drawings=drawings)
        tree |= {f"docs/drawings/{item.drawing.name}.svg": item.drawing.alone for item in drawings}
    return tree


def _other_pages(dossier: Dossier, firm: Firm, cards: Sequence[DeviceCard]) -> dict[str, str | bytes]:
    present = {card.device.kind for card in cards}
    families = {card.words.family for card in cards}
    values: dict[str, dict[str, Any]] = {
        "sounds": {
            "families": families,
            "ways": ways_out(dossier.dwelling),
            "drawn": bool(dossier.reckoned.ways),
            "burns_gas": burns_gas(dossier.dwelling),
            "sounds": [words for kind, words in kinds().items() if kind in present],
            "cards": cards,
        },
        "devices": {"cards": cards},
        "tests": {
            "yours": rounds(dossier.tasks, "household", dossier.on),
            "theirs": rounds(dossier.tasks, "technician", dossier.on),
            "year": year_ahead(dossier.tasks, dossier.on),
        },
        "visits": {"visits": visit_lines(dossier)},
        "safety": {
            "families": families,
            "cautions": _cautions(),
            "tested": max((card.tested for card in cards if card.tested), default=None),
        },
    }
    return {
        f"docs/{page}.md": render(f"household/{page}.md", firm=firm, on=dossier.on, **given)
        for page, given in values.items()
    }


@cache
def _cautions() -> tuple[dict[str, Any], ...]:
    text = (files("asfitted.pages") / "data" / "cautions.toml").read_text(encoding="utf-8")
    return tuple({"families": None} | part for part in tomllib.loads(text)["part"])


def _calendar(dossier: Dossier) -> bytes:
    from asfitted.upkeep.calendar import calendar

    return calendar(dossier.id, dossier.home.home.label, dossier.tasks, dossier.on)
