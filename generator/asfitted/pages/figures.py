"""Drawings as they stand on the pages of both editions: plans, diagrams, sections, pictures of what is reckoned."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.language import say
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
        drawing = storey_plan(dossier.dwelling, shape.id, dossier.home, block_of(dossier, name), findings)
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
    given = (dossier.dwelling, room, dossier.home, block_of(dossier, name), findings)
    drawn = [_figure(room_diagram(*given), say("{room} from above", room=name), up)]
    if section := ceiling_section(*given):
        drawn.append(_figure(section, say("{room} cut through its ceiling", room=name), up))
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


def _walks(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.walks import entry_route, undetected_walk
    from asfitted.reckon.of_walks import route_working
    from asfitted.reckon.undetected import weakest

    home, dwelling, known = dossier.home, dossier.dwelling, dossier.reckoned
    worst = weakest(known.walks)
    if worst is not None:
        seconds = route_working(home, dwelling, worst, dossier.on).result.value
        block = block_of(dossier, "Weakest walk")
        yield from undetected_walk(dwelling, home, block, worst, seconds, known.coverage)
    for way in known.entries:
        door = dwelling.openings[way.door].opening.called
        yield from entry_route(dwelling, home, block_of(dossier, f"{door} to {way.keypad}"), way)


def _sun(dossier: Dossier) -> Iterator[Drawing]:
    from asfitted.drawing.sun import sun_chart

    for found in dossier.reckoned.sun.detectors:
        if found.total.hours > 0:
            block = block_of(dossier, f"Direct sun on {found.tag}")
            yield sun_chart(found.tag, found.total, dossier.on.year, block)


def _plans_of(topic: Topic, dossier: Dossier) -> Iterator[Drawing]:
    """Draw a topic that is a layer of the plans on plans of its own."""
    from asfitted.pages.reckoned_layers import SUBJECTS, layers_of

    for storey, layer in layers_of(topic, dossier).items():
        called = dossier.dwelling.storey(storey).storey.called
        block = block_of(dossier, sentence(f"{called}, {say(SUBJECTS[topic])}"))
        yield layer.alone(dossier.dwelling, storey, dossier.home, block)


PICTURES: dict[Topic, Callable[[Dossier], Iterator[Drawing]]] = {
    "coverage": partial(_plans_of, "coverage"),
    "walks": _walks,
    "alarm-field": partial(_plans_of, "alarm-field"),
    "ways-out": partial(_plans_of, "ways-out"),
    "radio": partial(_plans_of, "radio"),
    "sun": _sun,
    "sound": partial(_plans_of, "sound"),
}
"""The topics that have pictures, and what draws them."""


def _figure(drawing: Drawing, caption: str, up: str) -> Figure:
    return Figure(drawing, caption, f"{up}drawings/{drawing.name}.svg")


def block_of(dossier: Dossier, subject: str) -> TitleBlock:
    """Give the title block of a drawing of a home."""
    facts = dossier.home.home
    return TitleBlock(facts.label, facts.reference or "", subject, dossier.revision.words, dossier.on)
