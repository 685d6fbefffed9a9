"""The rules as data: read from ``data`` into values."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any, Literal

import tomli

FAMILIES: Mapping[str, str] = {
    "fire": "Fire",
    "carbon-monoxide": "Carbon monoxide",
    "intruder": "Intruder",
    "control": "Control unit, power and alarm paths",
    "commissioning": "Commissioning, hand-over and upkeep",
    "calculation": "Calculated",
}
"""The families of rules, in the order in which they are shown, and what they are called; each has its file."""
COMMON = "common"
"""The rule set of a home that names none, and the one from which others borrow."""

Status = Literal["read", "from memory", "common practice"]
Confidence = Literal["high", "medium", "low"]
Severity = Literal["law", "code", "advice"]


@dataclass(frozen=True, slots=True)
class Source:
    """A publication or custom that a limit rests on. ``short`` is what a finding calls it."""

    key: str
    title: str
    short: str = ""
    address: str = ""
    note: str = ""

    @property
    def called(self) -> str:
        """What a finding calls it."""
        return self.short or self.title


@dataclass(frozen=True, slots=True)
class Limit:
    """What one rule set asks: a figure of at least ``least`` and at most ``most``, or nothing but the rule's sentence.

    Attributes:
        rule_set: the set the limit is from.
        unit: of the figures; the rule's.
        source: what it rests on, with ``clause``.
        status: how the figure is known to this project.
        confidence: how sure that is; a value from memory always says so.
        severity: what kind of demand it is.
        printed: the figure as the publication prints it, where that is in other units.
        note: what else a reader should know of it.
        compare: publications whose figure is near but which the limit does not rest on.
        options: what the set asks of the check instead of the rule's own options.
        nothing: the set is known to ask nothing here.
        borrowed_by: the set that has no limit of its own and borrows this one.
    """

    rule_set: str
    unit: str
    source: Source
    status: Status
    severity: Severity
    least: float | None = None
    most: float | None = None
    clause: str = ""
    confidence: Confidence = "high"
    printed: str = ""
    note: str = ""
    compare: tuple[Source, ...] = ()
    options: Mapping[str, Any] = field(default_factory=dict)
    nothing: bool = False
    borrowed_by: str = ""

    @property
    def weak(self) -> bool:
        """Whether the limit is too little certain to fail anything on it."""
        return self.confidence != "high"

    @property
    def by_whom(self) -> str:
        """Who asks, in few words, and that the limit is borrowed or only remembered, if it is."""
        words = "common practice"
        if self.status != "common practice":
            words = " ".join(filter(None, (self.source.called, self.clause)))
        if self.status == "from memory":
            words += ", from memory"
        return f"{words}; {self.borrowed_by} has no limit here" if self.borrowed_by else words

    @property
    def silence(self) -> str:
        """What is to be said of a set whose limit asks nothing: whether that is known, or only not said."""
        if self.source.key:
            return "is known to ask nothing here"
        return "names nothing here, which does not mean that nothing is asked"

    @property
    def figure(self) -> str:
        """The figure in words: ``at least 0.50 m``; empty for a limit without one."""
        if self.least is not None and self.most is not None:
            words = f"{amount(self.least, self.unit)} to {amount(self.most, self.unit)}"
            words = f"exactly {amount(self.least, self.unit)}" if self.least == self.most else words
        elif self.least is not None:
            words = f"at least {amount(self.least, self.unit)}"
        elif self.most is not None:
            words = f"at most {amount(self.most, self.unit)}"
        else:
            return ""
        return f"{words} ({self.printed})" if self.printed else words

    def margin(self, found: float) -> float:
        """Give how far a figure is on the good side of the limit; negative when it falls short or goes beyond.

        Raises:
            ValueError: when the limit has no figure.
        """
        margins = []
        if self.least is not None:
            margins.append(found - self.least)
        if self.most is not None:
            margins.append(self.most - found)
        return min(margins)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: an id, a sentence, why it matters, what it applies to, how to put it right, and its limits.

    ``says`` holds ``{limit}`` where the figure of a limit goes, such as ``at least 0.50 m``; ``plain`` is what a
    household reads of a rule that is not met. ``check`` names the function in :mod:`asfitted.rules.checks`; ``options``
    are its arguments, so that one check serves several rules. ``never_borrowed`` marks figures that rule sets must not
    lend one another.
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
    unit: str = ""
    never_borrowed: bool = False


@dataclass(frozen=True, slots=True)
class SetFacts:
    """What a rule set is called, what it is about, and which set it builds on.

    ``base`` marks a set that others build on and no home names, ``own`` one that is a firm's own.
    """

    name: str
    title: str
    about: str
    extends: str = COMMON
    base: bool = False
    note: str = ""
    own: bool = False


@dataclass(frozen=True)
class Catalogue:
    """Every rule by its id, and every rule set by its name."""

    rules: Mapping[str, Rule]
    sets: Mapping[str, SetFacts]

    def chain(self, name: str) -> tuple[str, ...]:
        """Give a rule set and those it builds on, nearest first, without the common one it may borrow from."""
        chain = [name]
        while chain[-1] != COMMON:
            chain.append(self.sets[chain[-1]].extends)
        return tuple(chain[:-1]) or (COMMON,)

    def names(self) -> list[str]:
        """Give the rule sets that a home may name."""
        return [name for name, facts in self.sets.items() if not facts.base]


@cache
def sources() -> Mapping[str, Source]:
    """Give every source by its key.

    Raises:
        ValueError: when two files give one key.
    """
    found: dict[str, Source] = {}
    for name in ("general", *FAMILIES):
        for key, entry in _data(f"sources/{name}").items():
            if key in found:
                raise ValueError(f"the source {key!r} stands twice in the data")
            found[key] = Source(key=key, **entry)
    return found


@cache
def catalogue() -> Catalogue:
    """Give the catalogue that comes with the program.

    Raises:
        ValueError: when its data name a source or rule set that is not there.
    """
    sets = {name: SetFacts(name=name, **entry) for name, entry in _data("sets").items()}
    rules = {
        rule_id: rule_of(family, rule_id, entry) for family in FAMILIES for rule_id, entry in _data(family).items()
    }
    for rule in rules.values():
        if unknown := rule.limits.keys() - sets.keys():
            raise ValueError(f"{rule.id}: no rule set {', '.join(sorted(unknown))} in sets.toml")
    return Catalogue(rules, sets)


def _data(name: str) -> dict[str, Any]:
    return tomli.loads((files("asfitted.rules") / "data" / f"{name}.toml").read_text(encoding="utf-8"))


def rule_of(family: str, rule_id: str, entry: Mapping[str, Any]) -> Rule:
    """Make a rule from its table, with hyphens for underscores in the keys of the data."""
    fields = {key.replace("-", "_"): value for key, value in entry.items()}
    limits = fields.pop("limits", {})
    unit = fields.get("unit", "")
    return Rule(
        id=rule_id,
        family=family,
        applies_to=tuple(fields.pop("applies_to")),
        options=fields.pop("options", {}),
        limits={name: limit_of(rule_id, name, unit, limit) for name, limit in limits.items()},
        **fields,
    )


def limit_of(rule_id: str, rule_set: str, unit: str, entry: Mapping[str, Any]) -> Limit:
    """Make a limit from its table.

    Raises:
        ValueError: when it names a source that is not there, or is from memory and does not say how sure.
    """
    fields = dict(entry)
    named = [fields.pop("source"), *fields.pop("compare", ())]
    if unknown := [key for key in named if key not in sources()]:
        raise ValueError(f"{rule_id}: the source {unknown[0]!r} is not in data/sources")
    if fields["status"] == "from memory" and "confidence" not in fields:
        raise ValueError(f"{rule_id}: the limit of {rule_set} is from memory and must give its confidence")
    source, *compare = (sources()[key] for key in named)
    return Limit(rule_set=rule_set, unit=unit, source=source, compare=tuple(compare), **fields)


def amount(value: float, unit: str) -> str:
    """Write a figure with its unit as the pages and the terminal show it."""
    if unit == "m":
        return f"{value:.2f} m"
    unit = unit.removesuffix("s") if value == 1 and len(unit) > 1 else unit
    return f"{value:.1f} {unit}".replace(".0 ", " ").strip()


def limits_in_order(rule: Rule, sets: Mapping[str, SetFacts]) -> Iterator[Limit]:
    """Give the limits of a rule in the order of the rule sets."""
    return (rule.limits[name] for name in sets if name in rule.limits)
