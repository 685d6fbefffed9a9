"""The first page of a home as the office reads it: what it is, what is still unproven, what falls short."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_findings import About, about_each
from asfitted.pages.views.office_homes import Count, counts, last_visit
from asfitted.pages.wording import counted, kinds, listed, sentence
from asfitted.rules.finding import Verdict
from asfitted.upkeep.due import Group, grouped


@dataclass(frozen=True, slots=True)
class HomeView:
    """What the first page of a home shows."""

    facts: tuple[tuple[str, str], ...]
    counts: tuple[Count, ...]
    visited: date | None
    unproven: tuple[About, ...]
    fails: tuple[About, ...]
    borderline: tuple[About, ...]
    varied: tuple[About, ...]
    technician: tuple[Group, ...]
    household: tuple[Group, ...]


def home_view(dossier: Dossier) -> HomeView:
    """Build the first page of a home."""
    groups = grouped(dossier.tasks)
    return HomeView(
        facts=tuple(_facts(dossier)),
        counts=counts(dossier),
        visited=last_visit(dossier),
        unproven=_with(dossier, Verdict.NOT_VERIFIED),
        fails=_with(dossier, Verdict.FAILS),
        borderline=_with(dossier, Verdict.BORDERLINE),
        varied=_with(dossier, Verdict.VARIATION),
        technician=tuple(group for group in groups if group.interval.who == "technician"),
        household=tuple(group for group in groups if group.interval.who == "household"),
    )


def _with(dossier: Dossier, verdict: Verdict) -> tuple[About, ...]:
    return about_each(dossier, [finding for finding in dossier.findings if finding.verdict is verdict])


def _facts(dossier: Dossier) -> Iterator[tuple[str, str]]:
    """Give what bears on siting, in the words of the record."""
    yield "Storeys", listed(sentence(shape.storey.called) for shape in dossier.dwelling.storeys)
    yield "Devices", _devices(dossier)
    yield from _people(dossier)
    if burners := list(_burners(dossier)):
        yield "Burns fuel", listed(burners)
    if dossier.home.home.note:
        yield "Note", dossier.home.home.note


def _people(dossier: Dossier) -> Iterator[tuple[str, str]]:
    household = dossier.home.household
    by_room = {
        "Sleepers": household.sleepers,
        "Hard of hearing": household.hard_of_hearing,
        "Need help to leave": household.needs_help_out,
    }
    for name, people in by_room.items():
        if people:
            yield name, listed(f"{count} in the {_called(dossier, room)}" for room, count in people.items())
    for pet in household.pets:
        where = "in " + listed(_called(dossier, room) for room in pet.roams) if pet.roams else "everywhere"
        yield "Pet", f"{pet.kind}, {pet.mass:g} kg, roams {where}"
    if household.keyholders:
        day = household.keyholders.confirmed
        confirmed = f"confirmed {day}" if day else "never confirmed"
        yield "Keyholders", f"{household.keyholders.named} named, {confirmed}"
    if household.valued_rooms:
        yield "Rooms to guard", listed(_called(dossier, room) for room in household.valued_rooms)


def _burners(dossier: Dossier) -> Iterator[str]:
    for shape in dossier.dwelling.storeys:
        for item in shape.fittings:
            if fuel := item.fitting.burns:
                flue = f", {item.fitting.flue} flue" if item.fitting.flue else ""
                name = item.fitting.kind.replace("-", " ")
                yield f"{name} in the {_called(dossier, item.spot.room)} ({fuel}{flue})"


def _called(dossier: Dossier, room: str) -> str:
    shape = dossier.dwelling.rooms.get(room)
    return shape.room.called if shape else room


def _devices(dossier: Dossier) -> str:
    numbers = {kind: sum(d.kind == kind for d in dossier.home.devices.values()) for kind in kinds()}
    said = [counted(n, kinds()[kind].name, kinds()[kind].plural) for kind, n in numbers.items() if n]
    return sentence(listed(said)) if said else "None yet"
