"""Devices: what they are, where, and how they are set."""

import re
from typing import Any, Literal

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema

from asfitted.model.base import Unusable, Value, key_of
from asfitted.model.place import Place
from asfitted.model.quantity import Angle, Duration, Length, Mass
from asfitted.model.scalar import Day, Month, Tag, Text, YesNo
from asfitted.model.words import DeviceKind

FIRE_KINDS: frozenset[DeviceKind] = frozenset({"smoke alarm", "heat alarm", "carbon monoxide alarm"})
"""Kinds that warn of fire or carbon monoxide."""

_FIRE = ("linked", "power")
SETTINGS: dict[DeviceKind, tuple[str, ...]] = {
    "smoke alarm": _FIRE,
    "heat alarm": _FIRE,
    "carbon monoxide alarm": _FIRE,
    "motion detector": ("mode", "field", "range", "turned_over", "pets_up_to"),
    "opening contact": ("mode", "gap", "signals_at", "sensor_on", "edge"),
    "glass-break detector": ("mode", "range"),
    "flood detector": ("mode",),
    "indoor sounder": ("cut_off",),
    "outdoor sounder": ("cut_off",),
    "keypad": (),
    "control unit": ("wired_to", "second_path", "mobile", "standby", "standby_battery"),
    "repeater": ("standby", "standby_battery"),
    "hold-up button": (),
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


class Device(Place):
    """One device as it was fitted. Its tag is its key among the devices of the record."""

    kind: DeviceKind = Field(description="what it is")
    name: Text | None = Field(
        None, description="as enrolled, so that a message tells place and device: “hall smoke alarm”"
    )
    model: Text | None = Field(None, description="as printed on the device")
    serial: Text | None = Field(None, description="serial number, as printed on the device")
    batch: Text | None = Field(None, description="batch or lot, as printed on the device")
    made: Month | None = Field(None, description="month of manufacture, as printed on the device")
    replace_by: Month | None = Field(None, description="if printed on the device; it then beats the usual service life")
    battery: Battery | None = Field(None, description="“sealed, 10 years”, or “2 x AA, 2 years”")
    fitted: Day | None = Field(None, description="the day it was put up")
    enrolled: YesNo | None = Field(None, description="whether the control unit knows it")
    linked: tuple[Tag, ...] = Field((), description="alarms that sound with it")
    power: Literal["mains", "battery"] | None = Field(None, description="what feeds an alarm first")
    mode: Literal["instant", "delayed", "always"] | None = Field(
        None, description="whether it alarms at once when the system is set, after the entry time, or even when unset"
    )
    field: Angle | None = Field(None, description="angle a motion detector looks over")
    range: Length | None = Field(None, description="how far it reaches, as its maker says")
    turned_over: YesNo | None = Field(None, description="hung upside down so that it looks over animals")
    pets_up_to: Mass | None = Field(None, description="the mass its maker says it ignores")
    gap: Length | None = Field(None, description="between sensor and magnet with the leaf closed")
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
    standby: Duration | None = Field(None, description="how long it runs without mains")
    standby_battery: YesNo | None = Field(None, description="whether the battery is in and connected")
    cut_off: Duration | None = Field(None, description="after which a sounder stops by itself")
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
