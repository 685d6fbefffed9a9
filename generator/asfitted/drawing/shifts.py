"""What moved, came or went on a storey from one revision to a later one: the old places and the new on one plan."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely import GeometryCollection, MultiLineString, Point, line_merge, normalize, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.ground import Ground, Telling, ground
from asfitted.drawing.sheet import Entry
from asfitted.drawing.shift_drawn import draw, draw_way, draw_words
from asfitted.drawing.shift_things import Place, Thing, set_out
from asfitted.drawing.standing import draw_leader, stand_devices
from asfitted.drawing.symbols import DEVICES, FITTINGS, put
from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.model.device import Device
from asfitted.model.home import Home

How = Literal["moved", "added", "removed", "replaced", "re-aimed"]

WORDS = {
    "shift added": "added",
    "shift removed": "removed",
    "shift replaced": "replaced",
    "shift moved": "moved, from where it is dashed",
    "shift higher": "hung higher or lower",
    "shift re-aimed": "re-aimed, from where it is dashed",
}
"""The marks, and what the legend says of them."""
_WAYS = "The figure at an arrow is the way on the plan; a short way has its arrow beside it."
_SAME = 0.005
"""Metres within which a wall's face counts as where it was."""


@dataclass(frozen=True)
class Shift:
    """One thing that is not as it was. Text in it is hostile until escaped.

    Attributes:
        tag: the device's later tag, or what else the thing is called.
        kind: the kind of device or fitting whose symbol it has; empty for an opening or a stair.
        how: what became of it.
        was: its earlier spot; None for what is new.
        now: its later spot; None for what is gone.
        says: the change as a sentence.
        shape_was: what it took up of the plan, for what is drawn by its outline.
        shape_now: what it takes up now.
        corners: the corners of the room in which it was and is fixed, where it was fixed in one.
    """

    tag: str
    kind: str
    how: How
    was: Spot | None
    now: Spot | None
    says: str
    shape_was: BaseGeometry | None = None
    shape_now: BaseGeometry | None = None
    corners: tuple[str | None, str | None] = (None, None)


def shifts_plan(
    new: Dwelling,
    old: Dwelling | None,
    storey_id: str,
    home: Home,
    block: TitleBlock,
    shifts: Sequence[Shift],
    name: str = "changes",
) -> Drawing | None:
    """Draw what is not as it was on a storey of the later revision.

    Args:
        new: the later revision as laid out.
        old: the earlier one, for the faces of walls that stood elsewhere.
        storey_id: which storey.
        home: the later record.
        block: what stands in the title block.
        shifts: what changed, on this storey or on others.
        name: what the drawing's name begins with.

    Returns:
        The drawing; None where nothing that has a place on the plan changed on the storey.
    """
    here = [shift for shift in shifts if storey_id in _storeys(shift)]
    things = _things(here, storey_id, new, old)
    earlier = _earlier_faces(new, old, storey_id)
    if not things and earlier.is_empty:
        return None
    drawn = {thing.tag for thing in things}
    quiet = {
        tag: home.devices[tag]
        for tag, spot in new.spots.items()
        if spot.storey == storey_id and spot.point is not None and tag not in drawn
    }
    unplaced = dict.fromkeys(shift.tag for shift in here if shift.tag not in drawn)
    notes = [
        *(["Devices drawn lighter have no change of their own."] if quiet else []),
        *([_WAYS] if any(thing.apart for thing in things) else []),
        *([f"Changed, but without a place on the plan: {', '.join(unplaced)}"] if unplaced else []),
    ]
    called = new.storey(storey_id).storey.called
    says = [
        *dict.fromkeys(shift.says for shift in here),
        *(["Faces of walls that stood elsewhere before are drawn dashed."] if not earlier.is_empty else []),
    ]
    kinds = {device.kind for device in quiet.values()} | {thing.kind for thing in things if thing.has_symbol}
    telling = Telling(
        f"{name}-{storey_id}",
        f"What changed, {called}, {block.home}",
        says,
        _legend(things, kinds, walls=not earlier.is_empty),
        notes,
    )
    reaching = union_all([earlier, *(Point(point) for thing in things for point in thing.points)])
    on = ground(new, storey_id, home, telling, reaching=reaching)
    _draw_earlier(on, earlier)
    _draw(on, things, quiet)
    return on.finished(block)


