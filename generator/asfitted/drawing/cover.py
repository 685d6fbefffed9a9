"""Coverage on the plan: what motion detectors see of the floor, and how far the nearest smoke or heat alarm is."""

from collections.abc import Iterator, Mapping, Sequence
from math import floor, inf, isinf

from shapely import LineString, Polygon, line_merge, union_all

from asfitted.drawing.ground import Ground, Layer, Telling, area_of
from asfitted.drawing.lettering import Box, width_of
from asfitted.drawing.marks import LINES, POINTS, spread
from asfitted.drawing.sheet import Entry
from asfitted.drawing.words import capital, room_words, unplaced_words
from asfitted.dwelling.shapes import Dwelling
from asfitted.language import figure, say
from asfitted.model.home import Home
from asfitted.model.words import FittingKind
from asfitted.reckon.alarm_field import RoomField
from asfitted.reckon.coverage import Cover
from asfitted.reckon.of_coverage import Detectors

_MOST_LINES = 6
"""Distances drawn as contours in whole metres, before only every second metre is."""
_INSIDE = 0.02
_ALL = 0.9995
FURNITURE: tuple[FittingKind, ...] = ("tall-furniture",)
"""What stands in the way of sight."""


def coverage_layer(
    dwelling: Dwelling, storey_id: str, home: Home, detectors: Detectors, covers: Mapping[str, Cover]
) -> Layer | None:
    """Show what the motion detectors of a storey see of its floor.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        detectors: those of the home.
        covers: of each room into which one looks, what they see of it together.

    Returns:
        The layer; None where none looks at the storey.
    """
    seeing = detectors.on_storey(storey_id)
    if not seeing:
        return None
    here = {room: cover for room, cover in covers.items() if dwelling.rooms[room].storey == storey_id}
    upright = union_all([seen.covered for seen in seeing])
    creeping = area_of(upright.difference(union_all([seen.creeping for seen in seeing])))
    left = area_of(union_all([cover.left for cover in here.values()]))
    legend = [
        Entry("covered", say("seen, walking upright")),
        *([Entry("creeping", say("not seen when creeping"))] if creeping.area else []),
        *([Entry("not covered", say("floor not seen"))] if left.area else []),
    ]
    lost = unplaced_words(detectors.without_place) if detectors.without_place else ""
    notes = [
        *([lost] if lost else []),
        say("A room without a share has no motion detector. Only a walk test proves what is seen."),
    ]
    title = say("What the motion detectors see of the {storey}", storey=dwelling.storey(storey_id).storey.called)
    telling = Telling(
        f"coverage-{storey_id}",
        f"{title}, {home.home.label}",
        [*(_seen_words(dwelling, room, cover) for room, cover in here.items()), *notes],
        legend,
        notes,
    )

    def paint(on: Ground) -> None:
        for seen in seeing:
            shape = area_of(seen.covered)
            spread(on.canvas, "coverage", on.view.path(shape), "covered", covered=seen.tag)
        spread(on.canvas, "coverage", on.view.path(creeping), "creeping", creeping="not seen")
        spread(on.canvas, "coverage", on.view.path(left), "not covered", left="not seen")

    facts = {room: (say("{share} seen", share=_percent(cover)),) for room, cover in here.items()}
    return Layer(telling, paint, facts, [seen.tag for seen in seeing], FURNITURE)


def _percent(cover: Cover) -> str:
    """Give a share in whole per cent; 100 only of all, and 0 only of nothing."""
    share = round(100 * cover.share)
    return f"{min(share, 99) if cover.share < _ALL else 100} %" if share or not cover.covered.area else "1 %"


def _seen_words(dwelling: Dwelling, room: str, cover: Cover) -> str:
    name = capital(room_words(dwelling.rooms[room].room))
    blind = cover.blind
    given = {"room": name, "share": _percent(cover), "left": figure(cover.left.area, 1)}
    if not blind or blind[1] <= _INSIDE:
        return say("{room}: {share} of the floor seen, {left} m² not seen.", **given)
    return say(
        "{room}: {share} of the floor seen, {left} m² not seen, the widest gap a circle of {radius} m radius.",
        **given,
        radius=figure(blind[1], 2),
    )


