"""How loud the alarms are at each bed, as figures on the plan: with inner doors shut, and with them open."""

from collections.abc import Sequence

from asfitted.drawing.ground import Ground, Layer, Telling
from asfitted.drawing.marks import POINTS
from asfitted.drawing.sheet import Entry
from asfitted.drawing.words import capital
from asfitted.dwelling.shapes import Dwelling
from asfitted.model.home import Home
from asfitted.model.words import FittingKind
from asfitted.reckon.hearing import AtBed, HomeSound

BEDS: tuple[FittingKind, ...] = ("bed",)


def sound_layer(dwelling: Dwelling, storey_id: str, home: Home, sound: HomeSound) -> Layer | None:
    """Show the level at each bed of a storey, of the alarm or linked alarms that are heard least there.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        sound: what is heard at every bed of the home.

    Returns:
        The layer; None where nobody sleeps on the storey, or nothing is heard there.
    """
    at_beds: dict[str, list[AtBed]] = {}
    for found in sound.beds:
        if dwelling.rooms[found.bed.room].storey == storey_id and found.weakest is not None:
            at_beds.setdefault(found.bed.called, []).append(found)
    if not at_beds:
        return None
    told = {name: _told(found) for name, found in at_beds.items()}
    says = [f"{capital(name)}: {_said(found)}." for name, found in at_beds.items()]
    notes = [
        "Of the alarms that are heard least at the bed: as measured, or with ≈ as predicted.",
        *([f"Not yet placed on the plan: {', '.join(sound.without_place)}"] if sound.without_place else []),
    ]
    telling = Telling(
        f"sound-{storey_id}",
        f"How loud the alarms are at the beds, {dwelling.storey(storey_id).storey.called}, {home.home.label}",
        [*says, *notes],
        [Entry("ear", "heard at the bed")],
        notes,
    )

    def paint(on: Ground) -> None:
        spots = []
        for same in at_beds.values():
            ear = same[0].bed.ear
            at = on.view.at((ear.x, ear.y))
            POINTS["ear"](on.canvas, "devices", at)
            on.keep(at, 4.2)
            spots.append(at)
        for at, words in zip(spots, told.values(), strict=True):
            on.label(at, words, "d-figure", clear=5.2)

    return Layer(telling, paint, tags={one.tag for found in sound.beds for one in found.heard}, fittings=BEDS)


def _told(found: Sequence[AtBed]) -> list[str]:
    """Give a line for each way the doors stand: the level, and whether it was measured."""
    return [f"{_level(one)}, doors {_doors(one)}" for one in found]


def _said(found: Sequence[AtBed]) -> str:
    return ", ".join(
        f"{one.weakest.level:.0f} dB(A) from {', '.join(one.weakest.tags)} with doors {_doors(one)}"
        for one in found
        if one.weakest is not None
    )


def _doors(one: AtBed) -> str:
    return "shut" if one.doors == "closed" else "open"


def _level(one: AtBed) -> str:
    assert one.weakest is not None
    read = all(heard.measured is not None for heard in one.weakest.heard)
    return f"{'' if read else '≈ '}{one.weakest.level:.0f} dB(A)"
