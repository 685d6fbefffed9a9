"""Devices: what they are, where, and how they are set."""

import re
from datetime import date
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, GetJsonSchemaHandler, WithJsonSchema, model_validator
from pydantic_core import CoreSchema

from asfitted.model.base import Unusable, Value, key_of
from asfitted.model.photo import Photos
from asfitted.model.place import Place
from asfitted.model.quantity import Angle, Charge, Current, Duration, Length, Level, Mass, Received
from asfitted.model.scalar import Day, Month, Tag, Text, YesNo
from asfitted.model.words import CoreSize, DeviceKind, Grade

FIRE_KINDS: frozenset[DeviceKind] = frozenset({"smoke alarm", "heat alarm", "carbon monoxide alarm"})
"""Kinds that warn of fire or carbon monoxide."""

_FIRE = ("linked", "power", "circuit", "standby", "output", "wakes_by")
_INTRUDER = ("grade", "climate", "tamper", "joined_by", "cable", "reports_every")
SETTINGS: dict[DeviceKind, tuple[str, ...]] = {
    "smoke alarm": (*_FIRE, "sensing", "silences"),
    "heat alarm": (*_FIRE, "silences"),
    "carbon monoxide alarm": (*_FIRE, "silences"),
    "motion detector": (*_INTRUDER, "mode", "field", "range", "looks_down", "turned_over", "pets_up_to", "walk_light"),
    "opening contact": (
        *_INTRUDER,
        "mode",
        "gap",
        "parts_at",
        "signals_at",
        "sensor_on",
        "edge",
        "from_hinge",
        "spacer",
        "quiet_up_to",
    ),
    "glass-break detector": (*_INTRUDER, "mode", "range"),
    "flood detector": (*_INTRUDER, "mode"),
    "indoor sounder": (*_INTRUDER, "cut_off", "output"),
    "outdoor sounder": (*_INTRUDER, "cut_off", "output", "self_powered"),
    "keypad": _INTRUDER,
    "control unit": (
        *_INTRUDER,
        "wired_to",
        "second_path",
        "mobile",
        "mobile_level",
        "fed_by",
        "standby",
        "standby_battery",
        "capacity",
        "current",
        "alarm_current",
        "charging_current",
        "router_standby",
    ),
    "repeater": (*_INTRUDER, "standby", "standby_battery"),
    "hold-up button": (*_INTRUDER, "pressed_by"),
}
"""The settings each kind has beyond those that all devices share."""
_OWN_SETTINGS = frozenset(name for names in SETTINGS.values() for name in names)


