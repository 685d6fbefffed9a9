"""``asfitted sample``."""

import re
import sys
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.core import ParameterSource

from asfitted.cli.options import EXIT_FALLS_SHORT, EXIT_UNUSABLE, homes_option, on_option

if TYPE_CHECKING:
    from asfitted.fleet.sampling_record import Context, Home, Plan, Revision, SamplingRecord
    from asfitted.fleet.strata import Factor
    from asfitted.rules.catalogue import Catalogue

FACTORS = ("rules", "age", "technician", "failing")
_SEED = re.compile(r"[A-Za-z0-9.-]{1,64}")
_PERCENT = re.compile(r"([0-9]{1,2}(?:\.[0-9]{1,6})?) ?%?")
_HOMES_OR_SHARE = re.compile(r"[0-9]{1,7}|[0-9]{1,2}(?:\.[0-9]{1,6})?%|100%")
_LARGEST = 200_000_000


@click.command()
@homes_option
@on_option
@click.option("--size", type=click.IntRange(min=1), help="How many homes to draw; else --faulty says what it takes.")
@click.option("--seed", help="Letters, digits, dots and hyphens that nobody could steer, such as dice thrown.")
@click.option(
    "--by", default="rules,failing", show_default=True, help=f"What parts the strata: {', '.join(FACTORS)}; or none."
)
@click.option(
    "--allocation",
    type=click.Choice(["proportional", "equal"]),
    default="proportional",
    show_default=True,
    help="How the sample is spread over the strata.",
)
@click.option("--confidence", default="95%", show_default=True, help="How sure to be.")
@click.option("--faulty", help="So many faulty homes must not go unseen: a share, 10%, or a number, 3.")
@click.option("--accept", type=click.IntRange(min=0), default=0, show_default=True, help="Faulty homes let pass.")
@click.option("--format", "form", type=click.Choice(["text", "json", "markdown"]), default="text", show_default=True)
@click.option(
    "--verify",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="Say whether a filed sampling record (json) comes out again; it holds its own day, seed and the rest.",
)
@click.pass_context
def command(
    ctx: click.Context,
    homes: Path,
    on: date,
    size: int | None,
    seed: str | None,
    by: str,
    allocation: str,
    confidence: str,
    faulty: str | None,
    accept: int,
    form: str,
    verify: Path | None,
) -> None:
    """Draw homes for an audit, and write the sampling record to file.

    The draw is random within strata and can be repeated by hand. Give --size, or --faulty (with --confidence and
    --accept) for the smallest size that shows it. Homes whose record cannot be used are drawn from as well, as a
    stratum of their own.

    \b
    Exit status:
      0  drawn; with --verify: the same draw comes out
      1  with --verify: another draw, or another record of a home drawn
      2  the plan, or the file to verify, could not be used

    \b
    Examples:
      asfitted sample --size 20 --seed 4-1-6-6-2
      asfitted sample --faulty 10% --confidence 95% --seed 4-1-6-6-2
      asfitted sample --faulty 3 --by none --seed 4-1-6-6-2 --format json > audit.json
      asfitted sample --verify audit.json
    """
    if verify is not None:
        given = [name for name in ctx.params if ctx.get_parameter_source(name) is ParameterSource.COMMANDLINE]
        if more := sorted(set(given) - {"verify", "homes", "form"}):
            raise click.UsageError(f"--verify takes --{more[0]} from the filed record; leave it out")
        sys.exit(_verify(verify, homes, form))
    if seed is None or not _SEED.fullmatch(seed):
        raise click.UsageError("--seed: give 1 to 64 letters, digits, dots or hyphens, such as --seed 4-1-6-6-2")
    if size is None and faulty is None:
        raise click.UsageError("give --size, or --faulty: the share of faulty homes that must not go unseen")
    from asfitted.fleet.sampling_record import Plan

    plan = Plan.model_validate(
        {
            "seed": seed,
            "by": _factors(by),
            "allocation": allocation,
            "size": size,
            "confidence": _confidence(confidence),
            "faulty": _faulty(faulty),
            "accept": accept,
        }
    )
    made = _made(homes, on, plan, aloud=True)
    if form == "json":
        click.echo(made.model_dump_json(by_alias=True, indent=2, ensure_ascii=True))
    else:
        from asfitted.cli.sample_show import record_sections, show

        show(record_sections(made), form)


def _factors(by: str) -> "tuple[Factor, ...]":
    from asfitted.model.base import did_you_mean, shown

    names = [name.strip() for name in by.split(",")]
    if names == ["none"]:
        return ()
    for name in names:
        if name not in FACTORS:
            near = did_you_mean(name, FACTORS) or f"There are: {', '.join(FACTORS)}; or none."
            raise click.UsageError(f"--by: {shown(name)} parts no strata. {near}")
    return tuple(dict.fromkeys(names))  # type: ignore[arg-type]


