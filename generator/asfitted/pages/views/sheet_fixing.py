"""The list for fixing and enrolling: every device in the order of work, how it is set, and what is still blank."""

from collections.abc import Iterator
from dataclasses import dataclass

from asfitted.model.base import key_of
from asfitted.model.device import SETTINGS, Device
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_rooms import DeviceFacts, storeys, unplaced
from asfitted.pages.views.office_visits import Cell, last_readings
from asfitted.pages.views.sheet_words import Known, stages
from asfitted.pages.wording import listed, sentence, span
from asfitted.rules.checks.evidence import PROVES
from asfitted.rules.finding import Verdict

_SHARED = ("name", "model", "serial", "batch", "made", "battery", "fitted", "enrolled", "across")
_ONLY_WITH = {
    "cable": ("joined_by", "cable"),
    "circuit": ("power", "mains"),
    "mobile": ("second_path", "mobile"),
    "mobile_level": ("second_path", "mobile"),
    "reports_every": ("joined_by", "radio"),
}
"""Settings that mean something only where another one has a certain value."""
_EITHER = {"serial": "batch", "batch": "serial", "made": "replace_by"}
"""What does as well as another thing."""
_USUAL = frozenset({"wakes_by"})
"""Settings that mean something by being left out."""


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the work on a device, and when or how it was done by the record; empty where it was not."""

    name: str
    done: str


@dataclass(frozen=True, slots=True)
class ToFix:
    """One device: what is asked at once, how else it is set, the steps, and what the record does not say of it."""

    tag: str
    kind: str
    room: str
    asked: tuple[Known, ...]
    more: tuple[Known, ...]
    steps: tuple[Step, ...]
    blank: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the work and its devices, room by room."""

    title: str
    devices: tuple[ToFix, ...]


@dataclass(frozen=True, slots=True)
class Fixing:
    """The list: how the system is set, and the parts of the work in their order."""

    system: tuple[Known, ...]
    parts: tuple[Part, ...]

    @property
    def undone(self) -> int:
        """How many steps the record does not show as done."""
        return sum(not step.done for part in self.parts for device in part.devices for step in device.steps)


def fixing(dossier: Dossier) -> Fixing:
    """Build the list of a home."""
    placed = [(room.name, facts) for storey in storeys(dossier) for room in storey.rooms for facts in room.devices]
    every = [*placed, *(("no room yet", facts) for facts in unplaced(dossier))]
    latest = last_readings(dossier)
    proven = {
        finding.subject.id
        for finding in dossier.findings
        if finding.rule.id == PROVES and finding.verdict is Verdict.CONFORMS
    }
    parts = []
    for stage in stages():
        mine = [(room, facts) for room, facts in every if facts.kind in stage.kinds]
        mine.sort(key=lambda item: stage.kinds.index(item[1].kind))
        devices = tuple(_device(dossier, room, facts, latest[facts.tag], facts.tag in proven) for room, facts in mine)
        if devices:
            parts.append(Part(stage.title, devices))
    return Fixing(tuple(_system(dossier)), tuple(parts))


def _system(dossier: Dossier) -> Iterator[Known]:
    system = dossier.home.system
    yield Known("radio", f"{system.radio:g} MHz" if system.radio is not None else "")
    yield Known("entry time", span(system.entry_time) if system.entry_time is not None else "")
    yield Known("exit time", span(system.exit_time) if system.exit_time is not None else "")
    yield Known("who is told", system.tells or "")


def _device(dossier: Dossier, room: str, facts: DeviceFacts, latest: dict[str, Cell], proven: bool) -> ToFix:  # noqa: FBT001
    device = dossier.home.devices[facts.tag]
    asked = tuple(_asked(dossier, device, facts))
    told = {known.name for known in asked} | {"linked", "enrolled"}
    return ToFix(
        facts.tag,
        facts.kind,
        room,
        asked,
        tuple(Known(f.name, f.value) for f in (*facts.settings, *facts.identity) if f.name not in told),
        tuple(_steps(device, latest, proven)),
        tuple(key_of(name).replace("-", " ") for name in _blank(device)),
    )


def _asked(dossier: Dossier, device: Device, facts: DeviceFacts) -> Iterator[Known]:
    said = {fact.name: fact.value for fact in (*facts.settings, *facts.identity)}
    yield Known("name as enrolled", sentence(device.name or ""))
    yield Known("serial", device.serial or "")
    yield Known("made", said.get("made", ""))
    yield Known("battery", said.get("battery", ""))
    own = SETTINGS[device.kind]
    if "linked" in own:
        yield Known("linked with", listed(device.linked) if device.linked else "")
    if "joined_by" in own and device.kind != "control unit":
        yield Known("joined by", said.get("joined by", ""))
    if "mode" in own:
        entry = dossier.home.system.entry_time
        delay = f", {span(entry)}" if device.mode == "delayed" and entry is not None else ""
        yield Known("mode", (device.mode or "") + delay)


def _steps(device: Device, latest: dict[str, Cell], proven: bool) -> Iterator[Step]:  # noqa: FBT001
    yield Step("tag on it", "")
    if device.kind != "control unit":
        yield Step("enrolled", "recorded" if device.enrolled else "")
        if device.joined_by != "cable":
            margin = latest.get("signal", Cell())
            yield Step("radio margin read", f"{margin.value}, {margin.day}" if margin.value else "")
    yield Step("fixed", str(device.fitted) if device.fitted else "")
    yield Step("tested", "proven" if proven else "")


def _blank(device: Device) -> Iterator[str]:
    """Give what the record does not say of a device, by the names in the model."""
    for name in (*_SHARED, *SETTINGS[device.kind]):
        setting, value = _ONLY_WITH.get(name, (name, None))
        if value is not None and getattr(device, setting, None) != value:
            continue
        if name in _USUAL or getattr(device, _EITHER.get(name, name)) not in (None, ()):
            continue
        if getattr(device, name) in (None, ()):
            yield name
