"""How much room text takes, and where it can stand without covering something else."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import hypot, inf

from shapely import box, prepare
from shapely.geometry.base import BaseGeometry

XY = tuple[float, float]

SIZES = {
    "d-name": 3.1,
    "d-name d-small": 2.4,
    "d-facts": 2.35,
    "d-tag": 3.1,
    "d-height": 2.35,
    "d-figure": 2.35,
    "d-figure d-tape-figure": 2.35,
    "d-word": 2.3,
    "d-neighbour": 2.5,
    "d-legend": 2.5,
    "d-note": 2.5,
    "d-caption": 1.9,
    "d-value": 2.9,
    "d-value d-strong": 2.9,
    "d-value d-small": 2.4,
    "d-mark-figure": 2.35,
    "d-zone-figure": 2.35,
    "d-ban-number": 2.1,
}
"""Type sizes in mm by class, as in drawing.css."""

_NARROW, _WIDE = frozenset("iljtfrI.,:;'|!()[] ·-1"), frozenset("mwMW@%")


def width_of(words: str, kind: str) -> float:
    """Estimate the width of text in mm, a little on the safe side for a common sans-serif face.

    The widths of letters follow a grotesque face (from memory): 0.33 em for narrow ones, 0.87 em for wide ones,
    0.70 em for capitals, 0.57 em for the rest.
    """
    ems = sum(
        0.33
        if letter in _NARROW
        else 0.87
        if letter in _WIDE
        else 0.70
        if letter.isupper()
        else 0.57
        if letter.isascii()
        else 0.75
        for letter in words
    )
    return ems * SIZES[kind] * (1.05 if kind in ("d-tag", "d-name", "d-value d-strong") else 1.0)


def shortened(words: str, kind: str, room: float) -> str:
    """Give text cut to a width in mm, with an ellipsis where something is missing."""
    if width_of(words, kind) <= room:
        return words
    while words and width_of(words + "…", kind) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def wrapped(words: str, kind: str, room: float) -> list[str]:
    """Break text into lines of at most a width in mm."""
    lines: list[str] = []
    for word in words.split():
        if lines and width_of(f"{lines[-1]} {word}", kind) <= room:
            lines[-1] += f" {word}"
        else:
            lines.append(shortened(word, kind, room))
    return lines


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on paper, in mm, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def around(cls, centre: XY, width: float, height: float) -> "Box":
        """Give the box of a size around a point."""
        x, y = centre
        return cls(x - width / 2, y - height / 2, x + width / 2, y + height / 2)

    @classmethod
    def over(cls, points: Iterable[XY], margin: float = 0.0) -> "Box":
        """Give the smallest box over points, and a margin round it."""
        xs, ys = zip(*points, strict=True)
        return cls(min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)

    @property
    def centre(self) -> XY:
        """The middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    @property
    def corners(self) -> tuple[XY, XY, XY, XY]:
        """The four corners."""
        return (self.left, self.top), (self.right, self.top), (self.right, self.bottom), (self.left, self.bottom)

    def gap(self, other: "Box") -> float:
        """Give the distance in mm between two boxes; 0 where they touch."""
        across = max(other.left - self.right, self.left - other.right, 0.0)
        down = max(other.top - self.bottom, self.top - other.bottom, 0.0)
        return hypot(across, down)

    def overlap(self, other: "Box") -> float:
        """Give the area in mm² that two boxes share."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return wide * high if wide > 0 and high > 0 else 0.0


@dataclass
class Taken:
    """What of the paper is taken: boxes and shapes, each with how much it matters that nothing covers it."""

    page: Box
    boxes: list[tuple[Box, float]] = field(default_factory=list)
    shapes: list[tuple[BaseGeometry, float]] = field(default_factory=list)

    def take(self, box: Box, weight: float = 1.0) -> None:
        """Keep a box from being covered."""
        self.boxes.append((box, weight))

    def take_shape(self, shape: BaseGeometry, weight: float = 1.0) -> None:
        """Keep a shape, in mm of paper, from being covered."""
        prepare(shape)
        self.shapes.append((shape, weight))

    def cost(self, place: Box, enough: float = inf) -> float:
        """Give the weighed area that a box would cover, and much more where it leaves the page.

        It is asked of very many boxes: where it reaches ``enough``, the rest is not looked at.
        """
        left, top, right, bottom = place.left, place.top, place.right, place.bottom
        cost = 0.0
        for other, weight in self.boxes:
            # compared without calls of min and max: this is where drawing spent most
            wide = (right if right < other.right else other.right) - (left if left > other.left else other.left)  # noqa: FURB136
            if wide > 0:
                high = (bottom if bottom < other.bottom else other.bottom) - (top if top > other.top else other.top)  # noqa: FURB136
                if high > 0:
                    cost += wide * high * weight
        outside = (right - left) * (bottom - top) - place.overlap(self.page)
        cost += max(0.0, outside) * 20.0
        if cost >= enough:
            return cost
        square = box(left, top, right, bottom)
        for shape, weight in self.shapes:
            if shape.intersects(square):
                cost += float(shape.intersection(square).area) * weight
        return cost

    def best(self, places: Sequence[Box], extra: Sequence[float] | None = None) -> tuple[int, float]:
        """Give the number of the first box that covers least, and how much it covers."""
        found, least = 0, inf
        for index, place in enumerate(places):
            more = extra[index] if extra else 0.0
            if more >= least:
                continue
            cost = self.cost(place, least - more) + more
            if cost < least - 1e-9:
                found, least = index, cost
                if cost <= 0.0:
                    break
        return found, least