def _confidence(text: str) -> str:
    found = _PERCENT.fullmatch(text.strip())
    if found is None or not float(found[1]):
        raise click.UsageError(f"--confidence: {text!r} is not between 0% and 100%; write it as 95%")
    return f"{found[1]}%"


def _faulty(text: str | None) -> str | None:
    if text is None:
        return None
    if not _HOMES_OR_SHARE.fullmatch(text.strip()) or not float(text.strip().rstrip("%")):
        raise click.UsageError(f"--faulty: {text!r} is neither a share, such as 10%, nor a number of homes, such as 3")
    return text.strip()


def _made(homes: Path, on: date, plan: "Plan", *, aloud: bool) -> "SamplingRecord":
    """Draw from the homes on disk.

    Raises:
        click.UsageError: when there is no home, or the plan asks for what no sample can give.
    """
    from asfitted.cli.options import chosen
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.load import load_catalogue, load_homes
    from asfitted.fleet.sampling_record import NO_RECORD, Home, sampling_record
    from asfitted.fleet.strata import facts_of
    from asfitted.history.last_touch import revision_of

    own = load_catalogue(homes)
    loaded = load_homes(homes, on, chosen(homes, ()), with_revision=False, own=own)
    if aloud:
        for trouble in (*own[1], *(trouble for item in loaded for trouble in item.troubles)):
            show_trouble(trouble)
    files = {item.id: item.reading.file for item in loaded}
    population = [Home(item.id, item.reading.digest or NO_RECORD, facts_of(item, on)) for item in loaded]
    context = _context(homes, on, own[0], population)
    try:
        return sampling_record(population, plan, context, lambda home: revision_of(files[home]).words)
    except ValueError as error:
        raise click.UsageError(_sentence(plan, len(population), error)) from None


def _sentence(plan: "Plan", homes: int, error: ValueError) -> str:
    faulty = plan.faulty_of(homes)
    if faulty is not None and not plan.accept < faulty <= homes:
        return f"--faulty {plan.faulty} of {homes} homes with --accept {plan.accept}: {error}"
    return str(error)


def _context(homes: Path, on: date, rules: "Catalogue", population: "Iterable[Home]") -> "Context":
    from importlib.metadata import version

    from asfitted.fleet.rules_used import rules_digest, sets_used
    from asfitted.fleet.sampling_record import Context

    used = sets_used(homes, rules, {home.facts["rules"] for home in population if home.facts})
    return Context(
        on=on,
        program=version("asfitted"),
        rules_sha256=rules_digest(),
        rule_sets=tuple(used),
        revision=_revision(homes),
    )


def _revision(homes: Path) -> "Revision":
    from asfitted.fleet.sampling_record import Revision
    from asfitted.history.repository import Repository

    repository = Repository.around(homes)
    inside = repository.path_of(homes) if repository else None
    if repository is None or inside is None:
        return Revision(cautions=("The homes are in no git repository: no revision can be named.",))
    if repository.head is None:
        return Revision(cautions=repository.cautions)
    commit = repository.commit(repository.head)
    changed = repository.changed_homes(inside, commit.id, None, homes)
    return Revision(
        commit=commit.id,
        committed=commit.day,
        changed_since=tuple(sorted(item.name for item in changed)),
        cautions=repository.cautions,
    )


def _verify(file: Path, homes: Path, form: str) -> int:
    from asfitted.fleet.sampling_check import check

    filed = _read(file)
    try:
        now = _made(homes, filed.context.on, filed.plan, aloud=False)
    except click.UsageError:
        now = None
    found = check(filed, now)
    if form == "json":
        import json

        data = {"holds": found.holds, "faults": found.faults, "draw": found.draw, "changes": found.changes}
        click.echo(json.dumps(data, indent=2))
    else:
        from asfitted.cli.sample_show import check_sections, show

        show(check_sections(found, filed), form)
    return 0 if found.holds else EXIT_FALLS_SHORT


def _read(file: Path) -> "SamplingRecord":
    """Read a filed record; what cannot be used is said, and ends the command."""
    from pydantic import ValidationError

    from asfitted.cli.terminal import clean
    from asfitted.fleet.sampling_record import SamplingRecord

    try:
        if file.stat().st_size > _LARGEST:
            why = "it is too large"
        else:
            return SamplingRecord.model_validate_json(file.read_bytes(), by_alias=True, by_name=False)
    except OSError as error:
        why = error.strerror or "it cannot be read"
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        at = ".".join(str(part) for part in first["loc"])
        why = f"{at}: {first['msg']}" if at else first["msg"]
    click.echo(clean(f"{file}: no sampling record as --format json writes it. {why[:300]}"), err=True)
    sys.exit(EXIT_UNUSABLE)
