"""The plan of a storey, as fitted."""

from collections.abc import Iterable, Mapping, Sequence

from asfitted.drawing.canvas import Canvas
from asfitted.drawing.chains import dimensions_of, draw_inside, draw_outside
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.fittings import draw_fittings
from asfitted.drawing.lettering import Box, Taken
from asfitted.drawing.overlay import draw_findings, legend_of, shown_here
from asfitted.drawing.rooms import draw_label
from asfitted.drawing.sheet import Entry, draw_sheet, lay_out
from asfitted.drawing.standing import coverage, draw_devices, stand_devices
from asfitted.drawing.structure import draw_ridge, draw_structure
from asfitted.drawing.symbols import DEVICES, FITTINGS
from asfitted.drawing.walls import wall_shape, within_walls
from asfitted.drawing.words import device_sentence, named, room_sentence, sentences, unplaced_note
from asfitted.dwelling.shapes import Dwelling, PlacedFitting
from asfitted.language import plain_figure, say
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.rules.finding import Finding


def storey_plan(
    dwelling: Dwelling, storey_id: str, home: Home, block: TitleBlock, findings: Sequence[Finding] = ()
) -> Drawing:
    """Draw the plan of a storey with its devices.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record, for devices and the bearing of the plan.
        block: what stands in the title block.
        findings: of which those that do not conform or are borderline are marked, where they have a mark.
    """
    storey = dwelling.storey(storey_id)
    here = devices_on(storey_id, home, dwelling)
    devices = {tag: device for tag, device in here.items() if tag in dwelling.spots}
    shown = shown_here(findings, dwelling, storey=storey_id)
    walls = wall_shape(storey, storey.openings)
    bounds = walls.bounds
    dimensions = dimensions_of(storey.rooms, [dwelling.spots[tag] for tag in devices])
    legend = [*kinds_used(devices, dwelling, storey.fittings), *legend_of(shown)]
    notes = unplaced_note(here, dwelling.spots)
    sheet = lay_out(bounds, dimensions.margins, legend, notes)
    view = sheet.view
    title = named(say("Plan of the {storey}", storey=storey.storey.called), block)
    description = sentences(
        [
            plan_sentence(view.scale, home),
            *(room_sentence(room) for room in storey.rooms),
            *(device_sentence(tag, device, dwelling.spots.get(tag), dwelling) for tag, device in here.items()),
            *(finding.says for finding in shown),
        ]
    )
    canvas = Canvas(f"plan-{storey_id}", sheet.width, sheet.height, title, description)
    canvas.clip("clearances", sheet.drawn)
    taken = Taken(Box(*sheet.drawn))
    taken.take_shape(view.shape(walls), 2.0)
    stands = stand_devices(view, devices, dwelling, taken)
    draw_structure(canvas, view, dwelling, storey, storey.rooms, storey.openings, walls, taken)
    draw_fittings(canvas, view, storey.fittings, dwelling, taken)
    draw_findings(canvas, view, shown, view.path(within_walls(storey)), taken)
    for room in storey.rooms:
        draw_ridge(canvas, view, room, taken)
    draw_outside(canvas, view, bounds, dimensions, taken)
    draw_devices(canvas, view, dwelling, devices, stands, taken)
    for room in sorted(storey.rooms, key=lambda room: room.area):
        draw_label(canvas, view, room, taken)
    draw_inside(canvas, view, dimensions, taken)
    draw_sheet(canvas, sheet, block, home.home.plan_north)
    return Drawing(canvas.name, canvas.svg(), sheet.width, sheet.height, view.scale, title, description)


def plan_sentence(scale: int, home: Home) -> str:
    """Say the scale of a plan and where its upper edge looks."""
    bearing = plain_figure(home.home.plan_north % 360)
    return say("Plan at 1:{scale}, the upper edge looking {bearing} degrees from north.", scale=scale, bearing=bearing)


def devices_on(storey_id: str, home: Home, dwelling: Dwelling) -> dict[str, Device]:
    """Give the devices of a storey; those without any place yet count to the first storey."""
    first = dwelling.storeys[0].id
    storeys = {tag: spot.storey for tag, spot in dwelling.spots.items()}
    return {tag: device for tag, device in home.devices.items() if storeys.get(tag, first) == storey_id}


def kinds_used(devices: Mapping[str, Device], dwelling: Dwelling, fittings: Iterable[PlacedFitting]) -> list[Entry]:
    """Give the lines of the legend for the symbols that a drawing shows, in the order of the symbol set."""
    placed = {device.kind for tag, device in devices.items() if dwelling.spots[tag].point is not None}
    fixed = {fitting.fitting.kind for fitting in fittings if fitting.shape is not None}
    views = any(coverage(device, dwelling.spots[tag], dwelling) for tag, device in devices.items())
    return [
        *(Entry(kind, say(kind)) for kind in DEVICES if kind in placed),
        *([Entry("view", say("view of a motion detector"))] if views else []),
        *(Entry(kind, say(kind.replace("-", " "))) for kind in FITTINGS if kind in fixed),
    ]
