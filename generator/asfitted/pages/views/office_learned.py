"""What the fleet shows, in words: rates with their limits and lives with theirs, or that there is too little to say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from asfitted.pages.dossier import Dossier
from asfitted.upkeep.experience import Experience, experience
from asfitted.upkeep.learned import EVENTS, YEARS, Lives, Rate

TOO_FEW = "too few to say"
NOT_SO_LONG = "none watched so long"
NONE_LOW = "none low by then"


@dataclass(frozen=True, slots=True)
class RateRow:
    """One line of a table of rates: what was counted, and how often it happens to one device in a year."""

    name: str
    events: int
    years: str
    says: str


@dataclass(frozen=True, slots=True)
class LifeRow:
    """One line of the table of lives.

    ``lasting`` says which share lasted the life that the record gives, ``half`` how long half of them last, as parts of
    that life.
    """

    name: str
    batteries: int
    ended: int
    lasting: str
    half: str


@dataclass(frozen=True, slots=True)
class RateTable:
    """A table of rates: by kind every one, by kind and place those of which there is enough to say."""

    title: str
    anchor: str
    rows: tuple[RateRow, ...]
    places: tuple[RateRow, ...]


@dataclass(frozen=True, slots=True)
class LearnedView:
    """The page: what was watched, the tables, and from how many events and years on something is said."""

    homes: int
    seen: Experience
    years: str
    tables: tuple[RateTable, ...]
    lives: tuple[LifeRow, ...]
    least_events: int = EVENTS
    least_years: int = int(YEARS)

    @property
    def nothing(self) -> bool:
        """Whether there is too little to say anything at all."""
        rates = (row.says for table in self.tables for row in (*table.rows, *table.places))
        return all(says == TOO_FEW for says in (*rates, *(row.lasting for row in self.lives)))


def learned_view(dossiers: Sequence[Dossier], on: date) -> LearnedView:
    """Say what the visits to all homes show, up to a day."""
    seen = experience((dossier.home for dossier in dossiers), on)
    return LearnedView(
        len(dossiers),
        seen,
        f"{seen.years:.1f}",
        (
            RateTable("False alarms", "false-alarms", _rows(seen.false_by_kind), _places(seen.false_by_place)),
            RateTable("Low batteries", "low-batteries", _rows(seen.low_by_kind), _places(seen.low_by_place)),
        ),
        tuple(_life(name, lives) for name, lives in seen.lives.items()),
    )


def _rows(rates: Mapping[str, Rate]) -> tuple[RateRow, ...]:
    return tuple(RateRow(name, rate.events, f"{rate.years:.1f}", _rate(rate)) for name, rate in rates.items())


def _places(rates: Mapping[str, Rate]) -> tuple[RateRow, ...]:
    return _rows({name: rate for name, rate in rates.items() if rate.enough})


def _rate(rate: Rate) -> str:
    if not rate.enough:
        return TOO_FEW
    low, high = rate.limits
    return f"{rate.per_year:.3f} ({low:.3f} to {high:.3f})"


def _life(name: str, lives: Lives) -> LifeRow:
    lasting, half = (_lasting(lives), _half(lives)) if lives.enough else (TOO_FEW, TOO_FEW)
    return LifeRow(name, len(lives.spells), lives.ended, lasting, half)


def _lasting(lives: Lives) -> str:
    step = lives.lasting()
    if step is not None:
        return f"{step.share:.0%} ({step.low:.0%} to {step.high:.0%})"
    return NONE_LOW if max(spell.length for spell in lives.spells) >= 1 else NOT_SO_LONG


def _half(lives: Lives) -> str:
    if lives.median is None:
        return "more than half last on"
    middle, low, high = lives.median
    return f"{middle:.2f} ({f'{low:.2f}' if low else 'not known'} to {f'{high:.2f}' if high else 'not known'})"
