"""What a search finds: a device, a room or a home, with what is printed on it and where exactly it is.

Nothing here is about people: rooms go by their ids, and names that a household gave them, notes and reasons stay out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date

from asfitted.dwelling.shapes import Spot
from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.pages.dossier import Dossier
from asfitted.rules.finding import Finding, Subject


@dataclass(frozen=True, slots=True)
class Affected:
    """One thing found. What the record does not say is an empty text, or None for a day.

    Attributes:
        home: id of the home.
        label: what the firm calls the home.
        reference: the firm's file number of it.
        subject: tag of the device, or id of the room, storey or home.
        kind: of device, or what else the subject is.
        model: as printed on the device, as are batch, serial, firmware and made (year and month).
        mobile: generation of the mobile network a control unit uses.
        battery: type of the battery.
        fitted: the day the device was put up.
        storey: id of the storey.
        room: id of the room.
        use: of the room.
        where: in words, with the distances a tape shows.
        rule_set: that the home is judged by.
        verdicts: of the rules asked for: “device-age: does not conform”.
        lacks: what nobody can tell from the record; with nothing lacking it is affected for certain.
    """

    home: str
    label: str
    reference: str
    subject: str
    kind: str
    model: str = ""
    batch: str = ""
    serial: str = ""
    firmware: str = ""
    made: str = ""
    mobile: str = ""
    battery: str = ""
    fitted: date | None = None
    storey: str = ""
    room: str = ""
    use: str = ""
    where: str = ""
    rule_set: str = ""
    verdicts: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()

    @property
    def certain(self) -> bool:
        """Whether the record tells that all that was asked for is so."""
        return not self.lacks

    @property
    def to_look_for(self) -> tuple[str, ...]:
        """What the record lacks, in words."""
        return tuple(ASKED[name] for name in self.lacks)

    @property
    def printed(self) -> tuple[tuple[str, str], ...]:
        """What is printed on the device, each with what it is."""
        every = (
            ("model", self.model),
            ("batch", self.batch),
            ("serial", self.serial),
            ("firmware", self.firmware),
            ("made", self.made),
        )
        return tuple((name, value) for name, value in every if value)

    @property
    def row(self) -> dict[str, str]:
        """It as a row of a table of texts, by column."""
        found = {key_of(field.name): _cell(getattr(self, field.name)) for field in fields(self)}
        return {"certain": "yes" if self.certain else "no", **found}


ASKED = {
    "kind": "kind",
    "model": "model",
    "batch": "batch",
    "serial": "serial number",
    "firmware": "firmware",
    "made": "month of manufacture",
    "mobile": "mobile network",
    "battery": "battery",
    "use": "room",
    "verdict": "verdict",
    "rule": "rule",
    "rule-set": "rule set",
}
"""What may be asked for, in words."""
COLUMNS = ("certain", *(key_of(field.name) for field in fields(Affected)))
"""The columns of :attr:`Affected.row`."""


def affected_device(dossier: Dossier, tag: str, findings: Sequence[Finding], lacks: Sequence[str]) -> Affected:
    """Give a device as found.

    Args:
        dossier: its home.
        tag: the device's.
        findings: that were asked for.
        lacks: what the record does not tell.
    """
    device, spot = dossier.home.devices[tag], dossier.dwelling.spots.get(tag)
    facts = dossier.home.home
    return Affected(
        home=dossier.id,
        label=facts.label,
        reference=facts.reference or "",
        subject=tag,
        kind=device.kind,
        model=device.model or "",
        batch=device.batch or "",
        serial=device.serial or "",
        firmware=device.firmware or "",
        made=device.made.strftime("%Y-%m") if device.made else "",
        mobile=device.mobile or "",
        battery=device.battery.type if device.battery else "",
        fitted=device.fitted,
        storey=spot.storey if spot else "",
        room=spot.room if spot else "",
        use=dossier.home.rooms[spot.room].use if spot else "",
        where=whereabouts(device, spot),
        rule_set=facts.rules,
        verdicts=_verdicts(findings),
        lacks=tuple(lacks),
    )


def affected_part(dossier: Dossier, subject: Subject, findings: Sequence[Finding]) -> Affected:
    """Give a room, a storey or the home as found."""
    facts = dossier.home.home
    room = subject.id if subject.kind == "room" else subject.room
    shape = dossier.dwelling.rooms.get(room or "")
    return Affected(
        home=dossier.id,
        label=facts.label,
        reference=facts.reference or "",
        subject=subject.id,
        kind=subject.kind,
        storey=shape.storey if shape else subject.storey or "",
        room=shape.id if shape else "",
        use=shape.room.use if shape else "",
        rule_set=facts.rules,
        verdicts=_verdicts(findings),
    )


def whereabouts(device: Device, spot: Spot | None) -> str:
    """Say where a device is so that someone in the room finds it, with the distances of the record; in English."""
    if spot is None:
        return "not placed in the record"
    at = _FIXED.get(spot.fixed, "in the room")
    if spot.fixed == "opening" and spot.opening:
        at = f"on {spot.opening.id.replace('-', ' ')}"
    elif spot.fixed == "corner" and device.corner:
        at = f"in the {device.corner} corner"
    elif spot.fixed in ("wall", "outside") and spot.wall:
        at = f"{'outside, ' if spot.fixed == 'outside' else ''}on the {spot.wall.name} wall"
    tapes = [f"{metres:.2f} m from the {side} wall" for side, metres in device.tapes.items()]
    height = [f"{device.height:.2f} m above the floor"] if device.height is not None else []
    room = f"{spot.room.replace('-', ' ')}, {spot.storey.replace('-', ' ')} storey"
    return f"{room}: {', '.join([at, *tapes, *height])}"


_FIXED = {"ceiling": "on the ceiling", "floor": "standing on the floor"}


def _verdicts(findings: Sequence[Finding]) -> tuple[str, ...]:
    return tuple(f"{finding.rule.id}: {finding.verdict.value}" for finding in findings)


def _cell(value: str | date | tuple[str, ...] | None) -> str:
    if isinstance(value, date):
        return value.isoformat()
    return "; ".join(value) if isinstance(value, tuple) else value or ""
