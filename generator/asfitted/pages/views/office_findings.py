"""The findings of a home as the office reads them: every figure beside the limit and its source."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_homes import LOOKS
from asfitted.pages.wording import sentence
from asfitted.rules.catalogue import FAMILIES, Limit, Rule, amount
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import asked

HOME_NAME = "The home as a whole"


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of a finding: what it is, and its value with the unit."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding. ``borrowed`` is true when the home's own rule set has no limit and the common one stands in.

    ``weight`` says how strong the demand is and how it is known, such as ``code, from memory, medium confidence``.
    """

    anchor: str
    look: str
    finding: Finding
    asks: str
    figures: tuple[Figure, ...]
    weight: str
    borrowed: bool

    @property
    def verdict(self) -> Verdict:
        """The verdict."""
        return self.finding.verdict

    @property
    def rule(self) -> Rule:
        """The rule."""
        return self.finding.rule

    @property
    def limit(self) -> Limit:
        """What the rule set asks."""
        return self.finding.limit


@dataclass(frozen=True, slots=True)
class About:
    """The findings about one device, room or home."""

    subject: Subject
    name: str
    tag: str
    findings: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class RoomFindings:
    """The findings of a room: about itself, then about its devices. The home as a whole comes with an empty id."""

    id: str
    name: str
    storey: str
    about: tuple[About, ...]

    @property
    def anchor(self) -> str:
        """The id of its section."""
        return f"room-{self.id}" if self.id else "home"


def anchor_of(finding: Finding) -> str:
    """Give the id of a finding on the findings page of its home: rule and subject."""
    return f"{finding.rule.id}-{finding.subject.id.lower()}" if finding.subject.kind != "home" else finding.rule.id


def weight(limit: Limit) -> str:
    """Say how strong a demand is, how the limit is known, and how sure that is where it is not a matter of course."""
    sure = [f"{limit.confidence} confidence"] if limit.weak or limit.status == "from memory" else []
    return ", ".join([limit.severity, limit.status, *sure])


def families_of(dossier: Dossier) -> list[tuple[str, str, int]]:
    """Give the families of rules that a home has findings of: key, name, and how many findings."""
    numbers = Counter(finding.rule.family for finding in dossier.findings)
    return [(key, name, numbers[key]) for key, name in FAMILIES.items() if numbers[key]]


def finding_view(finding: Finding) -> FindingView:
    """Set a finding out for a page."""
    return FindingView(
        anchor=anchor_of(finding),
        look=LOOKS[finding.verdict],
        finding=finding,
        asks=asked(finding.rule, finding.limit),
        figures=tuple(_figures(finding)),
        weight=weight(finding.limit),
        borrowed=bool(finding.limit.borrowed_by),
    )


def about_each(dossier: Dossier, findings: Iterable[Finding]) -> tuple[About, ...]:
    """Gather findings by what they are about: the home, then room by room, each room before its devices."""
    gathered: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        gathered.setdefault((finding.subject.kind, finding.subject.id), []).append(finding)
    rooms = {room: place for place, room in enumerate(dossier.dwelling.rooms)}
    tags = {tag: place for place, tag in enumerate(dossier.home.devices)}

    def place(subject: Subject) -> tuple[int, int, int, str]:
        kinds = ("home", "storey", "room", "opening", "device")
        return rooms.get(subject.room or "", -1), kinds.index(subject.kind), tags.get(subject.id, -1), subject.id

    groups = sorted(gathered.values(), key=lambda same: place(same[0].subject))
    return tuple(_about(dossier, same) for same in groups)


def findings_by_room(dossier: Dossier) -> tuple[RoomFindings, ...]:
    """Give every finding of a home: the home as a whole first, then storey by storey and room by room."""
    gathered: dict[str, list[About]] = {}
    for about in about_each(dossier, dossier.findings):
        gathered.setdefault(about.subject.room or "", []).append(about)
    return tuple(_room(dossier, room, tuple(found)) for room, found in gathered.items())


def _room(dossier: Dossier, room: str, about: tuple[About, ...]) -> RoomFindings:
    if not room:
        return RoomFindings("", HOME_NAME, "", about)
    shape = dossier.dwelling.rooms[room]
    storey = dossier.dwelling.storey(shape.storey).storey.called
    return RoomFindings(room, sentence(shape.room.called), sentence(storey), about)


def _about(dossier: Dossier, findings: list[Finding]) -> About:
    subject = findings[0].subject
    views = tuple(finding_view(finding) for finding in findings)
    if subject.kind == "device":
        device = dossier.home.devices[subject.id]
        return About(subject, sentence(device.name or device.kind), subject.id, views)
    if subject.kind == "room":
        return About(subject, sentence(dossier.dwelling.rooms[subject.id].room.called), "", views)
    return About(subject, HOME_NAME if subject.kind == "home" else sentence(subject.name), "", views)


def _figures(finding: Finding) -> Iterable[Figure]:
    unit = finding.limit.unit
    if finding.found is not None:
        yield Figure("found", amount(finding.found, unit))
    if finding.limit.figure:
        yield Figure("asked", finding.limit.figure)
    if finding.margin is not None:
        sign = "\N{MINUS SIGN}" if finding.margin < 0 else "+"
        yield Figure("margin", sign + amount(abs(finding.margin), unit))
    if finding.tolerance is not None:
        yield Figure("tolerance", "\N{PLUS-MINUS SIGN}" + amount(finding.tolerance, unit))
