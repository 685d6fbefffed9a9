"""One plan of a storey with layers that a page can switch: each is told from the rest by ``data-layer``.

Every layer is laid out against walls, devices and names of rooms alone. So what is hidden pushes nothing aside, and a
layer looks the same whichever others are shown.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shapely import box

from asfitted.drawing import symbols
from asfitted.drawing.canvas import Canvas, Link
from asfitted.drawing.chains import dimensions_of, draw_inside, draw_outside
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.fittings import draw_fittings
from asfitted.drawing.ground import ROUND, Ground, Layer, Telling
from asfitted.drawing.lettering import SIZES, Box, Taken, width_of
from asfitted.drawing.overlay import draw_findings, legend_of, shown_here
from asfitted.drawing.plan import devices_on, kinds_used, plan_sentence
from asfitted.drawing.rooms import draw_label
from asfitted.drawing.sheet import Entry, Margins, draw_sheet, lay_out
from asfitted.drawing.standing import draw_devices, stand_devices
from asfitted.drawing.structure import draw_ridge, draw_structure
from asfitted.drawing.walls import wall_shape, within_walls
from asfitted.drawing.words import device_sentence, named, room_sentence, sentences, unplaced_note
from asfitted.dwelling.shapes import Dwelling
from asfitted.language import say
from asfitted.model.home import Home
from asfitted.rules.finding import Finding

STRUCTURE, DEVICES, CLEARANCES, DIMENSIONS = "structure", "devices", "clearances", "dimensions"
"""The layers that do not come from a calculation."""


_FARTHER = (0.0, 3.0, 6.0, 9.0)
"""Millimetres from beside a name at which a fact of the room may stand."""
_BESIDE, _OTHER_SIDE, _ASTRAY = 10.0, 40.0, 60.0
"""What it costs, in weighed mm², to write a fact beside a name, where another layer has its own, or out of its room."""


@dataclass(frozen=True)
class LayeredPlan:
    """A plan with layers, and of each layer that it has the lines of its legend and its notes.

    The legend does not stand on the drawing: a page shows the lines of the layers that it shows. The structure is
    always there.
    """

    drawing: Drawing
    legend: Mapping[str, tuple[Entry, ...]]
    notes: Mapping[str, tuple[str, ...]]


def layered_plan(
    dwelling: Dwelling,
    storey_id: str,
    home: Home,
    block: TitleBlock,
    layers: Mapping[str, Layer],
    *,
    findings: Sequence[Finding] = (),
    links: Mapping[str, Link] | None = None,
    dimensions: bool = True,
) -> LayeredPlan:
    """Draw the plan of a storey with layers.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        block: what stands in the title block.
        layers: what is reckoned, each under its name, from the lowest up.
        findings: of which those that do not conform or are borderline are the layer of clearances.
        links: where each device leads to, by its tag; without them the plan is a picture.
        dimensions: whether they are a layer too.
    """
    storey = dwelling.storey(storey_id)
    here = devices_on(storey_id, home, dwelling)
    devices = {tag: device for tag, device in here.items() if tag in dwelling.spots}
    shown = shown_here(findings, dwelling, storey=storey_id)
    walls = wall_shape(storey, storey.openings)
    measured = dimensions_of(storey.rooms, [dwelling.spots[tag] for tag in devices]) if dimensions else None
    asked = [ROUND, *(layer.margins for layer in layers.values()), *([measured.margins] if measured else [])]
    sheet = lay_out(walls.bounds, _widest(asked), (), ())
    view = sheet.view
    title = named(say("Plan of the {storey} with layers", storey=storey.storey.called), block)
    says = [
        plan_sentence(view.scale, home),
        *(room_sentence(room) for room in storey.rooms),
        *(device_sentence(tag, device, dwelling.spots.get(tag), dwelling) for tag, device in here.items()),
        *(finding.says for finding in shown),
        *(words for layer in layers.values() for words in layer.telling.says),
    ]
    canvas = Canvas(f"layers-{storey_id}", sheet.width, sheet.height, title, sentences(says))
    canvas.clip("clearances", sheet.drawn)
    taken = Taken(Box(*sheet.drawn))
    taken.take_shape(view.shape(walls), 2.0)
    stands = stand_devices(view, devices, dwelling, taken)
    with canvas.part(STRUCTURE):
        draw_structure(canvas, view, dwelling, storey, storey.rooms, storey.openings, walls, taken)
        draw_fittings(canvas, view, storey.fittings, dwelling, taken)
        for room in storey.rooms:
            draw_ridge(canvas, view, room, taken)
    with canvas.part(DEVICES):
        draw_devices(canvas, view, dwelling, devices, stands, taken, views=False, links=links)
    with canvas.part(STRUCTURE):
        by_area = sorted(storey.rooms, key=lambda room: room.area)
        names = {room.id: draw_label(canvas, view, room, taken) for room in by_area}
    if measured:
        with canvas.part(DIMENSIONS):
            aside = _copied(taken)
            draw_outside(canvas, view, walls.bounds, measured, aside)
            draw_inside(canvas, view, measured, aside)
    if shown:
        with canvas.part(CLEARANCES):
            draw_findings(canvas, view, shown, view.path(within_walls(storey)), _copied(taken))
    on = Ground(dwelling, storey, home, Telling("", "", (), ()), sheet, canvas, taken)
    for name, layer in layers.items():
        with canvas.part(name):
            over = replace(on, telling=layer.telling, taken=_copied(taken))
            layer.paint(over)
            _facts(over, layer, names)
    draw_sheet(canvas, sheet, block, home.home.plan_north)
    drawing = Drawing(canvas.name, canvas.svg(), sheet.width, sheet.height, view.scale, title, sentences(says))
    kinds = kinds_used(devices, dwelling, storey.fittings)
    legend = {
        STRUCTURE: tuple(entry for entry in kinds if entry.kind not in (*symbols.DEVICES, "view")),
        DEVICES: tuple(entry for entry in kinds if entry.kind in symbols.DEVICES),
        **({DIMENSIONS: ()} if measured else {}),
        **({CLEARANCES: tuple(legend_of(shown))} if shown else {}),
        **{name: tuple(layer.telling.legend) for name, layer in layers.items()},
    }
    notes = {
        DEVICES: tuple(unplaced_note(here, dwelling.spots)),
        **{name: tuple(layer.telling.notes) for name, layer in layers.items()},
    }
    return LayeredPlan(drawing, legend, notes)


def _widest(margins: Sequence[Margins]) -> Margins:
    return Margins(*(max(getattr(one, side) for one in margins) for side in ("left", "top", "right", "bottom")))


def _copied(taken: Taken) -> Taken:
    return Taken(taken.page, list(taken.boxes), list(taken.shapes))


def _facts(on: Ground, layer: Layer, names: Mapping[str, Box | None]) -> None:
    """Write facts of rooms below or above their names, or beside them where that covers less."""
    size = SIZES["d-facts"]
    for room, lines in layer.facts.items():
        name = names.get(room)
        if name is None:
            continue
        words, (x, y) = ", ".join(lines), name.centre
        wide, off = width_of(words, "d-facts"), size * 0.6
        costs = {
            spot: far + more
            for far in _FARTHER
            for spot, more in (
                ((x, name.bottom + off + far), _OTHER_SIDE if layer.above else 0.0),
                ((x, name.top - off - far), 0.0 if layer.above else _OTHER_SIDE),
                ((name.right + wide / 2 + 2.0 + far, y), _BESIDE),
                ((name.left - wide / 2 - 2.0 - far, y), _BESIDE),
            )
        }
        places = [Box.around(spot, wide, size * 0.8) for spot in costs]
        home = on.view.shape(on.dwelling.rooms[room].outline)
        extra = [
            cost + (0.0 if home.contains(box(*place.corners[0], *place.corners[2])) else _ASTRAY)
            for place, cost in zip(places, costs.values(), strict=True)
        ]
        index, _ = on.taken.best(places, extra)
        on.taken.take(places[index], 8.0)
        at = places[index].centre
        on.canvas.text("text", (at[0], at[1] + size * 0.36), words, "d-facts", anchor="middle")
