"""The devices of each room as the office reads them: place by tape, settings, identity."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from asfitted.dwelling.shapes import Dwelling, RoomShape, Spot
from asfitted.model.base import key_of
from asfitted.model.device import SETTINGS, Cable, Device
from asfitted.model.photo import Photo
from asfitted.pages.dossier import Dossier
from asfitted.pages.languages import month_of
from asfitted.pages.wording import listed, sentence, span

UNITS: dict[str, Callable[[float], str]] = {
    **dict.fromkeys(("standby", "cut_off", "reports_every"), span),
    **dict.fromkeys(("gap", "parts_at", "signals_at"), lambda metres: f"{metres * 1000:.0f} mm"),
    **dict.fromkeys(("range", "from_hinge", "quiet_up_to"), lambda metres: f"{metres:g} m"),
    **dict.fromkeys(("field", "looks_down"), lambda degrees: f"{degrees:.0f}\N{DEGREE SIGN}"),
    **dict.fromkeys(("current", "alarm_current", "charging_current"), lambda amperes: f"{amperes:g} A"),
    "capacity": lambda ampere_hours: f"{ampere_hours:g} Ah",
    "mobile_level": lambda level: f"{level:g} dBm",
    "output": lambda level: f"{level:g} dB",
    "pets_up_to": lambda kilograms: f"{kilograms:g} kg",
}
"""How the figures of a device are written: each in the unit in which the model holds it, or one for people."""
_COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True, slots=True)
class Fact:
    """Something recorded of a device: the key of the record in words, and what it says."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class DeviceFacts:
    """One device: where it is, how it is set, and which one it is."""

    tag: str
    kind: str
    name: str
    where: tuple[Fact, ...]
    settings: tuple[Fact, ...]
    identity: tuple[Fact, ...]
    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class RoomFacts:
    """One room with its devices."""

    id: str
    name: str
    use: str
    area: float
    ceiling: str
    closing: str
    note: str
    photos: tuple[Photo, ...]
    devices: tuple[DeviceFacts, ...]


@dataclass(frozen=True, slots=True)
class StoreyFacts:
    """One storey and the rooms on it."""

    id: str
    name: str
    rooms: tuple[RoomFacts, ...]


def storeys(dossier: Dossier) -> tuple[StoreyFacts, ...]:
    """Give every room of a home, storey by storey, lowest first."""
    return tuple(
        StoreyFacts(shape.id, sentence(shape.storey.called), tuple(_room(dossier, room) for room in shape.rooms))
        for shape in dossier.dwelling.storeys
    )


def unplaced(dossier: Dossier) -> tuple[DeviceFacts, ...]:
    """Give the devices that the record holds but has no room for yet, in its order."""
    devices = dossier.home.devices.items()
    return tuple(_device(tag, device, None) for tag, device in devices if tag not in dossier.dwelling.spots)


def _room(dossier: Dossier, shape: RoomShape) -> RoomFacts:
    spots = dossier.dwelling.spots
    tags = [tag for tag in dossier.home.devices if (spot := spots.get(tag)) and spot.room == shape.id]
    closing = shape.closing
    return RoomFacts(
        id=shape.id,
        name=sentence(shape.room.called),
        use=shape.room.use,
        area=shape.area,
        ceiling=_ceiling(dossier.dwelling, shape),
        closing=f"walked {closing.length:.2f} m, closed within {closing.error * 1000:.0f} mm" if closing else "",
        note=shape.room.note or "",
        photos=shape.room.photos,
        devices=tuple(_device(tag, dossier.home.devices[tag], spots[tag]) for tag in tags),
    )


def _ceiling(dwelling: Dwelling, shape: RoomShape) -> str:
    height = shape.room.height or dwelling.storey(shape.storey).storey.height
    if height.flat is not None:
        return f"flat, {height.flat:.2f} m"
    if height.sloping:
        return f"sloping from {height.sloping.low:.2f} m, rises {height.sloping.rises} to {height.sloping.high:.2f} m"
    assert height.ridged
    return f"ridged {height.ridged.ridge}, {height.ridged.low:.2f} m to {height.ridged.high:.2f} m"


def _device(tag: str, device: Device, spot: Spot | None) -> DeviceFacts:
    return DeviceFacts(
        tag,
        device.kind,
        sentence(device.name or ""),
        tuple(_where(device, spot)) if spot else (Fact("place", "not recorded yet"),),
        tuple(_settings(device)),
        tuple(_identity(device)),
        device.photos,
    )


def _where(device: Device, spot: Spot) -> Iterator[Fact]:
    yield Fact("place", device.on or device.outside or _in(device))
    tapes = [f"{metres:.2f} m from {side}" for side, metres in device.tapes.items()]
    if tapes:
        yield Fact(f"by {device.by}", ", ".join(tapes))
    if spot.z is not None:
        yield Fact("height", f"{spot.z:.2f} m" + ("" if device.height is not None else ", from the ceiling"))
    if spot.facing is not None:
        yield Fact("facing", f"{spot.facing:.0f}\N{DEGREE SIGN} ({_COMPASS[round(spot.facing / 45) % 8]})")
    if device.fitted:
        yield Fact("fitted", device.fitted.isoformat())


def _in(device: Device) -> str:
    corner = f"{device.corner} corner" if device.corner else ""
    wall = f"{device.wall} wall" if device.wall else ""
    return corner or wall or "in the room"


def _settings(device: Device) -> Iterator[Fact]:
    if device.enrolled is not None:
        yield Fact("enrolled", _yes_no(device.enrolled))
    for name in SETTINGS[device.kind]:
        value = getattr(device, name)
        if value not in (None, ()):
            yield Fact(key_of(name).replace("-", " "), _written(name, value))
    if device.battery:
        battery = device.battery
        life = f", {span(battery.life)}" if battery.life else ""
        fitted = f", put in {battery.fitted}" if battery.fitted else ""
        yield Fact("battery", battery.type + life + fitted)


def _identity(device: Device) -> Iterator[Fact]:
    facts = {"model": device.model, "serial": device.serial, "batch": device.batch, "firmware": device.firmware}
    yield from (Fact(name, value) for name, value in facts.items() if value)
    if device.made:
        yield Fact("made", month_of(device.made))
    if device.replace_by:
        yield Fact("replace by", month_of(device.replace_by))
    if device.note:
        yield Fact("note", device.note)


def _written(name: str, value: object) -> str:
    if isinstance(value, bool):
        return _yes_no(value)
    if isinstance(value, tuple):
        return listed(str(item) for item in value)
    if isinstance(value, Cable):
        unit = "" if "AWG" in value.core else " mm\N{SUPERSCRIPT TWO}"
        return f"{value.length:g} m, core {value.core}{unit}"
    return UNITS[name](value) if isinstance(value, float) else str(value)


def _yes_no(value: bool) -> str:  # noqa: FBT001 - the words for it
    return "yes" if value else "no"
