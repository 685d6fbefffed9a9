"""The dwelling as surveyed: storeys, rooms, openings, fittings, stairs, walls."""

from typing import Any, Literal

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema

from asfitted.language import say, to_say
from asfitted.model.base import Unusable, Value, kinds_as_keys, spread_kind
from asfitted.model.ceiling import Ceiling
from asfitted.model.photo import Photos
from asfitted.model.place import Place, Taped
from asfitted.model.quantity import Coordinate, Length
from asfitted.model.scalar import Id, Text, YesNo
from asfitted.model.walk import Point, Walk
from asfitted.model.words import (
    FITTING_KINDS,
    MATERIALS,
    OPENING_KINDS,
    FittingKind,
    Fuel,
    OpeningKind,
    RoomUse,
    Side,
)

Size = tuple[Length, Length]
FLOORS = {
    "basement": to_say("basement"),
    "cellar": to_say("cellar"),
    "ground": to_say("ground floor"),
    "first": to_say("first floor"),
    "second": to_say("second floor"),
    "third": to_say("third floor"),
    "attic": to_say("attic"),
    "loft": to_say("loft"),
}
"""What a storey without a name of its own is called, by the ids that are usual; the first floor is above the ground."""


class Room(Value):
    """A room by its inside faces: a corner and a size, a place beside another room, or a walk."""

    id: Id = Field(description="the name by which the rest of the record refers to it")
    use: RoomUse = Field(description="what it is for")
    name: Text | None = Field(None, description="what the household calls it; otherwise the id in words")
    corner: Point | None = Field(None, description="south-west corner, metres east and north of the origin")
    beside: Text | None = Field(
        None,
        description="“north of hall, flush west”: behind a wall of the usual thickness, in line with an end "
        "of hall; or “north of hall, 0.40 from west”",
    )
    size: Size | None = Field(None, description="metres west to east, and south to north")
    walk: Walk | None = Field(None, description="for a room that is no rectangle: its walls, one after another")
    height: Ceiling | None = Field(None, description="if other than the storey's")
    heated: YesNo | None = Field(None, description="whether it is kept warm in winter")
    most_used: YesNo | None = Field(None, description="whether it is the living room most used by day")
    dusty: YesNo | None = Field(None, description="whether dust or flour hangs in it, as in a workshop")
    photos: Photos = Field((), description="the room or its ceiling, without the people who live there")
    note: Text | None = Field(None, description="anything else worth knowing")

    @model_validator(mode="after")
    def _one_shape(self) -> "Room":
        if (self.walk is None) == (self.size is None):
            raise Unusable("both a walk and a size" if self.walk else "neither a walk nor a size", "one of the two")
        if self.walk and (self.corner or self.beside):
            raise Unusable("a walk and a place beside it", "the start of the walk in its “from”, and nothing else")
        if self.size and (self.corner is None) == (self.beside is None):
            given = "both a corner and a room beside it" if self.corner else "a size without a place"
            raise Unusable(given, "either a corner, or beside another room")
        if self.size and min(self.size) < 0.2:
            raise Unusable(f"a room of {self.size[0]:g} m by {self.size[1]:g} m", "sides of 0.2 m or more")
        return self

    @property
    def called(self) -> str:
        """The name for people."""
        return self.name or self.id.replace("-", " ")


class Climb(Value):
    """What one can stand on outside an opening: a flat roof, a balcony, a wall."""

    from_: Text = Field(description="flat roof, balcony, porch, garden wall, ...")
    drop: Length = Field(description="from the lower edge of the opening down to it")
    wide: Length | None = Field(None, description="the narrower side of what one stands on")
    reached: YesNo = Field(default=True, description="whether one gets up there without a ladder")


