"""A room walked wall by wall."""

import re
from typing import Annotated

from pydantic import BeforeValidator, Field, WithJsonSchema

from asfitted.model.base import Unusable, Value, shown
from asfitted.model.quantity import Coordinate, Length, read_quantity
from asfitted.model.words import Instrument

Point = tuple[Coordinate, Coordinate]

BEARINGS = {"N": 0.0, "NE": 45.0, "E": 90.0, "SE": 135.0, "S": 180.0, "SW": 225.0, "W": 270.0, "NW": 315.0}
"""Degrees clockwise from the plan's upper edge."""

_LEG = re.compile(r"\s*(N|NE|E|SE|S|SW|W|NW|[0-9]+(?:\.[0-9]+)?\s*(?:deg|°))\s+(\S.*)")


class Leg(Value):
    """One wall of a walked room: its bearing in degrees clockwise from the plan's upper edge, and metres."""

    bearing: float
    length: Length


def _read_leg(value: object) -> object:
    if isinstance(value, Leg):
        return value
    match = _LEG.fullmatch(str(value)) if isinstance(value, str) else None
    if not match:
        raise Unusable(shown(value), "a direction and a length, such as E 4.62 or 37.5 deg 2.10")
    way, length = match[1], match[2]
    bearing = BEARINGS[way] if way in BEARINGS else read_quantity(way, "degree")
    if not 0 <= bearing < 360:
        raise Unusable(shown(value), "a direction from 0 up to 360 degrees")
    if read_quantity(length, "metre") <= 0:
        raise Unusable(shown(value), "a wall longer than nothing")
    return {"bearing": bearing, "length": length}


_LEG_SCHEMA = {
    "type": "string",
    "pattern": r"^\s*(N|NE|E|SE|S|SW|W|NW|[0-9]+(\.[0-9]+)?\s*(deg|°))\s+[0-9]",
    "description": "one wall: direction and length, such as E 4.62 or 37.5 deg 2.10",
    "examples": ["E 4.62"],
}


class Walk(Value):
    """An odd room walked along its walls from a corner back to it, each wall a direction and a length."""

    from_: Point = Field(description="the corner where the walk starts, metres east and north of the origin")
    legs: tuple[Annotated[Leg, BeforeValidator(_read_leg), WithJsonSchema(_LEG_SCHEMA)], ...] = Field(
        min_length=3, max_length=60, description="the walls in order round the room, back to the first corner"
    )
    by: Instrument = Field("laser", description="what the walls were measured with; sets the closing error allowed")
