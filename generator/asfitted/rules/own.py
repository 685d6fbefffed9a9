"""A firm's own rule sets: files of its own, each over another set, read into the catalogue without running anything.

What is wrong with a file is told with its place. A set with anything wrong is left out whole, and so are those that
build on it; every other set stands.
"""

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path as FilePath
from typing import Any

from asfitted.model.base import Path, Problem, did_you_mean, shown
from asfitted.record.located import Located
from asfitted.rules.catalogue import (
    FAMILIES,
    Catalogue,
    Limit,
    Rule,
    SetFacts,
    Source,
    sources,
)
from asfitted.rules.own_words import (
    HEAD,
    HEAD_NEEDS,
    LIMIT,
    LIMIT_NEEDS,
    RULE,
    RULE_NEEDS,
    CheckWords,
    Takes,
    check_words,
    sides,
)
from asfitted.rules.rule_set import rule_set
from asfitted.rules.toml_marks import mark_of, syntax_error

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_LONGEST_NAME = 60
LARGEST = 1_000_000
"""Bytes of one file."""


@dataclass
class _Draft:
    """One file while it is read: its text, its tables, and what was found wrong with it."""

    name: str
    file: FilePath
    text: str = ""
    tables: dict[str, Any] = field(default_factory=dict)
    troubles: list[Located] = field(default_factory=list)

    @property
    def extends(self) -> str:
        return str(self.tables.get("extends", ""))

    def wrong(self, path: Path, found: str, expected: str, remedy: str = "") -> None:
        self.troubles.append(Located(self.file, mark_of(self.text, path), Problem(path, found, expected, remedy)))

    def unknown(self, path: Path, word: object, what: str, known: Sequence[str]) -> None:
        self.wrong(path, shown(word), what, did_you_mean(word, list(known)))

    def takes(self, table: Mapping[str, Any], path: Path, kinds: Mapping[str, Takes], needs: Sequence[str]) -> bool:
        """Check the keys of a table; whether all of them are known, there, and what they should be."""
        before = len(self.troubles)
        for key, value in table.items():
            if key not in kinds:
                self.unknown((*path, key), key, f"one of the keys {', '.join(kinds)}", list(kinds))
            elif not kinds[key].test(value):
                near = did_you_mean(value, list(kinds[key].known)) if isinstance(value, str) else ""
                self.wrong((*path, key), shown(value), kinds[key].words, near)
        for key in needs:
            if key not in table:
                self.wrong((*path, key), "nothing", kinds[key].words)
        return len(self.troubles) == before


def own_sets(files: Mapping[FilePath, bytes], shipped: Catalogue) -> tuple[Catalogue, tuple[Located, ...]]:
    """Add a firm's own rule sets to a catalogue.

    Args:
        files: what each file holds; a file is called after its set, such as ``homes/rule-sets/sallowby.toml``.
        shipped: the catalogue that comes with the program.

    Returns:
        The catalogue with every set that can be used, and what is wrong with the others, in the order of the files.
    """
    drafts = [_draft(file, files[file], shipped) for file in sorted(files)]
    ready, waiting = shipped, {draft.name: draft for draft in drafts if not draft.troubles}
    while waiting:
        draft = next((draft for draft in waiting.values() if draft.extends not in waiting), None)
        if draft is None:
            _tell_circles(waiting)
            break
        del waiting[draft.name]
        if draft.extends in ready.sets:
            ready = _with(ready, draft, shipped)
        elif any(other.name == draft.extends for other in drafts):
            draft.wrong(("extends",), shown(draft.extends), "a rule set that can be used; that one cannot itself")
        else:
            draft.unknown(("extends",), draft.extends, "a rule set of the catalogue or of the firm", [*ready.sets])
    return ready, tuple(trouble for draft in drafts for trouble in sorted(draft.troubles, key=lambda found: found.mark))


def _draft(file: FilePath, content: bytes, shipped: Catalogue) -> _Draft:
    """Read one file as far as its head."""
    draft = _Draft(file.stem, file)
    if not _NAME.fullmatch(draft.name) or len(draft.name) > _LONGEST_NAME:
        draft.wrong((), f"a file called {shown(draft.name)}", "lower-case words joined by hyphens, as sallowby.toml")
    elif draft.name in shipped.sets:
        draft.wrong((), f"a file called {shown(draft.name)}", "a name that no rule set of the catalogue has")
    if len(content) > LARGEST:
        draft.wrong((), f"a file of {len(content)} bytes", f"at most {LARGEST}")
        return draft
    try:
        draft.text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        draft.wrong((), f"a byte that is no UTF-8, {error.start} bytes into the file", "text in UTF-8")
        return draft
    try:
        draft.tables = tomllib.loads(draft.text)
    except tomllib.TOMLDecodeError as error:
        mark, said = syntax_error(str(error), draft.text)
        draft.troubles.append(
            Located(file, mark, Problem((), f"broken TOML: {said}", "“key = value” a line, and text in quotes"))
        )
        return draft
    except RecursionError:
        draft.wrong((), "brackets nested too deeply", "tables and lists a few deep")
        return draft
    draft.takes(draft.tables, (), HEAD, HEAD_NEEDS)
    return draft


