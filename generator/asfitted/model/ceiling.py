"""The height of a ceiling: flat, sloping one way, or ridged."""

from typing import Any, Literal

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema

from asfitted.model.base import Unusable, Value, shown
from asfitted.model.quantity import Length
from asfitted.model.words import Side

LOWEST, HIGHEST = 0.3, 15.0
"""Metres; outside these a ceiling of a home is a slip of the finger."""


class Sloping(Value):
    """A ceiling that rises one way."""

    low: Length = Field(description="metres above floor along the lower edge")
    high: Length = Field(description="metres above floor along the upper edge")
    rises: Side = Field(description="the side of the room where it is highest")


class Ridged(Value):
    """A ceiling with a ridge along the middle of the room and a slope on either side."""

    low: Length = Field(description="metres above floor along the two lower edges")
    high: Length = Field(description="metres above floor along the ridge")
    ridge: Literal["east-west", "north-south"] = Field(description="which way the ridge runs")


class Ceiling(Value):
    """The height of a ceiling in metres above finished floor: one number, or a slope."""

    flat: Length | None = Field(None, description="metres above floor, the same everywhere")
    sloping: Sloping | None = Field(None, description="rises one way")
    ridged: Ridged | None = Field(None, description="a ridge along the middle")

    @model_validator(mode="before")
    @classmethod
    def _number_is_flat(cls, data: Any) -> Any:
        if isinstance(data, str | int | float) and not isinstance(data, bool):
            return {"flat": data}
        if not isinstance(data, dict | Ceiling):
            raise Unusable(shown(data), "one number, or one of sloping, ridged")
        return data

    @model_validator(mode="after")
    def _one_shape(self) -> "Ceiling":
        given = [shape for shape in (self.flat, self.sloping, self.ridged) if shape is not None]
        if len(given) != 1:
            raise Unusable(f"{len(given) or 'no'} shapes of one ceiling", "one number, or one of sloping, ridged")
        if self.lowest < LOWEST or self.highest > HIGHEST:
            wrong = self.lowest if self.lowest < LOWEST else self.highest
            raise Unusable(f"a ceiling {wrong:g} m high", f"from {LOWEST:g} to {HIGHEST:g} m above finished floor")
        if self.highest < self.lowest:
            raise Unusable(
                f"low {self.lowest:g} m above high {self.highest:g} m",
                "a high edge above the low edge",
                "Swap them.",
            )
        return self

    @property
    def slope(self) -> Sloping | Ridged | None:
        """The slope, if it has one."""
        return self.sloping or self.ridged

    @property
    def lowest(self) -> float:
        """Metres above floor at the lowest edge."""
        return self.slope.low if self.slope else (self.flat or 0.0)

    @property
    def highest(self) -> float:
        """Metres above floor at the highest edge."""
        return self.slope.high if self.slope else (self.flat or 0.0)

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Say in the schema that a plain number is a flat ceiling."""
        written = handler.resolve_ref_schema(handler(core))
        written["oneOf"] = [{"required": [shape]} for shape in ("flat", "sloping", "ridged")]
        flat = written["properties"]["flat"]["anyOf"][:-1]
        return {"anyOf": [*flat, written], "description": written["description"]}
