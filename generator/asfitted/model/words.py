"""The words a record may use. Adding one here adds it to the schema, the errors and the handbook."""

from typing import Literal, get_args

Side = Literal["north", "east", "south", "west"]
Corner = Literal["north-east", "south-east", "south-west", "north-west"]

RoomUse = Literal[
    "living",
    "dining",
    "bedroom",
    "kitchen",
    "study",
    "circulation",
    "bathroom",
    "toilet",
    "utility",
    "garage",
    "loft",
    "sunroom",
    "store",
    "void",
]
"""What a room is for. A *void* is a shaft, duct or chimney breast that nobody enters."""

OpeningKind = Literal["door", "window", "rooflight", "sliding-door", "archway"]

FittingKind = Literal[
    "light",
    "decoration",
    "air-vent",
    "fan",
    "ceiling-fan",
    "air-conditioner",
    "heater",
    "stove",
    "boiler",
    "cooker",
    "shower",
    "socket",
    "router",
    "modem",
    "beam",
    "tall-furniture",
    "bed",
    "chimney",
    "consumer-unit",
]

DeviceKind = Literal[
    "smoke alarm",
    "heat alarm",
    "carbon monoxide alarm",
    "motion detector",
    "opening contact",
    "glass-break detector",
    "flood detector",
    "indoor sounder",
    "outdoor sounder",
    "keypad",
    "control unit",
    "repeater",
    "hold-up button",
]

VisitKind = Literal[
    "survey",
    "installation",
    "commissioning",
    "service",
    "alteration",
    "call-out",
    "removal",
    "household test",
]

Checked = Literal[
    "codes changed",
    "clock set",
    "events read",
    "zone names",
    "labels",
    "batteries dated",
    "false alarms asked for",
    "changes in the home asked for",
]
"""What is looked at on a visit besides the tests of single devices."""

Taught = Literal[
    "set and unset",
    "part set",
    "call off a false alarm",
    "test the alarms",
    "silence an alarm",
    "change batteries",
    "what to do when it sounds",
    "what changes to tell",
    "log book",
]
"""What the household was shown how to do."""

Grade = Literal["1", "2", "3", "4"]
"""Security grade of an intruder system or of a part of one, by EN 50131-1."""

Instrument = Literal["laser", "tape", "eye"]

CoreSize = Literal[
    "0.14",
    "0.22",
    "0.25",
    "0.34",
    "0.5",
    "0.75",
    "1",
    "1.5",
    "2.5",
    "4",
    "26 AWG",
    "24 AWG",
    "22 AWG",
    "20 AWG",
    "18 AWG",
]
"""The copper of one core of a cable: square millimetres, or its number by American wire gauge."""

LanguageCode = Literal["en", "nb", "de", "es"]
"""The languages of a household's pages, by BCP 47."""

Fuel = Literal["gas", "oil", "wood", "coal", "pellets"]

MATERIALS = Literal[
    "brick", "stone", "concrete", "block", "timber frame", "stud", "foil-backed board", "steel", "glass"
]

OPENING_KINDS: tuple[OpeningKind, ...] = get_args(OpeningKind)
FITTING_KINDS: tuple[FittingKind, ...] = get_args(FittingKind)
DEVICE_KINDS: tuple[DeviceKind, ...] = get_args(DeviceKind)

READING_TOLERANCE: dict[Instrument, float] = {"laser": 0.01, "tape": 0.02, "eye": 0.15}
"""Metres by which one distance taken with each instrument may be out (common practice, no source): a laser's
own error is a few millimetres, but plaster is not flat and the alarm's middle is judged."""

LEG_TOLERANCE: dict[Instrument, float] = {"laser": 0.02, "tape": 0.03, "eye": 0.25}
"""Metres that each measured leg of a walked room may add to the closing error before the walk is refused
(common practice, no source): walls are rarely square, so more than the instrument's own error is allowed."""
