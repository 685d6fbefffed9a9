"""A home laid out for judging: the record, its shapes, the day and the rule set, with the questions checks ask."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from asfitted.dwelling.shapes import Dwelling, RoomShape, Spot
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing
from asfitted.model.visit import Test, Visit
from asfitted.rules.finding import Subject


@dataclass(frozen=True)
class Placed:
    """A device with its tag and its spot."""

    tag: str
    device: Device
    spot: Spot

    @property
    def words(self) -> str:
        """Tag and room for a sentence: ``SA3 (front bedroom)``."""
        return f"{self.tag} ({self.spot.room.replace('-', ' ')})"

    @property
    def subject(self) -> Subject:
        """The device as the subject of a finding."""
        return Subject("device", self.tag, self.words, self.spot.room, self.spot.storey)


@dataclass(frozen=True)
class Case:
    """Everything a check may look at. Visits after ``on`` do not count."""

    home: Home
    dwelling: Dwelling
    on: date

    @property
    def rule_set(self) -> str:
        """The rule set of the home."""
        return self.home.home.rules

    @cached_property
    def devices(self) -> tuple[Placed, ...]:
        """Every device, in the order of the record."""
        return tuple(Placed(tag, device, self.dwelling.spots[tag]) for tag, device in self.home.devices.items())

    def of_kinds(self, kinds: tuple[str, ...]) -> Iterator[Placed]:
        """Give the devices of the kinds named; ``device`` stands for all."""
        return (placed for placed in self.devices if placed.device.kind in kinds or "device" in kinds)

    @property
    def rooms(self) -> tuple[RoomShape, ...]:
        """Every room, storey by storey."""
        return tuple(self.dwelling.rooms.values())

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """The visits up to the day, corrections applied, earliest first."""
        return standing(self.home.visits, self.on)

    def tests_of(self, tag: str) -> list[tuple[Visit, Test]]:
        """Give the tests of a device, earliest first."""
        return [(visit, visit.tests[tag]) for visit in self.visits if tag in visit.tests]

    def last_reading(self, tag: str, reading: str) -> tuple[Visit, object] | None:
        """Give the last reading of a name for a device, with the visit that took it."""
        for visit, test in reversed(self.tests_of(tag)):
            value = getattr(test, reading)
            if value is not None:
                return visit, value
        return None
