"""The commissioning sheet: what is not verified yet, grouped by what to do, then every test with its last reading."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.model.standing import standing
from asfitted.model.visit import Test
from asfitted.model.words import Checked, Taught
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_findings import FindingView, about_each
from asfitted.pages.views.office_visits import Cell, last_readings
from asfitted.pages.views.sheet_words import Doing, Known, doing_of, doings, instruments
from asfitted.pages.wording import sentence
from asfitted.rules.catalogue import Rule
from asfitted.rules.checks.evidence import PROVES, needed_readings
from asfitted.rules.finding import Verdict
from asfitted.upkeep.intervals import intervals

_FIELDS = tuple(name for name in Test.model_fields if name not in ("note", "cleaned", "battery_changed"))


@dataclass(frozen=True, slots=True)
class ToProve:
    """A finding without its evidence, with the device or room it is about."""

    tag: str
    name: str
    view: FindingView


@dataclass(frozen=True, slots=True)
class Group:
    """What is proved in one way."""

    doing: Doing
    items: tuple[ToProve, ...]

    @property
    def alike(self) -> tuple[tuple[ToProve, ...], ...]:
        """The same, gathered by what is done for the same rule, so that it is told once."""
        gathered: dict[tuple[str, str], list[ToProve]] = {}
        for item in self.items:
            gathered.setdefault((item.view.rule.id, item.view.finding.remedy), []).append(item)
        return tuple(map(tuple, gathered.values()))


@dataclass(frozen=True, slots=True)
class Reading:
    """A test of a device by its name, and its last reading; nothing in the cell where there is none."""

    name: str
    cell: Cell


@dataclass(frozen=True, slots=True)
class Tested:
    """A device with the tests that its rules and its upkeep ask for, and those it has had."""

    tag: str
    name: str
    here: bool
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Needed:
    """Something to bring, with the readings that are taken with it."""

    name: str
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Commissioning:
    """The commissioning sheet. ``system`` is what is timed, looked at and taught beside the tests of devices."""

    groups: tuple[Group, ...]
    instruments: tuple[Needed, ...]
    devices: tuple[Tested, ...]
    system: tuple[tuple[str, tuple[Known, ...]], ...]

    @property
    def open(self) -> int:
        """How many things are not verified."""
        return sum(len(group.items) for group in self.groups)


def commissioning(dossier: Dossier) -> Commissioning:
    """Build the commissioning sheet of a home."""
    devices = tuple(_devices(dossier))
    missing = dict.fromkeys(each.name for device in devices for each in device.readings if not each.cell.value)
    return Commissioning(tuple(_groups(dossier)), tuple(_instruments(missing)), devices, tuple(_system(dossier)))


def _groups(dossier: Dossier) -> Iterator[Group]:
    unproven = [finding for finding in dossier.findings if finding.verdict is Verdict.NOT_VERIFIED]
    about = about_each(dossier, unproven)
    items = [ToProve(each.tag, each.name, view) for each in about for view in each.findings]
    for doing in doings():
        if mine := tuple(item for item in items if doing_of(item.view.finding) == doing.id):
            yield Group(doing, mine)


def _devices(dossier: Dossier) -> Iterator[Tested]:
    latest = last_readings(dossier)
    for tag, device in dossier.home.devices.items():
        had, asked = latest[tag], _asked(dossier, device)
        names = [name for name in _FIELDS if name in asked or (name in had and had[name].value)]
        readings = tuple(Reading(key_of(name).replace("-", " "), had.get(name, Cell())) for name in names)
        yield Tested(tag, sentence(device.name or device.kind), tag in dossier.dwelling.spots, readings)


def _asked(dossier: Dossier, device: Device) -> set[str]:
    """Give the readings that rules and upkeep ask of a device, by their names in the model."""
    rules, limits = dossier.rules.rules, dossier.rules.limits
    found = {name for each in intervals().values() if device.kind in each.applies_to for name in each.tested_by}
    for rule in rules.values():
        limit = limits.get(rule.id)
        if limit is not None and not limit.nothing and {device.kind, "device"} & set(rule.applies_to):
            found |= {name.replace("-", "_") for name in _of_rule(rule, device)}
    return found & set(_FIELDS)


def _of_rule(rule: Rule, device: Device) -> Iterator[str]:
    options: Mapping[str, Any] = rule.options
    if rule.id == PROVES:
        yield from (name for group in needed_readings(rule, device) for name in group)
        return
    unless = options.get("unless", {})
    if any(getattr(device, key.replace("-", "_"), None) in values for key, values in unless.items()):
        return
    if rule.check == "shown":
        groups = options.get("needs") or options["needs-by-kind"].get(device.kind, ())
        yield from (name for group in groups for name in group)
    elif "reading" in options:
        yield options["reading"]


def _instruments(missing: Iterable[str]) -> Iterator[Needed]:
    uses: dict[str, list[str]] = {}
    for name in missing:
        if tool := instruments().get(name.replace(" ", "_")):
            uses.setdefault(tool, []).append(name)
    yield from (Needed(tool, tuple(names)) for tool, names in uses.items())


def _system(dossier: Dossier) -> Iterator[tuple[str, tuple[Known, ...]]]:
    """Give what is timed, looked at and taught, each with what the visits say."""
    visits = standing(dossier.home.visits, dossier.on)
    times = {"entry time": "entry_time", "exit time": "exit_time"}
    yield (
        "By the clock",
        tuple(
            Known(
                words,
                next(
                    (
                        f"{value:g} s, {visit.date}, {visit.by}"
                        for visit in reversed(visits)
                        if (value := getattr(visit, name)) is not None
                    ),
                    "",
                ),
            )
            for words, name in times.items()
        ),
    )
    for title, words, name in (("Looked at", Checked, "checked"), ("Taught", Taught, "taught")):
        yield (
            title,
            tuple(
                Known(
                    item,
                    next((f"{v.date}, {v.by}" for v in reversed(visits) if item in getattr(v, name)), ""),
                )
                for item in get_args(words)
            ),
        )
    yield (
        "Handed over",
        (
            Known("papers", _last(dossier, "handed_over")),
            Known("shown to", _last(dossier, "shown_to")),
            Known("accepted by", _last(dossier, "accepted_by")),
        ),
    )


def _last(dossier: Dossier, name: str) -> str:
    """Give the last word of the visits on something, with the day; empty where none says it."""
    for visit in reversed(standing(dossier.home.visits, dossier.on)):
        if value := getattr(visit, name):
            words = value if isinstance(value, str) else ", ".join(value)
            return f"{words}, {visit.date}"
    return ""
