"""``asfitted where``."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from asfitted.cli.options import EXIT_UNUSABLE, chosen, homes_option, on_option

if TYPE_CHECKING:
    from asfitted.dwelling.shapes import RoomShape
    from asfitted.fleet.load import Loaded
    from asfitted.rules.case import Case
    from asfitted.rules.catalogue import Catalogue
    from asfitted.rules.placing import Candidate, Zone


@click.command()
@click.argument("home")
@click.argument("room")
@click.argument("kind", nargs=-1, required=True)
@homes_option
@on_option
@click.option("--set", "rule_set", help="The rule set to go by; the home's own unless given.")
@click.option("--across", metavar="LENGTH", help="How wide the device is, for rules that measure to its edge.")
@click.option("--wall", help="Look at this wall alone, and draw it.")
@click.option("--svg", type=click.Path(path_type=Path, dir_okay=False), help="Draw the answer into this file.")
def command(
    home: str,
    room: str,
    kind: tuple[str, ...],
    homes: Path,
    on: date,
    rule_set: str | None,
    across: str | None,
    wall: str | None,
    svg: Path | None,
) -> None:
    """Say where in a room a device may go, before anything is drilled.

    HOME is the name of a folder of homes, ROOM the id of a room, KIND the kind of the device.

    \b
    Examples:
      asfitted where mill-cottage living smoke alarm
      asfitted where mill-cottage hall "carbon monoxide alarm" --svg hall.svg
      asfitted where mill-cottage hall motion detector --wall north --svg wall.svg
    """
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.load import load_catalogue, load_homes
    from asfitted.model.words import READING_TOLERANCE
    from asfitted.rules.where import where

    named, own = chosen(homes, (home,)), load_catalogue(homes)
    (loaded,) = load_homes(homes, on, named, with_revision=svg is not None, own=own)
    for trouble in (*own[1], *loaded.troubles):
        show_trouble(trouble)
    if loaded.dossier is None:
        sys.exit(EXIT_UNUSABLE)
    case = _case(loaded, rule_set, own[0])
    shape, candidate = _room(case, room), _candidate(" ".join(kind), across)
    asked = None if wall is None else f"{_wall(shape, wall)} wall"
    spare = READING_TOLERANCE["tape"]
    zones = [zone for zone in where(case, candidate, shape, spare) if asked in (None, zone.surface.called)]
    _answer(case, candidate, shape, zones)
    if svg is not None:
        _draw(svg, loaded, shape, candidate, zones, alone=wall is not None)


def _case(loaded: "Loaded", named: str | None, catalogue: "Catalogue") -> "Case":
    """Give the home as a case, by its own rule set or the one named."""
    from asfitted.rules.case import Case
    from asfitted.rules.rule_set import rule_set

    assert loaded.dossier is not None
    dossier, rules = loaded.dossier, loaded.dossier.rules
    if named is not None:
        if named not in catalogue.names():
            raise click.UsageError(_unknown("rule set", named, catalogue.names()))
        rules = rule_set(catalogue, named)
    return Case(dossier.home, dossier.dwelling, dossier.on, rules)


def _room(case: "Case", name: str) -> "RoomShape":
    rooms = case.dwelling.rooms
    if name not in rooms:
        raise click.UsageError(_unknown("room", name, list(rooms)))
    return rooms[name]


def _wall(room: "RoomShape", name: str) -> str:
    names = [wall.name for wall in room.walls]
    if name not in names:
        raise click.UsageError(_unknown("wall", name, names))
    return name


def _candidate(kind: str, across: str | None) -> "Candidate":
    from typing import get_args

    from asfitted.model.base import Unusable
    from asfitted.model.quantity import read_quantity
    from asfitted.model.words import DeviceKind
    from asfitted.rules.placing import Candidate
    from asfitted.rules.where import ELSEWHERE

    kinds = list(get_args(DeviceKind))
    kind = next((known for known in kinds if known.replace("-", " ") == kind.replace("-", " ")), kind)
    if kind not in kinds:
        raise click.UsageError(_unknown("kind of device", kind, kinds))
    if kind in ELSEWHERE:
        article = "an" if kind[0] in "aeiou" else "a"
        raise click.UsageError(
            f"{article} {kind} goes {ELSEWHERE[kind]}; asfitted rules shows what it is asked to meet"
        )
    try:
        wide = read_quantity(across, "metre") if across else 0.0
    except Unusable as reason:
        raise click.UsageError(f"--across: {reason}") from reason
    if not 0.0 <= wide <= 1.0:
        raise click.UsageError(f"--across: {wide:g} m is no width of a device; write it as “110 mm”")
    return Candidate(kind, None, wide)


def _unknown(what: str, name: str, known: list[str]) -> str:
    from asfitted.model.base import did_you_mean, shown

    near = did_you_mean(name, known) or f"There are: {', '.join(known)}"
    return f"no {what} {shown(name)}. {near}"


def _answer(case: "Case", candidate: "Candidate", room: "RoomShape", zones: "list[Zone]") -> None:
    from asfitted.cli.terminal import heading, say
    from asfitted.model.words import READING_TOLERANCE
    from asfitted.rules.judgement import listed
    from asfitted.rules.where import not_placed, rules_bearing

    heading(f"{candidate.kind} in the {room.room.called}, by the rule set of {case.rules.facts.title}")
    say(f"With {READING_TOLERANCE['tape']:.2f} m to spare beyond every limit, for what the tape may be out.")
    for zone in zones:
        heading(_amount(zone))
        _best(case, candidate, zone)
    rules = rules_bearing(zones)
    heading("The rules that bear on it" if rules else "No rule about the place of a device bears on it here.")
    for ban in rules.values():
        doubt = " Not certain: look it up." if ban.limit.weak else ""
        says = f"{ban.rule.title}: {ban.limit.figure}" if ban.limit.figure else ban.rule.title
        say(f"{says}; {ban.limit.by_whom}.{doubt}")
    if lost := not_placed(case, candidate.kind, room):
        say(f"The record does not say where {listed(lost)} is, so that is left out: measure it first.")
    say("Pipes, cables and joists are not in the record. Rules that do not depend on the place: asfitted check.")


def _amount(zone: "Zone") -> str:
    """Say how much of a surface will do."""
    surface = zone.surface
    name = surface.called[:1].upper() + surface.called[1:]
    if not zone.has_place:
        return f"{name}: no place"
    if surface.wall is None:
        return f"{name}: {zone.shape.area:.1f} of {surface.whole.area:.1f} m² will do"
    _, low, _, high = zone.shape.bounds
    metres = sum(stretch.length for stretch in zone.stretches)
    return (
        f"{name}: {metres:.2f} of {surface.wall.length:.2f} m will do, "
        f"between {low:.2f} and {high:.2f} m above the floor"
    )


def _best(case: "Case", candidate: "Candidate", zone: "Zone") -> None:
    """Say the best place of a surface, or which rules leave none."""
    from asfitted.cli.terminal import say
    from asfitted.rules.checks import PLACINGS
    from asfitted.rules.placing import Trial
    from asfitted.rules.placing import zone as zone_of
    from asfitted.rules.where import best_place, conflict_words

    best = best_place(zone)
    if best is None:
        tight = zone_of(Trial(case, candidate, zone.surface), PLACINGS)
        best = best_place(tight)
        if best is None:
            say(f"{conflict_words(tight)}.")
            return
        say("With nothing to spare there is one, to be measured with care and borderline by the tape:")
    wall, ceiling = zone.surface.wall, zone.surface.room.ceiling
    level = "" if wall is not None or ceiling.is_flat else ", measured level and not along the slope"
    say(f"Best: {best.says}{level}. There it is {best.clear:.2f} m clear of every limit.")


def _draw(
    file: Path, loaded: "Loaded", room: "RoomShape", candidate: "Candidate", zones: "list[Zone]", *, alone: bool
) -> None:
    from asfitted.cli.terminal import say
    from asfitted.drawing.drawing import TitleBlock
    from asfitted.drawing.room import room_diagram
    from asfitted.drawing.wall import wall_elevation

    dossier = loaded.dossier
    assert dossier is not None
    facts = dossier.home.home
    subject = f"{room.room.called}: {candidate.kind}"
    block = TitleBlock(facts.label, facts.reference or "", subject, dossier.revision.words, dossier.on)
    if alone:
        drawing = wall_elevation(dossier.dwelling, dossier.home, block, zones[0], candidate.kind)
    else:
        drawing = room_diagram(dossier.dwelling, room.id, dossier.home, block, zones=zones, kind=candidate.kind)
    try:
        file.write_text(drawing.alone, encoding="utf-8")
    except OSError as reason:
        raise click.UsageError(f"{file} cannot be written: {reason.strerror}") from reason
    say(f"Drawn at 1:{drawing.scale} in {file}.")
