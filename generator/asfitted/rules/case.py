"""A home laid out for judging: the record, its shapes, the day and the rule set, with the questions checks ask."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.model.device import Device
from asfitted.model.home import Home, Pet
from asfitted.model.standing import standing, tests_of
from asfitted.model.visit import Test, Visit
from asfitted.reckon.of_home import Reckoned, reckoned
from asfitted.rules.finding import Subject
from asfitted.rules.rule_set import RuleSet


@dataclass(frozen=True)
class Placed:
    """A device with its tag, its spot, and what its room is called."""

    tag: str
    device: Device
    spot: Spot
    room: str

    @property
    def words(self) -> str:
        """Tag and room for a sentence: ``SA3 (front bedroom)``."""
        return f"{self.tag} ({self.room})"

    @property
    def subject(self) -> Subject:
        """The device as the subject of a finding."""
        return Subject("device", self.tag, self.words, self.spot.room, self.spot.storey)


@dataclass(frozen=True)
class Case:
    """Everything a check may look at. Visits after ``on`` do not count.

    ``known`` is what is reckoned of the same home and day, where somebody else needs it too.
    """

    home: Home
    dwelling: Dwelling
    on: date
    rules: RuleSet
    known: Reckoned | None = None

    @cached_property
    def devices(self) -> tuple[Placed, ...]:
        """Every device that has a room, in the order of the record."""
        return tuple(
            Placed(tag, device, spot, self.dwelling.rooms[spot.room].room.called)
            for tag, device in self.home.devices.items()
            if (spot := self.dwelling.spots.get(tag)) is not None
        )

    @cached_property
    def reckoned(self) -> Reckoned:
        """What is reckoned of the home on the day; each topic is worked out when a check first asks for it."""
        return self.known or reckoned(self.home, self.dwelling, self.on)

    @property
    def has_intruder_system(self) -> bool:
        """Whether the record holds anything that guards against intruders."""
        return any(not device.is_fire for device in self.home.devices.values())

    def of_kinds(self, kinds: tuple[str, ...]) -> Iterator[Placed]:
        """Give the devices of the kinds named; ``device`` stands for all."""
        return (placed for placed in self.devices if placed.device.kind in kinds or "device" in kinds)

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """The visits up to the day, corrections applied, earliest first."""
        return standing(self.home.visits, self.on)

    def tests_of(self, tag: str) -> list[tuple[Visit, Test]]:
        """Give the tests of a device since it was fitted, earliest first."""
        return tests_of(tag, self.home.devices[tag], self.visits)

    def pets_in(self, room: str) -> list[Pet]:
        """Give the animals that roam a room; one whose rooms are not recorded roams all."""
        return [pet for pet in self.home.household.pets if not pet.roams or room in pet.roams]

    def last_reading(self, tag: str, reading: str) -> tuple[Visit, object] | None:
        """Give the last reading of a name for a device, with the visit that took it."""
        for visit, test in reversed(self.tests_of(tag)):
            value = getattr(test, reading)
            if value is not None:
                return visit, value
        return None
