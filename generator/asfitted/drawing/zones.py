"""Where a device may go, drawn: the zone, what each rule takes from it, and the best place with its distances."""

from collections.abc import Iterable, Mapping, Sequence

from shapely import LineString, Point, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.canvas import XY, Canvas, View
from asfitted.drawing.lettering import Box, Taken, width_of
from asfitted.drawing.lines import dimension, label_along
from asfitted.drawing.samples import DISC, best_mark, number_disc
from asfitted.drawing.sheet import Entry
from asfitted.drawing.words import capital
from asfitted.dwelling.shapes import SIDE_VECTORS, Wall
from asfitted.rules.judgement import listed
from asfitted.rules.placing import STRIP, Zone
from asfitted.rules.where import Place, best_place, conflict_words, rules_bearing

_EDGE = 0.005
"""Metres from the edge of a surface within which the line of a ban is left out: there is a wall already."""
_WHERE_ALONG = (0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95)
_NUMBER = 9.0


def zone_entries(zones: Sequence[Zone], drawn: Sequence[Zone]) -> list[Entry]:
    """Give the lines of the legend.

    Args:
        zones: all that are shown.
        drawn: those of which it is also shown what each rule takes.
    """
    ceiling = any(zone.surface.wall is None and zone.has_place for zone in zones)
    walls = any(zone.surface.wall is not None and zone.has_place for zone in zones)
    many = len(zones) > 1
    return [
        *([Entry("ceiling zone", "may go here on the ceiling")] if ceiling else []),
        *([Entry("wall zone", "may go here on the wall, h above the floor")] if walls and many else []),
        *([Entry("ceiling zone", "may go here on the wall")] if walls and not many else []),
        *([Entry("best", "best place")] if best_of(zones) else []),
        *(Entry("ban", f"not here: {title}", str(number)) for number, title in _titles(drawn).values()),
    ]


def _titles(zones: Iterable[Zone]) -> dict[str, tuple[int, str]]:
    """Give each rule that takes something its number and title."""
    bearing = rules_bearing(zones)
    return {rule: (number, bearing[rule].rule.title) for number, rule in enumerate(bearing, start=1)}


def best_of(zones: Sequence[Zone]) -> Place | None:
    """Give the best place of the ceiling, or where that has none, of the wall where it is clearest of all limits."""
    places = [place for place in map(best_place, zones) if place is not None]
    ceiling = [place for place in places if place.surface.wall is None]
    return max(ceiling or places, key=lambda place: place.clear, default=None)


def zone_note(zones: Sequence[Zone], kind: str) -> list[str]:
    """Give the note that says what the zones are and what they do not know."""
    if not zones:
        return []
    spare = f", with {zones[0].spare:.2f} m to spare beyond every limit" if zones[0].spare else ""
    if len(zones) == 1 and (none := conflict_words(zones[0])):
        return [f"No place for a {kind}{spare}. {none}."]
    return [f"Where a {kind} may go{spare}. Pipes, cables and joists are not surveyed."]


def zone_sentences(zones: Sequence[Zone], kind: str) -> list[str]:
    """Say in words what the drawing shows of the zones."""
    said = []
    for zone in zones:
        place = best_place(zone)
        name = capital(zone.surface.called)
        if place is None:
            said.append(f"{name}: no place for a {kind}. {conflict_words(zone)}.")
        elif zone.surface.wall is None:
            said.append(f"{name}: {zone.shape.area:.1f} m² will do for a {kind}, best {place.says}.")
        else:
            _, low, _, high = zone.shape.bounds
            said.append(f"{name}: a {kind} may go from {low:.2f} m to {high:.2f} m up, best {place.says}.")
    if rules := [title for _, title in _titles(zones).values()]:
        said.append(f"The rules that bear on it: {listed(rules)}.")
    return said


def draw_ceiling(canvas: Canvas, view: View, zone: Zone, taken: Taken) -> None:
    """Draw the zone of a ceiling on the plan, and what each rule takes from it."""
    draw_area(canvas, view, zone.shape)
    draw_bans(canvas, view, zone.surface.outline, bans_by_number(zone), taken)


def draw_area(canvas: Canvas, view: View, shape: BaseGeometry) -> None:
    """Draw a zone: hatched, with its outline."""
    if d := view.path(shape):
        canvas.hatched("coverage", d, "d-zone-hatch")
        canvas.path("coverage", d, "d-zone", zone="may go here")


