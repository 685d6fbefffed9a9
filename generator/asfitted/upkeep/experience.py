"""What the visits to all homes show: false alarms, batteries that ran low, and how long batteries last.

How it is counted:

- A device is watched from the day it was fitted to the firm's last visit to the home: the record knows no more.
- A **false alarm** is a call-out with that cause. It counts for a kind of device where all that was tested on it is of
  one kind, and for a place where it is one device; the record does not say more. The others are counted as not told.
- A **low battery** is a reading "low" that follows no other one: until it was changed or read well it is the same.
- A **life of a battery** runs from the day it was put in to the day it first read low. One that was changed before, or
  was still good at its last test, is known to have lasted until then. A reading comes a visit late at most.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing, tests_of
from asfitted.model.visit import Visit
from asfitted.upkeep.conditions import conditions_of, room_of
from asfitted.upkeep.learned import Lives, Rate, Spell

_YEAR = 365.25
_SECONDS = 86400.0
_OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Experience:
    """What all homes show together.

    Attributes:
        devices: how many were watched.
        years: how long together.
        undated: devices of which the record does not say when they were fitted; they are left out.
        false_alarms: call-outs for a false alarm.
        not_told: those of them that count for no kind, as the record does not tell of which it was.
        false_by_kind: how often each kind gives one.
        false_by_place: the same by kind and place.
        low_by_kind: how often the battery of each kind reads low, where it has one.
        low_by_place: the same by kind and place.
        lives: how long the batteries of each kind last, by kind and type of battery.
    """

    devices: int
    years: float
    undated: int
    false_alarms: int
    not_told: int
    false_by_kind: Mapping[str, Rate]
    false_by_place: Mapping[str, Rate]
    low_by_kind: Mapping[str, Rate]
    low_by_place: Mapping[str, Rate]
    lives: Mapping[str, Lives]


class _Count:
    """Events and years, by what they belong to."""

    def __init__(self) -> None:
        self.events, self.years = Counter[str](), defaultdict[str, float](float)

    def rates(self) -> dict[str, Rate]:
        return {name: Rate(self.events[name], years) for name, years in sorted(self.years.items()) if years > 0}


def experience(homes: Iterable[Home], on: date) -> Experience:
    """Count what the visits to all homes show, up to a day."""
    false_kind, false_place, low_kind, low_place = _Count(), _Count(), _Count(), _Count()
    spells: dict[str, list[tuple[Spell, float]]] = defaultdict(list)
    devices = undated = false_alarms = 0
    years = 0.0
    for home in homes:
        visits = standing(home.visits, on)
        last = max((visit.date for visit in visits if visit.kind != "household test"), default=None)
        alarms = [visit for visit in visits if visit.kind == "call-out" and visit.cause == "false alarm"]
        false_alarms += len(alarms)
        for tag, device in home.devices.items():
            if device.fitted is None or last is None:
                undated += device.placed
                continue
            watched = (last - device.fitted).days / _YEAR
            if not device.placed or watched <= 0:
                continue
            devices, years = devices + 1, years + watched
            places = [f"{device.kind}, {place}" for place in places_of(home, device)]
            alone = sum(set(visit.tests) == {tag} and _up(device, visit) for visit in alarms)
            _add(false_place, places, watched, alone)
            _add(false_kind, [device.kind], watched, 0)
            if device.battery:
                low = _times_low(tag, device, visits)
                _add(low_kind, [device.kind], watched, low)
                _add(low_place, places, watched, low)
                spells[f"{device.kind}, {device.battery.type}"] += _lives(tag, device, visits, on)
        for visit in alarms:
            kinds = {device.kind for tag, device in home.devices.items() if tag in visit.tests and _up(device, visit)}
            if len(kinds) == 1:
                false_kind.events[kinds.pop()] += 1
    by_kind = false_kind.rates()
    return Experience(
        devices=devices,
        years=years,
        undated=undated,
        false_alarms=false_alarms,
        not_told=false_alarms - sum(rate.events for rate in by_kind.values()),
        false_by_kind=by_kind,
        false_by_place=false_place.rates(),
        low_by_kind=low_kind.rates(),
        low_by_place=low_place.rates(),
        lives={
            name: Lives(tuple(spell for spell, _ in found), sum(length for _, length in found))
            for name, found in sorted(spells.items())
            if found
        },
    )


def _up(device: Device, visit: Visit) -> bool:
    """Tell whether a visit found this device, and not one before it under the same tag."""
    return device.fitted is not None and device.fitted <= visit.date


def _add(count: _Count, names: Iterable[str], years: float, events: int) -> None:
    for name in names:
        count.years[name] += years
        count.events[name] += events


def places_of(home: Home, device: Device) -> Iterator[str]:
    """Give in words where a device hangs: the use of its room, or outside, and the conditions that hold there."""
    room = room_of(home, device)
    if room is not None:
        yield room.use
    elif device.outside is not None:
        yield _OUTSIDE
    for condition in conditions_of(home, device):
        yield condition.replace("-", " ")


def _times_low(tag: str, device: Device, visits: tuple[Visit, ...]) -> int:
    times, low = 0, False
    for _, test in tests_of(tag, device, visits):
        if test.battery is not None:
            times += test.battery == "low" and not low
            low = test.battery == "low"
        if test.battery_changed:
            low = False
    return times


def _lives(tag: str, device: Device, visits: tuple[Visit, ...], on: date) -> Iterator[tuple[Spell, float]]:
    """Give the lives of the batteries a device had: each as a part of the life that was foretold, and in years."""
    battery, begun = device.battery, device.fitted
    if battery is None or not battery.life or begun is None:
        return
    last, running = begun, True
    for day, what in _of_batteries(tag, device, visits, on):
        if running and what != _SEEN:
            yield from _lived(begun, day, battery.life, ended=what == _LOW)
        if what == _CHANGED:
            begun = day
        running = what == _CHANGED or (running and what == _SEEN)
        last = day
    if running:
        yield from _lived(begun, last, battery.life, ended=False)


_LOW, _CHANGED, _SEEN = range(3)  # in the order in which they happen on one day


def _of_batteries(tag: str, device: Device, visits: tuple[Visit, ...], on: date) -> list[tuple[date, int]]:
    """Give the days on which a battery read low, was changed, or was in use, in order."""
    found = {(visit.date, _SEEN) for visit, _ in tests_of(tag, device, visits)}
    found |= {(visit.date, _LOW) for visit, test in tests_of(tag, device, visits) if test.battery == "low"}
    found |= {(visit.date, _CHANGED) for visit, test in tests_of(tag, device, visits) if test.battery_changed}
    if device.fitted and device.battery and device.battery.fitted and device.fitted < device.battery.fitted <= on:
        found.add((device.battery.fitted, _CHANGED))
    return sorted(found)


def _lived(begun: date, until: date, foretold: float, *, ended: bool) -> Iterator[tuple[Spell, float]]:
    days = (until - begun).days
    if days > 0:
        yield Spell(days * _SECONDS / foretold, ended), days / _YEAR
