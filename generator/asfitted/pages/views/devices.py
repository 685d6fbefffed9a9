"""What a household is shown of each device: what it is, where, whether it worked, and what comes next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from asfitted.language import say, to_say
from asfitted.model.device import Device
from asfitted.model.standing import standing, tests_of
from asfitted.model.visit import Test, Visit
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.life import Life, life
from asfitted.pages.wording import (
    KindWords,
    as_shown,
    battery_words,
    kinds,
    place_words,
    result_words,
    room_words,
    sentence,
)
from asfitted.rules.checks.evidence import PROVES
from asfitted.rules.finding import Verdict

State = Literal["works", "fails", "partly", "untested"]
STATES: dict[State, str] = {
    "works": to_say("Worked"),
    "fails": to_say("Did not work"),
    "partly": to_say("Not fully tested yet"),
    "untested": to_say("Not tested yet"),
}

NOT_PLACED = to_say("Not yet placed")
NOT_CONNECTED = to_say("Battery not connected")


@dataclass(frozen=True, slots=True)
class DeviceCard:
    """One device. ``said`` is what its last test showed, clause by clause; dates are None where the record has none.

    ``room`` is None while the device has no place yet, and ``drawn`` False while no drawing can show where in the room.
    ``wrong`` says what is not right about it, and nothing where all is; ``steps`` are those of its test. ``undated``
    says that it wears out on a day that nobody can tell, for want of a date of manufacture.
    """

    tag: str
    device: Device
    words: KindWords
    name: str
    place: str
    room: str | None
    room_name: str
    drawn: bool
    wrong: str
    steps: tuple[str, ...]
    state: State
    tested: date | None
    said: tuple[str, ...]
    battery: str
    test_due: date | None
    battery_due: date | None
    replace_due: date | None
    life: Life | None
    undated: bool

    @property
    def anchor(self) -> str:
        """The id of its card on the devices page."""
        return self.tag.lower()

    @property
    def heading(self) -> str:
        """Its name with its room, as people look for it; a name of its own tells the room already."""
        return self.name if self.device.name or not self.room else f"{self.name}, {self.room_name}"

    @property
    def state_words(self) -> str:
        """Its state in words."""
        return say(STATES[self.state])


def device_cards(dossier: Dossier) -> tuple[DeviceCard, ...]:
    """Give every device, storey by storey and room by room, in the order of the record; last those without a place."""
    order: dict[str | None, int] = {room: place for place, room in enumerate(dossier.dwelling.rooms)}
    short, shown = shortfalls(dossier), was_shown(dossier)
    visits = standing(dossier.home.visits, dossier.on)
    cards = [_card(dossier, tag, visits, short.get(("device", tag), ""), shown=shown) for tag in dossier.home.devices]
    return tuple(sorted(cards, key=lambda card: order.get(card.room, len(order))))


def shortfalls(dossier: Dossier) -> Mapping[tuple[str, str], str]:
    """Give in plain words what does not conform and a household would want to know, by kind and id of the subject."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for finding in dossier.findings:
        if finding.verdict is Verdict.FAILS and finding.rule.plain:
            found.setdefault((finding.subject.kind, finding.subject.id), {})[say(finding.rule.plain)] = None
    return {subject: " ".join(said) for subject, said in found.items()}


def was_shown(dossier: Dossier) -> bool:
    """Whether anything was handed over or shown to the household by the day of the pages."""
    return any(visit.handed_over for visit in standing(dossier.home.visits, dossier.on))


def _card(dossier: Dossier, tag: str, visits: Sequence[Visit], wrong: str, *, shown: bool) -> DeviceCard:
    device, spot = dossier.home.devices[tag], dossier.dwelling.spots.get(tag)
    words = kinds()[device.kind]
    tested, test = _last_test(tag, device, visits)
    tasks = dossier.tasks_of(tag)
    unplugged = device.standby_battery is False
    steps = [*words.test, words.linked] if words.linked and device.linked else words.test
    replace_due = min((t.due for t in tasks if t.once), default=device.replace_by)
    return DeviceCard(
        tag=tag,
        device=device,
        words=words,
        name=sentence(device.name or words.called),
        place=place_words(dossier.dwelling, spot) if spot else say(NOT_PLACED),
        room=spot.room if spot else None,
        room_name=sentence(room_words(dossier.dwelling, spot.room)) if spot else say(NOT_PLACED),
        drawn=spot is not None and spot.point is not None,
        wrong=wrong,
        steps=tuple(as_shown(step, shown=shown) for step in steps),
        state=_state(dossier, tag, test),
        tested=tested,
        said=tuple(result_words(test)) if test else (),
        battery=say(NOT_CONNECTED) if unplugged else battery_words(device.battery),
        test_due=min((t.due for t in tasks if t.interval.who == "household" and t.interval.tested_by), default=None),
        battery_due=None
        if unplugged
        else min((t.due for t in tasks if t.interval.counts_from == "battery"), default=None),
        replace_due=replace_due,
        life=life(device, replace_due, dossier.on),
        undated=any(found.tag == tag and found.interval.counts_from == "made" for found in dossier.undated),
    )


def _state(dossier: Dossier, tag: str, test: Test | None) -> State:
    """Say whether a device is proven: as the rule about its tests judged it, so that no edition contradicts the other.

    A later visit that tried something else does not hide a reading that failed before.
    """
    proven = {f.subject.id: f.verdict for f in dossier.findings if f.rule.id == PROVES}.get(tag)
    if proven is Verdict.FAILS or (test is not None and test.outcome is False):
        return "fails"
    if test is None:
        return "untested"
    return "partly" if proven is Verdict.NOT_VERIFIED else "works"


def _last_test(tag: str, device: Device, visits: Sequence[Visit]) -> tuple[date | None, Test | None]:
    """Give the last visit on which something was tried on the device, what was fitted since not counting."""
    for visit, test in reversed(tests_of(tag, device, visits)):
        if test.outcome is not None:
            return visit.date, test
    return None, None