def alarm_layer(dwelling: Dwelling, storey_id: str, home: Home, fields: Sequence[RoomField]) -> Layer | None:
    """Show how far every point of a storey is from the nearest smoke or heat alarm, through open doors.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        fields: of the rooms of the home.

    Returns:
        The layer; None where no alarm reaches the storey.
    """
    here = [field for field in fields if dwelling.rooms[field.room].storey == storey_id]
    reached = [field for field in here if not isinf(field.far)]
    if not reached:
        return None
    worst = max(reached, key=lambda field: field.far)
    step = 1 if worst.far <= _MOST_LINES else 2
    lost = worst.left_out
    notes = [
        *([f"Not yet placed on the plan: {', '.join(lost)}"] if lost else []),
        "Distances are level and through open doorways. A shut door holds smoke back.",
    ]
    cut_off = [field for field in here if isinf(field.far)]
    telling = Telling(
        f"alarms-{storey_id}",
        f"Distance to the nearest smoke or heat alarm, {dwelling.storey(storey_id).storey.called}, {home.home.label}",
        [
            *(_far_words(dwelling, field) for field in here),
            f"Lines run every {step} m." if worst.far >= step else "",
            *notes,
        ],
        [
            Entry("furthest", "furthest point of the storey"),
            *([Entry("far", "furthest point of a room")] if len(reached) > 1 else []),
            *([Entry("contour", f"as far from an alarm, every {step} m")] if worst.far >= step else []),
            *([Entry("not covered", "no way to an alarm")] if cut_off else []),
        ],
        notes,
    )

    def paint(on: Ground) -> None:
        for field in cut_off:
            spread(on.canvas, "coverage", on.view.path(field.field.space), "not covered", left=field.room)
        for field in reached:
            at = on.view.at(field.point)
            POINTS["furthest" if field is worst else "far"](on.canvas, "clearances", at)
            on.keep(at, 3.6 if field is worst else 2.0)
        on.label(on.view.at(worst.point), f"{worst.far:.2f} m", "d-mark-figure")
        for field in reached:
            for metres in range(step, floor(field.far) + 1, step):
                _contour(on, field, metres)

    alarms = [tag for tag, device in home.devices.items() if device.kind in ("smoke alarm", "heat alarm")]
    facts = {field.room: (f"up to {field.far:.1f} m" if field.far < inf else "no alarm",) for field in here}
    return Layer(telling, paint, facts, alarms, above=True)


def _far_words(dwelling: Dwelling, field: RoomField) -> str:
    name = capital(room_words(dwelling.rooms[field.room].room))
    anchor = field.field.nearest(field.point)
    if anchor is None:
        return f"{name}: no way leads to an alarm."
    return f"{name}: the furthest point is {field.far:.2f} m from {anchor.alarm}."


def _contour(on: Ground, field: RoomField, metres: int) -> None:
    """Draw the line of one distance in a room, with its figure where there is room for it."""
    inner = field.field.space.buffer(-_INSIDE, join_style="mitre")
    lines = list(_lines(field, metres, inner))
    on.canvas.path("clearances", "".join(on.view.path(line) for line in lines), LINES["contour"], contour=str(metres))
    longest = max(lines, key=lambda line: float(line.length), default=None)
    words = f"{metres} m"
    if longest is None or on.view.length(longest.length) < 2 * width_of(words, "d-facts"):
        return
    spots = [longest.interpolate(share, normalized=True) for share in (0.5, 0.35, 0.65, 0.2, 0.8)]
    places = [on.view.at((float(spot.x), float(spot.y))) for spot in spots]
    boxes = [Box.around(place, width_of(words, "d-facts"), 2.6) for place in places]
    index, cost = on.taken.best(boxes)
    if cost < 1.0:
        on.taken.take(boxes[index], 8.0)
        x, y = places[index]
        on.canvas.text("text", (x, y + 0.8), words, "d-facts", anchor="middle")


def _lines(field: RoomField, metres: int, inner: Polygon) -> Iterator[LineString]:
    cut = field.field.beyond(metres).boundary.intersection(inner)
    if cut.is_empty:
        return
    merged = line_merge(cut) if cut.geom_type == "MultiLineString" else cut
    for part in getattr(merged, "geoms", (merged,)):
        if isinstance(part, LineString) and part.length > _INSIDE:
            yield part.normalize()
