"""What alarms cover of a space: the point furthest from them, what they leave, and where one more would cover it all.

Distances are level, from the middle of an alarm. Everything is plane geometry: the distance to one point is convex, so
over a cell of the plan that is nearest to one alarm it is greatest at a corner of that cell (de Berg et al.,
Computational Geometry, 3rd edition, chapter 7, on Voronoi diagrams).
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import dist, hypot

from shapely import LineString, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

XY = tuple[float, float]

SIDES = 64
"""Sides of a quarter of a circle: its edge is out by less than 0.1 mm in a metre."""
_FAR = 1e4
_NEAR = 1e-6


def furthest(space: BaseGeometry, sites: Sequence[XY]) -> tuple[XY, float]:
    """Find the point of a space that is furthest from the nearest of some sites.

    Args:
        space: polygons, in metres.
        sites: at least one point.

    Returns:
        The point, and its distance in metres. Of several as far the most south-westerly.
    """
    points = [*_corners(space), *_on_bisectors(space, sites), *_centres(space, sites)]
    far = max(nearest(point, sites) for point in points)
    return min(point for point in points if nearest(point, sites) > far - _NEAR), far


def nearest(point: XY, sites: Sequence[XY]) -> float:
    """Give the distance from a point to the nearest of some sites, in metres."""
    return min(dist(point, site) for site in sites)


def uncovered(space: BaseGeometry, sites: Sequence[XY], radius: float) -> BaseGeometry:
    """Give what of a space is further than a radius from every site."""
    return space.difference(union_all([Point(site).buffer(radius, quad_segs=SIDES) for site in sites]))


def last_place(left: BaseGeometry, radius: float) -> BaseGeometry:
    """Give where one more alarm reaches all of what the others leave uncovered; empty where one will not do.

    A point that is within the radius of every corner of a shape is within it of all of it, since a disc is convex.
    """
    place: BaseGeometry | None = None
    for corner in set(_corners(left.convex_hull)):
        disc = Point(corner).buffer(radius, quad_segs=SIDES)
        place = disc if place is None else place.intersection(disc)
    return place if place is not None else Polygon()


def _polygons(space: BaseGeometry) -> list[Polygon]:
    return [part for part in getattr(space, "geoms", (space,)) if isinstance(part, Polygon)]


def _corners(space: BaseGeometry) -> Iterator[XY]:
    for part in _polygons(space):
        for ring in (part.exterior, *part.interiors):
            yield from ((float(x), float(y)) for x, y in ring.coords)


def _on_bisectors(space: BaseGeometry, sites: Sequence[XY]) -> Iterator[XY]:
    """Give where the line midway between two sites crosses the boundary of the space."""
    for (ax, ay), (bx, by) in combinations(dict.fromkeys(sites), 2):
        dx, dy = bx - ax, by - ay
        length = hypot(dx, dy)
        mx, my, ux, uy = (ax + bx) / 2, (ay + by) / 2, -dy / length * _FAR, dx / length * _FAR
        cut = LineString([(mx - ux, my - uy), (mx + ux, my + uy)]).intersection(space.boundary)
        for part in getattr(cut, "geoms", (cut,)):
            yield from ((float(x), float(y)) for x, y in part.coords)


def _centres(space: BaseGeometry, sites: Sequence[XY]) -> Iterator[XY]:
    """Give the points of the space that are as far from three sites."""
    for (ax, ay), (bx, by), (cx, cy) in combinations(dict.fromkeys(sites), 3):
        twice = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
        if abs(twice) < _NEAR:
            continue
        a, b, c = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
        x = (a * (by - cy) + b * (cy - ay) + c * (ay - by)) / twice
        y = (a * (cx - bx) + b * (ax - cx) + c * (bx - ax)) / twice
        if space.covers(Point(x, y)):
            yield x, y
