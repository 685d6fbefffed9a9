"""Which rooms a rule is about, and what burns fuel in them."""

from collections.abc import Collection

from asfitted.dwelling.shapes import PlacedFitting, RoomShape
from asfitted.dwelling.ways import OUTSIDE, open_plan
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Rule

BURNERS = ("boiler", "stove")
"""Fittings that burn fuel unless the record says what they run on; a cooker is left out by the rule."""
HABITABLE = ("living", "dining", "bedroom", "study", "kitchen", "sunroom")
"""Uses of rooms in which people spend time: an inner room is one of these."""


def because(rule: Rule, case: Case, room: RoomShape) -> str | None:
    """Say why the rule is about a room; None when it is not.

    Options: ``uses`` of room; ``sleepers`` true for rooms where the record says someone sleeps; ``open-to``, uses of
    which one must be joined by an archway; ``outside-bedrooms``, uses of rooms that a bedroom opens onto; ``access``
    true for rooms that are the only way to another; ``higher-by``, metres by which the ceiling of a room joined with
    such a hall is higher than there; ``burning`` true for rooms with an appliance that burns fuel, see
    :func:`burners`; ``chimneys`` true for rooms that the flue of one passes through.
    """
    options, use = rule.options, room.room.use
    if use in options.get("uses", ()) and (not options.get("open-to") or _open_to(case, room, options["open-to"])):
        return use
    if options.get("sleepers") and (sleepers := case.home.household.sleepers.get(room.id, 0)):
        return f"{sleepers} sleep here"
    if use in options.get("outside-bedrooms", ()) and (bedroom := _bedroom_beside(case, room)):
        return f"outside the {bedroom}"
    if options.get("access") and (inner := _inner_room(case, room)):
        return f"the only way to the {inner}"
    if "higher-by" in options:
        return _high(case, room, options["higher-by"])
    if options.get("burning") or options.get("chimneys"):
        return next((f"{lit.fitting.called}, burns {lit.fitting.burns}" for lit in burners(rule, case, room)), None)
    return None


def sleeps(case: Case, room: str) -> bool:
    """Whether people sleep in a room, by its use or by the record."""
    return case.dwelling.rooms[room].room.use == "bedroom" or bool(case.home.household.sleepers.get(room))


def beside(case: Case, room: RoomShape) -> set[str]:
    """Give the rooms behind the doors and archways of a room."""
    pairs = [opening.rooms for opening in case.dwelling.openings_of(room.id) if opening.is_door]
    return {other for pair in pairs for other in pair if other not in (room.id, None)}


def burners(rule: Rule, case: Case, room: RoomShape) -> list[PlacedFitting]:
    """Give the fittings of a room that burn fuel and that a rule counts.

    Options: ``cookers`` true where they count; ``fuels`` that count, all of them unless given; ``flues-left-out``;
    ``burning-in``, uses of room to which the rule is limited, their own bathrooms counted with them.
    """
    options = rule.options
    rooms: Collection[str] = [room.id]
    if only := options.get("burning-in"):
        if room.room.use not in only:
            return []
        near = [other for other in beside(case, room) if case.dwelling.rooms[other].room.use == "bathroom"]
        rooms = [room.id, *(other for other in near if len(beside(case, case.dwelling.rooms[other])) == 1)]
    return [lit for name in rooms for lit in case.dwelling.fittings_of(name) if _counts(rule, lit)]


def _counts(rule: Rule, placed: PlacedFitting) -> bool:
    options, fitting = rule.options, placed.fitting
    if not fitting.burns or fitting.burns not in options.get("fuels", (fitting.burns,)):
        return False
    if (fitting.kind == "chimney") != bool(options.get("chimneys")):
        return False
    if fitting.kind == "cooker" and not options.get("cookers"):
        return False
    return fitting.flue is None or fitting.flue not in options.get("flues-left-out", ())


def unknown_burner(rule: Rule, case: Case, room: RoomShape) -> str | None:
    """Give a fitting of a room of which the record does not say what it burns, where that would decide."""
    only = rule.options.get("burning-in")
    if not (rule.options.get("burning") or rule.options.get("chimneys")) or (only and room.room.use not in only):
        return None
    kinds = ("chimney",) if rule.options.get("chimneys") else BURNERS
    fittings = case.dwelling.fittings_of(room.id, *kinds)
    return next((placed.fitting.called for placed in fittings if not placed.fitting.burns), None)


def unknown_fuel(case: Case, room: str | None = None) -> str | None:
    """Give a boiler or stove of the home, or of one room, of which the record does not say what it burns."""
    rooms = case.dwelling.rooms if room is None else (room,)
    fittings = (placed.fitting for name in rooms for placed in case.dwelling.fittings_of(name, *BURNERS))
    return next((fitting.called for fitting in fittings if not fitting.burns), None)


def burns_somewhere(rule: Rule, case: Case) -> bool:
    """Whether the home has an appliance the rule counts, or a garage that opens into it where ``garage`` is true."""
    rooms = case.dwelling.rooms.values()
    garage = rule.options.get("garage") and any(room.room.use == "garage" and beside(case, room) for room in rooms)
    return bool(garage) or any(_counts(rule, lit) for room in rooms for lit in case.dwelling.fittings_of(room.id))


def _open_to(case: Case, room: RoomShape, uses: Collection[str]) -> bool:
    joined = open_plan(case.dwelling, room.id) - {room.id}
    return any(case.dwelling.rooms[other].room.use in uses for other in joined)


def _bedroom_beside(case: Case, room: RoomShape) -> str | None:
    if sleeps(case, room.id):
        return None
    near = [case.dwelling.rooms[other] for other in case.dwelling.rooms if other in beside(case, room)]
    return next((other.room.called for other in near if sleeps(case, other.id)), None)


def _inner_room(case: Case, room: RoomShape) -> str | None:
    """Give a room that one can only leave through this one, which is no hall; None when there is none."""
    if room.room.use == "circulation":
        return None
    for other in (case.dwelling.rooms[name] for name in sorted(beside(case, room))):
        doors = [opening.rooms for opening in case.dwelling.openings_of(other.id) if opening.is_door]
        ways = {way or OUTSIDE for pair in doors for way in pair} - {other.id}
        stairs = any(other.id in (f.stair.in_, f.stair.to) for s in case.dwelling.storeys for f in s.flights)
        if other.room.use in HABITABLE and ways == {room.id} and not stairs:
            return other.room.called
    return None


def _high(case: Case, room: RoomShape, by: float) -> str | None:
    for other in sorted(open_plan(case.dwelling, room.id) - {room.id}):
        hall = case.dwelling.rooms[other]
        if hall.room.use == "circulation" and _bedroom_beside(case, hall):
            rise = room.ceiling.high - hall.ceiling.high
            return f"its ceiling {rise:.2f} m above the {hall.room.called}" if rise >= by else None
    return None
