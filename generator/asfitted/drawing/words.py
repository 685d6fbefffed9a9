"""What a drawing shows, in words: for its text alternative and its notes."""

from collections.abc import Iterable, Mapping
from functools import reduce

from asfitted.drawing.drawing import TitleBlock
from asfitted.dwelling.shapes import Dwelling, RoomShape, Spot, Wall
from asfitted.language import figure, say
from asfitted.model.building import Room
from asfitted.model.device import Device

_NEEDS_ROOM = frozenset({"living", "dining", "utility", "bed", "sitting", "bath", "store", "sun"})


def room_words(room: Room) -> str:
    """Give a room's name as it stands in a sentence: *living room*, *hall*."""
    return say("{name} room", name=room.called) if room.called.lower() in _NEEDS_ROOM else room.called


def room_sentence(shape: RoomShape) -> str:
    """Say a room's name, size and ceiling."""
    west, south, east, north = shape.outline.bounds
    given = {
        "room": capital(room_words(shape.room)),
        "wide": figure(east - west, 2),
        "deep": figure(north - south, 2),
        "area": figure(shape.area, 1),
        "ceiling": ceiling_words(shape),
    }
    if abs(shape.area - (east - west) * (north - south)) < 0.01:
        return say("{room}, {wide} m west to east and {deep} m south to north, {area} m², {ceiling}.", **given)
    return say("{room}, up to {wide} m west to east and {deep} m south to north, {area} m², {ceiling}.", **given)


def ceiling_words(shape: RoomShape) -> str:
    """Say the shape and height of a room's ceiling."""
    ceiling = shape.ceiling
    low, high = figure(ceiling.low, 2), figure(ceiling.high, 2)
    if ceiling.is_flat:
        return say("ceiling {height} m", height=low)
    if ceiling.ridged:
        return say("ridged ceiling {low} m to {high} m", low=low, high=high)
    return say("sloping ceiling {low} m to {high} m", low=low, high=high)


def device_sentence(tag: str, device: Device, spot: Spot | None, dwelling: Dwelling) -> str:
    """Say a device's tag, kind and place."""
    if spot is None:
        return say("{tag} {kind}, place not yet recorded.", tag=tag, kind=say(device.kind))
    return say("{tag} {kind} {where}.", tag=tag, kind=say(device.kind), where=where(device, spot, dwelling))


def where(device: Device, spot: Spot, dwelling: Dwelling) -> str:
    """Say where a device is, with the distances that the record gives."""
    room = room_words(dwelling.rooms[spot.room].room)
    across_first = sorted(device.tapes.items(), key=lambda tape: tape[0] in ("north", "south"))
    tapes = [_tape_words(side, value, spot.wall) for side, value in across_first]
    if spot.fixed == "opening" and spot.opening:
        on = say("on the {opening}", opening=spot.opening.opening.called)
        place = f"{on}, {say(device.edge)}" if device.edge else on
    elif spot.fixed == "outside" and spot.wall:
        place = say("outside on the {side} wall of the {room}", side=wall_words(spot.wall), room=room)
    elif spot.fixed == "wall" and spot.wall:
        place = say("on the {side} wall of the {room}", side=wall_words(spot.wall), room=room)
    elif spot.fixed == "corner":
        place = say("in the {corner} corner of the {room}", corner=say(str(device.corner)), room=room)
    elif spot.fixed == "ceiling":
        place = say("on the ceiling of the {room}", room=room)
    else:
        place = say("in the {room}", room=room)
    parts = [place]
    if tapes:
        parts.append(reduce(lambda first, last: say("{first} and {last}", first=first, last=last), tapes))
    elif spot.point is None:
        parts.append(say("place not yet recorded"))
    if device.height is not None:
        parts.append(say("{height} m above the floor", height=figure(device.height, 2)))
    return ", ".join(parts)


def unplaced_note(devices: Iterable[str], spots: Mapping[str, Spot]) -> list[str]:
    """Give the note that names the devices without a known point; none when all are placed."""
    missing = [tag for tag in devices if (spot := spots.get(tag)) is None or spot.point is None]
    return [unplaced_words(missing)] if missing else []


def unplaced_words(tags: Iterable[str]) -> str:
    """Say which devices have no place on the plan yet."""
    return say("Not yet placed on the plan: {tags}", tags=", ".join(tags))


def named(title: str, block: TitleBlock) -> str:
    """Give the title of a drawing with the home it is of."""
    return f"{title}, {block.home}"


def sentences(parts: Iterable[str]) -> str:
    """Join sentences."""
    return " ".join(part for part in parts if part)


def wall_words(wall: Wall) -> str:
    """Give the side of a wall, numbered where a room has several on it."""
    side, dash, number = wall.name.partition("-")
    return say(side) + dash + number


def _tape_words(side: str, metres: float, wall: Wall | None) -> str:
    distance = figure(metres, 2)
    if wall:
        return say("{distance} m from the {side} end of the wall", distance=distance, side=say(side))
    return say("{distance} m from the {side} wall", distance=distance, side=say(side))


def capital(words: str) -> str:
    """Give words with a capital letter first."""
    return words[:1].upper() + words[1:]
