"""``asfitted trace``."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfitted.cli.compare import home_of
from asfitted.cli.options import EXIT_UNUSABLE, homes_option, on_option

if TYPE_CHECKING:
    from asfitted.history.points import Timeline
    from asfitted.history.trace import Trace


@click.command()
@click.argument("home")
@click.argument("rule")
@click.argument("device", required=False)
@homes_option
@on_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(home: str, rule: str, device: str | None, homes: Path, on: date, form: str) -> None:
    """Say which revision brought in a finding that does not conform.

    HOME is the name of a folder of homes, RULE the id of a rule, DEVICE a tag (or the id of the room or opening that
    the finding is about); without it every failing finding of the rule is traced. All revisions are judged on one day
    by the rules of today, so that nothing but the record can turn the verdict. The repository is only read.

    \b
    Exit status:
      0  traced
      2  nothing fails, or a revision or record could not be used

    \b
    Examples:
      asfitted trace mill-cottage smoke-clear-of-wall SA3
      asfitted trace mill-cottage site-visit-in-a-year --on 2026-11-25
    """
    from asfitted.fleet.load import load_catalogue
    from asfitted.fleet.rule_sets import FOLDER
    from asfitted.history.points import LazyPoints, Timeline
    from asfitted.history.report import unknown_rules
    from asfitted.history.repository import Repository
    from asfitted.history.revision import Unavailable
    from asfitted.history.trace import trace

    repository = Repository.around(homes)
    if repository is None or repository.path_of(homes) is None:
        raise click.UsageError(
            f"{homes} is in no git repository with a working copy, so that there is no history to trace"
        )
    timeline = Timeline(repository, homes, FOLDER, on, load_catalogue(homes)[0])
    _known(timeline, rule)
    home = home_of(timeline, home)
    points = LazyPoints(timeline, home)
    found = trace(points, rule, on, device)
    if isinstance(found, Unavailable):
        from asfitted.cli.terminal import clean

        click.echo(clean(f"{home}: {found.says}."), err=True)
        sys.exit(EXIT_UNUSABLE)
    cautions = (*repository.cautions, *unknown_rules(points[-1]))
    if form == "json":
        from asfitted.cli.terminal import writable
        from asfitted.history.as_data import traced
        from asfitted.history.data import as_json

        click.echo(writable(as_json(traced(found, cautions))))
    else:
        _as_text(found, cautions)


def _known(timeline: "Timeline", rule: str) -> None:
    from asfitted.model.base import did_you_mean, shown

    if rule not in timeline.now.rules:
        near = did_you_mean(rule, list(timeline.now.rules)) or "asfitted rules lists them."
        raise click.UsageError(f"no rule {shown(rule)}. {near}")


def _as_text(found: "tuple[Trace, ...]", cautions: tuple[str, ...]) -> None:
    from asfitted.cli.terminal import STYLES, say, styled
    from asfitted.rules.finding import Verdict

    for caution in cautions:
        say(caution)
    for item in found:
        styled(Verdict.FAILS.value, STYLES[Verdict.FAILS], f"{item.finding.rule.title}: {item.finding.subject.name}")
        say(item.finding.says)
        commit = item.first.commit
        by = f" by {commit.by}; {commit.signature}: “{commit.subject}”" if commit else ", which is not committed"
        say(f"Since {item.first.words}{by}")
        never = "No earlier revision that can be judged was without it."
        say(f"Not so at {item.before.words}." if item.before else never)
        if item.unusable:
            say(f"Between the two {item.unusable} revisions cannot be used today; it may have been one of them.")
        for change in item.changes:
            say(f"- {change.says}")
        say(item.method)
