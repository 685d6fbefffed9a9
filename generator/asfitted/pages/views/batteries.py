"""The batteries of a home: what to buy for which device and by when, and which are not the household's to change."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.devices import DeviceCard
from asfitted.pages.wording import sentence
from asfitted.upkeep.intervals import intervals
from asfitted.upkeep.parts import counted


@dataclass(frozen=True, slots=True)
class BatteryNeed:
    """How many batteries of one type a device takes; ``due`` is None where no day is known."""

    card: DeviceCard
    count: int
    due: date | None


@dataclass(frozen=True, slots=True)
class BatteryType:
    """A type of battery as a shop sells it, with the devices that take it, the first due in front."""

    name: str
    needs: tuple[BatteryNeed, ...]

    @property
    def count(self) -> int:
        """How many all its devices take together."""
        return sum(need.count for need in self.needs)

    @property
    def due(self) -> date | None:
        """The day by which the first of them is due."""
        return self.needs[0].due


@dataclass(frozen=True, slots=True)
class BatteryList:
    """What to buy, what the technician brings, what is sealed in, and of what the battery is not known."""

    buy: tuple[BatteryType, ...]
    brought: tuple[BatteryType, ...]
    sealed: tuple[DeviceCard, ...]
    unknown: tuple[DeviceCard, ...]


def battery_list(dossier: Dossier, cards: Sequence[DeviceCard]) -> BatteryList:
    """Sort the batteries of a home by who sees to them; a device without a battery is in no list."""
    theirs = _kinds_of_technician()
    untold = {found.tag for found in dossier.undated if found.interval.counts_from == "battery"}
    powered = [card for card in cards if card.device.battery and card.device.standby_battery is not False]
    loose = [card for card in powered if card.device.battery and not card.device.battery.sealed]
    return BatteryList(
        buy=_types(card for card in loose if card.device.kind not in theirs),
        brought=_types(card for card in loose if card.device.kind in theirs),
        sealed=tuple(card for card in powered if card not in loose),
        unknown=tuple(card for card in cards if card.device.battery is None and card.tag in untold),
    )


def _kinds_of_technician() -> set[str]:
    found = (each for each in intervals().values() if each.counts_from == "battery" and each.who == "technician")
    return {kind for interval in found for kind in interval.applies_to}


def _types(cards: Iterable[DeviceCard]) -> tuple[BatteryType, ...]:
    """Gather devices by the type of their batteries; the types due first in front, those without a day last."""
    by_type: dict[str, list[BatteryNeed]] = {}
    for card in cards:
        name, count = _type_and_count(card)
        by_type.setdefault(name, []).append(BatteryNeed(card, count, card.battery_due))
    types = [
        BatteryType(name, tuple(sorted(needs, key=lambda need: need.due or date.max)))
        for name, needs in by_type.items()
    ]
    return tuple(sorted(types, key=lambda of: (of.due or date.max, of.name)))


def _type_and_count(card: DeviceCard) -> tuple[str, int]:
    battery = card.device.battery
    name, count = counted(battery.type if battery else "")
    return sentence(name), count
