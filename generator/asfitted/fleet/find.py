"""Every home that holds an affected device: by what it is, what is printed on it, where it is, and how it is judged.

Conditions combine: all of them must hold, and of several values of one condition any. A device of which the record
does not tell whether a condition holds is not passed over in silence: it may be affected.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date

from asfitted.fleet.load import Loaded
from asfitted.fleet.marking import Answer, Marking
from asfitted.model.base import key_of
from asfitted.model.device import Device
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.affected import Affected, affected_device, affected_part
from asfitted.rules.finding import Finding, Verdict

Months = tuple[date | None, date | None]
"""First day of the first month and of the last; None for an open end."""


@dataclass(frozen=True)
class Wanted:
    """What to look for; an empty condition asks nothing.

    ``model`` and ``battery`` are found within the text of the record, whatever its capitals. ``verdict`` and ``rule``
    are about one finding: with both, a rule with that verdict. ``rule_set`` is the one the home itself names.
    """

    kind: tuple[str, ...] = ()
    model: tuple[str, ...] = ()
    batch: tuple[Marking, ...] = ()
    serial: tuple[Marking, ...] = ()
    firmware: tuple[Marking, ...] = ()
    made: tuple[Months, ...] = ()
    mobile: tuple[str, ...] = ()
    battery: tuple[str, ...] = ()
    use: tuple[str, ...] = ()
    verdict: tuple[Verdict, ...] = ()
    rule: tuple[str, ...] = ()
    rule_set: tuple[str, ...] = ()

    @property
    def words(self) -> Mapping[str, tuple[str, ...]]:
        """What is asked for in words, by the key or option it is about."""
        given = {key_of(item.name): getattr(self, item.name) for item in fields(self)}
        return {name: tuple(_said(value) for value in values) for name, values in given.items() if values}

    @property
    def of_devices(self) -> bool:
        """Whether something is asked of the device itself, rather than of its room, its verdicts or its home."""
        return any(
            (self.kind, self.model, self.batch, self.serial, self.firmware, self.made, self.mobile, self.battery)
        )


@dataclass(frozen=True)
class Search:
    """What a search gave.

    Attributes:
        found: what is affected, and what may be, home by home in the order of the records.
        homes: how many homes were searched.
        not_searched: ids of those whose record cannot be used.
        untold: how many more devices may be affected, by what the record lacks; nothing else was asked of them, so that
            they are counted and not listed.
    """

    found: tuple[Affected, ...]
    homes: int
    not_searched: tuple[str, ...]
    untold: Mapping[tuple[str, ...], int] = field(default_factory=dict)

    @property
    def certain(self) -> tuple[Affected, ...]:
        """What is affected for certain."""
        return tuple(item for item in self.found if item.certain)

    @property
    def possible(self) -> tuple[Affected, ...]:
        """What may be affected: the record lacks something."""
        return tuple(item for item in self.found if not item.certain)


def search(loaded: Iterable[Loaded], wanted: Wanted) -> Search:
    """Search homes, as they stand in their records; what was taken down is in their history only.

    Args:
        loaded: the homes.
        wanted: what to look for.
    """
    found: list[Affected] = []
    untold: Counter[tuple[str, ...]] = Counter()
    searched, not_searched = 0, []
    for item in loaded:
        if item.dossier is None:
            not_searched.append(item.id)
            continue
        searched += 1
        if wanted.rule_set and item.dossier.home.home.rules not in wanted.rule_set:
            continue
        found += _devices(item.dossier, wanted, untold)
        if not wanted.of_devices and (wanted.verdict or wanted.rule):
            found += _parts(item.dossier, wanted)
    return Search(tuple(found), searched, tuple(not_searched), dict(sorted(untold.items())))


def _devices(dossier: Dossier, wanted: Wanted, untold: Counter[tuple[str, ...]]) -> Iterator[Affected]:
    asked = _asked(dossier, wanted)
    for tag, device in dossier.home.devices.items():
        findings = asked.get(("device", tag), [])
        if (wanted.verdict or wanted.rule) and not findings:
            continue
        own = _own(device, wanted)
        spot = dossier.dwelling.spots.get(tag)
        room = {"use": _one_of(dossier.home.rooms[spot.room].use if spot else None, wanted.use)} if wanted.use else {}
        answers = {**own, **room}
        if False in answers.values():
            continue
        lacks = [name for name, answer in answers.items() if answer is None]
        if not lacks or True in own.values() or "mobile" in own:  # what has a mobile network is a control unit
            yield affected_device(dossier, tag, findings, lacks)
        else:
            untold[tuple(lacks)] += 1


def _own(device: Device, wanted: Wanted) -> dict[str, Answer]:
    """Say of each condition on the device itself whether it holds."""
    made = device.made.replace(day=1) if device.made else None
    battery = device.battery.type if device.battery else None
    mobile: Answer = False
    if device.kind == "control unit" and device.second_path not in ("radio", "none"):
        mobile = _one_of(device.mobile, wanted.mobile)
    answers = {
        "kind": _one_of(device.kind, wanted.kind),
        "model": _within(device.model, wanted.model),
        "batch": _any(mark.fits(device.batch) for mark in wanted.batch),
        "serial": _any(mark.fits(device.serial) for mark in wanted.serial),
        "firmware": _any(mark.fits(device.firmware) for mark in wanted.firmware),
        "made": _any(_made_in(made, months) for months in wanted.made),
        "mobile": mobile,
        "battery": _within(battery, wanted.battery),
    }
    return {name: answer for name, answer in answers.items() if getattr(wanted, name)}


def _parts(dossier: Dossier, wanted: Wanted) -> Iterator[Affected]:
    """Give the rooms, storeys and homes that findings asked for are about."""
    for (kind, _), findings in _asked(dossier, wanted).items():
        if kind != "device":
            found = affected_part(dossier, findings[0].subject, findings)
            if not wanted.use or found.use in wanted.use:
                yield found


def _asked(dossier: Dossier, wanted: Wanted) -> dict[tuple[str, str], list[Finding]]:
    """Give the findings asked for by kind and id of their subject; none where no verdict and no rule is asked for."""
    asked: dict[tuple[str, str], list[Finding]] = {}
    for finding in dossier.findings if wanted.verdict or wanted.rule else ():
        if finding.verdict in (wanted.verdict or Verdict) and (not wanted.rule or finding.rule.id in wanted.rule):
            asked.setdefault((finding.subject.kind, finding.subject.id), []).append(finding)
    return asked


def _any(answers: Iterable[Answer]) -> Answer:
    given = list(answers)
    return True if True in given else None if None in given else False


def _one_of(value: str | None, wanted: Sequence[str]) -> Answer:
    return None if value is None else value in wanted


def _within(text: str | None, wanted: Sequence[str]) -> Answer:
    return None if text is None else any(_folded(part) in _folded(text) for part in wanted)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _made_in(made: date | None, months: Months) -> Answer:
    first, last = months
    return None if made is None else (first is None or first <= made) and (last is None or made <= last)


def _said(value: object) -> str:
    if isinstance(value, Marking):
        return value.typed
    if isinstance(value, tuple):
        first, last = (f"{day:%Y-%m}" if day else "" for day in value)
        return first if first == last else f"{first}..{last}"
    return str(value)
