"""``asfitted rules``."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfitted.cli.options import homes_option
from asfitted.rules.catalogue import COMMON, FAMILIES

if TYPE_CHECKING:
    from asfitted.rules.catalogue import Catalogue, Limit, Source
    from asfitted.rules.rule_set import RuleSet

_SET_HELP = "The rule set whose limits to show; the common one unless given."


@click.group(invoke_without_command=True)
@click.option("--set", "name", metavar="SET", default=COMMON, help=_SET_HELP)
@click.option("--family", type=click.Choice(list(FAMILIES)), help="Only the rules of this family.")
@homes_option
@click.pass_context
def command(ctx: click.Context, name: str, family: str | None, homes: Path) -> None:
    """Show the rules, their limits and sources.

    A firm's own rule sets stand beside the homes, in homes/rule-sets, and are known here as well.

    \b
    Examples:
      asfitted rules
      asfitted rules --set uk-england --family fire
      asfitted rules show smoke-clear-of-wall --set uk-england
      asfitted rules sets
    """
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.rule_sets import load_catalogue

    known, troubles = load_catalogue(homes)
    for trouble in troubles:
        show_trouble(trouble)
    ctx.obj = known, name
    if ctx.invoked_subcommand is None:
        _list(_settled(known, name), [family] if family else list(FAMILIES))


@command.command()
@click.argument("rule_id", metavar="ID")
@click.option("--set", "name", metavar="SET", help=_SET_HELP)
@click.pass_obj
def show(chosen: "tuple[Catalogue, str]", rule_id: str, name: str | None) -> None:
    """Show one rule whole: what a rule set asks, why, how it is measured, what to do, and what all sets ask.

    \b
    Example:
      asfitted rules show smoke-clear-of-wall --set uk-england
    """
    from asfitted.cli.terminal import heading, say
    from asfitted.model.base import did_you_mean
    from asfitted.rules.judgement import listed

    known = chosen[0]
    rules = _settled(known, name or chosen[1])
    if rule_id not in known.rules:
        raise click.UsageError(f"no rule {rule_id!r}. {did_you_mean(rule_id, list(known.rules))}".rstrip())
    rule = rules.rules.get(rule_id) or known.rules[rule_id]
    heading(f"{rule.id}: {rule.title}")
    _of_set(rules, rule_id)
    heading("The rule")
    for head, text in (("Why", rule.why), ("Measured", f"{rule.measured}."), ("Put right", rule.remedy)):
        say(f"{head}: {text}")
    say(f"Applies to: {listed(list(rule.applies_to))}.")
    for kind, proof in rule.options.get("tests", {}).items():
        if isinstance(proof, dict) and "how" in proof:
            say(f"{kind}: {proof['how']}")
    _of_all(known, rule_id)


@command.command()
@click.pass_obj
def sets(chosen: "tuple[Catalogue, str]") -> None:
    """List the rule sets: what each builds on, and where its limits come from.

    \b
    Example:
      asfitted rules sets
    """
    from asfitted.cli.terminal import heading, say
    from asfitted.rules.counts import set_counts

    known = chosen[0]
    for name in known.names():
        count = set_counts(known, name)
        heading(f"{name}: {count.facts.title}{', a rule set of the firm' if count.facts.own else ''}")
        say(count.facts.about)
        say(f"Builds on: {', '.join(count.builds_on)}." if count.builds_on else "Builds on no other.")
        ways = f"own {count.own}, handed on {count.handed_on}, borrowed from common {count.borrowed}"
        say(f"Asks by {count.asks} of {count.rules} rules: {ways}. Asks nothing by {count.nothing}.")
        say(f"Known by: {', '.join(f'{status} {number}' for status, number in count.known_by.items())}.")


def _settled(known: "Catalogue", name: str) -> "RuleSet":
    """Settle a rule set by its name.

    Raises:
        click.UsageError: when there is none.
    """
    from asfitted.model.base import did_you_mean
    from asfitted.rules.rule_set import rule_set

    if name not in known.sets:
        near = did_you_mean(name, list(known.sets))
        raise click.UsageError(
            f"no rule set {name!r}. {near + ' ' if near else ''}there are: {', '.join(known.names())}"
        )
    return rule_set(known, name)


def _list(rules: "RuleSet", families: list[str]) -> None:
    from asfitted.cli.terminal import heading, say
    from asfitted.rules.judgement import asked

    for family in families:
        of_family = [rule for rule in rules.rules.values() if rule.family == family]
        if of_family:
            heading(f"{FAMILIES[family]}, as {rules.name} asks")
        for rule in of_family:
            limit = rules.limits[rule.id]
            says = "Nothing is asked." if limit.nothing else asked(rule, limit)
            say(f"{rule.id}: {says} [{_marks(limit)}]")


def _of_set(rules: "RuleSet", rule_id: str) -> None:
    """Print what one rule set asks by a rule."""
    from asfitted.cli.terminal import heading, say
    from asfitted.rules.judgement import asked

    limit = rules.limits.get(rule_id)
    if limit is None:
        heading(f"Rule set {rules.name} does not have this rule; it is one of a firm's own.")
        return
    heading(f"Rule set {rules.name} ({rules.facts.title})")
    say(f"It {limit.silence}." if limit.nothing else asked(rules.rules[rule_id], limit))
    for sentence in _of_limit(limit):
        say(sentence)
    if limit.borrowed_by:
        say(f"This limit is borrowed from common: {rules.name} has none of its own here.")


def _of_all(known: "Catalogue", rule_id: str) -> None:
    """Print what every rule set asks by a rule."""
    from asfitted.cli.terminal import heading, say
    from asfitted.rules.catalogue import limits_in_order

    heading("All rule sets")
    for limit in limits_in_order(known.rules[rule_id], known.sets):
        say(f"{limit.rule_set}: {_figure(limit)}. {' '.join(_of_limit(limit))}")
    lent, silent = _others(known, rule_id)
    if lent:
        say(f"Borrow the common limit: {', '.join(lent)}.")
    if silent:
        say(f"Name nothing here, which does not mean that nothing is asked: {', '.join(silent)}.")


def _marks(limit: "Limit") -> str:
    words: list[str] = [limit.severity, limit.status]
    if limit.weak:
        words.append(f"{limit.confidence} confidence")
    if limit.borrowed_by:
        words.append("borrowed from common")
    return ", ".join(words)


def _figure(limit: "Limit") -> str:
    return limit.figure or ("asks nothing" if limit.nothing else "no figure")


def _of_limit(limit: "Limit") -> list[str]:
    """Say what a limit rests on, how that is known, and what else there is to know of it."""
    sure = f", {limit.confidence} confidence" if limit.weak or limit.status == "from memory" else ""
    said = [
        f"{limit.severity.capitalize()}. Rests on: {_source(limit.source, limit.clause)}",
        f"Known by: {limit.status}{sure}.",
    ]
    if limit.weak:
        said.append("Too little certain to fail anything: it says not verified instead.")
    said += [limit.note] if limit.note else []
    return said + [f"Compare: {_source(other)}" for other in limit.compare]


def _source(source: "Source", clause: str = "") -> str:
    parts = (", ".join(filter(None, (source.title.rstrip("."), clause))), source.address, source.note)
    return " ".join(f"{part.rstrip('.')}." for part in parts if part)


def _others(known: "Catalogue", rule_id: str) -> tuple[list[str], list[str]]:
    """Give the sets that borrow the common limit of a rule, and those that ask nothing by it."""
    from asfitted.rules.rule_set import rule_set

    lent, silent = [], []
    for name in known.names():
        how = rule_set(known, name).how(rule_id)
        if how == "borrowed":
            lent.append(name)
        elif how == "nothing":
            silent.append(name)
    return lent, silent
