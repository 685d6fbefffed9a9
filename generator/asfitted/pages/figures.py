"""Drawings as they stand on the pages of both editions: plans, diagrams, sections, pictures of what is reckoned."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.pages.dossier import Dossier
from asfitted.pages.wording import sentence
from asfitted.reckon.sums import Topic
from asfitted.rules.finding import Finding


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing on a page: what it shows, and the file that holds it alone, from the page's own folder."""

    drawing: Drawing
    caption: str
    file: str


def plans(dossier: Dossier, findings: Sequence[Finding] = ()) -> list[Figure]:
    """Draw every storey, with what falls short of findings, for a page in the folder that holds ``drawings``."""
    from asfitted.drawing.plan import storey_plan

    drawn = []
    for shape in dossier.dwelling.storeys:
        name = sentence(shape.storey.called)
        drawing = storey_plan(dossier.dwelling, shape.id, dossier.home, _block(dossier, name), findings)
        drawn.append(_figure(drawing, name, ""))
    return drawn


def diagrams(dossier: Dossier, room: str, findings: Sequence[Finding] = (), *, up: str = "") -> list[Figure]:
    """Draw a room from above, and cut through its ceiling where that is not flat.

    Args:
        dossier: the home.
        room: the room's id.
        findings: of which to show what falls short.
        up: the way from the page's folder to the one that holds ``drawings``.
    """
    from asfitted.drawing.room import room_diagram
    from asfitted.drawing.section import ceiling_section

    name = sentence(dossier.dwelling.rooms[room].room.called)
    given = (dossier.dwelling, room, dossier.home, _block(dossier, name), findings)
    drawn = [_figure(room_diagram(*given), f"{name} from above", up)]
    if section := ceiling_section(*given):
        drawn.append(_figure(section, f"{name} cut through its ceiling", up))
    return drawn


def figures_of(topic: Topic, dossier: Dossier, *, up: str = "../") -> list[Figure]:
    """Draw what is reckoned of a topic; nothing where there is nothing to show.

    Args:
        topic: which.
        dossier: the home.
        up: the way from the page's folder to the one that holds ``drawings``.
    """
    draw = PICTURES.get(topic)
    home = f", {dossier.home.home.label}"
    return [_figure(drawing, drawing.title.removesuffix(home), up) for drawing in draw(dossier)] if draw else []


def _coverage(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.cover import coverage_plan
    from asfitted.reckon.of_coverage import rooms_covered

    home, dwelling, detectors = dossier.home, dossier.dwelling, dossier.reckoned.coverage
    covers = rooms_covered(dwelling, detectors)
    for storey, block in _storeys(dossier, "motion detectors"):
        if drawing := coverage_plan(dwelling, storey, home, block, detectors, covers):
            yield drawing


def _field(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.cover import alarm_plan

    for storey, block in _storeys(dossier, "distance to alarms"):
        if drawing := alarm_plan(dossier.dwelling, storey, dossier.home, block, dossier.reckoned.field):
            yield drawing


def _walks(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.walks import entry_route, undetected_walk
    from asfitted.reckon.of_walks import route_working
    from asfitted.reckon.undetected import weakest

    home, dwelling, known = dossier.home, dossier.dwelling, dossier.reckoned
    worst = weakest(known.walks)
    if worst is not None:
        seconds = route_working(home, dwelling, worst, dossier.on).result.value
        block = _block(dossier, "Weakest walk")
        yield from undetected_walk(dwelling, home, block, worst, seconds, known.coverage)
    for way in known.entries:
        door = dwelling.openings[way.door].opening.called
        yield from entry_route(dwelling, home, _block(dossier, f"{door} to {way.keypad}"), way)


def _ways(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.ways_out import ways_out_plans

    known = dossier.reckoned
    if known.ways:
        block = _block(dossier, "Ways out")
        yield from ways_out_plans(dossier.dwelling, dossier.home, block, known.ways, known.second_ways)


def _radio(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.radio import is_weak, radio_plan
    from asfitted.reckon.radio_moves import best_move

    home, dwelling, radio = dossier.home, dossier.dwelling, dossier.reckoned.radio
    limit = dossier.rules.limits.get("radio-margin")
    least = (limit.least or 0.0) if limit else 0.0
    weak = any(is_weak(link, least) for link in radio.links)
    move = best_move(home, dwelling, radio, "repeater") if weak else None
    for storey, block in _storeys(dossier, "radio links"):
        if drawing := radio_plan(dwelling, storey, home, block, radio, least, move):
            yield drawing


def _sun(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.sun import sun_chart

    for found in dossier.reckoned.sun.detectors:
        if found.total.hours > 0:
            block = _block(dossier, f"Direct sun on {found.tag}")
            yield sun_chart(found.tag, found.total, dossier.on.year, block)


def _sound(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.sound import sound_plan

    for storey, block in _storeys(dossier, "sound at the beds"):
        if drawing := sound_plan(dossier.dwelling, storey, dossier.home, block, dossier.reckoned.sound):
            yield drawing


PICTURES: dict[Topic, Callable[[Dossier], Iterator[Drawing]]] = {
    "coverage": _coverage,
    "walks": _walks,
    "alarm-field": _field,
    "ways-out": _ways,
    "radio": _radio,
    "sun": _sun,
    "sound": _sound,
}
"""The topics that have pictures, and what draws them."""


def _storeys(dossier: Dossier, subject: str) -> Iterator[tuple[str, TitleBlock]]:
    """Give each storey's id, and a title block for a subject on it."""
    for shape in dossier.dwelling.storeys:
        yield shape.id, _block(dossier, sentence(f"{shape.storey.called}, {subject}"))


def _figure(drawing: Drawing, caption: str, up: str) -> Figure:
    return Figure(drawing, caption, f"{up}drawings/{drawing.name}.svg")


def _block(dossier: Dossier, subject: str) -> TitleBlock:
    facts = dossier.home.home
    return TitleBlock(facts.label, facts.reference or "", subject, dossier.revision.words, dossier.on)
