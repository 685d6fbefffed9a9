"""The household edition: the private site of one home, as a plain tree of files."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from asfitted.language import say, spoken, to_say
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.figures import diagrams, figures_of, plans
from asfitted.pages.languages import long_date, speaking_for
from asfitted.pages.layers import layered_plans
from asfitted.pages.render import render
from asfitted.pages.site import Nav, Site, base_tree
from asfitted.pages.views.batteries import battery_list
from asfitted.pages.views.dates import rounds, subscription, year_ahead
from asfitted.pages.views.devices import DeviceCard, device_cards, was_shown
from asfitted.pages.views.how_to import how_to, words
from asfitted.pages.views.overview import overview
from asfitted.pages.views.photos import Album, album, photos_of
from asfitted.pages.views.rooms import RoomView, burns_gas, room_views, ways_out
from asfitted.pages.views.visits import visit_lines
from asfitted.pages.views.ways_out import escape_view
from asfitted.pages.wording import kinds, told, toml_data
from asfitted.upkeep.calendar import calendar
from asfitted.upkeep.schedule import schedule
from asfitted.upkeep.task import Task

TRANSLATED = to_say(
    "The safety texts on these pages were translated from English. A native speaker in the trade should review them; "
    "ask your installer where something is not clear."
)
"""What every page says in a language other than English."""


def household_tree(dossier: Dossier, firm: Firm) -> dict[str, str | bytes]:
    """Write the household edition of a home.

    Args:
        dossier: all that is known of the home on a day.
        firm: whom the household calls.

    Returns:
        The tree: ``mkdocs.yml``, ``overrides/`` and ``docs/`` with pages, drawings, calendar and assets. The same
        dossier and firm give the same bytes.
    """
    with speaking_for(dossier.home.home.language):
        return _tree(dossier, firm)


def _tree(dossier: Dossier, firm: Firm) -> dict[str, str | bytes]:
    dossier = replace(dossier, tasks=_tasks(dossier))
    cards = device_cards(dossier)
    rooms = room_views(dossier.dwelling, cards)
    photos = album(photos_of(dossier, {room.id for room in rooms}), dossier.photo)
    label = dossier.home.home.label
    site = Site(
        name=label,
        small_print=_small_print(dossier),
        language=dossier.home.home.language,
        nav=_nav(rooms, ways=bool(dossier.reckoned.ways)),
        urgent=(say("Alarm sounding now? What to do"), "sounds.html"),
    )
    return (
        base_tree(site)
        | _overview_page(dossier, firm, cards)
        | _ways_out_page(dossier)
        | _room_pages(dossier, rooms, photos)
        | _other_pages(dossier, firm, cards, rooms, photos)
        | {f"docs/{path}": content for path, content in photos.files.items()}
        | {"docs/calendar.ics": _calendar(dossier)}
    )


def _small_print(dossier: Dossier) -> str:
    day = long_date(dossier.on)
    said = say("The alarms of this home as recorded on {day}. Private: keep it to yourself.", day=day)
    return said if spoken().code == "en" else f"{said} {say(TRANSLATED)}"


def _tasks(dossier: Dossier) -> tuple[Task, ...]:
    """Give the tasks in the household's language, told so that one to whom nothing was shown yet can do them."""
    shown = was_shown(dossier)
    tasks = dossier.tasks if spoken().code == "en" else schedule(dossier.home, dossier.on, dossier.rules)
    return tuple(replace(task, interval=told(task.interval, shown=shown)) for task in tasks)


def _nav(rooms: Sequence[RoomView], *, ways: bool) -> Nav:
    """Give the pages in the order in which a household needs them."""
    below: Nav = [(room.title, f"rooms/{room.id}.md") for room in rooms]
    return [
        (say("Overview"), "index.md"),
        (say("When it sounds"), "sounds.md"),
        *([(say("Ways out"), "ways-out.md")] if ways else []),
        (say("How to"), "how-to.md"),
        (say("Dates"), "dates.md"),
        (say("Batteries"), "batteries.md"),
        (say("Devices"), "devices.md"),
        *([(say("Rooms"), below)] if rooms else []),
        (
            say("More"),
            [(say("Visits"), "visits.md"), (say("Safety"), "safety.md"), (say("Words"), "words.md")],
        ),
    ]


def _overview_page(dossier: Dossier, firm: Firm, cards: Sequence[DeviceCard]) -> dict[str, str | bytes]:
    drawn = plans(dossier)
    layers = layered_plans(dossier, "devices.html", ("coverage", "ways-out"), dimensions=False)
    page = render(
        "household/index.md",
        label=dossier.home.home.label,
        on=dossier.on,
        firm=firm,
        plans=layers,
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


def _room_pages(dossier: Dossier, rooms: Sequence[RoomView], photos: Album) -> dict[str, str | bytes]:
    tree: dict[str, str | bytes] = {}
    for room in rooms:
        drawings = diagrams(dossier, room.id, up="../")
        tree[f"docs/rooms/{room.id}.md"] = render("household/room.md", room=room, drawings=drawings, album=photos)
        tree |= {f"docs/drawings/{item.drawing.name}.svg": item.drawing.alone for item in drawings}
    return tree


def _other_pages(
    dossier: Dossier, firm: Firm, cards: Sequence[DeviceCard], rooms: Sequence[RoomView], photos: Album
) -> dict[str, str | bytes]:
    present = {card.device.kind for card in cards}
    families = {card.words.family for card in cards}
    values: dict[str, dict[str, Any]] = {
        "sounds": {
            "families": families,
            "ways": ways_out(dossier.dwelling),
            "drawn": bool(dossier.reckoned.ways),
            "burns_gas": burns_gas(dossier.dwelling),
            "sounds": [of for kind, of in kinds().items() if kind in present],
            "cards": cards,
        },
        "devices": {"cards": cards, "rooms": rooms, "album": photos},
        "how-to": {"view": how_to(dossier, cards)},
        "batteries": {"view": battery_list(dossier, cards)},
        "words": {"words": words(cards)},
        "dates": {
            "yours": rounds(dossier.tasks, "household", dossier.on),
            "theirs": rounds(dossier.tasks, "technician", dossier.on),
            "year": year_ahead(dossier.tasks, dossier.on),
            "subscribe": subscription(dossier.id, firm),
        },
        "visits": {"visits": visit_lines(dossier), "album": photos},
        "safety": {
            "families": families,
            "cautions": _cautions(),
            "translated": "" if spoken().code == "en" else say(TRANSLATED),
            "tested": max((card.tested for card in cards if card.tested), default=None),
        },
    }
    return {
        f"docs/{page}.md": render(f"household/{page}.md", firm=firm, on=dossier.on, **given)
        for page, given in values.items()
    }


def _cautions() -> tuple[dict[str, Any], ...]:
    return tuple(
        {
            "families": part.get("families"),
            "id": part["id"],
            "title": say(part["title"]),
            "lines": [say(line) for line in part["lines"]],
        }
        for part in toml_data("cautions")["part"]
    )


def _calendar(dossier: Dossier) -> bytes:
    return calendar(dossier.id, dossier.home.home.label, dossier.tasks, dossier.tasks_changed)