class Battery(Value):
    """The battery of a device. Written in words as “sealed, 10 years” or “2 x AA, 2 years”, or key by key."""

    type: Text = Field(description="“sealed”, or count and size, such as 2 x AA")
    life: Duration | None = Field(None, description="how long it is said to last")
    fitted: Day | None = Field(None, description="the day the present one was put in")

    @model_validator(mode="before")
    @classmethod
    def _in_words(cls, data: Any) -> Any:
        if not isinstance(data, str):
            return data
        kind, _, life = data.rpartition(",")
        return {"type": kind, "life": life} if kind and re.match(r"\s*[0-9]", life) else {"type": data}

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Say in the schema that it may be written in words."""
        written = handler.resolve_ref_schema(handler(core))
        words = {"type": "string", "pattern": r"\S", "examples": ["sealed, 10 years"]}
        return {"anyOf": [words, written], "description": written["description"]}

    @property
    def sealed(self) -> bool:
        """Whether it stays in the device for life."""
        return self.type.startswith("sealed")


_CORES = get_args(CoreSize)


class Cable(Value):
    """The cable that feeds a device from the control unit or its power supply."""

    length: Length = Field(description="one way, along the cable")
    core: Annotated[
        CoreSize, WithJsonSchema({"enum": [*_CORES, *(float(size) for size in _CORES if "A" not in size)]})
    ] = Field(description="copper of one core: square millimetres, or its number by AWG")


class Device(Place):
    """One device as it was fitted. Its tag is its key among the devices of the record."""

    kind: DeviceKind = Field(description="what it is")
    name: Text | None = Field(
        None, description="as enrolled, so that a message tells place and device: “hall smoke alarm”"
    )
    model: Text | None = Field(None, description="as printed on the device")
    serial: Text | None = Field(None, description="serial number, as printed on the device")
    batch: Text | None = Field(None, description="batch or lot, as printed on the device")
    firmware: Text | None = Field(
        None, description="version of its firmware, as the device or the control unit shows it"
    )
    made: Month | None = Field(None, description="month of manufacture, as printed on the device")
    replace_by: Month | None = Field(None, description="if printed on the device; it then beats the usual service life")
    battery: Battery | None = Field(None, description="“sealed, 10 years”, or “2 x AA, 2 years”")
    fitted: Day | None = Field(None, description="the day it was put up")
    enrolled: YesNo | None = Field(None, description="whether the control unit knows it")
    linked: tuple[Tag, ...] = Field((), description="alarms that sound with it")
    power: Literal["mains", "battery"] | None = Field(None, description="what feeds an alarm first")
    across: Length | None = Field(None, description="its diameter, or its longer side as it hangs")
    circuit: Literal["own", "lighting", "sockets"] | None = Field(
        None, description="the circuit of the consumer unit that feeds a mains alarm"
    )
    sensing: Literal["optical", "ionisation", "optical and heat"] | None = Field(
        None, description="how a smoke alarm senses smoke"
    )
    silences: YesNo | None = Field(None, description="whether a button silences it for a while")
    output: Level | None = Field(
        None, description="sound level its maker gives: of an alarm at 3 m, of a sounder at 1 m, dB(A)"
    )
    wakes_by: tuple[Literal["sound", "low tone", "light", "shaking"], ...] = Field(
        (), description="how it wakes people; sound alone unless given"
    )
    grade: Grade | None = Field(None, description="security grade printed on it")
    climate: Literal["I", "II", "III", "IV"] | None = Field(
        None, description="environmental class printed on it: I and II indoors, III sheltered, IV in the open"
    )
    tamper: Literal["none", "cover", "cover and back"] | None = Field(
        None, description="what it signals: opening of its cover, and being taken off the wall"
    )
    joined_by: Literal["radio", "cable"] | None = Field(None, description="how it reaches the control unit")
    cable: Cable | None = Field(None, description="the cable that feeds it, for its voltage drop")
    reports_every: Duration | None = Field(None, description="how often it lets the control unit know that it is there")
    mode: Literal["instant", "delayed", "always"] | None = Field(
        None, description="whether it alarms at once when the system is set, after the entry time, or even when unset"
    )
    field: Angle | None = Field(None, description="angle a motion detector looks over")
    range: Length | None = Field(None, description="how far it reaches, as its maker says")
    looks_down: Angle | None = Field(
        None, description="the steepest angle below level at which it sees; 90 straight down"
    )
    walk_light: YesNo | None = Field(None, description="whether its light shows in daily use that it sees someone")
    turned_over: YesNo | None = Field(None, description="hung upside down so that it looks over animals")
    pets_up_to: Mass | None = Field(None, description="the mass its maker says it ignores")
    gap: Length | None = Field(None, description="between sensor and magnet with the leaf closed")
    parts_at: Length | None = Field(None, description="between sensor and magnet when it signals")
    from_hinge: Length | None = Field(None, description="along the leaf, from the hinge to the contact")
    spacer: YesNo | None = Field(None, description="whether a spacer keeps it off steel, or it is made for steel")
    quiet_up_to: Length | None = Field(
        None, description="how far a window may stand ajar for airing before its contact signals"
    )
    signals_at: Length | None = Field(None, description="opening at the lock edge at which it signals")
    sensor_on: Literal["frame", "leaf"] | None = Field(None, description="which of the two carries the sensor")
    edge: Literal["lock side", "hinge side", "top", "bottom"] | None = Field(
        None, description="the edge of the opening it sits at"
    )
    wired_to: Literal["router", "modem", "nothing"] | None = Field(
        None, description="what the network cable of a control unit goes to"
    )
    second_path: Literal["mobile", "radio", "none"] | None = Field(
        None, description="the other way an alarm can leave the home"
    )
    mobile: Literal["2G", "3G", "4G", "5G"] | None = Field(None, description="generation of the mobile network it uses")
    mobile_level: Received | None = Field(None, description="received level of the mobile network")
    fed_by: Literal["fixed connection", "plug"] | None = Field(None, description="how a control unit gets its mains")
    router_standby: YesNo | None = Field(None, description="whether the router has a standby supply too")
    capacity: Charge | None = Field(None, description="of the standby battery, ampere-hours")
    current: Current | None = Field(None, description="what the system draws at rest")
    alarm_current: Current | None = Field(None, description="what it draws while it sounds")
    charging_current: Current | None = Field(None, description="what the charger gives")
    standby: Duration | None = Field(None, description="how long it runs without mains")
    standby_battery: YesNo | None = Field(None, description="whether the battery is in and connected")
    self_powered: YesNo | None = Field(
        None, description="whether a sounder has a battery and sounds when its cable is cut"
    )
    pressed_by: Literal["two buttons", "held", "one push"] | None = Field(
        None, description="how a hold-up button is pressed"
    )
    cut_off: Duration | None = Field(None, description="after which a sounder stops by itself")
    photos: Photos = Field((), description="the device as it was fitted")
    note: Text | None = Field(None, description="anything else worth knowing")

    @model_validator(mode="after")
    def _settings_of_its_kind(self) -> "Device":
        for name in sorted(self.model_fields_set & _OWN_SETTINGS):
            if name not in SETTINGS[self.kind]:
                own = " or ".join(key_of(n) for n in SETTINGS[self.kind])
                expected = f"for this kind {own}" if own else "no setting of its own for this kind"
                raise Unusable(f"“{key_of(name)}” on a {self.kind}", expected)
        return self

    @property
    def is_fire(self) -> bool:
        """Whether it warns of fire or carbon monoxide."""
        return self.kind in FIRE_KINDS

    def fitted_by(self, on: date) -> bool:
        """Whether it is up on a day; without a day of fitting it counts as up."""
        return self.fitted is None or self.fitted <= on