def _tell_circles(waiting: Mapping[str, _Draft]) -> None:
    for name, draft in waiting.items():
        chain = [name]
        while chain[-1] not in chain[:-1]:
            chain.append(waiting[chain[-1]].extends)
        if chain[-1] == name:
            draft.wrong(("extends",), " → ".join(chain), "a rule set that does not build on this one in turn")
        else:
            draft.wrong(("extends",), shown(draft.extends), "a rule set that can be used; that one cannot itself")


def _with(ready: Catalogue, draft: _Draft, shipped: Catalogue) -> Catalogue:
    """Add one set, if nothing is wrong with it, to a catalogue that has the set it builds on."""
    head = {key: value for key, value in draft.tables.items() if key not in ("limits", "rules")}
    sets = {**ready.sets, draft.name: SetFacts(name=draft.name, own=True, **head)}
    checks, rules = check_words(shipped), dict(ready.rules)
    limits = draft.tables.get("limits", {})
    for rule_id, table in draft.tables.get("rules", {}).items():
        path = ("rules", rule_id)
        if rule_id not in limits:
            draft.wrong(path, "a rule without a limit", f"a table limits.{rule_id} as well")
        if rule := _rule(draft, rule_id, table, ready, checks):
            rules[rule_id] = rule
    known, above = Catalogue(rules, sets), rule_set(ready, draft.extends).limits
    reachable = _reachable(known, draft.name)
    for rule_id, table in limits.items():
        if rule_id in reachable:
            if limit := _limit(draft, rules[rule_id], table, checks[rules[rule_id].check]):
                _keep_law(draft, limit, above.get(rule_id), rule_id)
                rules[rule_id] = replace(rules[rule_id], limits={**rules[rule_id].limits, draft.name: limit})
        elif rule_id not in draft.tables.get("rules", {}):
            draft.unknown(("limits", rule_id), rule_id, "the id of a rule", reachable)
    made = Catalogue(_in_order(rules), sets)
    if not draft.troubles:
        _try_out(draft, made)
    return ready if draft.troubles else made


def _keep_law(draft: _Draft, limit: Limit, above: Limit | None, rule_id: str) -> None:
    """Let a firm ask for more than the law does, never for less or with less weight."""
    if above is None or above.nothing or above.severity != "law" or above.borrowed_by:
        return
    path: Path = ("limits", rule_id)
    if limit.severity != "law":
        draft.wrong(
            (*path, "severity"), shown(limit.severity), f"law, as the limit of {above.rule_set} that it replaces is"
        )
    looser = (
        limit.nothing
        or (above.least is not None and (limit.least is None or limit.least < above.least))
        or (above.most is not None and (limit.most is None or limit.most > above.most))
    )
    if looser:
        draft.wrong(path, limit.figure or "no figure", f"what the law asks or more: {above.figure or 'what it says'}")


def _reachable(known: Catalogue, name: str) -> list[str]:
    """Give the rules that a set may set a limit for: all but those that only others of the firm's sets know."""
    chain = known.chain(name)
    own = {other for other, facts in known.sets.items() if facts.own and other not in chain}
    return [rule.id for rule in known.rules.values() if not rule.limits or not own.issuperset(rule.limits)]


def _in_order(rules: Mapping[str, Rule]) -> dict[str, Rule]:
    """Give rules family by family, a firm's own after the others."""
    return {rule.id: rule for family in FAMILIES for rule in rules.values() if rule.family == family}


def _rule(
    draft: _Draft, rule_id: str, table: object, ready: Catalogue, checks: Mapping[str, CheckWords]
) -> Rule | None:
    path: Path = ("rules", rule_id)
    if not isinstance(table, dict):
        draft.wrong(path, shown(table), "a table")
        return None
    if not _NAME.fullmatch(rule_id) or "-" not in rule_id or len(rule_id) > _LONGEST_NAME:
        draft.wrong(path, shown(rule_id), "an id of lower-case words joined by hyphens, as alarm-on-its-card")
    elif rule_id in ready.rules:
        draft.wrong(
            path, shown(rule_id), "an id that no other rule has", f"To change its limit write [limits.{rule_id}]."
        )
    if not draft.takes(table, path, RULE, RULE_NEEDS):
        return None
    if (words := checks.get(table["check"])) is None:
        draft.unknown((*path, "check"), table["check"], f"one of the checks {', '.join(checks)}", list(checks))
        return None
    unit = table.get("unit", "")
    if unit not in words.units:
        expected = " or ".join(f"“{known}”" if known else "none" for known in words.units)
        draft.wrong((*path, "unit"), shown(unit), f"the unit in which the check {table['check']} measures: {expected}")
    for subject in table["applies-to"]:
        if subject not in words.takes:
            draft.unknown((*path, "applies-to"), subject, f"one of: {', '.join(words.takes)}", words.takes)
    options = table.get("options", {})
    _options(draft, (*path, "options"), options, words)
    if missing := [key for key in words.needed if key not in options]:
        draft.wrong(
            (*path, "options"), "no " + ", ".join(missing), f"the options that the check {table['check']} needs"
        )
    fields = {key.replace("-", "_"): value for key, value in table.items()}
    return Rule(**{**fields, "id": rule_id, "applies_to": tuple(table["applies-to"]), "options": options, "limits": {}})


