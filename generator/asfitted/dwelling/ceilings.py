"""Ceilings as height fields over a room: flat, sloping one way, or ridged."""

from dataclasses import dataclass
from math import atan, cos, degrees, hypot

from shapely import LineString, Polygon

from asfitted.model.ceiling import Ceiling


@dataclass(frozen=True)
class CeilingShape:
    """The underside of a ceiling above finished floor, in metres.

    ``axis`` is the plan direction of the steepest rise, ``None`` for a flat ceiling; ``start`` and ``end``
    are where along that axis the slope begins and ends; a ridged ceiling has its top in the middle between
    them.
    """

    low: float
    high: float
    axis: tuple[float, float] | None = None
    start: float = 0.0
    end: float = 0.0
    ridged: bool = False

    def height_at(self, x: float, y: float) -> float:
        """Give the height of the ceiling above a point of the floor."""
        return self.high - self.run_from_top(x, y) * self.gradient

    def highest_along(self, line: LineString) -> float:
        """Give the greatest height of the ceiling above a straight line on the floor."""
        if self.axis is None:
            return self.high
        along = [float(x) * self.axis[0] + float(y) * self.axis[1] for x, y in line.coords]
        nearest = min(max(self.top, min(along)), max(along))
        return self.high - abs(nearest - self.top) * self.gradient

    def run_from_top(self, x: float, y: float) -> float:
        """Give the horizontal distance from the ridge, or from the upper edge of a slope; 0 under a flat ceiling."""
        if self.axis is None:
            return 0.0
        along = x * self.axis[0] + y * self.axis[1]
        return abs(along - self.top)

    def slope_distance_from_top(self, x: float, y: float) -> float:
        """Give the distance from the ridge or upper edge measured down the slope."""
        return self.run_from_top(x, y) / cos(atan(self.gradient))

    @property
    def top(self) -> float:
        """Where along the axis the ceiling is highest."""
        return (self.start + self.end) / 2 if self.ridged else self.end

    @property
    def gradient(self) -> float:
        """Metres of rise in a metre of run; 0 for a flat ceiling."""
        run = abs(self.end - self.start) / (2 if self.ridged else 1)
        return (self.high - self.low) / run if self.axis is not None and run else 0.0

    @property
    def pitch(self) -> float:
        """The slope in degrees."""
        return degrees(atan(self.gradient))

    @property
    def is_flat(self) -> bool:
        """Whether it has no slope."""
        return self.gradient == 0.0

    def top_line(self, outline: Polygon) -> LineString | None:
        """Give the ridge, or the upper edge of a slope, as a line over the room; None for a flat ceiling.

        Over a room of several arms it is the longest stretch.
        """
        if self.axis is None:
            return None
        ax, ay = self.axis
        far = hypot(*outline.bounds) + 100.0
        x, y = ax * self.top, ay * self.top
        across = LineString([(x - ay * far, y + ax * far), (x + ay * far, y - ax * far)])
        cut = across.intersection(outline)
        lines = [part for part in getattr(cut, "geoms", (cut,)) if isinstance(part, LineString) and not part.is_empty]
        return max(lines, key=lambda line: float(line.length), default=None)


def ceiling_over(outline: Polygon, ceiling: Ceiling) -> CeilingShape:
    """Lay a ceiling of the record over a room's outline."""
    west, south, east, north = outline.bounds
    if ceiling.sloping:
        shape = ceiling.sloping
        axis, start, end = {
            "north": ((0.0, 1.0), south, north),
            "south": ((0.0, -1.0), -north, -south),
            "east": ((1.0, 0.0), west, east),
            "west": ((-1.0, 0.0), -east, -west),
        }[shape.rises]
        return CeilingShape(shape.low, shape.high, axis, start, end)
    if ceiling.ridged:
        across = ceiling.ridged.ridge == "east-west"
        axis = (0.0, 1.0) if across else (1.0, 0.0)
        start, end = (south, north) if across else (west, east)
        return CeilingShape(ceiling.ridged.low, ceiling.ridged.high, axis, start, end, ridged=True)
    return CeilingShape(ceiling.lowest, ceiling.highest)