class Opening(Taped):
    """A door, window, rooflight, sliding door or archway in a wall.

    Written with its kind as the key: ``door: hall south`` in an outside wall, ``door: hall - living`` between
    two rooms (``door: hall north-1 - living`` where they share several walls), ``rooflight: loft`` in a
    ceiling.
    """

    kind: OpeningKind = Field(description="usually written as the key: “door: hall south”")
    where: Text = Field(description="“ROOM SIDE”, or “ROOM - ROOM”; for a rooflight the room")
    id: Id = Field(description="the name by which the rest of the record refers to it")
    name: Text | None = Field(None, description="what the household calls it; otherwise the id in words")
    width: Length = Field(description="of the opening itself, along the wall")
    height: Length | None = Field(None, description="of the opening itself; doors are 2.00 m unless given")
    sill: Length = Field(0.0, description="from finished floor to the lower edge")
    to: Literal["outside", "shared"] | None = Field(None, description="where an outer door leads")
    leaf: Literal["timber", "steel", "glass", "plastic", "aluminium", "mirror"] | None = Field(
        None, description="what the leaf is made of"
    )
    hinge: Side | None = Field(None, description="the side of the opening on which it hangs")
    opens: Literal["in", "out"] = Field("in", description="into the first room named, or out of it")
    opening_part: YesNo = Field(default=True, description="no for a pane that cannot be opened")
    key_needed: YesNo = Field(default=False, description="whether a key is needed from inside")
    stands: Literal["open", "shut"] | None = Field(
        None, description="how an inner door stands while the system is set; shut unless given"
    )
    glass: Literal["plain", "double", "toughened", "laminated", "wired"] | None = Field(
        None, description="what its pane is"
    )
    entry: YesNo | None = Field(None, description="yes for the door by which people come home to unset the system")
    climb: Climb | None = Field(None, description="what one can stand on outside to reach it, other than the ground")

    @model_validator(mode="before")
    @classmethod
    def _shorthand(cls, data: Any) -> Any:
        return spread_kind(data, OPENING_KINDS, "where")

    @model_validator(mode="after")
    def _wide_enough(self) -> "Opening":
        if self.width < 0.05:
            raise Unusable(f"an opening {self.width:g} m wide", "a width of 0.05 m or more")
        if self.height is not None and self.height < 0.05:
            raise Unusable(f"an opening {self.height:g} m high", "a height of 0.05 m or more")
        return self

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Say in the schema that the kind may be the key."""
        return kinds_as_keys(handler.resolve_ref_schema(handler(core)), OPENING_KINDS, "where")

    @property
    def called(self) -> str:
        """The name for people."""
        return self.name or self.id.replace("-", " ")


class Fitting(Place):
    """Whatever bears on where a device may go: a light, vent, cooker, socket, router, beam, tall furniture.

    Written with its kind as the key and the room behind it: ``light: living``.
    """

    kind: FittingKind = Field(description="usually written as the key: “light: living”")
    id: Id | None = Field(None, description="a name of its own, where there are several")
    size: Size | None = Field(None, description="metres west to east, and south to north")
    depth: Length | None = Field(None, description="how far a beam hangs below the ceiling")
    burns: Fuel | None = Field(
        None, description="the fuel of a boiler, stove, heater or cooker, or of what a chimney serves"
    )
    lamp: Literal["fluorescent", "other"] | None = Field(None, description="the kind of lamp in a light")
    movable: YesNo | None = Field(None, description="whether it is moved about: a portable heater, a lamp on a table")
    flue: Literal["balanced", "open", "none"] | None = Field(None, description="balanced (room-sealed), open, or none")
    added: Text | None = Field(None, description="since when, if it came later")
    note: Text | None = Field(None, description="anything else worth knowing")

    @model_validator(mode="before")
    @classmethod
    def _shorthand(cls, data: Any) -> Any:
        return spread_kind(data, FITTING_KINDS, "in")

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Say in the schema that the kind may be the key."""
        return kinds_as_keys(handler.resolve_ref_schema(handler(core)), FITTING_KINDS, "in")

    @property
    def called(self) -> str:
        """The name for people."""
        return self.id.replace("-", " ") if self.id else say(self.kind.replace("-", " "))


class Stair(Taped):
    """A flight of stairs: the rectangle it takes up in a room, and the room above where it arrives."""

    id: Id = Field(description="the name by which the rest of the record refers to it")
    in_: Id = Field(description="the room where it starts")
    to: Id = Field(description="the room of a higher storey where it arrives")
    size: Size = Field(description="metres west to east, and south to north")
    up: Side = Field(description="the direction in which one climbs")


class WallMake(Value):
    """How thick a wall is and what it is made of."""

    thickness: Length = Field(description="from face to face, plaster included")
    of: MATERIALS = Field(description="what most of it is made of")

    @model_validator(mode="after")
    def _like_a_wall(self) -> "WallMake":
        if not 0.01 <= self.thickness <= 2.0:
            raise Unusable(f"a wall {self.thickness:g} m thick", "from 0.01 to 2 m")
        return self


class Walls(Value):
    """The walls of a storey where nothing else is said."""

    outside: WallMake = Field(WallMake(thickness=0.30, of="brick"), description="between a room and the open air")
    inside: WallMake = Field(WallMake(thickness=0.10, of="stud"), description="between two rooms")


class Storey(Value):
    """One floor level and all that stands on it."""

    id: Id = Field(description="the name by which the rest of the record refers to it")
    name: Text | None = Field(None, description="what the household calls it; otherwise the id and “floor”")
    level: Coordinate | None = Field(
        None, description="finished floor above the ground outside; otherwise stacked on the storey below"
    )
    height: Ceiling = Field(description="of the ceilings, where a room says nothing else")
    walls: Walls = Field(Walls(), description="thickness and material of its walls")
    rooms: tuple[Room, ...] = Field(min_length=1, description="every room, hall, cupboard and shaft")
    openings: tuple[Opening, ...] = Field((), description="doors, windows, rooflights and archways")
    fittings: tuple[Fitting, ...] = Field((), description="what bears on where a device may go")
    stairs: tuple[Stair, ...] = Field((), description="flights that start on this storey")
    note: Text | None = Field(None, description="anything else worth knowing")

    @property
    def called(self) -> str:
        """The name for people."""
        usual = FLOORS.get(self.id)
        return self.name or (say(usual) if usual else say("{storey} floor", storey=self.id.replace("-", " ")))
