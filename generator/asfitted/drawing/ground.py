"""A storey drawn quietly: walls, openings, stairs and room names, for a calculation to be drawn on."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

from shapely import GeometryCollection, LineString, MultiPolygon, Polygon, normalize, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.canvas import XY, Canvas, View, polyline
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.fittings import draw_fittings
from asfitted.drawing.lettering import SIZES, Box, Taken, width_of
from asfitted.drawing.rooms import draw_label
from asfitted.drawing.sheet import Entry, Margins, Sheet, draw_sheet, lay_out
from asfitted.drawing.standing import draw_devices, stand_devices, tag_places
from asfitted.drawing.structure import draw_structure
from asfitted.drawing.symbols import DEVICES, FITTINGS
from asfitted.drawing.walls import wall_shape
from asfitted.drawing.words import sentences
from asfitted.dwelling.shapes import Dwelling, StoreyShape
from asfitted.language import say
from asfitted.model.home import Home
from asfitted.model.words import FittingKind

ROUND = Margins(8.0, 8.0, 8.0, 8.0)
"""Paper round the walls where nothing asks for more."""
_SLIVER = 1e-4
_SOLID = 12.0
_LEADING = 1.22
_FAR = 2.5
"""Millimetres from a mark to its words from which a leader joins them."""


@dataclass(frozen=True)
class Telling:
    """What a drawing is called, and what it says: its title, sentences, legend and notes."""

    name: str
    title: str
    says: Sequence[str]
    legend: Sequence[Entry]
    notes: Sequence[str] = ()


@dataclass(frozen=True)
class Ground:
    """A storey on its sheet, for more to be drawn on before it is :meth:`finished`."""

    dwelling: Dwelling
    storey: StoreyShape
    home: Home
    telling: Telling
    sheet: Sheet
    canvas: Canvas
    taken: Taken

    @property
    def view(self) -> View:
        """Where plan metres fall on the paper."""
        return self.sheet.view

    def path(self, points: Sequence[XY], kind: str, /, **data: str) -> list[XY]:
        """Draw a line through points of the plan, and keep words off it.

        Returns:
            The points on paper.
        """
        paper = [self.view.at(point) for point in points]
        self.canvas.path("clearances", polyline(paper), kind, **data)
        if len(paper) > 1:
            self.taken.take_shape(LineString(paper).buffer(0.6), 2.0)
        return paper

    def label(self, at: XY, words: str | Sequence[str], kind: str, *, clear: float = 3.0, weight: float = 8.0) -> None:
        """Write words beside a point of the paper, where they cover least, with a leader where that is far.

        Args:
            at: the point.
            words: one line, or several.
            kind: their class.
            clear: mm of the mark at the point.
            weight: how much it matters that nothing covers them.
        """
        lines = [words] if isinstance(words, str) else list(words)
        around, size = Box.around(at, clear, clear), SIZES[kind]
        wide, high = max(width_of(line, kind) for line in lines), size * (0.85 + _LEADING * (len(lines) - 1))
        places, extra = tag_places(around, wide, high)
        index, _ = self.taken.best(places, extra)
        place = places[index]
        self.taken.take(place, weight)
        near = min(max(at[0], place.left), place.right), min(max(at[1], place.top), place.bottom)
        if around.gap(place) > _FAR:
            self.canvas.line("clearances", [at, near], "d-mark-thin")
        for number, line in enumerate(lines):
            baseline = place.top + size * (0.78 + _LEADING * number)
            self.canvas.text("text", (place.centre[0], baseline), line, kind, anchor="middle")

    def keep(self, at: XY, size: float) -> None:
        """Keep a square round a mark on paper from being covered."""
        self.taken.take(Box.around(at, size, size), _SOLID)

    def finished(self, block: TitleBlock, facts: Mapping[str, Sequence[str]] | None = None) -> Drawing:
        """Draw names of rooms with ``facts`` below them, and what stands below the plan."""
        facts = facts or {}
        for room in sorted(self.storey.rooms, key=lambda room: room.area):
            draw_label(self.canvas, self.view, room, self.taken, facts.get(room.id, ()))
        draw_sheet(self.canvas, self.sheet, block, self.home.home.plan_north)
        sheet, canvas, telling = self.sheet, self.canvas, self.telling
        description = sentences([say("Plan at 1:{scale}.", scale=sheet.view.scale), *telling.says])
        return Drawing(
            canvas.name, canvas.svg(), sheet.width, sheet.height, sheet.view.scale, telling.title, description
        )


@dataclass(frozen=True)
class Layer:
    """What is reckoned of one subject on a storey, ready to be painted: on a plan of its own, or with others on one.

    Attributes:
        telling: what it is called and says.
        paint: draws it on a ground.
        facts: of rooms, what stands with their names.
        above: whether on a plan with other layers they stand above the names, so that two layers can be read together.
        tags: of the devices it is about.
        fittings: kinds of fitting it is about.
        margins: paper round the walls that it needs.
    """

    telling: Telling
    paint: Callable[[Ground], None]
    facts: Mapping[str, Sequence[str]] = field(default_factory=dict)
    tags: Collection[str] = ()
    fittings: Collection[FittingKind] = ()
    margins: Margins = ROUND
    above: bool = False

    def alone(self, dwelling: Dwelling, storey_id: str, home: Home, block: TitleBlock) -> Drawing:
        """Draw it on a plan of its own, with the devices and fittings that it is about and no others."""
        on = ground(dwelling, storey_id, home, self.telling, self.tags, self.fittings, self.margins)
        self.paint(on)
        return on.finished(block, self.facts)


def ground(
    dwelling: Dwelling,
    storey_id: str,
    home: Home,
    telling: Telling,
    tags: Collection[str] = (),
    fittings: Collection[FittingKind] = (),
    margins: Margins = ROUND,
    reaching: BaseGeometry | None = None,
) -> Ground:
    """Draw what a storey is built of, and some of its devices and fittings.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        telling: what the drawing is called and says.
        tags: of the devices shown; those on other storeys are left out.
        fittings: kinds that are shown.
        margins: paper round the walls.
        reaching: what else of the plan must have room on the sheet.
    """
    storey = dwelling.storey(storey_id)
    devices = {
        tag: home.devices[tag]
        for tag, spot in dwelling.spots.items()
        if tag in tags and spot.storey == storey_id and spot.point is not None
    }
    fixed = [placed for placed in storey.fittings if placed.fitting.kind in fittings and placed.shape is not None]
    present, kept = {device.kind for device in devices.values()}, {placed.fitting.kind for placed in fixed}
    legend = [
        *(Entry(kind, kind) for kind in DEVICES if kind in present),
        *(Entry(kind, kind.replace("-", " ")) for kind in FITTINGS if kind in kept and kind != "bed"),
        *telling.legend,
    ]
    walls = wall_shape(storey, storey.openings)
    bounds = walls.bounds if reaching is None else union_all([walls.envelope, reaching.envelope]).bounds
    sheet = lay_out(bounds, margins, legend, telling.notes)
    description = sentences([say("Plan at 1:{scale}.", scale=sheet.view.scale), *telling.says])
    canvas = Canvas(telling.name, sheet.width, sheet.height, telling.title, description)
    canvas.clip("clearances", sheet.drawn)
    taken = Taken(Box(*sheet.drawn))
    taken.take_shape(sheet.view.shape(walls), 2.0)
    stands = stand_devices(sheet.view, devices, dwelling, taken)
    draw_structure(canvas, sheet.view, dwelling, storey, storey.rooms, storey.openings, walls, taken)
    draw_fittings(canvas, sheet.view, fixed, dwelling, taken)
    draw_devices(canvas, sheet.view, dwelling, devices, stands, taken, views=False)
    return Ground(dwelling, storey, home, telling, sheet, canvas, taken)


def area_of(shape: BaseGeometry) -> MultiPolygon:
    """Give the polygons of a shape, without slivers, in a fixed order and with holes that stay open when filled."""
    parts = shape.geoms if isinstance(shape, (MultiPolygon, GeometryCollection)) else (shape,)
    kept = [part for part in parts if isinstance(part, Polygon) and part.area > _SLIVER]
    return normalize(MultiPolygon(kept))
