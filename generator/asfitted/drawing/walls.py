"""The walls of a storey in plan, and the holes that openings make in them."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot

from shapely import LineString, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.outlines import ON_ONE_LINE, THICKEST_WALL
from asfitted.dwelling.shapes import XY, PlacedOpening, StoreyShape


def wall_shape(storey: StoreyShape, openings: Iterable[PlacedOpening]) -> BaseGeometry:
    """Give the walls of a storey in plan, with the openings cut out.

    The rooms grown by the outside thickness, less the rooms; the space between rooms is wall; where two rooms share
    one line, a wall of the usual inside thickness stands astride it.
    """
    make = storey.storey.walls
    rooms = union_all([room.outline for room in storey.rooms])
    closed = within_walls(storey)
    walls = closed.buffer(make.outside.thickness, join_style="mitre").difference(rooms)
    shared = [
        LineString([wall.at(face.start), wall.at(face.end)]).buffer(make.inside.thickness / 2, cap_style="square")
        for room in storey.rooms
        for wall in room.walls
        for face in wall.faces
        if face.beyond and face.thickness == 0
    ]
    walls = union_all([walls, *(line.intersection(closed) for line in shared)])
    cuts = [jambs(opening, make.inside.thickness).shape for opening in openings if opening.wall]
    return (walls.difference(union_all(cuts)) if cuts else walls).normalize()


def within_walls(storey: StoreyShape) -> BaseGeometry:
    """Give what is inside the outer walls of a storey: its rooms and the space between them."""
    rooms = union_all([room.outline for room in storey.rooms])
    reach = THICKEST_WALL / 2 + ON_ONE_LINE
    return rooms.buffer(reach, join_style="mitre").buffer(-reach, join_style="mitre").union(rooms)


@dataclass(frozen=True)
class Jambs:
    """The corners of an opening in its wall: ``a`` and ``b`` on the face of the first room, ``c`` and ``d`` behind.

    ``a`` faces ``d`` and ``b`` faces ``c``.
    """

    a: XY
    b: XY
    c: XY
    d: XY

    @property
    def shape(self) -> Polygon:
        """The hole, a hair longer than the wall is thick, so that nothing of the wall is left."""
        (ax, ay), (dx, dy) = self.a, self.d
        deep = hypot(dx - ax, dy - ay)
        ux, uy = (dx - ax) / deep * 0.015, (dy - ay) / deep * 0.015
        near = [(x - ux, y - uy) for x, y in (self.a, self.b)]
        far = [(x + ux, y + uy) for x, y in (self.c, self.d)]
        return Polygon(near + far)

    def across(self, share: float) -> tuple[XY, XY]:
        """Give the line along the opening at a share of the wall's thickness from the first room."""
        return between(self.a, self.d, share), between(self.b, self.c, share)


def jambs(opening: PlacedOpening, inside: float) -> Jambs:
    """Give the corners of an opening; ``inside`` is the thickness drawn where two rooms share one line."""
    assert opening.wall is not None
    nx, ny = opening.wall.outward
    near, far = (0.0, opening.thickness) if opening.thickness else (-inside / 2, inside / 2)
    (ax, ay), (bx, by) = opening.a, opening.b
    return Jambs(
        (ax + nx * near, ay + ny * near),
        (bx + nx * near, by + ny * near),
        (bx + nx * far, by + ny * far),
        (ax + nx * far, ay + ny * far),
    )


def between(p: XY, q: XY, share: float) -> XY:
    """Give the point at a share of the way from one to another."""
    return p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share
