"""What changed of the dwelling: storeys, rooms, openings, fittings and furniture, stairs."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from shapely.geometry.base import BaseGeometry

from asfitted.history.changes import At, Change, Kind
from asfitted.history.compare_rooms import room_changes
from asfitted.history.pairing import EQUAL, Pairs
from asfitted.history.parts import on_storey, same, same_field, storey_fields
from asfitted.history.side import Side
from asfitted.history.wording import compass, field_words, metres, spaced, stopped, turned, value_words
from asfitted.model.base import Value, key_of
from asfitted.model.building import Storey
from asfitted.model.home import Home

_TAPES = ("from_north", "from_east", "from_south", "from_west")
_STOREY = ("name", "level", "height", "walls", "note")


@dataclass(frozen=True)
class _Sort:
    """One sort of part of a storey: where it stands in the record, its kinds of change, the fields of its place."""

    part: str
    called: str
    added: Kind
    removed: Kind
    moved: Kind
    changed: Kind
    place: tuple[str, ...]


_SORTS = (
    _Sort(
        "openings", "", Kind.OPENING_ADDED, Kind.OPENING_REMOVED, Kind.OPENING_MOVED, Kind.OPENING, ("where", *_TAPES)
    ),
    _Sort(
        "fittings", "", Kind.FITTING_ADDED, Kind.FITTING_REMOVED, Kind.FITTING_MOVED, Kind.FITTING,
        ("on", "in_", "outside", "wall", "corner", "height", "facing", *_TAPES),
    ),
    _Sort(
        "stairs", "stair ", Kind.STAIR_ADDED, Kind.STAIR_REMOVED, Kind.STAIR_MOVED, Kind.STAIR, ("in_", *_TAPES)
    ),
)  # fmt: skip


def dwelling_changes(old: Side, new: Side, rooms: Pairs) -> Iterator[Change]:
    """Compare the dwellings of two revisions.

    Args:
        old: the earlier revision.
        new: the later one.
        rooms: which room is which.
    """
    before = {storey.id: storey for storey in old.home.storeys}
    after = {storey.id: storey for storey in new.home.storeys}
    for name, storey in before.items():
        if name not in after:
            yield _storey(Kind.STOREY_REMOVED, storey, new.home)
    for name, storey in after.items():
        if name not in before:
            yield _storey(Kind.STOREY_ADDED, storey, new.home)
    order = [name for name in before if name in after]
    if order != [name for name in after if name in before]:
        a, b = ", ".join(before), ", ".join(after)
        yield Change(Kind.STOREY, "storeys", f"The order of the storeys {turned(a, b)}.", a, b)
    for name in order:
        yield from _fields(Kind.STOREY, name, before[name], after[name])
        yield from room_changes(old, new, before[name], after[name], rooms)
        for sort in _SORTS:
            yield from _parts(sort, _Level(old, before[name]), _Level(new, after[name]), rooms.kept)


def _storey(kind: Kind, storey: Storey, new: Home) -> Change:
    rooms = ", ".join(room.called for room in storey.rooms)
    added = kind is Kind.STOREY_ADDED
    says = f"The {storey.called} {'is new' if added else 'is gone'}, with {rooms}."

    def do(home: Home) -> Home:
        if added:
            ids = [level.id for level in new.storeys]
            levels = sorted((*home.storeys, storey), key=lambda level: ids.index(level.id) if level.id in ids else 0)
        else:
            levels = [level for level in home.storeys if level.id != storey.id]
        return home.model_copy(update={"storeys": tuple(levels)})

    before, after = ("", rooms) if added else (rooms, "")
    return Change(kind, storey.id, says, before, after, (storey.id, *(room.id for room in storey.rooms)), apply=do)


def _fields(kind: Kind, name: str, old: Storey, new: Storey) -> Iterator[Change]:
    for field in _STOREY:
        if not same_field(old, new, field):
            before, after = field_words(old, field), field_words(new, field)
            says = stopped(f"The {new.called}: {spaced(key_of(field))} {turned(before, after)}")
            do = storey_fields(name, **{field: getattr(new, field)})
            yield Change(kind, name, says, before, after, (name, *(room.id for room in new.rooms)), apply=do)


class _Level:
    """One storey of one revision, and the shapes of its parts."""

    def __init__(self, side: Side, storey: Storey) -> None:
        self.side, self.storey = side, storey

    def shape(self, part: str, item: Any) -> BaseGeometry | None:
        """Give the plan of an opening, fitting or stair."""
        if self.side.dwelling is None:
            return None
        level = self.side.dwelling.storey(self.storey.id)
        if part == "openings":
            opening = self.side.dwelling.openings.get(item.id)
            return None if opening is None else opening.line
        if part == "stairs":
            return next((flight.outline for flight in level.flights if flight.stair.id == item.id), None)
        index = next(i for i, other in enumerate(self.storey.fittings) if other is item)
        return next((placed.shape for placed in level.fittings if placed.path[-1] == index), None)

    def room(self, item: Any, shape: BaseGeometry | None) -> str:
        """Give the room that something is in."""
        named = getattr(item, "in_", None)
        if named or shape is None or self.side.dwelling is None:
            return str(named or "")
        point = shape.centroid
        rooms = self.side.dwelling.storey(self.storey.id).rooms
        return min(rooms, key=lambda room: float(room.outline.distance(point))).id


def _parts(sort: _Sort, old: _Level, new: _Level, rooms: Mapping[str, str]) -> Iterator[Change]:
    before: Sequence[Any] = getattr(old.storey, sort.part)
    after: Sequence[Any] = getattr(new.storey, sort.part)
    if len(before) == len(after) and all(same(a, b) for a, b in zip(before, after, strict=True)):
        return
    kept, gone, come = _pair(sort, before, after, rooms)
    for item in gone:
        yield _put(sort, old, item, sort.removed)
    for item in come:
        yield _put(sort, new, item, sort.added)
    for was, now in kept:
        yield from _compare(sort, old, new, was, now, rooms)


def _pair(
    sort: _Sort, before: Sequence[Any], after: Sequence[Any], rooms: Mapping[str, str]
) -> tuple[list[tuple[Any, Any]], list[Any], list[Any]]:
    """Match parts by id; those without one by what they say, then by what and where they are, nearest tapes first."""
    gone, come, kept = list(before), list(after), []

    def match(alike: Callable[[Any, Any], bool], far: Callable[[Any, Any], float] = lambda _a, _b: 0.0) -> None:
        near = [(far(a, b), i, j) for i, a in enumerate(gone) for j, b in enumerate(come) if alike(a, b)]
        taken_a, taken_b = set(), set()
        for _, i, j in sorted(near):
            if i not in taken_a and j not in taken_b:
                taken_a.add(i)
                taken_b.add(j)
                kept.append((gone[i], come[j]))
        gone[:] = [item for i, item in enumerate(gone) if i not in taken_a]
        come[:] = [item for j, item in enumerate(come) if j not in taken_b]

    def in_room(a: Any, b: Any) -> bool:
        return sort.part == "fittings" and a.kind == b.kind and _room_named(a, rooms) == _room_named(b, {})

    match(lambda a, b: a.id is not None and a.id == b.id)
    match(same)
    match(lambda a, b: in_room(a, b) and None in (a.id, b.id), _apart)
    return kept, gone, come


def _room_named(item: Any, rooms: Mapping[str, str]) -> str:
    named = item.in_ or item.on or item.outside or ""
    for word in named.replace("ceiling of ", "").split():
        return rooms.get(word, word)
    return ""


def _apart(a: Any, b: Any) -> float:
    """Give how far apart two fittings of one room are by their tapes; far where they are told in other ways."""
    if (a.wall, a.corner) != (b.wall, b.corner) or a.tapes.keys() != b.tapes.keys():
        return 1000.0
    return hypot(*(a.tapes[side] - b.tapes[side] for side in a.tapes), (a.height or 0.0) - (b.height or 0.0))


def _called(sort: _Sort, item: Any) -> str:
    called = str(item.called) if hasattr(item, "called") else spaced(item.id)
    return called if sort.called.strip() in called else f"{sort.called}{called}"


def _at(level: _Level, item: Any, shape: BaseGeometry | None) -> At | None:
    if shape is None:
        return None
    point = shape.centroid
    return At(level.storey.id, level.room(item, shape), (float(point.x), float(point.y)), getattr(item, "height", None))


def _put(sort: _Sort, level: _Level, item: Any, kind: Kind) -> Change:
    shape = level.shape(sort.part, item)
    place, told = _at(level, item, shape), _told(item, sort.place)
    more = value_words(item, ("id", "name", "kind", *sort.place))
    words = f"{told}; {more}" if more else told
    added = kind is sort.added
    says = f"The {_called(sort, item)} {'is new' if added else 'is gone'}: {words.rstrip('.')}."
    do = on_storey(level.storey.id, sort.part, None if added else item, item if added else None)
    names = _names(item, place)
    if added:
        return Change(kind, _subject(item), says, "", words, names, None, place, do)
    return Change(kind, _subject(item), says, words, "", names, place, None, do)


def _subject(item: Any) -> str:
    return str(item.id or f"{item.kind} in {_room_named(item, {})}")


def _names(item: Any, *places: At | None) -> tuple[str, ...]:
    rooms = (place.room for place in places if place)
    return tuple(dict.fromkeys(filter(None, (item.id, *rooms))))


def _compare(sort: _Sort, old: _Level, new: _Level, was: Any, now: Any, rooms: Mapping[str, str]) -> Iterator[Change]:
    if same(was, now):
        return
    if not same(was, now, sort.place):
        yield from _moved(sort, old, new, was, now, rooms)
    for name in type(now).model_fields:
        arrives = name == "to" and rooms.get(str(was.to), was.to) == now.to
        if name not in sort.place and not arrives and not same_field(was, now, name):
            before, after = field_words(was, name), field_words(now, name)
            says = stopped(f"The {_called(sort, now)}: {spaced(key_of(name))} {turned(before, after)}")
            update: Value = was.model_copy(update={name: getattr(now, name)})
            names = _names(now, _at(new, now, new.shape(sort.part, now)))
            do = on_storey(old.storey.id, sort.part, was, update)
            yield Change(sort.changed, _subject(now), says, before, after, names, apply=do)


def _moved(sort: _Sort, old: _Level, new: _Level, was: Any, now: Any, rooms: Mapping[str, str]) -> Iterator[Change]:
    place, later = (_at(old, was, old.shape(sort.part, was)), _at(new, now, new.shape(sort.part, now)))
    before, after = _told(was, sort.place), _told(now, sort.place)
    changed = was.model_copy(update={name: getattr(now, name) for name in sort.place})
    do = on_storey(old.storey.id, sort.part, was, changed)
    by = ""
    if place and later and place.point and later.point:
        dx, dy = later.point[0] - place.point[0], later.point[1] - place.point[1]
        rise = (later.height or 0.0) - (place.height or 0.0)
        if hypot(dx, dy) <= EQUAL and abs(rise) <= EQUAL and rooms.get(place.room, place.room) == later.room:
            if was.tapes != now.tapes:
                says = f"The {_called(sort, now)} was measured from other walls; it is in the same place."
                yield Change(sort.changed, _subject(now), says, before, after, _names(now, later), apply=do)
            return
        by = f" {metres(hypot(dx, dy))} {compass(dx, dy)}" if hypot(dx, dy) > EQUAL else ""
        if abs(rise) > EQUAL:
            by += f"{' and' if by else ''} {metres(abs(rise))} {'higher' if rise > 0 else 'lower'}"
    says = f"The {_called(sort, now)} moved{by}: was {before}; now {after}."
    yield Change(sort.moved, _subject(now), says, before, after, _names(now, place, later), place, later, do)


def _told(item: Any, fields: Iterable[str]) -> str:
    """Say where something is by what the record gives: ``in the hall, 1.00 m from the south``."""
    given = (name for name in fields if getattr(item, name) is not None)
    return ", ".join(_placed(item, name) for name in given)


def _placed(item: Any, name: str) -> str:
    words = field_words(item, name)
    if name == "where":
        ends = [spaced(end) for end in words.split(" - ")]
        if len(ends) == 2:
            return f"between {ends[0]} and {ends[1]}"
        room, _, side = ends[0].rpartition(" ")
        return f"in the {side} wall of the {room}" if room else f"in the {side}"
    if name.startswith("from_"):
        return f"{words} from the {name.removeprefix('from_')}"
    if name == "height":
        return f"{words} above the floor"
    preposition = {"in_": "in the {}", "on": "on the {}", "outside": "outside the {}", "wall": "on the {} wall"}
    return preposition.get(name, f"{spaced(key_of(name))} {{}}").format(spaced(words))
