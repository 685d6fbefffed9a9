"""Where something is, as a tape shows it."""

from pydantic import Field, model_validator

from asfitted.model.base import Unusable, Value, key_of
from asfitted.model.quantity import Angle, Length
from asfitted.model.scalar import Id, Text
from asfitted.model.words import Corner, Instrument, Side

_TAPE = "horizontal distance from the wall on the {} side of the room"


class Taped(Value):
    """Horizontal distances taken from walls of a room, each by the side it was taken from."""

    from_north: Length | None = Field(None, description=_TAPE.format("north"))
    from_east: Length | None = Field(None, description=_TAPE.format("east"))
    from_south: Length | None = Field(None, description=_TAPE.format("south"))
    from_west: Length | None = Field(None, description=_TAPE.format("west"))

    @property
    def tapes(self) -> dict[Side, float]:
        """The distances taken, in metres, by the side they were taken from."""
        found: dict[Side, float | None] = {
            "north": self.from_north,
            "east": self.from_east,
            "south": self.from_south,
            "west": self.from_west,
        }
        return {side: value for side, value in found.items() if value is not None}


class Place(Taped):
    """A position in a room by tape, never by computed coordinates.

    ``on: ceiling of living`` with two distances; ``in: living`` with ``wall: east`` and one distance, with a
    ``corner``, or with two distances for something that stands on the floor; ``on: front-door`` for an
    opening; ``outside: kitchen north`` for the outer face of a wall. A distance goes from the named wall,
    horizontally, to the middle of the thing. A height goes from finished floor to its middle.
    """

    on: Text | None = Field(None, description="“ceiling of ROOM”, or the id of an opening")
    in_: Id | None = Field(None, description="the room")
    outside: Text | None = Field(None, description="“ROOM SIDE”: on the outer face of that wall")
    wall: Text | None = Field(
        None,
        description="the wall of the room: north, east, south, west or, where it has two such walls, north-1",
    )
    corner: Corner | None = Field(None, description="in that corner of the room")
    height: Length | None = Field(None, description="above finished floor, to the middle")
    facing: Side | Corner | Angle | None = Field(
        None,
        description="what it looks at: a side, a corner, or a bearing clockwise from the plan's upper edge",
    )
    by: Instrument = Field("tape", description="how it was measured; sets the tolerance")

    @property
    def placed(self) -> bool:
        """Whether it says in which room, on which opening or outside which wall the thing is."""
        return self.on is not None or self.in_ is not None or self.outside is not None

    @model_validator(mode="after")
    def _says_one_place(self) -> "Place":
        given = [name for name in ("on", "in_", "outside") if getattr(self, name) is not None]
        if len(given) > 1:
            raise Unusable("both “" + "” and “".join(map(key_of, given)) + "”", "one of them")
        named = [name for name in ("wall", "corner") if getattr(self, name) is not None]
        if named and self.in_ is None:
            raise Unusable(f"a {named[0]} of no room", f"“in: ROOM” beside “{named[0]}”")
        if len(named) > 1:
            raise Unusable("both a wall and a corner", "one of them")
        if self.corner and self.tapes:
            raise Unusable("a corner and a distance", "one of them; a distance goes with “wall”")
        return self
