"""Tables of the export that say what is fitted and what was done: devices, links, visits, tests, sound levels."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from asfitted.dwelling.shapes import Spot
from asfitted.fleet.csv_text import Cell
from asfitted.fleet.export_dwelling import east, north
from asfitted.fleet.table import Column, Refers, Table, of_model
from asfitted.model.device import Battery, Device
from asfitted.model.visit import Test, Visit
from asfitted.pages.dossier import Dossier


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A device, and its spot where it has one."""

    tag: str
    device: Device
    spot: Spot | None

    @property
    def height(self) -> Cell:
        """Its height above the floor: as recorded, or what its place gives."""
        z = self.device.height if self.device.height is not None else self.spot.z if self.spot else None
        return None if z is None else round(z, 4)


def _devices(dossier: Dossier) -> Iterator[_Fitted]:
    for tag, device in dossier.home.devices.items():
        yield _Fitted(tag, device, dossier.dwelling.spots.get(tag))


_OF_DEVICE = ("model", "batch", "serial", "firmware", "made", "replace_by", "fitted", "enrolled")
_SETTINGS = (
    *("power", "circuit", "sensing", "output", "grade", "climate", "tamper", "joined_by", "reports_every"),
    *("wired_to", "second_path", "mobile", "mobile_level", "capacity", "standby", "standby_battery"),
)

DEVICES: Table[_Fitted] = Table(
    "device",
    "one device as the record has it now; what was taken down is not in it",
    (
        Column("device", "text", "its tag, such as SA1", lambda item: item.tag),
        *of_model(Device, "kind", *_OF_DEVICE, of=lambda item: item.device),
        Column(
            "room",
            "text",
            "the room it is in; nothing while it has no place",
            lambda item: item.spot.room if item.spot else None,
        ),
        Column(
            "fixed_to",
            "text",
            "ceiling, wall, corner, opening, floor, outside or unknown",
            lambda item: item.spot.fixed if item.spot else None,
        ),
        Column("east", "real", "east of the storey's origin", lambda item: east(item.spot), "m"),
        Column("north", "real", "north of the storey's origin", lambda item: north(item.spot), "m"),
        Column("height", "real", "above finished floor, as measured or as its place gives", lambda i: i.height, "m"),
        *of_model(Battery, "type", "life", "fitted", of=lambda item: item.device.battery, also="battery_"),
        *of_model(Device, *_SETTINGS, of=lambda item: item.device),
    ),
    ("device",),
    _devices,
    (Refers(("home",), "home"), Refers(("home", "room"), "room")),
)


@dataclass(frozen=True, slots=True)
class _Link:
    device: str
    other: str
    kind: str
    predicted: float | None = None
    measured: float | None = None
    measured_on: date | None = None


def _links(dossier: Dossier) -> Iterator[_Link]:
    for tag, device in dossier.home.devices.items():
        for other in dict.fromkeys(device.linked):
            yield _Link(tag, other, "sounds with")
    for link in dossier.reckoned.radio.links:
        measured, day = link.measured or (None, None)
        yield _Link(link.tag, link.to, "radio", round(link.predicted, 1), measured, day)


LINKS: Table[_Link] = Table(
    "link",
    "one link between two devices: alarms that sound together as recorded, or the radio path as worked out",
    (
        Column("device", "text", "tag of the device", lambda link: link.device),
        Column("other", "text", "tag of the one it sounds with, or that hears its radio", lambda link: link.other),
        Column("kind", "text", "“sounds with” or “radio”", lambda link: link.kind),
        Column("predicted_margin", "real", "radio margin by calculation, before fading", lambda x: x.predicted, "dB"),
        Column("measured_margin", "real", "radio margin last read on site", lambda link: link.measured, "dB"),
        Column("measured_on", "day", "the day of that reading", lambda link: link.measured_on),
    ),
    ("kind", "device", "other"),
    _links,
    (Refers(("home", "device"), "device"), Refers(("home", "other"), "device")),
)


def _visits(dossier: Dossier) -> Iterator[tuple[int, Visit]]:
    yield from enumerate(dossier.home.visits, start=1)


VISITS: Table[tuple[int, Visit]] = Table(
    "visit",
    "one visit as recorded; a correction is a visit of its own and the corrected one stays",
    (
        Column("visit", "whole", "counted from 1 through the record", lambda item: item[0]),
        Column("visited_on", "day", "the day of the visit", lambda item: item[1].date),
        *of_model(Visit, "kind", of=lambda item: item[1]),
        Column("made_by", "text", "technician's number or role, or householder", lambda item: item[1].by),
        *of_model(
            Visit,
            "remote",
            "cause",
            "police_called",
            "entry_time",
            "exit_time",
            "accepted_by",
            "shown_to",
            "report",
            "corrects",
            of=lambda item: item[1],
        ),
    ),
    ("visit",),
    _visits,
    (Refers(("home",), "home"),),
)


@dataclass(frozen=True, slots=True)
class _Tested:
    visit: int
    tag: str
    test: Test


def _tests(dossier: Dossier) -> Iterator[_Tested]:
    for number, visit in _visits(dossier):
        for tag, test in visit.tests.items():
            yield _Tested(number, tag, test)


_READ = tuple(name for name in Test.model_fields if name not in ("level", "battery", "note"))

TESTS: Table[_Tested] = Table(
    "test",
    "what was done to one device on one visit, and what it read; nothing stands where nothing was tried",
    (
        Column("visit", "whole", "number of the visit", lambda item: item.visit),
        Column("device", "text", "tag of the device; in a home that was cleared it may be gone", lambda item: item.tag),
        Column(
            "worked", "truth", "1 when all that was tried worked, 0 when something did not", lambda x: x.test.outcome
        ),
        *of_model(Test, *_READ, of=lambda item: item.test),
        Column(
            "battery_voltage",
            "real",
            "voltage of the battery, where it was measured",
            lambda item: None if isinstance(item.test.battery, str) else item.test.battery,
            "V",
        ),
        Column(
            "battery_said",
            "text",
            "what the display says of the battery: good or low",
            lambda item: item.test.battery if isinstance(item.test.battery, str) else None,
        ),
    ),
    ("visit", "device"),
    _tests,
    (Refers(("home", "visit"), "visit"),),
)


def _levels(dossier: Dossier) -> Iterator[tuple[_Tested, str, float]]:
    for tested in _tests(dossier):
        for room, level in tested.test.level.items():
            yield tested, room, level


SOUND_LEVELS: Table[tuple[_Tested, str, float]] = Table(
    "sound_level",
    "the sound level of one device read in one room on one visit",
    (
        Column("visit", "whole", "number of the visit", lambda item: item[0].visit),
        Column("device", "text", "tag of the device that sounded", lambda item: item[0].tag),
        Column("room", "text", "the room where it was read, at the bed where there is one", lambda item: item[1]),
        Column("level", "real", "the sound level", lambda item: item[2], "dB(A)"),
        *of_model(Test, "doors", of=lambda item: item[0].test),
    ),
    ("visit", "device", "room"),
    _levels,
    (Refers(("home", "visit", "device"), "test"), Refers(("home", "room"), "room")),
)
