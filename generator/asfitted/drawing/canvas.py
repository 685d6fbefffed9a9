"""The canvas: paper in millimetres, y downwards, written as SVG. The only module that knows the SVG library.

It owns the ids, the rounding and what may stand as text; everything else hands it points, paths and words.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from xml.etree.ElementTree import tostring

import svgwrite
from shapely import LineString, Point, Polygon
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry
from svgwrite.container import Group

LAYERS = ("coverage", "structure", "fittings", "dimensions", "clearances", "devices", "text", "frame")
"""The layers of a drawing from the lowest up."""

XY = tuple[float, float]

_FORBIDDEN = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|[\u200e\u200f\u202a-\u202e\u2066-\u2069]"
)
"""Characters that XML 1.0 (section 2.2) does not allow, control characters, and marks that turn the way of writing."""


def num(value: float) -> str:
    """Give a length on paper, rounded to 0.01 mm, without trailing zeros."""
    written = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def clean(words: str) -> str:
    """Give text as one line without control characters; the SVG writer escapes what is left."""
    return " ".join(_FORBIDDEN.sub("", words).split())


def polyline(points: Sequence[XY], *, closed: bool = False) -> str:
    """Give path data through points of the paper."""
    steps = "L".join(f"{num(x)} {num(y)}" for x, y in points)
    return f"M{steps}{'Z' if closed else ''}"


@dataclass(frozen=True)
class View:
    """Where plan metres fall on the paper: one to ``scale``, with the plan's origin at ``x`` and ``y`` in mm."""

    scale: int
    x: float
    y: float

    def length(self, metres: float) -> float:
        """Give a length in mm of paper."""
        return metres * 1000.0 / self.scale

    def at(self, point: XY) -> XY:
        """Give the place on paper of a point of the plan."""
        return self.x + self.length(point[0]), self.y - self.length(point[1])

    def plan(self, point: XY) -> XY:
        """Give the point of the plan, in metres, at a place on paper."""
        return (point[0] - self.x) * self.scale / 1000.0, (self.y - point[1]) * self.scale / 1000.0

    def shape(self, plan: BaseGeometry) -> BaseGeometry:
        """Give a shape of the plan in mm of paper."""
        grow = 1000.0 / self.scale
        return affine_transform(plan, [grow, 0.0, 0.0, -grow, self.x, self.y])

    def path(self, shape: BaseGeometry) -> str:
        """Give path data for a polygon, a line or several of them; points are left out."""
        if shape.is_empty or isinstance(shape, Point):
            return ""
        if isinstance(shape, Polygon):
            rings = [shape.exterior, *shape.interiors]
            return "".join(polyline([self.at((x, y)) for x, y in ring.coords[:-1]], closed=True) for ring in rings)
        if isinstance(shape, LineString):
            return polyline([self.at((x, y)) for x, y in shape.coords])
        return "".join(self.path(part) for part in shape.geoms)


@dataclass(frozen=True)
class Link:
    """Where a thing on a drawing leads to, and what that is in words."""

    address: str
    words: str


class _LinkGroup(Group):  # type: ignore[misc]
    elementname = "a"


