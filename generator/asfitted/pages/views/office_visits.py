"""Visits and the evidence they left: device by test, with what it read and when."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from asfitted.model.base import key_of
from asfitted.model.home import Variation
from asfitted.model.standing import standing, tests_of
from asfitted.model.visit import GOOD, Test, Visit
from asfitted.pages.dossier import Dossier
from asfitted.pages.wording import kinds, sentence, span
from asfitted.rules.checks.evidence import PROVES, needed_readings

FAMILIES = {
    "Fire and carbon monoxide": ("fire", "gas"),
    "Intruder": ("intruder",),
    "Water and system": ("water", "system"),
}
FIELDS = tuple(Test.model_fields)
GONE = "taken away since"

_UNITS: dict[str, Callable[[float], str]] = {
    "smoke": lambda seconds: f"{seconds:g} s", "heat": lambda seconds: f"{seconds:g} s",
    "gas": lambda seconds: f"{seconds:g} s", "held_for": span,
    "at": lambda metres: f"{metres * 1000:.0f} mm", "gap": lambda metres: f"{metres * 1000:.0f} mm",
    "at_one_metre": lambda level: f"{level:g} dB", "charging": lambda amperes: f"{amperes:g} A",
    "signal": lambda level: f"{level:g} dB", "battery": lambda volts: f"{volts:g} V",
}  # fmt: skip
_NEUTRAL = frozenset({"open", "closed", "good"})


@dataclass(frozen=True, slots=True)
class Cell:
    """What a test of a device read, when it was taken and by whom, and whether it speaks against the device.

    ``missing`` is true where the reading that proves the device has never been taken. ``by`` says who took it, and
    ``visit`` is the anchor of the entry among the visits in which it stands.
    """

    lines: tuple[str, ...] = ()
    day: date | None = None
    bad: bool = False
    missing: bool = False
    by: str = ""
    visit: str = ""

    @property
    def value(self) -> str:
        """What it read, on one line."""
        return ", ".join(self.lines)


@dataclass(frozen=True, slots=True)
class Line:
    """One device and its cells, one a test."""

    tag: str
    what: str
    here: bool
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Matrix:
    """Devices of one family against tests."""

    name: str
    tests: tuple[str, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class VisitView:
    """One visit. ``corrected_by`` is the day of a later entry that corrects it."""

    anchor: str
    visit: Visit
    matrices: tuple[Matrix, ...]
    corrected_by: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class VariationView:
    """One departure from a rule as agreed, and whether it holds on the day of the pages."""

    agreed: Variation
    title: str
    about: str
    state: str


def evidence(dossier: Dossier) -> tuple[Matrix, ...]:
    """Give the last reading of every test of every device, corrections applied."""
    return _matrices(dossier, last_readings(dossier))


def last_readings(dossier: Dossier) -> dict[str, dict[str, Cell]]:
    """Give the last reading of every test by the tag of its device and its name in the model, corrections applied.

    What was read before a device was fitted was read of another one, and does not count.
    """
    visits = standing(dossier.home.visits, dossier.on)
    # A correction keeps the tests that it leaves alone as they are, so each tells the entry in which it was written.
    entries = {id(test): (anchor, visit.by) for anchor, visit in _entries(dossier) for test in visit.tests.values()}
    latest: dict[str, dict[str, Cell]] = {}
    for tag, device in dossier.home.devices.items():
        cells: dict[str, Cell] = {}
        for visit, test in tests_of(tag, device, visits):
            anchor, by = entries[id(test)]
            cells |= {name: replace(cell, by=by, visit=anchor) for name, cell in _cells(test, visit.date).items()}
        for keys in needed_readings(dossier.rules.rules[PROVES], device):
            readings = [key.replace("-", "_") for key in keys]
            if not any(name in cells for name in readings):
                cells[readings[0]] = Cell(missing=True)
        latest[tag] = cells
    return latest


def visit_views(dossier: Dossier) -> tuple[VisitView, ...]:
    """Give every visit written down by the day of the pages, the latest first, each as it was written."""
    numbered = _entries(dossier)
    made = [visit for _, visit in numbered]
    return tuple(
        VisitView(
            anchor,
            visit,
            _matrices(dossier, {tag: _cells(test, None) for tag, test in visit.tests.items()}),
            tuple(sorted(later.date for later in made if later.corrects == visit.date and later is not visit)),
        )
        for anchor, visit in sorted(numbered, key=lambda item: item[1].date, reverse=True)
    )


def _entries(dossier: Dossier) -> list[tuple[str, Visit]]:
    """Give every visit written down by the day of the pages with its anchor, in the order of the record."""
    made = [visit for visit in dossier.home.visits if visit.date <= dossier.on]
    return [(f"visit-{number}", visit) for number, visit in enumerate(made, 1)]


def variation_views(dossier: Dossier) -> tuple[VariationView, ...]:
    """Give the register of variations, the latest first."""
    register = sorted(dossier.home.variations, key=lambda agreed: agreed.on, reverse=True)
    return tuple(_variation(dossier, agreed) for agreed in register)


def _variation(dossier: Dossier, agreed: Variation) -> VariationView:
    rule = dossier.rules.rules.get(agreed.rule)
    room = dossier.dwelling.rooms.get(agreed.room or "")
    opening = dossier.dwelling.openings.get(agreed.opening or "")
    called = room.room.called if room else opening.opening.called if opening else agreed.room or agreed.opening
    about = agreed.device or sentence(called or "the home as a whole")
    used = any(finding.variation is agreed for finding in dossier.findings)
    if agreed.until and agreed.until < dossier.on:
        state = "lapsed"
    elif agreed.on > dossier.on:
        state = "not yet in force"
    else:
        state = "in force" if used else "not needed: the home conforms without it, or another entry stands in its place"
    return VariationView(agreed, rule.title if rule else agreed.rule, about, state)


def _cells(test: Test, day: date | None) -> dict[str, Cell]:
    values = {name: getattr(test, name) for name in FIELDS}
    return {
        name: Cell(_written(name, value), day, _is_bad(name, value))
        for name, value in values.items()
        if value is not None and value != {}
    }


def _written(name: str, value: object) -> tuple[str, ...]:
    if isinstance(value, bool):
        return ("yes" if value else "no",)
    if isinstance(value, Mapping):
        return tuple(f"{room.replace('-', ' ')} {level:g} dB" for room, level in value.items())
    if isinstance(value, float) and name in _UNITS:
        return (_UNITS[name](value),)
    return (str(value),)


def _is_bad(name: str, value: object) -> bool:
    if name == "pet":
        return value == "detected"
    if name == "sounded":
        return value is False
    return isinstance(value, str) and name not in ("note", "doors") and value not in GOOD | _NEUTRAL


def _matrices(dossier: Dossier, cells: Mapping[str, Mapping[str, Cell]]) -> tuple[Matrix, ...]:
    families = {kind: words.family for kind, words in kinds().items()}
    gathered: dict[str, list[str]] = {name: [] for name in FAMILIES}
    gone: list[str] = []
    for tag in [*(t for t in dossier.home.devices if t in cells), *(t for t in cells if t not in dossier.home.devices)]:
        device = dossier.home.devices.get(tag)
        if device is None:
            gone.append(tag)
            continue
        name = next(name for name, members in FAMILIES.items() if families[device.kind] in members)
        gathered[name].append(tag)
    gathered["No longer in the home"] = gone
    return tuple(_matrix(dossier, name, tags, cells) for name, tags in gathered.items() if tags)


def _matrix(dossier: Dossier, name: str, tags: Iterable[str], cells: Mapping[str, Mapping[str, Cell]]) -> Matrix:
    tags = list(tags)
    columns = [field for field in FIELDS if any(field in cells[tag] for tag in tags)]
    lines = []
    for tag in tags:
        device = dossier.home.devices.get(tag)
        what = sentence(device.name or device.kind) if device else GONE
        lines.append(Line(tag, what, device is not None, tuple(cells[tag].get(c, Cell()) for c in columns)))
    return Matrix(name, tuple(key_of(column).replace("-", " ") for column in columns), tuple(lines))