def bans_by_number(zone: Zone) -> dict[int, BaseGeometry]:
    """Give what each rule takes from a surface, by the number of the rule in the legend."""
    return {
        number: union_all([ban.shape for ban in zone.bans if ban.rule.id == rule])
        for rule, (number, _) in _titles([zone]).items()
    }


def draw_bans(
    canvas: Canvas, view: View, surface: BaseGeometry, taking: Mapping[int, BaseGeometry], taken: Taken
) -> None:
    """Draw the edge of what each rule takes, thin and dashed, with the number of the rule on it."""
    inner = surface.buffer(-_EDGE, join_style="mitre")
    for number, shape in taking.items():
        edge = shape.boundary.intersection(inner)
        lines = [part for part in getattr(edge, "geoms", (edge,)) if isinstance(part, LineString) and not part.is_empty]
        canvas.path("clearances", "".join(view.path(line) for line in lines), "d-ban", ban=str(number))
        lines.sort(key=lambda line: -line.length)
        spots = [line.interpolate(share, normalized=True) for line in lines[:3] for share in _WHERE_ALONG]
        if not spots:
            inside = shape.intersection(inner)
            spots = [inside.representative_point()] if not inside.is_empty else []
        places = [view.at((float(spot.x), float(spot.y))) for spot in spots if isinstance(spot, Point)]
        if places:
            boxes = [Box.around(place, 2 * DISC + 0.4, 2 * DISC + 0.4) for place in places]
            index, _ = taken.best(boxes)
            taken.take(boxes[index], _NUMBER)
            number_disc(canvas, "text", places[index], str(number))


def draw_wall_strip(canvas: Canvas, view: View, zone: Zone, taken: Taken) -> None:
    """Draw the zone of a wall on the plan: a strip along its face, with the heights from which to which it reaches.

    The same heights are written once a wall.
    """
    wall = zone.surface.wall
    assert wall is not None
    canvas.path("coverage", view.path(zone.plan), "d-zone-strip", wall=wall.name)
    longest = {stretch.heights: stretch for stretch in sorted(zone.stretches, key=lambda stretch: stretch.length)}
    for heights, stretch in longest.items():
        edge = view.at(wall.at(stretch.start, -STRIP)), view.at(wall.at(stretch.end, -STRIP))
        taken.take(Box.over([*edge, *(view.at(wall.at(along)) for along in (stretch.start, stretch.end))]), 1.0)
        words = "h " + ", ".join(f"{low:.2f} to {high:.2f}" for low, high in heights)
        if len(heights) == 1 or width_of(words, "d-zone-figure") < view.length(stretch.length):
            kind, farther = "d-zone-figure", (3.4, 6.0)
            label_along(canvas, "text", *edge, words, kind, taken, gap=0.8, farther=farther, weight=_NUMBER)


def draw_best(canvas: Canvas, view: View, place: Place, taken: Taken) -> None:
    """Mark the best place on the plan, with its distances from two walls, or from the end of its wall."""
    at = view.at(place.plan)
    wall = place.surface.wall
    if wall is not None:
        _along_wall(canvas, view, place, wall, taken)
    else:
        for side, metres in place.tapes:
            dx, dy = SIDE_VECTORS[side]
            end = view.at((place.plan[0] + dx * metres, place.plan[1] + dy * metres))
            figure_along(canvas, at, end, metres, taken)
    best_mark(canvas, "devices", at)
    taken.take(Box.around(at, 4.6, 4.6), _NUMBER)


def _along_wall(canvas: Canvas, view: View, place: Place, wall: Wall, taken: Taken) -> None:
    """Draw how far along its wall the best place is, off the strip, and say how high it is."""
    ((_, metres),) = place.tapes
    along = place.point[0]
    end = 0.0 if abs(along - metres) < 1e-6 else wall.length
    out = -(STRIP + 5.0 * view.scale / 1000)
    start, stop = view.at(wall.at(along, out)), view.at(wall.at(end, out))
    canvas.line("dimensions", [view.at(place.plan), start], "d-extension")
    figure_along(canvas, start, stop, metres, taken)
    words = f"h {place.height:.2f} m"
    label_along(canvas, "text", view.at(place.plan), start, words, "d-zone-figure", taken, gap=0.8, weight=_NUMBER)


def figure_along(canvas: Canvas, start: XY, end: XY, metres: float, taken: Taken) -> None:
    """Draw how far the best place is from something."""
    line, letters = "d-best-line", "d-zone-figure"
    dimension(canvas, start, end, f"{metres:.2f}", taken, line=line, tick=line, letters=letters)
