"""``asfitted check``."""

import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from asfitted.cli.options import (
    EXIT_FALLS_SHORT,
    EXIT_UNUSABLE,
    chosen,
    home_argument,
    homes_option,
    on_option,
)

if TYPE_CHECKING:
    from asfitted.fleet.load import Loaded
    from asfitted.rules.finding import Finding


@click.command()
@home_argument
@homes_option
@on_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--all", "everything", is_flag=True, help="Show what conforms and what does not apply as well.")
def command(home: tuple[str, ...], homes: Path, on: date, form: str, *, everything: bool) -> None:
    """Say what conforms, what does not, and what is not proven.

    HOME is the name of a folder of homes, or a path to it; without one all homes are checked.

    A rule set of the firm's own that cannot be used is told as well; it stops only the homes that name it.

    \b
    Exit status:
      0  nothing falls short
      1  something does not conform
      2  a record or a rule set of the firm's own could not be used

    \b
    Examples:
      asfitted check
      asfitted check mill-cottage --on 2026-03-04
      asfitted check --format json > findings.json
    """
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.load import load_catalogue, load_homes
    from asfitted.rules.finding import Verdict

    wanted, own = chosen(homes, home), load_catalogue(homes)
    for trouble in own[1]:
        show_trouble(trouble)
    loaded = load_homes(homes, on, wanted, with_revision=False, own=own)
    if form == "json":
        click.echo(json.dumps([_as_data(item) for item in loaded], indent=2, ensure_ascii=False))
    else:
        _as_text(loaded, everything=everything)
    if own[1] or any(item.dossier is None for item in loaded):
        sys.exit(EXIT_UNUSABLE)
    if any(item.dossier and item.dossier.count(Verdict.FAILS) for item in loaded):
        sys.exit(EXIT_FALLS_SHORT)


def _as_text(loaded: "list[Loaded]", *, everything: bool) -> None:
    from asfitted.cli.terminal import show_finding, show_trouble, table_of
    from asfitted.rules.finding import Verdict

    quiet = () if everything else (Verdict.CONFORMS, Verdict.NOT_APPLICABLE)
    rows = []
    for item in loaded:
        for trouble in item.troubles:
            show_trouble(trouble)
        if item.dossier is None:
            rows.append([item.id, "cannot be used", "", "", "", "", ""])
            continue
        for finding in item.dossier.findings:
            if finding.verdict not in quiet:
                show_finding(finding, item.reading.file.as_posix(), item.reading.marks.of(finding.path, key=True))
        rows.append([item.id, *(str(item.dossier.count(verdict)) for verdict in Verdict)])
    heads = [verdict.value.replace("not ", "not\n") for verdict in Verdict]
    table_of(rows, ["home", *heads], right=range(1, 7))


def _as_data(item: "Loaded") -> dict[str, Any]:
    troubles = [
        {"line": t.mark[0], "column": t.mark[1], "path": list(t.problem.path), "found": t.problem.found,
         "expected": t.problem.expected, "remedy": t.problem.remedy}
        for t in item.troubles
    ]  # fmt: skip
    findings = [_finding(finding, item) for finding in item.dossier.findings] if item.dossier else []
    return {"home": item.id, "file": item.reading.file.as_posix(), "troubles": troubles, "findings": findings}


def _finding(finding: "Finding", item: "Loaded") -> dict[str, Any]:
    line, column = item.reading.marks.of(finding.path, key=True)
    limit = finding.limit
    return {
        "rule": finding.rule.id,
        "verdict": finding.verdict.value,
        "subject": {"kind": finding.subject.kind, "id": finding.subject.id, "room": finding.subject.room},
        "line": line,
        "column": column,
        "found": _rounded(finding.found),
        "least": limit.least,
        "most": limit.most,
        "unit": limit.unit,
        "margin": _rounded(finding.margin),
        "tolerance": _rounded(finding.tolerance),
        "says": finding.says,
        "remedy": finding.remedy,
        "rule-set": limit.rule_set,
        "source": limit.source.title,
        "address": limit.source.address,
        "clause": limit.clause,
        "status": limit.status,
        "confidence": limit.confidence,
        "borrowed": bool(limit.borrowed_by),
        "severity": limit.severity,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 6)