def _options(draft: _Draft, path: Path, options: Mapping[str, Any], words: CheckWords) -> None:
    for key, value in options.items():
        if key not in words.options:
            known = list(words.options)
            draft.unknown((*path, key), key, f"an option of its check: {', '.join(known) or 'it has none'}", known)
        elif not _same_kind(value, words.options[key]):
            kind = _KINDS.get(words.options[key], "a table")
            draft.wrong((*path, key), shown(value), f"a value such as the rules of its check give ({kind})")


def _same_kind(value: object, kind: type) -> bool:
    """Whether a value is of a kind, where a whole number is a number too."""
    if kind in (int, float):
        return isinstance(value, int | float) and not isinstance(value, bool)
    return isinstance(value, kind)


_KINDS: Mapping[type, str] = {
    str: "text", list: "a list", bool: "true or false", int: "a whole number", float: "a number",
}  # fmt: skip


def _limit(draft: _Draft, rule: Rule, table: object, words: CheckWords) -> Limit | None:
    path: Path = ("limits", rule.id)
    if not isinstance(table, dict):
        draft.wrong(path, shown(table), "a table")
        return None
    if not draft.takes(table, path, LIMIT, LIMIT_NEEDS):
        return None
    fields = dict(table)
    if fields["status"] == "from memory" and "confidence" not in fields:
        draft.wrong((*path, "confidence"), "nothing", LIMIT["confidence"].words + ", since the figure is from memory")
    named = [_source(draft, (*path, "source"), fields.pop("source"))]
    named += [_source(draft, (*path, "compare"), other) for other in fields.pop("compare", [])]
    _figure(draft, path, fields, rule, words)
    _options(draft, (*path, "options"), fields.get("options", {}), words)
    source, *compare = named
    return Limit(rule_set=draft.name, unit=rule.unit, source=source, compare=tuple(compare), **fields)


def _source(draft: _Draft, path: Path, given: str) -> Source:
    """Give a source by its key, or made of the firm's own words."""
    if given in sources():
        return sources()[given]
    if not re.search(r"\s", given.strip()):
        draft.unknown(path, given, "the key of a source, or a source in words", list(sources()))
    return Source(draft.name, given.strip())


def _figure(draft: _Draft, path: Path, fields: Mapping[str, Any], rule: Rule, words: CheckWords) -> None:
    """Let a limit have a figure where, and on the side on which, its check looks for one."""
    given = [side for side in ("least", "most") if side in fields]
    if fields.get("nothing"):
        for side in given:
            draft.wrong((*path, side), shown(fields[side]), "no figure, since nothing is asked")
        return
    shipped = [limit for limit in rule.limits.values() if not limit.nothing]
    wanted = sides(shipped) or words.sides
    for side in given:
        if side not in wanted:
            draft.wrong((*path, side), shown(fields[side]), " or ".join(wanted) or "no figure: the rule is about none")
    needed = all(limit.figure for limit in shipped) if shipped else words.figure
    if needed and not given:
        draft.wrong(
            (*path, wanted[0]), "nothing", f"a figure: {' or '.join(wanted)}, in {rule.unit or 'its own number'}"
        )
    if len(given) == 2 and fields["least"] > fields["most"]:
        draft.wrong((*path, "least"), shown(fields["least"]), f"no more than most, which is {fields['most']}")
    if given and "{limit}" not in rule.says:
        draft.wrong(("rules", rule.id, "says"), shown(rule.says), "a sentence with {limit} where the figure goes")


def _try_out(draft: _Draft, made: Catalogue) -> None:
    """Judge examples by every rule whose options the set gives, so that no home has to find out what is wrong."""
    from asfitted.rules.own_trial import works

    rules = draft.tables.get("rules", {})
    asked = [
        *rules,
        *(name for name, table in draft.tables.get("limits", {}).items() if name not in rules and "options" in table),
    ]
    for rule_id in asked:
        if not works(made, draft.name, rule_id):
            path: Path = ("rules" if rule_id in rules else "limits", rule_id, "options")
            draft.wrong(
                path,
                "options that its check cannot work with",
                "such as the rules of that check have",
                "See asfitted rules show.",
            )
