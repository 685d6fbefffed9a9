"""``asfitted rules``."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from asfitted.rules.catalogue import Source


@click.group(invoke_without_command=True)
@click.option("--set", "rule_set", help="The rule set whose limits to show; the common one unless given.")
@click.pass_context
def command(ctx: click.Context, rule_set: str | None) -> None:
    """Show the rules, their limits and sources.

    \b
    Examples:
      asfitted rules
      asfitted rules show smoke-clear-of-wall
    """
    from asfitted.cli.terminal import table_of
    from asfitted.rules.catalogue import COMMON, catalogue
    from asfitted.rules.judgement import asked
    from asfitted.rules.rule_set import rule_set as settled

    ctx.obj = rule_set or COMMON
    if ctx.obj not in catalogue().names():
        raise click.UsageError(f"no rule set {ctx.obj!r}; there are: {', '.join(catalogue().names())}")
    if ctx.invoked_subcommand is None:
        rows = []
        rules = settled(catalogue(), ctx.obj)
        for rule in rules.rules.values():
            limit = rules.limits[rule.id]
            rows.append([rule.id, asked(rule, limit), limit.rule_set, limit.status])
        table_of(rows, ["rule", "sentence", "set", "known by"])


@command.command()
@click.argument("rule_id", metavar="RULE")
@click.pass_obj
def show(rule_set: str, rule_id: str) -> None:
    """Show one rule whole: why, how it is measured, what to do, every limit with its source."""
    from difflib import get_close_matches

    from asfitted.cli.terminal import console
    from asfitted.rules.catalogue import catalogue, limits_in_order
    from asfitted.rules.judgement import asked, listed
    from asfitted.rules.rule_set import rule_set as settled

    rules = settled(catalogue(), rule_set)
    rule = rules.rules.get(rule_id)
    if rule is None:
        near = get_close_matches(rule_id, rules.rules, 1)
        raise click.UsageError(f"no rule {rule_id!r}." + (f" Did you mean {near[0]}?" if near else ""))
    out = console()
    out.print(f"{rule.id}: {rule.title}", style="bold")
    out.print(asked(rule, rules.limits[rule_id]))
    for head, text in (("Why", rule.why), ("Measured", rule.measured), ("Put right", rule.remedy)):
        out.print(f"  {head}: {text}")
    out.print(f"  Applies to: {listed(list(rule.applies_to))}")
    for kind, proof in rule.options.get("tests", {}).items():
        out.print(f"  {kind}: {proof['how']}")
    for limit in limits_in_order(rule, catalogue().sets):
        figure = limit.figure or ("asks nothing" if limit.nothing else "no figure")
        out.print(f"  Rule set {limit.rule_set}: {figure}. {limit.severity.capitalize()}. {limit.note}".rstrip())
        out.print(f"    Rests on: {_source(limit.source)} Known by: {limit.status}.")
        for other in limit.compare:
            out.print(f"    Compare: {_source(other)}")


def _source(source: "Source") -> str:
    return " ".join(f"{part.rstrip('.')}." for part in (source.title, source.address, source.note) if part)
