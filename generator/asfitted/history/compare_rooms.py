"""What changed of the rooms of one storey: added, removed, reshaped, renamed, put to another use."""

from collections.abc import Iterator
from math import hypot

from asfitted.dwelling.shapes import RoomShape
from asfitted.history.changes import Change, Kind
from asfitted.history.pairing import EQUAL, Pairs
from asfitted.history.parts import on_room, on_storey, same, same_field
from asfitted.history.side import Side
from asfitted.history.wording import compass, field_words, metres, spaced, stopped, turned, value_words
from asfitted.model.base import key_of
from asfitted.model.building import Room, Storey

_SHAPE = ("corner", "beside", "size", "walk")
_OTHER = ("use", "height", "heated", "most_used", "dusty", "note", "photos")


def room_changes(old: Side, new: Side, before: Storey, after: Storey, rooms: Pairs) -> Iterator[Change]:
    """Compare the rooms of one storey at two revisions.

    Args:
        old: the earlier revision.
        new: the later one.
        before: the storey as it was.
        after: the storey as it is.
        rooms: which room is which.
    """
    was = {room.id: room for room in before.rooms}
    now = {room.id: room for room in after.rooms}
    for name, room in was.items():
        if rooms.kept.get(name) not in now:
            yield _put(old, before, room, added=False)
    for name, room in now.items():
        if name not in {rooms.kept.get(earlier) for earlier in was}:
            yield _put(new, after, room, added=True)
    for name, room in was.items():
        later = now.get(rooms.kept.get(name, ""))
        if later is not None and not same(room, later):
            yield from _compare(old, new, before, room, later)


def _shape(side: Side, room: str) -> RoomShape | None:
    return side.dwelling.rooms.get(room) if side.dwelling else None


def _put(side: Side, storey: Storey, room: Room, *, added: bool) -> Change:
    shape = _shape(side, room.id)
    area = f", {shape.area:.1f} m²" if shape else ""
    words = f"{room.use}{area}"
    says = f"The {room.called} on the {storey.called} {'is new' if added else 'is gone'}: {words}."
    do = on_storey(storey.id, "rooms", None if added else room, room if added else None)
    if added:
        return Change(Kind.ROOM_ADDED, room.id, says, "", words, (room.id,), apply=do)
    return Change(Kind.ROOM_REMOVED, room.id, says, words, "", (room.id,), apply=do)


def _compare(old: Side, new: Side, storey: Storey, was: Room, now: Room) -> Iterator[Change]:
    if was.id != now.id or was.name != now.name:
        before, after = (was.id, now.id) if was.id != now.id else (was.called, now.called)
        says = f"The room {was.called} is called {now.called} now"
        says += f", and {now.id} in the record." if was.id != now.id else "."
        do = on_room(storey.id, was.id, name=now.name)
        yield Change(Kind.ROOM_RENAMED, now.id, says, before, after, (was.id, now.id), apply=do)
    if not same(was, now, _SHAPE):
        yield from _reshaped(old, new, storey, was, now)
    for name in _OTHER:
        if not same_field(was, now, name):
            before, after = field_words(was, name), field_words(now, name)
            what = "ceiling" if name == "height" else spaced(key_of(name))
            says = stopped(f"The {now.called}: {what} {turned(before, after)}")
            do = on_room(storey.id, was.id, **{name: getattr(now, name)})
            kind = Kind.ROOM_RESHAPED if name == "height" else Kind.ROOM
            yield Change(kind, now.id, says, before, after, (was.id, now.id), apply=do)


def _reshaped(old: Side, new: Side, storey: Storey, was: Room, now: Room) -> Iterator[Change]:
    """Compare the outlines of a room, however the record tells them."""
    do = on_room(storey.id, was.id, **{name: getattr(now, name) for name in _SHAPE})
    a, b = _shape(old, was.id), _shape(new, now.id)
    before, after = _told(was), _told(now)
    names = (was.id, now.id)
    if a is None or b is None:
        says = f"The {now.called} is recorded with another shape: {turned(before, after)}."
        yield Change(Kind.ROOM_RESHAPED, now.id, says, before, after, names, apply=do)
        return
    if a.outline.hausdorff_distance(b.outline) <= EQUAL:
        instrument = (was.walk and was.walk.by) != (now.walk and now.walk.by)
        if instrument or (was.walk is None) != (now.walk is None):
            says = f"The {now.called} was measured again; its shape is the same."
            yield Change(Kind.ROOM_MEASURED, now.id, says, before, after, names, apply=do)
        return
    yield Change(Kind.ROOM_RESHAPED, now.id, _by(now, a, b), _size(a), _size(b), names, apply=do)


def _by(room: Room, a: RoomShape, b: RoomShape) -> str:
    west, south, east, north = a.outline.bounds
    left, low, right, top = b.outline.bounds
    dx, dy = left - west, low - south
    wide, deep = (right - left) - (east - west), (top - low) - (north - south)
    if hypot(wide, deep) <= EQUAL and abs(a.area - b.area) <= EQUAL:
        return f"The {room.called} lies {metres(hypot(dx, dy))} further {compass(dx, dy)}, its shape as before."
    return f"The {room.called} was reshaped: {turned(_size(a), _size(b))}."


def _size(shape: RoomShape) -> str:
    west, south, east, north = shape.outline.bounds
    corners = len(shape.walls)
    odd = f" with {corners} walls" if corners != 4 else ""
    return f"{metres(east - west)} by {metres(north - south)}{odd}, {shape.area:.2f} m²"


def _told(room: Room) -> str:
    return value_words(room, [name for name in Room.model_fields if name not in _SHAPE])
