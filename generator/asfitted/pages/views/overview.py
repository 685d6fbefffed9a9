"""The first page of a household: is all well, what comes next, what protects the home, what is still open."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from asfitted.language import say, spoken, to_say
from asfitted.model.standing import standing as visits_made
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.views.dates import DayOfJobs, jobs, next_days
from asfitted.pages.views.devices import DeviceCard, shortfalls
from asfitted.pages.views.rooms import unknown_fuel
from asfitted.pages.views.visits import VisitLine, visit_lines
from asfitted.pages.wording import counted, kinds, listed, number, sentence
from asfitted.rules.finding import Finding, Verdict

Standing = Literal["well", "open", "attention", "planned", "unfinished"]
HEADLINES: dict[Standing, str] = {
    "well": to_say("All well"),
    "open": to_say("Something left to do"),
    "attention": to_say("Something did not work"),
    "planned": to_say("Not in use yet"),
    "unfinished": to_say("The work is not finished"),
}
_WHOLE = to_say("The home as a whole")


@dataclass(frozen=True, slots=True)
class Note:
    """Something the household should know: what it is about, and what it is."""

    about: str
    says: str


@dataclass(frozen=True, slots=True)
class Agreed:
    """A departure from a rule that was agreed in writing."""

    about: str
    says: str
    why: str
    with_whom: str
    on: date
    until: date | None


@dataclass(frozen=True, slots=True)
class Protection:
    """One kind of device: how many, and what they do."""

    count: str
    does: str
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Overview:
    """What the first page shows.

    ``answer`` is whole sentences. ``tested`` is the day of the latest test, and ``yours`` the first day on which the
    household has something to do; None where there is none. ``unknown`` is what nobody has written down and the
    household should ask about. While the work is unfinished, ``try_now`` are the alarms that the household can press
    today and ``last_visit`` is the firm's latest.
    """

    standing: Standing
    answer: tuple[str, ...]
    tested: date | None
    yours: date | None
    broken: tuple[DeviceCard, ...]
    untested: tuple[DeviceCard, ...]
    to_do: tuple[Note, ...]
    unknown: tuple[Note, ...]
    agreed: tuple[Agreed, ...]
    unmeasured: bool
    try_now: tuple[DeviceCard, ...]
    last_visit: VisitLine | None
    late: int
    coming: tuple[DayOfJobs, ...]
    protection: tuple[Protection, ...]
    unplaced: tuple[DeviceCard, ...]

    @property
    def headline(self) -> str:
        """How the home stands, in a few words."""
        return say(HEADLINES[self.standing])


def overview(dossier: Dossier, firm: Firm, cards: Sequence[DeviceCard]) -> Overview:
    """Build the first page from what the household must know."""
    broken = tuple(card for card in cards if card.state == "fails")
    untested = tuple(card for card in cards if card.state in ("untested", "partly"))
    to_do, unknown = tuple(_to_do(dossier)), tuple(_unknown(dossier, firm, cards))
    late = len([job for job in jobs(dossier.tasks, dossier.on) if job.due < dossier.on])
    unfinished = bool(cards) and not _commissioned(dossier)
    points = len(to_do) + len(unknown) + late
    standing = "unfinished" if unfinished else _standing(cards, broken, untested, open_points=points)
    return Overview(
        standing=standing,
        answer=_answer(standing, firm, cards, broken, _left(untested, to_do, unknown, late)),
        tested=max((card.tested for card in cards if card.tested), default=None),
        yours=min((task.due for task in dossier.tasks if task.interval.who == "household"), default=None),
        broken=broken,
        untested=untested,
        to_do=to_do,
        unknown=unknown,
        agreed=tuple(_agreed(dossier, f) for f in dossier.findings if f.verdict is Verdict.VARIATION and f.rule.plain),
        unmeasured=any(_unmeasured(finding) for finding in dossier.findings),
        try_now=tuple(card for card in cards if _fitted_alarm(dossier, card)) if unfinished else (),
        last_visit=next((line for line in visit_lines(dossier) if not line.own), None) if unfinished else None,
        late=late,
        coming=next_days(dossier.tasks, dossier.on),
        protection=tuple(_protection(dossier)),
        unplaced=tuple(card for card in cards if card.room is None),
    )


def _commissioned(dossier: Dossier) -> bool:
    return any(visit.kind == "commissioning" for visit in visits_made(dossier.home.visits, dossier.on))


def _fitted_alarm(dossier: Dossier, card: DeviceCard) -> bool:
    fitted = card.device.fitted
    return card.device.is_fire and card.room is not None and (fitted is None or fitted <= dossier.on)


def _standing(
    cards: Sequence[DeviceCard], broken: Sequence[DeviceCard], untested: Sequence[DeviceCard], *, open_points: int
) -> Standing:
    if broken:
        return "attention"
    if len(untested) == len(cards):
        return "planned"
    return "open" if untested or open_points else "well"


def _answer(
    standing: Standing, firm: Firm, cards: Sequence[DeviceCard], broken: Sequence[DeviceCard], left: Sequence[str]
) -> tuple[str, ...]:
    """Say in whole sentences how the home stands and why."""
    if not cards:
        return (say("No devices have been fitted yet; these pages show the home as surveyed."),)
    if standing == "unfinished":
        who = firm.name or say("your installer")
        return (
            say("Do not rely on these alarms yet, and keep your old alarms in place."),
            say("Call {who} if the next day of work is not agreed.", who=who),
        )
    if standing == "planned":
        return (say("Nothing here has been tested yet. Do not rely on it until it has been."),)
    if standing == "attention":
        names = listed(f"{card.tag} ({_inside(card.room_name)})" for card in broken)
        who = firm.name or say("Your installer")
        return (
            say("{devices} did not work when last tested.", devices=names),
            say("{who} has this on record; call if nobody has been in touch.", who=who),
        )
    if any(card.state in ("untested", "partly") for card in cards):
        return (say("Everything tested so far worked."), *left)
    if left:
        worked = counted(len(cards), "device worked when last tested", "devices worked when last tested")
        said = say("All {worked}.", worked=worked) if len(cards) > 1 else say("It worked when last tested.")
        return (said, *left)
    if len(cards) == 1:
        return (say("It worked when last tested, and nothing is left to do."),)
    many = number(len(cards))
    return (say("All {many} devices worked when last tested, and nothing is left to do.", many=many),)


def _inside(name: str) -> str:
    """Give a name as it stands inside a sentence, in a language that writes its nouns small there."""
    return name.lower() if spoken().code == "en" else name


def _left(untested: Sequence[DeviceCard], to_do: Sequence[Note], unknown: Sequence[Note], late: int) -> list[str]:
    """Give what is left to do, a whole sentence each."""
    count = [len(untested), len(to_do), len(unknown), late]
    told = (
        counted(count[0], "device has not been fully tested yet.", "devices have not been fully tested yet."),
        counted(count[1], "thing is still to be put right.", "things are still to be put right."),
        counted(count[2], "thing is not known yet.", "things are not known yet."),
        counted(count[3], "date has passed.", "dates have passed."),
    )
    return [sentence(words) for found, words in zip(count, told, strict=True) if found]


def _unknown(dossier: Dossier, firm: Firm, cards: Sequence[DeviceCard]) -> Iterator[Note]:
    """Give what may burn fuel in a room without a carbon monoxide alarm, where nobody wrote down whether it does."""
    guarded = {card.room for card in cards if card.device.kind == "carbon monoxide alarm"}
    for room, what in unknown_fuel(dossier.dwelling):
        if room not in guarded:
            says = say(
                "It is not known what the {appliance} burns. If it burns gas, oil, wood or coal, you need a carbon "
                "monoxide alarm. Look at the plate on it, and tell {who}.",
                appliance=what,
                who=firm.name or say("your installer"),
            )
            yield Note(_about(dossier, "room", room), says)


def _to_do(dossier: Dossier) -> list[Note]:
    """Give what falls short and what a household would want to know of it; each thing once."""
    return [Note(_about(dossier, kind, name), says) for (kind, name), says in shortfalls(dossier).items()]


def _unmeasured(finding: Finding) -> bool:
    """Whether the home still has to be measured or tested for a finding that a household would want to know of.

    A rule without plain words is the firm's business, and a limit that nobody is sure of is for the firm to look up.
    """
    return finding.verdict is Verdict.NOT_VERIFIED and bool(finding.rule.plain) and not finding.limit.weak


def _agreed(dossier: Dossier, finding: Finding) -> Agreed:
    variation = finding.variation
    if variation is None:
        raise ValueError(f"{finding.rule.id}: a variation without what was agreed")
    says = say(finding.rule.plain)
    about = _about(dossier, finding.subject.kind, finding.subject.id)
    return Agreed(about, says, variation.why, variation.agreed, variation.on, variation.until)


def _about(dossier: Dossier, kind: str, name: str) -> str:
    if kind == "device" and name in dossier.home.devices:
        return f"{name}, {kinds()[dossier.home.devices[name].kind].called}"
    if kind == "room" and name in dossier.dwelling.rooms:
        return sentence(dossier.dwelling.rooms[name].room.called)
    if kind == "opening":
        openings = (opening for storey in dossier.dwelling.storeys for opening in storey.openings)
        return next((sentence(o.opening.called) for o in openings if o.opening.id == name), say(_WHOLE))
    return say(_WHOLE)


def _protection(dossier: Dossier) -> list[Protection]:
    """Give what protects the home; a device without a place protects nothing yet."""
    devices = {tag: device for tag, device in dossier.home.devices.items() if tag in dossier.dwelling.spots}
    counts = Counter(device.kind for device in devices.values())
    return [
        Protection(
            count=sentence(counted(counts[kind], words.name, words.plural)),
            does=words.does,
            tags=tuple(tag for tag, device in devices.items() if device.kind == kind),
        )
        for kind, words in kinds().items()
        if counts[kind]
    ]
