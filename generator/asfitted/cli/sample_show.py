"""A sampling record, or the check of one, on the terminal and in Markdown. Text from records is made harmless."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import click

from asfitted.fleet.sampling_check import Check
from asfitted.fleet.sampling_record import Drawn, SamplingRecord, StratumDrawn
from asfitted.fleet.sampling_words import MOST_FOUND
from asfitted.fleet.strata import UNUSABLE


@dataclass(frozen=True)
class Section:
    """A heading with sentences, items (a name, what it is, more lines) and a table whose first columns are numbers."""

    title: str
    lines: Sequence[str] = ()
    items: Sequence[tuple[str, str, Sequence[str]]] = ()
    heads: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()


def show(sections: Iterable[Section], form: str) -> None:
    """Print sections as ``text`` or as ``markdown``."""
    if form == "markdown":
        click.echo("\n".join(line for section in sections for line in _markdown(section)).strip())
    else:
        for section in sections:
            _text(section)


def _text(section: Section) -> None:
    from asfitted.cli.terminal import heading, say, styled, table_of

    heading(section.title)
    for line in section.lines:
        say(line)
    for name, what, lines in section.items:
        styled(name, "bold", what)
        for line in lines:
            say(line)
    if section.rows:
        table_of(section.rows, section.heads, right=range(len(section.heads) - 1))


def _markdown(section: Section) -> Iterator[str]:
    from asfitted.pages.render import harmless

    yield from (f"## {harmless(section.title)}", "")
    yield from (f"- {harmless(line)}" for line in section.lines)
    for name, what, lines in section.items:
        yield f"- **{harmless(name)}**, {harmless(what)}"
        yield from (f"    - {harmless(line)}" for line in lines)
    if section.rows:
        yield ""
        yield "| " + " | ".join(section.heads) + " |"
        yield "|" + "---:|" * (len(section.heads) - 1) + "---|"
        yield from ("| " + " | ".join(harmless(cell) for cell in row) + " |" for row in section.rows)
    yield ""


def record_sections(made: SamplingRecord) -> Iterator[Section]:
    """Lay a sampling record out to be read."""
    context, plan = made.context, made.plan
    size = f"{made.size} of {len(made.population)} homes drawn"
    asked = f"size {plan.size}" if plan.size else f"what it takes where {plan.faulty} are faulty"
    yield Section(
        "Sampling record",
        [
            f"Day: {context.on}. {size}.",
            f"Seed: {plan.seed}.",
            f"Asked for: {asked}, {plan.accept} accepted, confidence {plan.confidence}, {plan.allocation} allocation.",
            *_revision(made),
        ],
    )
    unusable = [member.home for member in made.population if member.stratum == UNUSABLE]
    yield Section(
        "Population",
        [
            f"{len(made.population)} homes. SHA-256 of the list of their records:",
            made.population_sha256,
            *([f"In the population though they cannot be used: {', '.join(unusable)}."] if unusable else []),
        ],
    )
    yield Section(
        "Strata",
        [f"Under “0 found”: how many of all its homes are faulty at most, at {plan.confidence}, if none drawn is."],
        heads=("homes", "drawn", *(f"{found} found" for found in range(MOST_FOUND + 1)), "stratum"),
        rows=[_row(item) for item in made.strata],
    )
    yield Section("Homes drawn", items=[_item(item) for item in made.drawn])
    yield Section("How they were drawn", made.method)
    yield Section("Formula", made.formula)
    yield Section("What the sample can show", made.shows)
    yield Section("What it cannot show, and what would spoil it", made.cautions)
    yield Section(
        "Rules behind “failing”",
        [
            f"asfitted {context.program}; SHA-256 of its rules:",
            context.rules_sha256,
            *(
                f"{item.name}: {item.title}" + (f"; the firm's own, SHA-256 {item.sha256}" if item.sha256 else "")
                for item in context.rule_sets
            ),
        ],
    )


def _row(item: StratumDrawn) -> tuple[str, ...]:
    most = {bound.found: str(bound.at_most) for bound in item.bounds}
    found = (most.get(number, "") for number in range(MOST_FOUND + 1))
    return str(item.homes), str(item.drawn), *found, item.stratum


def _revision(made: SamplingRecord) -> Iterator[str]:
    revision = made.context.revision
    if revision.commit:
        yield f"Revision of the repository: {revision.commit} of {revision.committed}."
    if changed := revision.changed_since:
        yield f"Homes whose record on disk is not the one committed there: {', '.join(changed)}."
    yield from revision.cautions


def _item(drawn: Drawn) -> tuple[str, str, Sequence[str]]:
    lines = [f"Record: {drawn.revision}; SHA-256:", drawn.record_sha256]
    return drawn.home, drawn.stratum, lines


def check_sections(found: Check, filed: SamplingRecord) -> Iterator[Section]:
    """Lay the check of a filed record out to be read."""
    context, drawn = filed.context, len(filed.drawn)
    where = f"Filed: {drawn} of {len(filed.population)} homes, on {context.on}, seed {filed.plan.seed}."
    faults = [f"{fault[:1].upper()}{fault[1:]}." for fault in found.faults]
    yield Section(
        "The filed record in itself",
        [where, *(faults or ["Its draw follows from its own population and seed."])],
    )
    draw = [f"{line[:1].upper()}{line[1:]}." for line in found.draw]
    yield Section(
        "The draw today",
        draw or ["The same homes come out, each with the record that was drawn."],
    )
    changes = [f"{line[:1].upper()}{line[1:]}." for line in found.changes]
    yield Section("What changed since", changes or ["Nothing that the draw rests on."])
    if found.draw and context.revision.commit:
        yield Section(
            "To repeat it as it was",
            [f"Check {context.revision.commit} out into a folder of its own, and verify there with --homes."],
        )
