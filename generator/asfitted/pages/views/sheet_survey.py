"""The survey sheet: what is known of a home, and what is still to be measured or asked before places are chosen."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from asfitted.dwelling.shapes import PlacedFitting, PlacedOpening, RoomShape, StoreyShape
from asfitted.model.building import Fitting
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_findings import About, about_each
from asfitted.pages.views.office_rooms import RoomFacts, storeys
from asfitted.pages.views.sheet_words import Known
from asfitted.pages.wording import listed, sentence, span
from asfitted.reckon.asks import Ask, asks_of
from asfitted.rules.finding import Finding, Verdict

_OF_SURVEY = ("home", "household", "storeys", "system")
"""Parts of the record that a survey fills in."""
_BEARS: Mapping[str, tuple[str, ...]] = {
    "boiler": ("burns", "flue"), "stove": ("burns", "flue"), "heater": ("burns", "flue"), "cooker": ("burns",),
    "chimney": ("burns",), "beam": ("depth",), "light": ("lamp",),
}  # fmt: skip
"""What bears on the place of a device beyond where the fitting is, by its kind."""
_LOOK_FOR = ("router", "modem", "consumer-unit", "boiler", "stove", "chimney", "cooker")
"""Fittings of which it is worth knowing that there are none."""


@dataclass(frozen=True, slots=True)
class SurveyLine:
    """An opening or a fitting: what it is, and what is asked of it."""

    name: str
    facts: tuple[Known, ...]

    @property
    def blanks(self) -> int:
        """How many facts are missing."""
        return sum(not fact.value for fact in self.facts)


@dataclass(frozen=True, slots=True)
class SurveyRoom:
    """A room: its size and ceiling, what is asked of it, its openings and fittings."""

    name: str
    id: str
    use: str
    size: str
    facts: tuple[Known, ...]
    openings: tuple[SurveyLine, ...]
    fittings: tuple[SurveyLine, ...]


@dataclass(frozen=True, slots=True)
class SurveyStorey:
    """A storey and its rooms."""

    id: str
    name: str
    rooms: tuple[SurveyRoom, ...]


@dataclass(frozen=True, slots=True)
class Survey:
    """The survey sheet: the home, who lives in it, what is looked for, its storeys, and what else to find out."""

    home: tuple[Known, ...]
    sleepers: tuple[SurveyLine, ...]
    people: tuple[Known, ...]
    looked_for: tuple[Known, ...]
    system: tuple[Known, ...]
    storeys: tuple[SurveyStorey, ...]
    questions: tuple[About, ...]
    asks: tuple[Ask, ...]

    @property
    def open(self) -> int:
        """How many facts are missing, findings and asks not counted."""
        lines = [line for storey in self.storeys for room in storey.rooms for line in (*room.openings, *room.fittings)]
        facts = [fact for storey in self.storeys for room in storey.rooms for fact in room.facts]
        alone = (*self.home, *self.people, *self.looked_for, *self.system, *facts)
        return sum(not fact.value for fact in alone) + sum(line.blanks for line in (*self.sleepers, *lines))


def survey_sheet(dossier: Dossier) -> Survey:
    """Build the survey sheet of a home."""
    unproven = [finding for finding in dossier.findings if _is_survey_fact(finding)]
    return Survey(
        tuple(_home(dossier)),
        tuple(_sleepers(dossier)),
        tuple(_people(dossier)),
        tuple(_looked_for(dossier)),
        tuple(_system(dossier)),
        tuple(
            SurveyStorey(
                facts.id,
                facts.name,
                tuple(_room(dossier, room, dossier.dwelling.storey(facts.id)) for room in facts.rooms),
            )
            for facts in storeys(dossier)
        ),
        about_each(dossier, unproven),
        asks_of(dossier.reckoned),
    )


def _is_survey_fact(finding: Finding) -> bool:
    return (
        finding.verdict is Verdict.NOT_VERIFIED
        and bool(finding.path)
        and finding.path[0] in _OF_SURVEY
        and finding.rule.family != "commissioning"
    )


def _yes_no(value: object) -> str:
    return "" if value is None else "yes" if value else "no"


def _home(dossier: Dossier) -> Iterator[Known]:
    facts = dossier.home.home
    yield Known("Let to tenants", _yes_no(facts.rented))
    yield Known("Built or altered under today’s rules", _yes_no(facts.new))
    place = facts.place
    yield Known("Latitude, longitude to a tenth", f"{place[0]:.1f}, {place[1]:.1f}" if place else "")
    yield Known("Bearing of the plan’s upper edge", f"{facts.plan_north:g}\N{DEGREE SIGN}")


def _sleepers(dossier: Dossier) -> Iterator[SurveyLine]:
    people = dossier.home.household
    asked = {
        "sleepers": people.sleepers,
        "hard of hearing": people.hard_of_hearing,
        "need help to leave": people.needs_help_out,
    }
    for id_, shape in dossier.dwelling.rooms.items():
        if shape.room.use == "bedroom" or any(id_ in counts for counts in asked.values()):
            facts = tuple(Known(name, str(counts[id_]) if id_ in counts else "") for name, counts in asked.items())
            yield SurveyLine(sentence(shape.room.called), facts)


def _people(dossier: Dossier) -> Iterator[Known]:
    people = dossier.home.household
    pets = [f"{pet.kind}, {pet.mass:g} kg, {_rooms(dossier, pet.roams) or 'everywhere'}" for pet in people.pets]
    yield Known("Pets loose while the system is set", "; ".join(pets))
    yield Known("Rooms with what an intruder looks for", _rooms(dossier, people.valued_rooms))
    yield Known("Keyholders, how many (never who)", str(people.keyholders.named) if people.keyholders else "")


def _rooms(dossier: Dossier, rooms: tuple[str, ...]) -> str:
    shapes = dossier.dwelling.rooms
    return listed(shapes[room].room.called if room in shapes else room for room in rooms)


def _looked_for(dossier: Dossier) -> Iterator[Known]:
    """Give where each of some kinds of fitting is; an empty value where the record has none."""
    found: dict[str, list[str]] = {}
    for shape in dossier.dwelling.storeys:
        for item in shape.fittings:
            found.setdefault(item.fitting.kind, []).append(dossier.dwelling.rooms[item.spot.room].room.called)
    for kind in _LOOK_FOR:
        rooms = dict.fromkeys(found.get(kind, ()))
        yield Known(sentence(kind.replace("-", " ")), listed(rooms) if rooms else "")


def _system(dossier: Dossier) -> Iterator[Known]:
    doors = [opening.opening.called for opening in dossier.dwelling.openings.values() if opening.opening.entry]
    system = dossier.home.system
    yield Known("Door by which people come home", listed(doors) if doors else "")
    yield Known("Entry time wanted", span(system.entry_time) if system.entry_time is not None else "")
    yield Known("Exit time wanted", span(system.exit_time) if system.exit_time is not None else "")
    yield Known("Who is told of an alarm", system.tells or "")


def _room(dossier: Dossier, facts: RoomFacts, storey: StoreyShape) -> SurveyRoom:
    shape = dossier.dwelling.rooms[facts.id]
    openings = [opening for opening in storey.openings if facts.id == opening.rooms[0]]
    fittings = [item for item in storey.fittings if item.spot.room == facts.id]
    return SurveyRoom(
        facts.name,
        facts.id,
        facts.use,
        _size(shape, facts),
        tuple(_of_room(shape, facts)),
        tuple(SurveyLine(_opening_name(dossier, opening), tuple(_of_opening(opening))) for opening in openings),
        tuple(SurveyLine(sentence(item.fitting.called), tuple(_of_fitting(item))) for item in fittings),
    )


def _size(shape: RoomShape, facts: RoomFacts) -> str:
    west, south, east, north = shape.outline.bounds
    up_to = "" if shape.room.size else "up to "
    return f"{up_to}{east - west:.2f} m west to east, {north - south:.2f} m south to north, {facts.area:.1f} m²"


def _of_room(shape: RoomShape, facts: RoomFacts) -> Iterator[Known]:
    yield Known("ceiling", facts.ceiling)
    if facts.closing:
        yield Known("walls", facts.closing)
    yield Known("warm in winter", _yes_no(shape.room.heated))
    if facts.use == "living":
        yield Known("most used by day", _yes_no(shape.room.most_used))
    if shape.room.dusty is not None:
        yield Known("dusty", _yes_no(shape.room.dusty))
    if facts.note:
        yield Known("note", facts.note)


def _opening_name(dossier: Dossier, opening: PlacedOpening) -> str:
    room = dossier.dwelling.rooms.get(opening.rooms[1] or "")
    to = f", to the {room.room.called}" if room else ""
    return f"{sentence(opening.opening.called)} ({opening.opening.kind.replace('-', ' ')}{to})"


def _of_opening(placed: PlacedOpening) -> Iterator[Known]:
    opening = placed.opening
    yield Known("wide", f"{opening.width:.2f} m")
    yield Known("high", f"{opening.height:.2f} m" if opening.height is not None else "")
    if opening.kind in ("window", "rooflight"):
        yield Known("sill", f"{opening.sill:.2f} m")
        yield Known("glass", opening.glass or "")
    if opening.kind == "door":
        yield Known("leaf", opening.leaf or "")
        yield Known("hinge", f"{opening.hinge}, opens {opening.opens}" if opening.hinge else "")
        if not placed.is_outer:
            yield Known("stands", opening.stands or "")


def _of_fitting(item: PlacedFitting) -> Iterator[Known]:
    fitting = item.fitting
    yield Known("place", _fitting_place(item) if item.spot.point is not None else "")
    if item.spot.fixed in ("wall", "corner") or fitting.kind == "socket":
        yield Known("height", f"{fitting.height:.2f} m" if fitting.height is not None else "")
    for name in _BEARS.get(fitting.kind, ()):
        yield Known(name, _SAID[name](fitting))


def _fitting_place(item: PlacedFitting) -> str:
    fitting = item.fitting
    tapes = [f"{metres:.2f} m from {side}" for side, metres in fitting.tapes.items()]
    on = f"{fitting.wall} wall" if fitting.wall else f"{fitting.corner} corner" if fitting.corner else ""
    return ", ".join([*([on] if on else []), *tapes]) or item.spot.fixed


_SAID: Mapping[str, Callable[[Fitting], str]] = {
    "burns": lambda fitting: fitting.burns or "",
    "flue": lambda fitting: fitting.flue or "",
    "depth": lambda fitting: f"{fitting.depth:.2f} m" if fitting.depth is not None else "",
    "lamp": lambda fitting: fitting.lamp or "",
}
