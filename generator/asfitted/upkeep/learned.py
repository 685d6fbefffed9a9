"""What counts and lengths of time teach, and how surely: rates of rare events, and lives of things still in use.

Pure statistics of plain values. Both methods say how far they can be trusted, and below :data:`EVENTS` events or
:data:`YEARS` years nothing is said at all (our own choice: below it the limits lie more than a factor of four apart).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import exp, lgamma, log, sqrt
from statistics import NormalDist

EVENTS = 5
"""Fewer events than these say too little."""
YEARS = 20.0
"""Fewer years of watching than these say too little."""
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Rate:
    """So many events in so many years of watching."""

    events: int
    years: float

    @property
    def enough(self) -> bool:
        """Whether there is enough to say how often it happens."""
        return self.events >= EVENTS and self.years >= YEARS

    @property
    def per_year(self) -> float:
        """How often it happens to one of them in a year."""
        return self.events / self.years

    @property
    def limits(self) -> tuple[float, float]:
        """Between which two rates the true one lies, with :data:`CONFIDENCE`."""
        low, high = poisson_limits(self.events)
        return low / self.years, high / self.years


def poisson_limits(events: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Give the exact limits of the expected number where so many events were counted.

    The lower limit is the expected number at which so many or more have half the remaining probability, the upper one
    that at which so many or fewer have it. F. Garwood, Fiducial limits for the Poisson distribution, Biometrika 28
    (1936), 437-442.

    Args:
        events: how many were counted.
        confidence: how surely the true number lies between the limits, above 0 and below 1.
    """
    tail = (1 - confidence) / 2
    high = _root(lambda mean: tail - _at_most(events, mean), events)
    low = _root(lambda mean: 1 - tail - _at_most(events - 1, mean), events) if events else 0.0
    return low, high


def _at_most(events: int, mean: float) -> float:
    """Give the probability of so many events or fewer where ``mean`` are expected."""
    if mean <= 0:
        return 1.0
    term = total = exp(events * log(mean) - mean - lgamma(events + 1))
    for k in range(events, 0, -1):  # downwards, as what lies far below the mean adds nothing
        term *= k / mean
        total += term
        if k < mean and term < total * 1e-17:
            break
    return total


def _root(rises: Callable[[float], float], events: int) -> float:
    low, high = 0.0, events + 10 * sqrt(events + 1) + 20
    for _ in range(60):
        middle = (low + high) / 2
        if rises(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


@dataclass(frozen=True, slots=True)
class Spell:
    """How long something lasted, or was seen to last: ``ended`` is False where it was still good when last seen."""

    length: float
    ended: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a survival curve.

    Attributes:
        at: the length at which something ended.
        at_risk: how many had been seen to last until then.
        ended: how many ended then.
        share: of all, how many last longer.
        error: the standard error of the share, by Greenwood.
        low: the lower limit of the share.
        high: the upper one.
    """

    at: float
    at_risk: int
    ended: int
    share: float
    error: float
    low: float
    high: float


def kaplan_meier(spells: Iterable[Spell], confidence: float = CONFIDENCE) -> tuple[Step, ...]:
    """Give the share that lasts longer than each length at which something ended.

    What was still good when last seen counts as at risk until then. E. L. Kaplan and P. Meier, Nonparametric estimation
    from incomplete observations, J. Amer. Statist. Assoc. 53 (1958), 457-481; variance by Greenwood (1926); limits on
    the scale of log(-log), which keeps them between 0 and 1 (J. D. Kalbfleisch and R. L. Prentice, 1980).
    """
    known = sorted(spells, key=lambda spell: spell.length)
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    steps, share, summed, high = list[Step](), 1.0, 0.0, 1.0
    for at in sorted({spell.length for spell in known if spell.ended}):
        at_risk = sum(spell.length >= at for spell in known)
        ended = sum(spell.ended and spell.length == at for spell in known)
        share *= 1 - ended / at_risk
        if ended == at_risk:  # none is left, and of the limits only the upper one is known, as of the step before
            steps.append(Step(at, at_risk, ended, 0.0, 0.0, 0.0, high))
            break
        summed += ended / (at_risk * (at_risk - ended))
        spread = exp(z * sqrt(summed) / -log(share))
        high = share ** (1 / spread)
        steps.append(Step(at, at_risk, ended, share, share * sqrt(summed), share**spread, high))
    return tuple(steps)


@dataclass(frozen=True, slots=True)
class Lives:
    """How long things lasted, as parts of the life that was foretold: 1 is what was foretold.

    ``years`` is how long they were watched together.
    """

    spells: tuple[Spell, ...]
    years: float

    @property
    def ended(self) -> int:
        """How many ended."""
        return sum(spell.ended for spell in self.spells)

    @property
    def enough(self) -> bool:
        """Whether there is enough to say how long they last."""
        return self.ended >= EVENTS and self.years >= YEARS

    def lasting(self, length: float = 1.0) -> Step | None:
        """Give the step that tells which share lasts a length; None where none ended by then or was seen so far."""
        steps = [step for step in kaplan_meier(self.spells) if step.at <= length]
        seen = max((spell.length for spell in self.spells), default=0.0)
        return steps[-1] if steps and (seen >= length or not steps[-1].share) else None

    @property
    def median(self) -> tuple[float, float | None, float | None] | None:
        """The length that half of them last, with its limits where they are known; None where more than half last on.

        Limits are where those of the curve cross one half (R. Brookmeyer and J. Crowley, Biometrics 38, 1982, 29-41).
        """
        steps = kaplan_meier(self.spells)

        def first(crossed: Callable[[Step], float]) -> float | None:
            return next((step.at for step in steps if crossed(step) <= 0.5), None)

        middle = first(lambda step: step.share)
        return None if middle is None else (middle, first(lambda step: step.low), first(lambda step: step.high))
