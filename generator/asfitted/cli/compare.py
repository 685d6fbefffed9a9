"""``asfitted compare``."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfitted.cli.options import EXIT_FALLS_SHORT, EXIT_UNUSABLE, homes_option, on_option

if TYPE_CHECKING:
    from asfitted.history.points import Timeline
    from asfitted.history.report import Report
    from asfitted.history.revision import Commit


@click.command()
@click.argument("home", required=False)
@click.argument("old", required=False)
@click.argument("new", required=False)
@homes_option
@on_option
@click.option("--all", "everything", is_flag=True, help="Compare every home whose record changed: --all OLD [NEW].")
@click.option("--format", "form", type=click.Choice(["text", "json", "markdown"]), default="text", show_default=True)
@click.option("--verdicts/--no-verdicts", default=True, show_default=True, help="Judge both revisions as well.")
@click.option("--exit-code", is_flag=True, help="End with 1 when something newly falls short or the past was edited.")
def command(
    home: str | None,
    old: str | None,
    new: str | None,
    homes: Path,
    on: date,
    form: str,
    *,
    everything: bool,
    verdicts: bool,
    exit_code: bool,
) -> None:
    """Say what changed between two revisions of a home, and which verdicts turned with it.

    OLD and NEW are each a commit, a tag, a branch, a day (the last commit of that day or before), "last commissioning",
    "working copy", or the first 12 characters of a record's SHA-256. Without them the last commissioning is compared
    with the working copy. The repository is only read.

    \b
    Exit status:
      0  compared
      1  with --exit-code: something newly does not conform, or a past visit was
         edited, inserted or deleted, or a home's record was taken away
      2  a revision or a record could not be used

    \b
    Examples:
      asfitted compare mill-cottage
      asfitted compare mill-cottage 2024-05-28
      asfitted compare mill-cottage v1.2 HEAD --format markdown
      asfitted compare --all 2026-01-01 --format json
    """
    from asfitted.fleet.load import load_catalogue
    from asfitted.fleet.rule_sets import FOLDER
    from asfitted.history.points import Timeline
    from asfitted.history.repository import Repository

    if everything:
        if home is None or new is not None:
            raise click.UsageError("--all takes one revision or two: asfitted compare --all OLD [NEW]")
        home, old, new = None, home, old
    elif home is None:
        raise click.UsageError("name a home, or give --all and a revision")
    repository = Repository.around(homes)
    if repository is None or repository.path_of(homes) is None:
        raise click.UsageError(
            f"{homes} is in no git repository with a working copy, so that there are no revisions to compare"
        )
    timeline = Timeline(repository, homes, FOLDER, on, load_catalogue(homes)[0])
    cautions: tuple[str, ...] = ()
    if home is None:
        start, end = _found(timeline, None, old or ""), _found(timeline, None, new)
        reports = _of_all(timeline, start, end, judged=verdicts)
        cautions = _by_other_rules(timeline, start, end)
    else:
        reports = [_of_one(timeline, home, old, new, judged=verdicts)]
    _show(form, reports, (*repository.cautions, *cautions), between=home is None)
    if any(made.troubles for made in reports):
        sys.exit(EXIT_UNUSABLE)
    if exit_code and any(made.alarming for made in reports):
        sys.exit(EXIT_FALLS_SHORT)


def _found(timeline: "Timeline", home: str | None, text: str | None) -> "Commit | None":
    from asfitted.history.revision import Unavailable

    found = None if text is None else timeline.resolve(home, text)
    if isinstance(found, Unavailable):
        raise click.UsageError(found.says)
    return found


def _of_one(timeline: "Timeline", home: str, old: str | None, new: str | None, *, judged: bool) -> "Report":
    from asfitted.history.points import LAST_COMMISSIONING
    from asfitted.history.report import report
    from asfitted.history.revision import ChangedHome

    home = home_of(timeline, home)
    start = _found(timeline, home, LAST_COMMISSIONING if old is None else old)
    end = _found(timeline, home, new)
    named = ChangedHome(home, home)
    return report(timeline, named, start, end, judged=judged, evidence=True)


def home_of(timeline: "Timeline", name: str) -> str:
    """Give the id of a home from its name or a path to it; one that is gone today may still have a history.

    Raises:
        click.UsageError: when neither the folder nor its history knows it.
    """
    from asfitted.cli.options import chosen

    try:
        return chosen(timeline.homes, (name,))[0]
    except click.UsageError:
        if "/" in name or not timeline.revisions(name):
            raise
        return name


def _of_all(timeline: "Timeline", old: "Commit | None", new: "Commit | None", *, judged: bool) -> "list[Report]":
    from asfitted.history.report import report

    if old is None:
        raise click.UsageError("the earlier side is a revision, not the working copy")
    changed = timeline.repository.changed_homes(timeline.inside, old.id, new.id if new else None, timeline.homes)
    return [report(timeline, home, old, new, judged=judged, between=True) for home in changed]


def _by_other_rules(timeline: "Timeline", old: "Commit | None", new: "Commit | None") -> tuple[str, ...]:
    """Say which rule sets of the firm's own changed, since they may turn verdicts in homes that did not change."""
    files, folder = timeline.repository.files, timeline.folder(timeline.rule_sets)
    before = files(old.id, folder, ".toml") if old else {}
    on_disk = (file for file in (timeline.homes / timeline.rule_sets).glob("*.toml") if file.is_file())
    after = files(new.id, folder, ".toml") if new else {file.name: file.read_bytes() for file in on_disk}
    changed = sorted(name for name in before.keys() | after.keys() if before.get(name) != after.get(name))
    if not changed:
        return ()
    names = ", ".join(name.removesuffix(".toml") for name in changed)
    return (f"The firm's own rule sets changed: {names}. Verdicts may have turned in homes that are not listed, too.",)


def _show(form: str, reports: "list[Report]", cautions: tuple[str, ...], *, between: bool) -> None:
    from asfitted.cli.terminal import writable

    if form == "json":
        from asfitted.history.as_data import compared
        from asfitted.history.data import as_json

        click.echo(writable(as_json(compared(reports, cautions))))
    elif form == "markdown":
        from asfitted.cli.compare_markdown import as_markdown

        click.echo(writable(as_markdown(reports, cautions, between=between)), nl=False)
    else:
        from asfitted.cli.compare_text import show

        show(reports, cautions, between=between)
