"""The rules as data: read from ``data/*.toml`` into values."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal

FAMILIES = ("fire", "intruder", "control")
DEFAULT_SET = "common"

Status = Literal["read", "from memory", "common practice"]
Severity = Literal["law", "code", "advice"]


@dataclass(frozen=True, slots=True)
class Source:
    """A publication or custom that a limit rests on."""

    key: str
    title: str
    address: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """What one rule set asks: a figure with its unit, or nothing but the sentence of the rule.

    ``status`` says how the figure is known; ``note`` says what else a reader should know of it; ``compare`` names
    publications whose figure is near but which the limit does not rest on; ``deviation`` is the play allowed about it.
    """

    rule_set: str
    value: float | None
    unit: str
    source: Source
    status: Status
    severity: Severity
    note: str = ""
    deviation: float = 0.0
    compare: tuple[Source, ...] = ()

    @property
    def by_whom(self) -> str:
        """Who asks, in few words."""
        return self.source.title if self.status != "common practice" else "common practice"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: an id, a sentence, why it matters, what it applies to, how to put it right, and its limits.

    ``asks`` is what the rule asks for in few words, where it asks for a figure; ``plain`` is what a household reads of
    it. ``check`` names the function in :mod:`asfitted.rules.checks`; ``options``
    are its arguments, so that one check serves several rules.
    """

    id: str
    family: str
    title: str
    says: str
    why: str
    measured: str
    remedy: str
    applies_to: tuple[str, ...]
    check: str
    options: Mapping[str, Any]
    limits: Mapping[str, Limit]
    plain: str = ""
    asks: str = ""

    def limit(self, rule_set: str) -> Limit:
        """Give the limit of a rule set, or of the common one where the set has none; the limit names its set."""
        return self.limits.get(rule_set) or self.limits[DEFAULT_SET]


@cache
def sources() -> Mapping[str, Source]:
    """Give every source by its key."""
    return {key: Source(key=key, **entry) for key, entry in _data("sources").items()}


@cache
def catalogue() -> Mapping[str, Rule]:
    """Give every rule by its id, family by family in the order of the data.

    Raises:
        ValueError: when the data name a source or family that is not there.
    """
    return {rule.id: rule for family in FAMILIES for rule in _family(family)}


def rule_sets() -> list[str]:
    """Give the names of all rule sets that have a limit."""
    return sorted({name for rule in catalogue().values() for name in rule.limits}, key=lambda n: (n != DEFAULT_SET, n))


def _data(name: str) -> dict[str, Any]:
    return tomllib.loads((files("asfitted.rules") / "data" / f"{name}.toml").read_text(encoding="utf-8"))


def _family(family: str) -> list[Rule]:
    return [_rule(family, rule_id, dict(entry)) for rule_id, entry in _data(family).items()]


def _rule(family: str, rule_id: str, entry: dict[str, Any]) -> Rule:
    limits = {name: _limit(rule_id, name, dict(limit)) for name, limit in entry.pop("limits").items()}
    applies = tuple(entry.pop("applies-to"))
    return Rule(
        id=rule_id,
        family=family,
        applies_to=applies,
        options=entry.pop("options", {}),
        limits=limits,
        **entry,
    )


def _limit(rule_id: str, rule_set: str, entry: dict[str, Any]) -> Limit:
    key = entry.pop("source")
    if key not in sources():
        raise ValueError(f"{rule_id}: the source {key!r} is not in sources.toml")
    return Limit(
        rule_set=rule_set,
        value=entry.pop("value", None),
        unit=entry.pop("unit", ""),
        source=sources()[key],
        compare=tuple(sources()[other] for other in entry.pop("compare", ())),
        **entry,
    )
