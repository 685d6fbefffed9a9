"""The office pages about revisions: a timeline a home, a page a comparison, all commits, the register of variations."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date

from asfitted.history.report import Report
from asfitted.history.side import Side
from asfitted.history.story import Stories
from asfitted.pages.dossier import Dossier
from asfitted.pages.figures import Figure
from asfitted.pages.figures_of_changes import shift_figures
from asfitted.pages.languages import long_date
from asfitted.pages.render import render
from asfitted.pages.views.office_comparison import ComparisonView, comparison_view
from asfitted.pages.views.office_history import chapter_view, months, page_of, uncommitted
from asfitted.pages.views.office_variations import register
from asfitted.rules.catalogue import Catalogue
from asfitted.upkeep.compared import compare_tasks
from asfitted.upkeep.schedule import schedule

SINCE = "history/since-commissioning"


def pages_over_all(
    dossiers: Sequence[Dossier], stories: Stories | None, rules: Catalogue, on: date
) -> dict[str, str | bytes]:
    """Write the pages over all homes: what changed, and the register of variations."""
    told = stories.told.values() if stories else ()
    labels = {dossier.id: dossier.home.home.label for dossier in dossiers}
    by_month = months(told, labels)
    entries = [entry for month in by_month for entry in month.entries]
    return {
        "changes.md": render(
            "office/changes.md",
            told=stories is not None,
            cautions=stories.cautions if stories else (),
            months=by_month,
            uncommitted=uncommitted(told, labels),
            number=len(entries),
            alarming=sum(entry.alarming for entry in entries),
        ),
        "variations.md": render("office/variations.md", states=register(dossiers, told, rules), on=on),
    }


def pages_of_home(
    dossier: Dossier, stories: Stories | None, rules: Collection[str], shared: Mapping[str, object]
) -> dict[str, str | bytes]:
    """Write the timeline of a home and a page for every comparison, for the folder of the home's pages.

    Args:
        dossier: the home.
        stories: those of all homes; None where there is no history.
        rules: the ids of the rules that have a page.
        shared: what every page of the home shows.
    """
    told = stories.told.get(dossier.id) if stories else None
    today = f"Revision {dossier.revision.words}, as it stands on {long_date(dossier.on)}"

    def compared(page: str, title: str, made: Report) -> dict[str, str | bytes]:
        return _comparison(page, title, made, comparison_view(made, rules, today), shared)

    since = told.commissioned if told and told.commissioned and told.commissioned.comparison else None
    timeline = render(
        "office/history.md",
        told=told,
        damaged=stories is not None,
        chapters=[chapter_view(chapter) for chapter in told.chapters] if told else (),
        commissioned=comparison_view(since, rules, today) if since else None,
        **shared,
    )
    tree: dict[str, str | bytes] = {"history.md": timeline}
    if since:
        tree |= compared(SINCE, "Since the last commissioning", since)
    for chapter in told.chapters if told else ():
        if page := page_of(chapter):
            title = f"Revision {chapter.id}" if chapter.commit else "On disk, not committed"
            tree |= compared(page, title, chapter.report)
    return tree


def _comparison(
    page: str, title: str, made: Report, view: ComparisonView, shared: Mapping[str, object]
) -> dict[str, str | bytes]:
    figures = _figures(page, made)
    text = render(
        "office/comparison.md",
        title=title,
        view=view,
        drawings=figures,
        dates=_dates(made),
        **shared,
    )
    return {f"{page}.md": text, **{f"drawings/{item.drawing.name}.svg": item.drawing.alone for item in figures}}


def _figures(page: str, made: Report) -> list[Figure]:
    """Draw what moved, came or went."""
    sides = _sides(made)
    if sides is None or made.comparison is None:
        return []
    words = " to ".join(point.words for point in (made.old, made.new) if point)
    name = f"changes-{page.rpartition('/')[2]}"
    return shift_figures(*sides, made.comparison.changes, words, name=name, up="../")


def _dates(made: Report) -> object:
    """Compare the calendars of the two revisions, each as it was planned on its day."""
    sides = _sides(made)
    if sides is None or made.comparison is None:
        return None
    old, new = sides
    return compare_tasks(
        schedule(old.home, old.day, old.rules), schedule(new.home, new.day, new.rules), made.comparison.tags
    )


def _sides(made: Report) -> tuple[Side, Side] | None:
    sides = tuple(_side(made))
    return (sides[0], sides[1]) if len(sides) == 2 else None


def _side(made: Report) -> Iterator[Side]:
    yield from (point.side for point in (made.old, made.new) if point and isinstance(point.side, Side))
