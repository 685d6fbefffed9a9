"""What is heard at a bed: each device alone, and what sounds together."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from asfitted.reckon.crossings import End
from asfitted.reckon.passages import Doors, Passage
from asfitted.reckon.room_sound import heard, levels, summed, together
from asfitted.reckon.standard import standard
from asfitted.reckon.uncertainty import uncertainty
from asfitted.reckon.working import Input, Step, Working, number

_ASK = "Sound it, measure at the bed, and record level and doors."
_FIELD = "Each room is taken for one even field of sound, and the loudest way counts alone."
_CAVEATS: tuple[str, ...] = (
    "A prediction is no proof: measure at the bed with the doors shut.",
    f"{_FIELD} Long halls carry less; round edges and along pipes more comes through.",
    "It says nothing of who wakes: deep sleep, drink, medicines, a noisy fan or weak hearing need more.",
)

Readings = Mapping[tuple[str, str], Mapping[str | None, tuple[float, date]]]
"""The last level measured of a device in a room, and its day, for each way the doors stood; None where not recorded."""


@dataclass(frozen=True, slots=True)
class Bed:
    """Where somebody sleeps: the room, the ear, and how many in the room may not hear an alarm.

    ``recorded`` tells whether a bed is recorded; without one it is the middle of the room.
    """

    called: str
    room: str
    ear: End
    recorded: bool
    hard_of_hearing: int = 0


@dataclass(frozen=True)
class Heard:
    """One device at one bed.

    Attributes:
        tag: the device.
        ways: what the sound goes through, in order; nothing in the room of the bed.
        inputs: of the prediction, by symbol.
        title: of its sheet.
        measured: the level that counts instead, and its day; None where none was measured with doors like that.
    """

    tag: str
    ways: tuple[Passage, ...]
    inputs: Mapping[str, Input]
    title: str
    measured: tuple[float, date] | None = None

    @cached_property
    def working(self) -> Working:
        """The prediction; its result is the level at the bed, dB(A)."""
        caveats = _CAVEATS
        if self.measured:
            level, day = self.measured
            caveats = (*caveats, f"{number(level, 1)} dB(A) was measured on {day}; it beats this prediction.")
        return replace(heard(self.inputs, self.title), caveats=caveats)

    @property
    def level(self) -> float:
        """The level that counts, dB(A): as measured, or else as predicted."""
        return self.measured[0] if self.measured else levels(self.inputs)[-1]

    @cached_property
    def spread(self) -> float:
        """By how much the level that counts may be out, dB."""
        if self.measured:
            return standard("sound", "meter-u").value
        return uncertainty(self.trial, self.inputs)

    def trial(self, inputs: Mapping[str, Input]) -> Working:
        """Give the level for other inputs, as a working of its last line alone: its figures are not wanted a trial."""
        last = self.working.result
        line = Step(last.symbol, last.meaning, last.formula, last.figures, levels(inputs)[-1], last.unit)
        return Working(self.title, (), (line,))

    def as_input(self) -> Input:
        """Give the level as an input of what sounds together."""
        symbol, meaning = f"L_{self.tag}", f"level of {self.tag} alone"
        if self.measured:
            return Input(symbol, meaning, self.level, "dB(A)", "measured", f"visit of {self.measured[1]}", self.spread)
        return Input(symbol, meaning, self.level, "dB(A)", "assumed", "predicted on its own sheet", self.spread, _ASK)


@dataclass(frozen=True)
class Together:
    """Devices that sound together, at one bed; ``fire`` tells alarms from sounders."""

    heard: tuple[Heard, ...]
    title: str
    fire: bool

    @property
    def tags(self) -> tuple[str, ...]:
        """The devices."""
        return tuple(one.tag for one in self.heard)

    @property
    def inputs(self) -> dict[str, Input]:
        """The level of each, by symbol."""
        return {given.symbol: given for given in (one.as_input() for one in self.heard)}

    @cached_property
    def working(self) -> Working:
        """The sum; its result is the level at the bed, dB(A)."""
        return replace(together(self.inputs, self.title), caveats=_CAVEATS)

    @cached_property
    def level(self) -> float:
        """The level of all of them at the bed, dB(A)."""
        return summed(one.level for one in self.heard)


@dataclass(frozen=True)
class AtBed:
    """What is heard at one bed with the inner doors shut or open.

    Attributes:
        bed: where.
        doors: how the inner doors stand.
        heard: each device alone, the loudest first.
        together: what sounds together, the quietest first; a fire may be noticed by any of them.
        woken_by: alarms in the room that wake by more than ordinary sound.
    """

    bed: Bed
    doors: Doors
    heard: tuple[Heard, ...]
    together: tuple[Together, ...]
    woken_by: tuple[str, ...] = ()

    @property
    def weakest(self) -> Together | None:
        """The alarm or linked alarms that are heard least; sounders only in a home without alarms."""
        return next((group for group in self.together if group.fire), next(iter(self.together), None))

    @property
    def needs_other_means(self) -> bool:
        """Whether somebody here may not hear an alarm, and none in the room wakes by anything else."""
        return self.bed.hard_of_hearing > 0 and not self.woken_by


@dataclass(frozen=True)
class HomeSound:
    """The sound at every bed, doors shut and open, and the devices that are left out: no place, or outdoors."""

    beds: tuple[AtBed, ...]
    without_place: tuple[str, ...] = ()
    outdoors: tuple[str, ...] = ()

    @property
    def weakest(self) -> AtBed | None:
        """The bed at which least is heard with doors shut, when the alarm that is heard least notices first."""
        shut = [(bed.weakest.level, bed) for bed in self.beds if bed.doors == "closed" and bed.weakest is not None]
        return min(shut, key=lambda found: (found[0], found[1].bed.called), default=(0.0, None))[1]
