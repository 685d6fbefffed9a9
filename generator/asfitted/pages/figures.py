"""Drawings as they stand on the pages of both editions: plans of storeys, diagrams and sections of rooms."""

from collections.abc import Sequence
from dataclasses import dataclass

from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.pages.dossier import Dossier
from asfitted.pages.wording import sentence
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


def _figure(drawing: Drawing, caption: str, up: str) -> Figure:
    return Figure(drawing, caption, f"{up}drawings/{drawing.name}.svg")


def _block(dossier: Dossier, subject: str) -> TitleBlock:
    facts = dossier.home.home
    return TitleBlock(facts.label, facts.reference or "", subject, dossier.revision.words, dossier.on)
