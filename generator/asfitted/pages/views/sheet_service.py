"""The sheet for the next service: what is due, what to bring, what to measure again, what is open."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta

from asfitted.model.standing import standing
from asfitted.model.visit import Visit
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.batteries import BatteryNeed, battery_list
from asfitted.pages.views.devices import DeviceCard, device_cards
from asfitted.pages.views.office_findings import About, about_each
from asfitted.pages.views.office_visits import last_readings
from asfitted.pages.views.sheet_words import Known
from asfitted.reckon.asks import Ask, asks_of
from asfitted.rules.finding import Verdict
from asfitted.upkeep.bundle import plan_visits
from asfitted.upkeep.due import Group, due_by, grouped
from asfitted.upkeep.task import Task

MONTHS_AHEAD = 3
"""Months after the day of the sheet in which something counts as due at the visit (common practice, no source), and
more where the next visit that is planned lies further off."""
YEARS_PLANNED = 2


@dataclass(frozen=True, slots=True)
class Bring:
    """Batteries of one type to bring: how many, and for which devices, with why."""

    type: str
    count: int
    needs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Service:
    """The service sheet.

    Attributes:
        planned: the day of the next visit that the plan of visits holds; None where it holds none.
        until: the last day that counts as due at the visit.
        overdue: what the technician has not done in time.
        due: what the technician can do by ``until``.
        household: what the household has not done in time.
        batteries: to bring, by type.
        sealed: devices whose battery stays in for life; none is to be brought.
        unknown: devices of which it is not known what battery they have or when it is due.
        parts: devices to replace by ``until``, with why.
        borderline: findings to measure again.
        asks: what to measure in place of what is assumed.
        fails: findings that do not conform, with what to do.
        unproven: how many are not verified; they stand on the commissioning sheet.
        last: the last visit of the firm.
        keys: what is known of keys.
    """

    planned: date | None
    until: date
    overdue: tuple[Group, ...]
    due: tuple[Group, ...]
    household: tuple[Group, ...]
    batteries: tuple[Bring, ...]
    sealed: tuple[str, ...]
    unknown: tuple[tuple[str, str], ...]
    parts: tuple[Task, ...]
    borderline: tuple[About, ...]
    asks: tuple[Ask, ...]
    fails: tuple[About, ...]
    unproven: int
    last: Visit | None
    keys: tuple[Known, ...]


def service(dossier: Dossier) -> Service:
    """Build the service sheet of a home."""
    on = dossier.on
    plan = plan_visits(dossier.home, dossier.tasks, on, on + relativedelta(years=YEARS_PLANNED))
    planned = plan.visits[0].day if plan.visits else None
    until = max(on + relativedelta(months=MONTHS_AHEAD), planned or on)
    groups = grouped(due_by(dossier.tasks, until))
    theirs = [group for group in groups if group.interval.who == "technician"]
    cards = device_cards(dossier)
    found = battery_list(dossier, cards)
    return Service(
        planned=planned,
        until=until,
        overdue=tuple(group for group in theirs if group.due < dossier.on),
        due=tuple(group for group in theirs if group.due >= dossier.on),
        household=tuple(g for g in groups if g.interval.who == "household" and g.due < dossier.on),
        batteries=tuple(_batteries(dossier, cards, until)),
        sealed=tuple(card.tag for card in found.sealed),
        unknown=tuple(_unknown(dossier, cards)),
        parts=tuple(t for t in due_by(dossier.tasks, until) if t.interval.counts_from == "made" and t.tag),
        borderline=_with(dossier, Verdict.BORDERLINE),
        asks=asks_of(dossier.reckoned),
        fails=_with(dossier, Verdict.FAILS),
        unproven=dossier.count(Verdict.NOT_VERIFIED),
        last=_last(dossier),
        keys=tuple(_keys(dossier)),
    )


def _with(dossier: Dossier, verdict: Verdict) -> tuple[About, ...]:
    return about_each(dossier, [finding for finding in dossier.findings if finding.verdict is verdict])


def _batteries(dossier: Dossier, cards: Iterable[DeviceCard], until: date) -> Iterator[Bring]:
    """Give what to bring: batteries due by the day, or read as low when they were last looked at."""
    found = battery_list(dossier, list(cards))
    low = _low(dossier)
    gathered: dict[str, list[BatteryNeed]] = {}
    for kind in (*found.brought, *found.buy):
        for need in kind.needs:
            if need.card.tag in low or (need.due is not None and need.due <= until):
                gathered.setdefault(kind.name, []).append(need)
    for name, needs in sorted(gathered.items()):
        why = tuple((need.card.tag, low.get(need.card.tag) or f"due {need.due}") for need in needs)
        yield Bring(name, sum(need.count for need in needs), why)


def _low(dossier: Dossier) -> dict[str, str]:
    readings = {tag: cells.get("battery") for tag, cells in last_readings(dossier).items()}
    return {tag: f"read low on {cell.day}" for tag, cell in readings.items() if cell and cell.value == "low"}


def _unknown(dossier: Dossier, cards: Iterable[DeviceCard]) -> Iterator[tuple[str, str]]:
    """Give the devices with a battery to change on a day that nobody can tell, with what lacks."""
    low = _low(dossier)
    for found in dossier.undated:
        if found.interval.counts_from == "battery":
            yield found.tag, found.why
    told = {found.tag for found in dossier.undated if found.interval.counts_from == "battery"}
    for card in cards:
        battery = card.device.battery
        if battery is None or battery.sealed or card.device.standby_battery is False:
            continue
        if card.battery_due is None and card.tag not in told and card.tag not in low:
            yield card.tag, f"{battery.type}, of which no day is recorded"


def _last(dossier: Dossier) -> Visit | None:
    made = standing(dossier.home.visits, dossier.on)
    return next((visit for visit in reversed(made) if visit.kind != "household test"), None)


def _keys(dossier: Dossier) -> Iterator[Known]:
    held = dossier.home.household.keyholders
    yield Known("Keyholders named", str(held.named) if held else "")
    yield Known("Last confirmed", held.confirmed.isoformat() if held and held.confirmed else "")
    shown = None if held is None or held.shown is None else "yes" if held.shown else "no"
    yield Known("Shown how to unset and silence it", shown or "")
