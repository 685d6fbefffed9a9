"""What is seen from a point of a plan past walls and obstacles: the exact visibility polygon.

A rotational sweep over the corners (de Berg et al., Computational Geometry, 3rd edition, chapter 15, on visibility
graphs). Between two neighbouring directions of corners the nearest wall does not change, so what is seen there is one
triangle, and the whole is their sum: nothing is sampled.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin

from shapely import Polygon, union_all
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

XY = tuple[float, float]

_NEAR = 1e-6
"""Metres: a wall this near to the point is one that the point lies on."""
_SAME = 1e-9
"""Radians: corners whose directions differ by less lie behind one another."""


@dataclass(frozen=True, slots=True)
class _Edge:
    """A wall as seen from the point, which is the origin: from ``first`` anticlockwise to ``last``."""

    first: XY
    last: XY

    def along(self, direction: XY) -> float:
        """Give the distance at which a ray in a direction, a unit vector, meets the line of the wall."""
        ux, uy = self.last[0] - self.first[0], self.last[1] - self.first[1]
        return _cross(self.first, (ux, uy)) / _cross(direction, (ux, uy))

    def meets(self, direction: XY) -> XY:
        """Give where a ray between its two ends meets the wall."""
        before, after = _cross(direction, self.first), _cross(direction, self.last)
        share = min(max(before / (before - after), 0.0), 1.0)
        return (
            self.first[0] + (self.last[0] - self.first[0]) * share,
            self.first[1] + (self.last[1] - self.first[1]) * share,
        )


def visible_from(point: XY, space: BaseGeometry) -> BaseGeometry:
    """Give what of a space is seen from a point in it or on its boundary.

    Args:
        point: metres on the plan.
        space: what sight passes through: polygons, with obstacles as holes.

    Returns:
        A polygon, or several that meet in the point; empty when the point is not in the space.
    """
    edges = list(_edges(point, space))
    directions = _distinct([_angle(end) for edge in edges for end in (edge.first, edge.last)])
    if not directions:
        return Polygon()
    fans = _fans(edges, directions)
    shapes = [_whole([(x + point[0], y + point[1]) for x, y in fan]) for fan in fans if len(set(fan)) > 2]
    return shapes[0] if len(shapes) == 1 else union_all(shapes) if shapes else Polygon()


def behind(point: XY, thing: Polygon, factor: float) -> BaseGeometry:
    """Give a convex thing and the shadow behind it that ends where the thing ends when it is drawn ``factor`` larger.

    With the eye above the thing the shadow on a level below its top is the thing drawn larger from the eye (central
    projection, similar triangles), and all between the two.

    Args:
        point: the foot of the eye on the plan.
        thing: its plan; convex.
        factor: 1 or more.
    """
    return union_all([thing, scale(thing, factor, factor, origin=point)]).convex_hull


def _whole(corners: list[XY]) -> BaseGeometry:
    shape = Polygon(corners)
    return shape if shape.is_valid else shape.buffer(0)


def _fans(edges: list[_Edge], directions: list[float]) -> Iterator[list[XY]]:
    """Give the corners of what is seen, one list for each stretch of directions in which something is."""
    pieces = list(_pieces(edges, directions))
    blind = [index for index, piece in enumerate(pieces) if piece is None]
    if not blind:
        yield [end for piece in pieces if piece for end in piece]
        return
    fan: list[XY] = []
    for piece in (*pieces[blind[0] :], *pieces[: blind[0]], None):
        if piece is not None:
            fan += piece
        elif fan:
            yield [(0.0, 0.0), *fan]
            fan = []


def _pieces(edges: list[_Edge], directions: list[float]) -> Iterator[tuple[XY, XY] | None]:
    """Give the ends of the nearest wall between each direction and the next; None where one looks out of the space.

    A ray starts in the space when it crosses an odd number of walls.
    """
    count = len(directions)
    begins: list[list[_Edge]] = [[] for _ in directions]
    ends: list[list[_Edge]] = [[] for _ in directions]
    active: set[_Edge] = set()
    for edge in edges:
        first, last = (_index(directions, _angle(end)) for end in (edge.first, edge.last))
        if first == last:
            continue
        begins[first].append(edge)
        ends[last].append(edge)
        if first > last:
            active.add(edge)
    for index, angle in enumerate(directions):
        active.difference_update(ends[index])
        active.update(begins[index])
        after = directions[index + 1] if index + 1 < count else directions[0] + 2 * pi
        middle = (cos((angle + after) / 2), sin((angle + after) / 2))
        if len(active) % 2 == 0:
            yield None
            continue
        near = min(active, key=lambda edge: edge.along(middle))
        here, there = (cos(angle), sin(angle)), (cos(after), sin(after))
        yield (
            near.first if near in begins[index] else near.meets(here),
            near.last if near in ends[(index + 1) % count] else near.meets(there),
        )


def _edges(point: XY, space: BaseGeometry) -> Iterator[_Edge]:
    """Give the walls of a space, seen from a point, without those that it lies on."""
    for part in getattr(space, "geoms", (space,)):
        if not isinstance(part, Polygon):
            continue
        for ring in (part.exterior, *part.interiors):
            corners = [(float(x) - point[0], float(y) - point[1]) for x, y in ring.coords]
            for a, b in pairwise(corners):
                if a != b and _off(a, b) > _NEAR:
                    yield _Edge(a, b) if _cross(a, b) > 0 else _Edge(b, a)


def _off(a: XY, b: XY) -> float:
    """Give the distance of the point, which is the origin, from a wall."""
    ux, uy = b[0] - a[0], b[1] - a[1]
    share = min(max(-(a[0] * ux + a[1] * uy) / (ux * ux + uy * uy), 0.0), 1.0)
    return hypot(a[0] + ux * share, a[1] + uy * share)


def _cross(a: XY, b: XY) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _angle(end: XY) -> float:
    return atan2(end[1], end[0])


def _distinct(angles: list[float]) -> list[float]:
    """Give directions in order, each group of the same by its first; the last and the first may be the same too."""
    found: list[float] = []
    for angle in sorted(angles):
        if not found or angle - found[-1] > _SAME:
            found.append(angle)
    if len(found) > 1 and found[0] + 2 * pi - found[-1] <= _SAME:
        found.pop()
    return found


def _index(directions: list[float], angle: float) -> int:
    """Give the direction a corner lies in; one past the last by a hair is the first."""
    index = bisect_right(directions, angle) - 1
    return 0 if index < 0 or angle - directions[index] > _SAME else index
