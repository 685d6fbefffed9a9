"""The root of a record: one home."""

from typing import Any, Literal

from pydantic import Field, model_validator

from asfitted.model.base import Unusable, Value
from asfitted.model.building import Room, Storey
from asfitted.model.device import Device
from asfitted.model.quantity import Angle, Duration, Latitude, Longitude, Mass
from asfitted.model.scalar import Count, Day, Id, Tag, Text, YesNo
from asfitted.model.system import System
from asfitted.model.visit import Visit
from asfitted.model.words import LanguageCode


class HomeFacts(Value):
    """What the firm calls the home, and what bears on the whole of it."""

    label: Text = Field(description="a plain name that gives nobody away: “Terrace house with a gas boiler”")
    reference: Text | None = Field(None, description="the firm's own file number")
    rules: Id = Field("common", description="the rule set this home is judged by")
    rented: YesNo | None = Field(None, description="whether it is let; law often asks more of a landlord")
    coastal: YesNo | None = Field(None, description="whether it stands by the sea, where salt eats what hangs outside")
    new: YesNo | None = Field(None, description="whether it is built or altered under the building rules of today")
    language: LanguageCode = Field("en", description="the language of the household's pages")
    place: tuple[Latitude, Longitude] | None = Field(
        None, description="latitude and longitude to a tenth of a degree, for the sun only"
    )
    plan_north: Angle = Field(0.0, description="compass bearing of the plan's upper edge")
    note: Text | None = Field(None, description="anything else worth knowing")

    @model_validator(mode="after")
    def _coarse_place(self) -> "HomeFacts":
        if self.place and any(abs(x * 10 - round(x * 10)) > 1e-6 for x in self.place):
            raise Unusable(
                "a place finer than a tenth of a degree",
                "one decimal, such as [54.0, -2.8]",
                "A finer one would tell the house; the sun needs no more.",
            )
        return self


class Pet(Value):
    """An animal that walks about when the system is set."""

    kind: Text = Field(description="dog, cat, ...")
    mass: Mass = Field(description="what it weighs")
    roams: tuple[Id, ...] = Field((), description="rooms; all of them where none is named")


class Keyholders(Value):
    """How many people besides the householder hold a key, and when they last agreed. Never who."""

    named: Count = Field(description="how many, the householder not counted")
    confirmed: Day | None = Field(None, description="the day they last agreed")
    within: Duration | None = Field(None, description="how soon the slowest of them can be there")
    shown: YesNo | None = Field(None, description="whether they were shown how to unset and silence it")


class Household(Value):
    """Facts about the people that bear on siting. No names, no telephone numbers."""

    sleepers: dict[Id, Count] = Field({}, description="how many sleep in which room")
    hard_of_hearing: dict[Id, Count] = Field({}, description="how many in which room may not hear an alarm")
    needs_help_out: dict[Id, Count] = Field({}, description="how many in which room need help to leave")
    pets: tuple[Pet, ...] = Field((), description="animals that walk about when the system is set")
    keyholders: Keyholders | None = Field(None, description="how many people hold a key; never who")
    valued_rooms: tuple[Id, ...] = Field((), description="rooms that hold what an intruder would look for")


class Variation(Value):
    """A departure from a rule, agreed in writing."""

    rule: Id = Field(description="the id of the rule")
    device: Tag | None = Field(None, description="the device it is about, if it is about one")
    room: Id | None = Field(None, description="the room it is about, if it is about one")
    opening: Id | None = Field(None, description="the door or window it is about, if it is about one")
    why: Text = Field(description="the reason")
    agreed: Text = Field(description="by whom; a role, never a name")
    on: Day = Field(description="the day it was agreed")
    until: Day | None = Field(None, description="the day it ends, if it does")


class Home(Value):
    """A home: the whole of one record."""

    record: Literal[1] = Field(description="version of the record format")
    home: HomeFacts = Field(description="what bears on the whole home")
    household: Household = Field(Household(), description="facts about the people that bear on siting; no names")
    system: System = Field(System(), description="how the system as a whole is graded and set")
    storeys: tuple[Storey, ...] = Field(min_length=1, description="floor levels from the lowest to the highest")
    devices: dict[Tag, Device] = Field({}, description="every device by the tag written on it")
    visits: tuple[Visit, ...] = Field((), description="what was done, oldest first; append only")
    variations: tuple[Variation, ...] = Field((), description="departures from rules, agreed in writing")

    @model_validator(mode="before")
    @classmethod
    def _known_version(cls, data: Any) -> Any:
        return {**data, "record": 1} if isinstance(data, dict) and data.get("record") == "1" else data

    @property
    def rooms(self) -> dict[str, Room]:
        """Every room by its id, storey by storey."""
        return {room.id: room for storey in self.storeys for room in storey.rooms}
