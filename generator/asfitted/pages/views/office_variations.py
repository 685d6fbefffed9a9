"""The register of variations over all homes and all revisions: what was agreed, when it came in, what became of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from asfitted.history.departures import Departure, Event, departures
from asfitted.history.story import Story
from asfitted.model.home import Variation
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_homes import folder
from asfitted.pages.views.office_visits import variation_views
from asfitted.rules.catalogue import Catalogue

STATES = ("in force", "not yet in force", "not needed", "lapsed", "withdrawn")


@dataclass(frozen=True, slots=True)
class RegisterLine:
    """A variation through its life. ``folder`` is empty where the home has no pages, ``title`` that of the rule."""

    label: str
    folder: str
    agreed: Variation
    title: str
    about: str
    state: str
    explained: str
    brought_in: str
    by: str
    events: tuple[tuple[str, str, str], ...]


def register(
    dossiers: Sequence[Dossier], stories: Iterable[Story], rules: Catalogue
) -> tuple[tuple[str, tuple[RegisterLine, ...]], ...]:
    """Give every variation that any revision holds, by what it is worth on the day of the pages, the latest first."""
    homes = {dossier.id: dossier for dossier in dossiers}
    told = {item.home: departures(item.chapters) for item in stories}
    told |= {dossier.id: _without_history(dossier) for dossier in dossiers if dossier.id not in told}
    lines = [_line(homes.get(home), home, departure, rules) for home, found in told.items() for departure in found]
    lines.sort(key=lambda line: (line.agreed.on, line.label.casefold(), line.agreed.rule, line.about), reverse=True)
    by_state = ((state, tuple(line for line in lines if line.state == state)) for state in STATES)
    return tuple((state, same) for state, same in by_state if same)


def _without_history(dossier: Dossier) -> tuple[Departure, ...]:
    return tuple(Departure(agreed, None) for agreed in dossier.home.variations)


def _line(dossier: Dossier | None, home: str, item: Departure, rules: Catalogue) -> RegisterLine:
    agreed = item.agreed
    rule = rules.rules.get(agreed.rule)
    state, explained = _state(dossier, item)
    return RegisterLine(
        label=dossier.home.home.label if dossier else home,
        folder=folder(home) if dossier else "",
        agreed=agreed,
        title=rule.title if rule else agreed.rule,
        about=agreed.device or agreed.room or agreed.opening or "",
        state=state,
        explained=explained,
        brought_in=item.brought_in.words if item.brought_in else "",
        by=item.brought_in.author if item.brought_in else "",
        events=tuple(_event(event) for event in item.events),
    )


def _state(dossier: Dossier | None, item: Departure) -> tuple[str, str]:
    """Give the state in a word, and what else there is to say of it."""
    if not item.stands or dossier is None:
        return "withdrawn", "" if dossier else "with the home's record"
    views: Mapping[Variation, str] = {view.agreed: view.state for view in variation_views(dossier)}
    state, _, more = views.get(item.agreed, "withdrawn").partition(": ")
    return state, more


def _event(event: Event) -> tuple[str, str, str]:
    commit = event.commit
    return (commit.words, commit.author, event.change.says) if commit else ("working copy", "", event.change.says)
