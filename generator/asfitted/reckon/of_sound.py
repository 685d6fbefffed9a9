"""How loud every alarm and indoor sounder is at every bed, with inner doors shut and open, alone and together."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from asfitted.dwelling.shapes import XY, Dwelling
from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing, tests_of
from asfitted.reckon.crossings import End
from asfitted.reckon.hearing import AtBed, Bed, Heard, HomeSound, Readings, Together
from asfitted.reckon.passages import Doors, passages
from asfitted.reckon.sound_routes import House, Routes
from asfitted.reckon.standard import standard
from asfitted.reckon.working import Input

DOORS: tuple[Doors, Doors] = ("closed", "open")
"""How the inner doors may stand."""


def sound_of(home: Home, dwelling: Dwelling, on: date) -> HomeSound:
    """Give what is heard at every bed of a home as it stands on a day."""
    tags = [tag for tag, device in home.devices.items() if _sounds(device, on)]
    inside = [tag for tag in tags if tag in dwelling.spots and dwelling.spots[tag].fixed != "outside"]
    lost = tuple(tag for tag in tags if tag not in dwelling.spots)
    out = tuple(tag for tag in tags if tag in dwelling.spots and tag not in inside)
    beds, ways, readings = tuple(beds_of(home, dwelling)), passages(dwelling), _readings(home, tags, on)
    found = []
    for doors in DOORS:
        house = House(dwelling, ways, doors)
        heard_at: dict[str, list[Heard]] = {bed.called: [] for bed in beds}
        for tag in inside:
            routes = Routes(house, tag, source_inputs(home, tag, on))
            for bed in beds:
                if (one := routes.to(bed, readings)) is not None:
                    heard_at[bed.called].append(one)
        for bed in beds:
            each = sorted(heard_at[bed.called], key=lambda one: (-one.level, one.tag))
            groups = sorted(_groups(home, bed, doors, each), key=lambda group: (group.level, group.tags))
            found.append(AtBed(bed, doors, tuple(each), tuple(groups), _other_means(home, dwelling, inside, bed)))
    return HomeSound(tuple(found), lost, out)


def beds_of(home: Home, dwelling: Dwelling) -> Iterator[Bed]:
    """Give every bed, and the middle of each room in which people sleep without one that is recorded."""
    height, deaf = standard("sound", "ear-z").value, home.household.hard_of_hearing
    for room in dwelling.rooms.values():
        z, name = dwelling.storey(room.storey).level + height, room.room.called
        shapes = [placed.shape for placed in dwelling.fittings_of(room.id, "bed") if placed.shape is not None]
        for number_, shape in enumerate(shapes, start=1):
            called = f"bed {number_}, {name}" if len(shapes) > 1 else f"bed, {name}"
            end = End(float(shape.centroid.x), float(shape.centroid.y), z)
            yield Bed(called, room.id, end, recorded=True, hard_of_hearing=deaf.get(room.id, 0))
        if not shapes and (room.room.use == "bedroom" or home.household.sleepers.get(room.id)):
            x, y = _middle(dwelling, room.id)
            yield Bed(
                f"middle of {name}",
                room.id,
                End(x, y, z, ("bed",)),
                recorded=False,
                hard_of_hearing=deaf.get(room.id, 0),
            )


def source_inputs(home: Home, tag: str, on: date) -> dict[str, Input]:
    """Give how loud a device is: as last measured at 1 m, as the record says, or else what its standard asks."""
    device = home.devices[tag]
    level, at = standard("sound", f"{device.kind}-L0"), standard("sound", f"{device.kind}-r0")
    close = [
        (test.at_one_metre, visit.date)
        for visit, test in tests_of(tag, device, standing(home.visits, on))
        if test.at_one_metre is not None
    ]
    meaning = f"{level.meaning}, {tag}"
    if close:
        found, day = close[-1]
        spread = standard("sound", "meter-u").value
        level = Input("L0", meaning, found, "dB(A)", "measured", f"visit of {day}, at-one-metre", spread)
        at = replace(at, value=1.0, origin="measured at 1 m")
    elif device.output is not None:
        level = Input("L0", meaning, device.output, "dB(A)", "stated", f"devices, {tag}, {key_of('output')}", 1.0)
        at = replace(at, value=3.0 if device.is_fire else 1.0, origin="how output is recorded")
    return {"L0": replace(level, meaning=meaning), "r0": at, "Q": standard("sound", "Q")}


def _sounds(device: Device, on: date) -> bool:
    sounder = device.kind in ("indoor sounder", "outdoor sounder") and device.enrolled is not False
    return device.fitted_by(on) and (device.is_fire or sounder)


def _readings(home: Home, tags: list[str], on: date) -> Readings:
    found: dict[tuple[str, str], dict[str | None, tuple[float, date]]] = {}
    visits = standing(home.visits, on)
    for tag in tags:
        for visit, test in tests_of(tag, home.devices[tag], visits):
            for room, level in test.level.items():
                found.setdefault((tag, room), {})[test.doors] = level, visit.date
    return found


def _groups(home: Home, bed: Bed, doors: Doors, each: list[Heard]) -> Iterator[Together]:
    """Give what sounds together at a bed: alarms joined by links, one after another, and all sounders."""
    left = {one.tag: one for one in each}
    links = [{one, other} for one, device in home.devices.items() for other in device.linked]
    while left:
        first = next(iter(left))
        fire, group = home.devices[first].is_fire, {first}
        if fire:
            while more := {name for pair in links if pair & group for name in pair} - group:
                group |= more
        else:
            group = {tag for tag in left if not home.devices[tag].is_fire}
        tags = tuple(tag for tag in home.devices if tag in group and tag in left)
        title = f"{', '.join(tags)} together at the {bed.called}, doors {doors}"
        yield Together(tuple(left[tag] for tag in tags), title, fire)
        left = {tag: one for tag, one in left.items() if tag not in group}


def _other_means(home: Home, dwelling: Dwelling, inside: list[str], bed: Bed) -> tuple[str, ...]:
    return tuple(
        tag
        for tag in inside
        if home.devices[tag].is_fire
        and dwelling.spots[tag].room == bed.room
        and set(home.devices[tag].wakes_by) - {"sound"}
    )


def _middle(dwelling: Dwelling, room: str) -> XY:
    point = dwelling.rooms[room].outline.representative_point()
    return float(point.x), float(point.y)
