"""Plans with layers as they stand on a page: one set of switches and one key for all storeys."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from asfitted.drawing.canvas import Link
from asfitted.drawing.ground import Layer
from asfitted.drawing.layers import CLEARANCES, DEVICES, DIMENSIONS, STRUCTURE, LayeredPlan, layered_plan
from asfitted.drawing.sheet import Entry, entry_alone
from asfitted.dwelling.shapes import Dwelling
from asfitted.language import say, to_say
from asfitted.model.home import Home
from asfitted.pages.dossier import Dossier
from asfitted.pages.figures import Figure, block_of
from asfitted.pages.reckoned_layers import SUBJECTS, layers_of
from asfitted.pages.wording import sentence
from asfitted.reckon.sums import Topic
from asfitted.rules.finding import Finding

CALLED: Mapping[str, str] = {
    STRUCTURE: to_say("Rooms and fittings"),
    DEVICES: to_say("Devices"),
    "ways-out": to_say("Ways out"),
    CLEARANCES: to_say("What falls short"),
    DIMENSIONS: to_say("Dimensions"),
    "coverage": to_say("What motion detectors see"),
    "alarm-field": to_say("Distance to alarms"),
    "radio": to_say("Radio links"),
    "sound": to_say("Sound at the beds"),
}
"""The layers in the order of their switches, and what each is called. ``layers.css`` knows them by their ids."""
AT_FIRST: frozenset[str] = frozenset({STRUCTURE, DEVICES, CLEARANCES, DIMENSIONS})
"""The layers that a page shows before anybody switches one."""


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A line of the key: its symbol or sample as an svg element, and its words."""

    sample: str
    words: str


@dataclass(frozen=True, slots=True)
class PageLayer:
    """A layer of the plans of a page: whether it can be switched and is shown at first, its key and its notes."""

    id: str
    called: str
    switched: bool
    shown: bool
    key: tuple[KeyLine, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LayeredPlans:
    """The plans of a page, and their layers in the order of the switches."""

    figures: tuple[Figure, ...]
    layers: tuple[PageLayer, ...]


def layered_plans(
    dossier: Dossier,
    page: str,
    topics: Collection[Topic] = tuple(SUBJECTS),
    findings: Sequence[Finding] = (),
    *,
    dimensions: bool = True,
) -> LayeredPlans:
    """Draw every storey with layers, for a page in the folder that holds ``drawings``.

    The file that stands beside each is the plain plan of :func:`asfitted.pages.figures.plans`.

    Args:
        dossier: the home.
        page: where the devices lead to; each has its tag in small letters for an anchor there.
        topics: what of the calculations is a layer, where there is something to show.
        findings: of which to show what falls short.
        dimensions: whether they are a layer.
    """
    found = {topic: layers_of(topic, dossier) for topic in SUBJECTS if topic in topics}
    links = device_links(dossier.home, dossier.dwelling, page)
    plans, figures = [], []
    for shape in dossier.dwelling.storeys:
        name = sentence(shape.storey.called)
        layers: dict[str, Layer] = {
            topic: by_storey[shape.id] for topic, by_storey in found.items() if shape.id in by_storey
        }
        plan = layered_plan(
            dossier.dwelling, shape.id, dossier.home, block_of(dossier, name), layers,
            findings=findings, links=links, dimensions=dimensions,
        )  # fmt: skip
        plans.append(plan)
        figures.append(Figure(plan.drawing, name, f"drawings/plan-{shape.id}.svg"))
    return LayeredPlans(tuple(figures), tuple(_page_layers(plans)))


def _page_layers(plans: Sequence[LayeredPlan]) -> list[PageLayer]:
    """Join the legends of all storeys: a line once, though several storeys have it."""
    made = []
    for layer, called in CALLED.items():
        here = [plan for plan in plans if layer in plan.legend]
        entries = dict.fromkeys(entry for plan in here for entry in plan.legend[layer])
        notes = dict.fromkeys(note for plan in here for note in plan.notes.get(layer, ()))
        if here and (entries or notes or layer == DIMENSIONS):
            key = tuple(_line(layer, number, entry) for number, entry in enumerate(entries))
            made.append(PageLayer(layer, say(called), layer != STRUCTURE, layer in AT_FIRST, key, tuple(notes)))
    return made


def _line(layer: str, number: int, entry: Entry) -> KeyLine:
    return KeyLine(entry_alone(f"key-{layer}-{number}", entry), entry.words)


def device_links(home: Home, dwelling: Dwelling, page: str) -> dict[str, Link]:
    """Give where each device that has a spot leads to, with its tag, kind and room in words."""
    links = {}
    for tag, spot in dwelling.spots.items():
        where = say("outside") if spot.fixed == "outside" else dwelling.rooms[spot.room].room.called
        links[tag] = Link(f"{page}#{tag.lower()}", f"{tag} {say(home.devices[tag].kind)}, {where}")
    return links
