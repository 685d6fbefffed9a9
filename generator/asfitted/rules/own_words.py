"""What may stand in a firm's own rule file: its keys, what each takes, and what a check can work with."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from string import Formatter
from typing import Any, get_args

from asfitted.model.words import DEVICE_KINDS
from asfitted.rules.catalogue import FAMILIES, Catalogue, Confidence, Limit, Severity, Status

LONGEST = 2000
"""Characters of one text."""


@dataclass(frozen=True, slots=True)
class Takes:
    """What a key takes: the words for it, a test, and the words to choose from where there are any."""

    words: str
    test: Callable[[Any], bool]
    known: tuple[str, ...] = ()


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip()) and len(value) <= LONGEST


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


def _is_table(value: object) -> bool:
    return isinstance(value, Mapping)


def says_only_limit(value: object) -> bool:
    """Whether a text has no other place to fill than ``{limit}``."""
    if not _is_text(value):
        return False
    try:
        parts = [(name, spec, turned) for _, name, spec, turned in Formatter().parse(str(value)) if name is not None]
    except ValueError:
        return False
    return all(part == ("limit", "", None) for part in parts)


def one_of(*known: str) -> Takes:
    """Take one of some words."""
    return Takes(f"one of: {', '.join(known)}", lambda value: isinstance(value, str) and value in known, known)


TEXT = Takes("text in quotes", _is_text)
NUMBER = Takes("a number in the unit of the rule", _is_number)
TEXTS = Takes("a list of texts", lambda value: isinstance(value, list) and all(map(_is_text, value)))
YES_NO = Takes("true or false", lambda value: isinstance(value, bool))
TABLE = Takes("a table", _is_table)

SUBJECTS = (*DEVICE_KINDS, "device", "room", "storey", "opening", "home")
HEAD: Mapping[str, Takes] = {
    "title": TEXT,
    "about": TEXT,
    "extends": TEXT,
    "note": TEXT,
    "limits": TABLE,
    "rules": TABLE,
}
LIMIT: Mapping[str, Takes] = {
    "least": NUMBER, "most": NUMBER, "source": TEXT, "clause": TEXT, "status": one_of(*get_args(Status)),
    "confidence": one_of(*get_args(Confidence)), "severity": one_of(*get_args(Severity)), "printed": TEXT,
    "note": TEXT, "compare": TEXTS, "options": TABLE, "nothing": YES_NO,
}  # fmt: skip
RULE: Mapping[str, Takes] = {
    "family": one_of(*FAMILIES), "title": TEXT, "why": TEXT, "measured": TEXT, "remedy": TEXT, "plain": TEXT,
    "says": Takes("a sentence that holds no braces but {limit}", says_only_limit),
    "applies-to": TEXTS, "unit": TEXT, "check": TEXT, "options": TABLE,
}  # fmt: skip
HEAD_NEEDS = ("title", "about", "extends")
LIMIT_NEEDS = ("source", "status", "severity")
RULE_NEEDS = ("family", "title", "says", "why", "measured", "remedy", "applies-to", "check")


@dataclass(frozen=True, slots=True)
class CheckWords:
    """What the rules that come with the program ask of one check, and so what it is known to work with."""

    units: tuple[str, ...]
    about_devices: bool
    subjects: tuple[str, ...]
    options: Mapping[str, type]
    needed: tuple[str, ...]
    sides: tuple[str, ...]
    figure: bool

    @property
    def takes(self) -> tuple[str, ...]:
        """What its rules may apply to."""
        return (*DEVICE_KINDS, "device") if self.about_devices else self.subjects


def check_words(catalogue: Catalogue) -> dict[str, CheckWords]:
    """Gather what each check is asked by the rules of a catalogue."""
    return {check: _words(catalogue, check) for check in dict.fromkeys(rule.check for rule in catalogue.rules.values())}


def _words(catalogue: Catalogue, check: str) -> CheckWords:
    rules = [rule for rule in catalogue.rules.values() if rule.check == check]
    limits = [limit for rule in rules for limit in rule.limits.values() if not limit.nothing]
    subjects = tuple(dict.fromkeys(subject for rule in rules for subject in rule.applies_to))
    options = {key: type(value) for rule in rules for key, value in rule.options.items()}
    options |= {key: type(value) for limit in limits for key, value in limit.options.items()}
    return CheckWords(
        units=tuple(dict.fromkeys(rule.unit for rule in rules)),
        about_devices=any(subject in (*DEVICE_KINDS, "device") for subject in subjects),
        subjects=subjects,
        options=options,
        needed=tuple(key for key in options if all(key in rule.options for rule in rules)),
        sides=sides(limits),
        figure=bool(limits) and all(limit.figure for limit in limits),
    )


def sides(limits: Sequence[Limit]) -> tuple[str, ...]:
    """Give on which sides limits hold a figure: ``least``, ``most``, both or none."""
    return tuple(_sides(limits))


def _sides(limits: Sequence[Limit]) -> Iterator[str]:
    if any(limit.least is not None for limit in limits):
        yield "least"
    if any(limit.most is not None for limit in limits):
        yield "most"
