"""What a drawing shows, in words: for its text alternative and its notes."""

from collections.abc import Iterable, Mapping

from asfitted.dwelling.shapes import Dwelling, RoomShape, Spot, Wall
from asfitted.model.building import Room
from asfitted.model.device import Device

_NEEDS_ROOM = frozenset({"living", "dining", "utility", "bed", "sitting", "bath", "store", "sun"})


def room_words(room: Room) -> str:
    """Give a room's name as it stands in a sentence: *living room*, *hall*."""
    return f"{room.called} room" if room.called.lower() in _NEEDS_ROOM else room.called


def room_sentence(shape: RoomShape) -> str:
    """Say a room's name, size and ceiling."""
    west, south, east, north = shape.outline.bounds
    box = "" if abs(shape.area - (east - west) * (north - south)) < 0.01 else "up to "
    return (
        f"{capital(room_words(shape.room))}, {box}{east - west:.2f} m west to east and "
        f"{north - south:.2f} m south to north, {shape.area:.1f} m², {ceiling_words(shape)}."
    )


def ceiling_words(shape: RoomShape) -> str:
    """Say the shape and height of a room's ceiling."""
    ceiling = shape.ceiling
    if ceiling.is_flat:
        return f"ceiling {ceiling.low:.2f} m"
    return f"{'ridged' if ceiling.ridged else 'sloping'} ceiling {ceiling.low:.2f} m to {ceiling.high:.2f} m"


def device_sentence(tag: str, device: Device, spot: Spot | None, dwelling: Dwelling) -> str:
    """Say a device's tag, kind and place."""
    if spot is None:
        return f"{tag} {device.kind}, place not yet recorded."
    return f"{tag} {device.kind} {where(device, spot, dwelling)}."


def where(device: Device, spot: Spot, dwelling: Dwelling) -> str:
    """Say where a device is, with the distances that the record gives."""
    room = room_words(dwelling.rooms[spot.room].room)
    across_first = sorted(device.tapes.items(), key=lambda tape: tape[0] in ("north", "south"))
    tapes = [f"{value:.2f} m from the {side} {_end(spot.wall)}" for side, value in across_first]
    if spot.fixed == "opening" and spot.opening:
        place = f"on the {spot.opening.opening.called}" + (f", {device.edge}" if device.edge else "")
    elif spot.fixed == "outside" and spot.wall:
        place = f"outside on the {spot.wall.name} wall of the {room}"
    elif spot.fixed == "wall" and spot.wall:
        place = f"on the {spot.wall.name} wall of the {room}"
    elif spot.fixed == "corner":
        place = f"in the {device.corner} corner of the {room}"
    elif spot.fixed == "ceiling":
        place = f"on the ceiling of the {room}"
    else:
        place = f"in the {room}"
    parts = [place]
    if tapes:
        parts.append(" and ".join(tapes))
    elif spot.point is None:
        parts.append("place not yet recorded")
    if device.height is not None:
        parts.append(f"{device.height:.2f} m above the floor")
    return ", ".join(parts)


def unplaced_note(devices: Iterable[str], spots: Mapping[str, Spot]) -> list[str]:
    """Give the note that names the devices without a known point; none when all are placed."""
    missing = [tag for tag in devices if (spot := spots.get(tag)) is None or spot.point is None]
    return [f"Not yet placed on the plan: {', '.join(missing)}"] if missing else []


def sentences(parts: Iterable[str]) -> str:
    """Join sentences."""
    return " ".join(part for part in parts if part)


def _end(wall: Wall | None) -> str:
    return "end of the wall" if wall else "wall"


def capital(words: str) -> str:
    """Give words with a capital letter first."""
    return words[:1].upper() + words[1:]
