"""What changed between two revisions of a home, as drawings for a page: one for each storey where something did."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from shapely import Point
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.drawing import TitleBlock
from asfitted.drawing.shifts import How, Shift, shifts_plan
from asfitted.drawing.walls import jambs
from asfitted.dwelling.shapes import Dwelling, PlacedFitting, Spot
from asfitted.history.changes import At, Change, Kind
from asfitted.history.side import Side
from asfitted.pages.figures import Figure
from asfitted.pages.wording import sentence

_DEVICES: Mapping[Kind, How] = {
    Kind.DEVICE_ADDED: "added",
    Kind.DEVICE_REMOVED: "removed",
    Kind.DEVICE_REPLACED: "replaced",
    Kind.DEVICE_MOVED: "moved",
    Kind.DEVICE_AIMED: "re-aimed",
}
_PARTS: Mapping[Kind, tuple[str, How]] = {
    Kind.OPENING_ADDED: ("opening", "added"),
    Kind.OPENING_REMOVED: ("opening", "removed"),
    Kind.OPENING_MOVED: ("opening", "moved"),
    Kind.FITTING_ADDED: ("fitting", "added"),
    Kind.FITTING_REMOVED: ("fitting", "removed"),
    Kind.FITTING_MOVED: ("fitting", "moved"),
    Kind.STAIR_ADDED: ("stair", "added"),
    Kind.STAIR_REMOVED: ("stair", "removed"),
    Kind.STAIR_MOVED: ("stair", "moved"),
}
_SAME = 1e-6
_Found = tuple[str, str, Spot, BaseGeometry | None, str | None]
"""What a part of a storey is called, its kind, its spot, what it takes up, and the corner it is fixed in."""


def shift_figures(
    old: Side, new: Side, changes: Sequence[Change], revision: str, *, name: str = "changes", up: str = ""
) -> list[Figure]:
    """Draw what moved, came, went, was replaced or re-aimed; nothing where a revision has no shapes.

    A storey that is gone is drawn as it was.

    Args:
        old: the earlier revision.
        new: the later one, whose label, reference and day stand in the title block.
        changes: as :func:`asfitted.history.compare_home.compare_home` gives them.
        revision: both revisions in words, for the title block: ``a1b2c3d to e4f5a6b``.
        name: what the drawings' names and files begin with; another for every comparison on one site.
        up: the way from the page's folder to the one that holds ``drawings``.
    """
    if old.dwelling is None or new.dwelling is None:
        return []
    shifts = [shift for change in changes for shift in _shift(old.dwelling, new.dwelling, old, new, change)]
    kept = {storey.id for storey in new.dwelling.storeys}
    sides = [(new, storey) for storey in new.dwelling.storeys]
    sides += [(old, storey) for storey in old.dwelling.storeys if storey.id not in kept]
    figures = []
    for side, storey in sides:
        assert side.dwelling is not None
        called = storey.storey.called
        facts = new.home.home
        block = TitleBlock(facts.label, facts.reference or "", f"{called}, changes", revision, new.day)
        before = old.dwelling if side is new else None
        drawing = shifts_plan(side.dwelling, before, storey.id, side.home, block, shifts, name)
        if drawing is not None:
            figures.append(Figure(drawing, f"{sentence(called)}, what changed", f"{up}drawings/{drawing.name}.svg"))
    return figures


def _shift(before: Dwelling, after: Dwelling, old: Side, new: Side, change: Change) -> Iterator[Shift]:
    if how := _DEVICES.get(change.kind):
        was, now = change.names[0], change.names[-1]
        gone, come = old.home.devices.get(was), new.home.devices.get(now)
        kept = (None if how == "added" else gone, None if how == "removed" else come)
        spots = (before.spots.get(was) if kept[0] else None, after.spots.get(now) if kept[1] else None)
        device = kept[1] or kept[0]
        if device is not None and any(spots):
            corners = (kept[0].corner if kept[0] else None, kept[1].corner if kept[1] else None)
            yield Shift(now, device.kind, how, *spots, change.says, corners=corners)
    elif change.kind in _PARTS:
        sort, how = _PARTS[change.kind]
        left, right = _part(before, sort, change.was, change.subject), _part(after, sort, change.now, change.subject)
        shown = right or left
        if shown is not None:
            yield Shift(
                shown[0], shown[1], how, left[2] if left else None, right[2] if right else None, change.says,
                left[3] if left else None, right[3] if right else None,
                (left[4] if left else None, right[4] if right else None),
            )  # fmt: skip


def _part(dwelling: Dwelling, sort: str, at: At | None, subject: str) -> _Found | None:
    """Find an opening, fitting or stair by its id, or where it has none, by where its middle is."""
    if at is None or at.point is None:
        return None
    storey = dwelling.storey(at.storey)
    if sort == "opening":
        opening = dwelling.openings[subject]
        outline = opening.outline
        if outline is None:
            outline = jambs(opening, storey.storey.walls.inside.thickness).shape
        return (
            opening.opening.called,
            "",
            Spot(at.storey, opening.rooms[0], opening.middle, None, "opening"),
            outline,
            None,
        )
    if sort == "stair":
        flight = next(flight for flight in storey.flights if flight.stair.id == subject)
        return "stairs", "", Spot(at.storey, flight.stair.in_, at.point, None, "floor"), flight.outline, None
    placed = next(_at_point(storey.fittings, at.point, subject), None)
    if placed is None:
        return None
    shape = None if isinstance(placed.shape, Point) else placed.shape
    spot = replace(placed.spot, point=at.point, z=at.height)
    return placed.fitting.kind.replace("-", " "), placed.fitting.kind, spot, shape, placed.fitting.corner


def _at_point(fittings: Iterable[PlacedFitting], point: tuple[float, float], subject: str) -> Iterator[PlacedFitting]:
    """Give the fittings whose middle is at a point, one with the id in question first."""
    there = [
        placed
        for placed in fittings
        if placed.shape is not None and placed.shape.centroid.distance(Point(point)) < _SAME
    ]
    yield from sorted(there, key=lambda placed: placed.fitting.id != subject)