def _draw_earlier(on: Ground, faces: BaseGeometry) -> None:
    """Draw where faces of walls were, also where there is wall now."""
    if not faces.is_empty:
        for kind in ("d-shift-halo", "d-earlier-wall"):
            on.canvas.path("structure", on.view.path(faces), kind, shift="wall")
        on.taken.take_shape(on.view.shape(faces).buffer(0.5), 3.0)


def _draw(on: Ground, things: Sequence[Thing], quiet: Mapping[str, Device]) -> None:
    """Draw first what changed, so that what did not gives way."""
    placed = [set_out(on.view, thing, on.taken) for thing in things]
    stands = stand_devices(on.view, quiet, on.dwelling, on.taken)
    for one in placed:
        draw(on, one)
    for one in placed:
        draw_way(on, one)
    for one in placed:
        draw_words(on, one)
    for tag, stood in stands.items():
        draw_leader(on.canvas, "fittings", quiet[tag].kind, stood)
        put(on.canvas, "devices", quiet[tag].kind, stood.middle, stood.turn, shift="untouched", tag=tag)
        box = stood.box
        on.label(box.centre, tag, "d-word", clear=max(box.right - box.left, box.bottom - box.top) + 0.4)


def _storeys(shift: Shift) -> set[str]:
    return {spot.storey for spot in (shift.was, shift.now) if spot}


def _things(shifts: Iterable[Shift], storey: str, new: Dwelling, old: Dwelling | None) -> list[Thing]:
    """Put together what became of one thing, as far as it has a place on a storey."""
    found: dict[tuple[object, ...], list[Shift]] = {}
    for shift in shifts:
        key = (shift.tag, *(spot and (spot.storey, spot.point) for spot in (shift.was, shift.now)))
        found.setdefault(key, []).append(shift)
    things = (_thing(same, storey, new, old or new) for same in found.values())
    return [thing for thing in things if thing.points]


def _thing(shifts: Sequence[Shift], storey: str, new: Dwelling, old: Dwelling) -> Thing:
    first = shifts[0]
    marks = {shift.how for shift in shifts}
    was = _place(first.was, storey, old, first.shape_was, first.corners[0])
    now = _place(first.now, storey, new, first.shape_now, first.corners[1])
    words = []
    if first.was and first.now and first.was.storey != first.now.storey:
        came = first.now.storey == storey
        marks = (marks - {"moved"}) | {"added" if came else "removed"}
        words.append(f"from {_called(first.was.storey, old)}" if came else f"to {_called(first.now.storey, new)}")
    elif "moved" in marks and (was is None) != (now is None):
        words.append("place not known before" if was is None else "place not known now")
    return Thing(first.tag, first.kind, was, now, frozenset(marks), tuple(words))


def _called(storey_id: str, dwelling: Dwelling) -> str:
    """Give what a storey is called; its id where it is not of this revision."""
    return next((storey.storey.called for storey in dwelling.storeys if storey.id == storey_id), storey_id)


def _place(
    spot: Spot | None, storey: str, dwelling: Dwelling, shape: BaseGeometry | None, corner: str | None
) -> Place | None:
    if spot is None or spot.point is None or spot.storey != storey:
        return None
    return Place(spot, dwelling.rooms[spot.room], shape, corner)


def _earlier_faces(new: Dwelling, old: Dwelling | None, storey_id: str) -> BaseGeometry:
    """Give the inside faces of walls of the earlier revision that are no longer there."""
    faces = [
        MultiLineString([room.outline.exterior.coords for room in storey.rooms])
        for dwelling in (new, old)
        for storey in (dwelling.storeys if dwelling else ())
        if storey.id == storey_id
    ]
    if len(faces) < 2:
        return GeometryCollection()
    left = faces[1].difference(faces[0].buffer(_SAME))
    parts = [part for part in getattr(left, "geoms", (left,)) if part.length > 2 * _SAME]
    return normalize(line_merge(union_all(parts))) if parts else GeometryCollection()


def _legend(things: Iterable[Thing], kinds: Collection[str], *, walls: bool) -> list[Entry]:
    """Name what is shown, and nothing else."""
    marks = {f"shift {mark}" for thing in things for mark in thing.shown_as}
    return [
        *(Entry(kind, kind) for kind in DEVICES if kind in kinds),
        *(Entry(kind, kind.replace("-", " ")) for kind in FITTINGS if kind in kinds),
        *(Entry(mark, words) for mark, words in WORDS.items() if mark in marks),
        *([Entry("earlier wall", "wall face before")] if walls else []),
    ]