class Canvas:
    """One drawing on its sheet.

    Args:
        name: prefix of every id, so that drawings can stand on one page.
        width: of the sheet in mm.
        height: of the sheet in mm.
        title: a short name for people and screen readers; none for a picture beside words that say the same.
        description: what is on the drawing, in words.
    """

    def __init__(self, name: str, width: float, height: float, title: str, description: str) -> None:
        self.name, self.width, self.height = re.sub(r"[^A-Za-z0-9-]", "-", name), width, height
        self._root = svgwrite.Drawing(
            size=(f"{num(width)}mm", f"{num(height)}mm"), viewBox=f"0 0 {num(width)} {num(height)}", debug=False
        )
        self._root.attribs["class"] = "drawing"
        if title:
            self._root.attribs |= {"role": "img", "aria-labelledby": f"{self._id('title')} {self._id('desc')}"}
            self._root.set_desc(clean(title), clean(description))
            for part in self._root.elements[:2]:
                part.xml.set("id", self._id(part.elementname))
        else:
            self._root.attribs["aria-hidden"] = "true"
        self._root.add(self._root.path(d=f"M0 0H{num(width)}V{num(height)}H0Z", class_="d-paper"))
        self._layers = {layer: self._root.add(self._root.g(class_=f"layer layer-{layer}")) for layer in LAYERS}
        self._defined: set[str] = set()
        self._inner: dict[tuple[str, str], Any] = {}
        self._part = ""
        self._link: Link | None = None

    def _id(self, part: str) -> str:
        return f"{self.name}-{part}"

    @contextmanager
    def part(self, name: str) -> Iterator[None]:
        """Let a page tell what is drawn meanwhile from the rest, on whatever layer, by ``data-layer``."""
        before, self._part = self._part, name
        yield
        self._part = before

    @contextmanager
    def link(self, link: Link | None) -> Iterator[None]:
        """Let what is drawn meanwhile lead somewhere. What leads to one address on one layer is one link.

        A drawing with links is no single picture any more, but a group of things with a name.
        """
        if link is not None:
            described = {"aria-labelledby": self._id("title"), "aria-describedby": self._id("desc")}
            self._root.attribs |= {"role": "group"} | described
        before, self._link = self._link, link
        yield
        self._link = before

    def _on(self, layer: str) -> Any:
        """Give the group of a layer in which is drawn now."""
        group = self._layers[layer]
        if self._part:
            attributes = {"class_": f"layer part-{self._part}", "data-layer": self._part}
            group = self._within(group, (layer, self._part), self._root.g(**attributes))
        if self._link is not None:
            made = _LinkGroup(class_="d-tap", debug=False)
            made.attribs |= {"href": self._link.address, "aria-label": clean(self._link.words)}
            group = self._within(group, (layer, self._link.address), made)
        return group

    def _within(self, group: Any, key: tuple[str, str], made: Any) -> Any:
        if key not in self._inner:
            self._inner[key] = group.add(made)
        return self._inner[key]

    def path(self, layer: str, d: str, kind: str, /, **data: str) -> None:
        """Draw path data with a class; ``data`` becomes data attributes."""
        if d:
            self._on(layer).add(self._root.path(d=d, class_=kind, **_data(data)))

    def line(self, layer: str, points: Sequence[XY], kind: str, /, **data: str) -> None:
        """Draw a line through points."""
        self.path(layer, polyline(points), kind, **data)

    def circle(
        self, layer: str, centre: XY, radius: float, kind: str, /, *, within: str | None = None, **data: str
    ) -> None:
        """Draw a circle of a radius in mm; ``within`` names a :meth:`window` outside which nothing of it shows."""
        x, y = num(centre[0]), num(centre[1])
        more = _data(data) | ({"clip-path": f"url(#{self._id(f'clip-{within}')})"} if within else {})
        self._on(layer).add(self._root.circle(center=(x, y), r=num(radius), class_=kind, **more))

    def text(
        self, layer: str, at: XY, words: str, kind: str, /, *, anchor: str = "start", turn: float = 0.0, **data: str
    ) -> None:
        """Write one line of text with its baseline at a point; ``turn`` in degrees clockwise."""
        x, y = num(at[0]), num(at[1])
        more: dict[str, Any] = _data(data)
        if anchor != "start":
            more["text-anchor"] = anchor
        if turn:
            more["transform"] = f"rotate({num(turn)} {x} {y})"
        self._on(layer).add(self._root.text(clean(words), insert=(x, y), class_=kind, **more))

    def define(self, part: str, shapes: Iterable[tuple[str, str]]) -> None:
        """Keep shapes, each path data with a class, for :meth:`use`. A second time under one name does nothing."""
        if part in self._defined:
            return
        self._defined.add(part)
        group = Group(id=self._id(part), debug=False)
        for d, kind in shapes:
            if kind.startswith("d-letters"):
                group.add(self._root.text(d, insert=(0, _letter_drop(kind)), class_=kind, **{"text-anchor": "middle"}))
            else:
                group.add(self._root.path(d=d, class_=kind))
        self._root.defs.add(group)

    def use(self, layer: str, part: str, at: XY, /, *, turn: float = 0.0, **data: str) -> None:
        """Put what was kept under a name at a point, turned clockwise by degrees."""
        move = f"translate({num(at[0])} {num(at[1])})" + (f" rotate({num(turn)})" if turn else "")
        self._on(layer).add(self._root.use(f"#{self._id(part)}", transform=move, **_data(data)))

    def clip(self, layer: str, corners: tuple[float, float, float, float]) -> None:
        """Let nothing of a layer show outside a rectangle: left, top, right, bottom in mm."""
        left, top, right, bottom = corners
        self.window(layer, polyline([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True))
        self._layers[layer].attribs["clip-path"] = f"url(#{self._id(f'clip-{layer}')})"

    def window(self, part: str, d: str) -> None:
        """Keep path data under a name, as what may show of the things drawn within it."""
        clip = self._root.clipPath(id=self._id(f"clip-{part}"))
        clip.add(self._root.path(d=d))
        self._root.defs.add(clip)

    def hatched(self, layer: str, d: str, kind: str, /, *, tile: str = "M0 0V2", **data: str) -> None:
        """Fill path data with slanting lines of a class, or with another ``tile`` of 2 by 2 mm."""
        part = f"hatch-{kind}"
        if part not in self._defined:
            self._defined.add(part)
            pattern = self._root.pattern(
                id=self._id(part), size=(2, 2), patternUnits="userSpaceOnUse", patternTransform="rotate(45)"
            )
            pattern.add(self._root.path(d=tile, class_=kind))
            self._root.defs.add(pattern)
        self._on(layer).add(self._root.path(d=d, fill=f"url(#{self._id(part)})", **_data(data)))

    def svg(self) -> str:
        """Give the element as text: one block, one line a layer, attributes in a fixed order."""
        self._layers, self._inner = {}, {}
        self._root.elements = [part for part in self._root.elements if not _is_empty(part)]
        self._order()
        tree = self._root.get_xml()
        for needless in ("xmlns:ev", "baseProfile", "version"):
            tree.attrib.pop(needless, None)
        return tostring(tree, encoding="unicode").replace('><g class="layer', '>\n<g class="layer')

    def _order(self) -> None:
        """Put title and description first, as assistive software wants them, then the definitions."""
        rank = {"title": 0, "desc": 1, "defs": 2}
        self._root.elements.sort(key=lambda part: rank.get(part.elementname, 3))


def _is_empty(part: Any) -> bool:
    return isinstance(part, Group) and not part.elements


def _letter_drop(kind: str) -> float:
    """Give mm from the middle of a symbol down to the baseline of its letters."""
    return 0.54 if kind.endswith("tiny") else 0.76 if kind.endswith("small") else 1.08


def _data(data: dict[str, str]) -> dict[str, Any]:
    return {f"data-{key.replace('_', '-')}": clean(value) for key, value in data.items()}
