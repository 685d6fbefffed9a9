"""Which openings can be reached from outside without a ladder, and what watches them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import hypot
from typing import Any

from asfitted.dwelling.shapes import PlacedOpening
from asfitted.dwelling.ways import above_ground, open_plan
from asfitted.model.base import Path
from asfitted.rules.case import Case, Placed
from asfitted.rules.finding import Subject


@dataclass(frozen=True, slots=True)
class Access:
    """Whether an opening can be reached: yes, no, or None where the record does not tell; why, and if that is sure."""

    reached: bool | None
    why: str
    sure: bool = True


def openings(case: Case) -> Iterator[tuple[Path, PlacedOpening, Subject]]:
    """Give every opening of the record with its place there, and as the subject of a finding."""
    for index, storey in enumerate(case.home.storeys):
        for number, written in enumerate(storey.openings):
            placed = case.dwelling.openings[written.id]
            subject = Subject("opening", placed.id, written.called, placed.rooms[0], storey.id)
            yield ("storeys", index, "openings", number), placed, subject


def reached(case: Case, options: Mapping[str, Any], most: float) -> dict[str, Access]:
    """Tell of each outer opening whether it can be reached.

    Args:
        case: the home.
        options: ``drop``, metres down to what one can stand on, which is ``wide`` or wider; ``least-area`` and
            ``least-side`` of an opening that one gets through; ``surely``, metres above ground up to which nobody
            doubts that it can be reached; ``neighbour``, metres from another such opening, if that counts.
        most: metres above ground up to which the lower edge is in reach.
    """
    outer = {name: opening for name, opening in case.dwelling.openings.items() if opening.is_outer}
    found = {name: _access(case, opening, options, most) for name, opening in outer.items()}
    near = options.get("neighbour")
    while near is not None:
        more = {
            name: Access(
                reached=True, why=f"within {near:g} m of the {outer[other].opening.called}", sure=found[other].sure
            )
            for name, access in found.items()
            if access.reached is False and not _small(outer[name], options)
            for other in sorted(found, key=lambda one: not found[one].sure)
            if found[other].reached and _apart(case, outer[name], outer[other]) <= near
        }
        if not more:
            break
        found |= more
    return found


def _access(case: Case, opening: PlacedOpening, options: Mapping[str, Any], most: float) -> Access:
    height, surely = above_ground(case.dwelling, opening), options.get("surely", most)
    if _small(opening, options):
        return Access(reached=False, why="too small to get through")
    if opening.opening.to == "shared":
        return Access(reached=True, why="from a shared space")
    climbed = _climbed(opening, options)
    if height <= surely or (height <= most and not climbed.reached):
        return Access(reached=True, why=f"{height:.2f} m above the ground", sure=height <= surely)
    return climbed if climbed.why else Access(reached=False, why=f"{height:.2f} m above the ground")


def _climbed(opening: PlacedOpening, options: Mapping[str, Any]) -> Access:
    climb = opening.opening.climb
    if climb is None:
        return Access(reached=False, why="")
    below = f"{climb.drop:.2f} m above the {climb.from_}"
    if not climb.reached or climb.drop > options["drop"]:
        return Access(reached=False, why=f"{below}, {'too far' if climb.reached else 'which needs a ladder'}")
    if climb.wide is None:
        return Access(reached=None, why=f"{below}, of which no width is recorded")
    return Access(reached=climb.wide >= options["wide"], why=f"{below}, {climb.wide:.2f} m wide")


def _small(opening: PlacedOpening, options: Mapping[str, Any]) -> bool:
    """Whether nobody gets through; an opening whose height is not recorded is judged by its width."""
    height = opening.opening.height
    sides = [opening.opening.width] if height is None else [opening.opening.width, height]
    area = opening.opening.width * opening.height
    return min(sides) <= options["least-side"] or (height is not None and area <= options["least-area"])


def _apart(case: Case, one: PlacedOpening, other: PlacedOpening) -> float:
    """Give metres between two openings, straight, on the plan and up."""
    level, shape = (above_ground(case.dwelling, one), above_ground(case.dwelling, other)), one.outline or one.line
    up = max(level[1] - level[0] - one.height, level[0] - level[1] - other.height, 0.0)
    return hypot(float(shape.distance(other.outline or other.line)), up)


def in_service(case: Case, *kinds: str) -> Iterator[Placed]:
    """Give the devices of some kinds that are fitted by the day."""
    return (placed for placed in case.of_kinds(kinds) if placed.device.fitted_by(case.on))


def watchers(case: Case, opening: PlacedOpening, *kinds: str) -> list[str]:
    """Give the tags of what watches an opening: contacts on it, and detectors in the room behind it.

    Rooms joined by archways are one room; a detector behind glass sees nothing, so one next door does not count.
    """
    behind = open_plan(case.dwelling, opening.rooms[0])
    return [
        placed.tag
        for placed in in_service(case, *kinds)
        if (
            placed.spot.opening is not None and placed.spot.opening.id == opening.id
            if placed.device.kind == "opening contact"
            else placed.spot.room in behind and placed.spot.fixed != "outside"
        )
    ]
