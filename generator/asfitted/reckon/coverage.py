"""What motion detectors cover of a floor: what they see of it, cut by their angle, their reach and the zone under them.

Everything is plan and section geometry. A person is a height above the floor that must be seen: the middle of one who
walks, the floor itself under one who creeps.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import acos, ceil, cos, degrees, dist, hypot, pi, radians, sin

from shapely import Point, Polygon, maximum_inscribed_circle, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.reckon.beams import hole_radius
from asfitted.reckon.visibility import XY, behind, visible_from
from asfitted.reckon.working import Input, Step, Working, number

ARC = 1.0
"""Degrees between the points of an arc that is drawn: at 12 m it runs 0.5 mm inside the circle, and a sector comes out
too small by 5 parts in 100,000."""
_SIDES = ceil(90 / ARC)
_LEVEL = 0.01
"""Metres below the eye from which on a thing counts as being as tall as it: its shadow would end behind any wall."""
_SLIVER = 1e-6
_FINE = 0.01


@dataclass(frozen=True, slots=True)
class Body:
    """Somebody who moves: the height whose being seen tells of them, and their greatest height, in metres."""

    middle: float
    top: float


@dataclass(frozen=True, slots=True)
class View:
    """How a detector looks.

    Attributes:
        point: where it hangs on the plan, metres.
        facing: bearing of the middle of its angle, degrees clockwise from the plan's upper edge.
        field: the angle it looks over, degrees.
        reach: how far it sees, level, metres.
        height: above the floor, metres.
        steepest: degrees below level of its steepest beam; 90 straight down.
        turned_over: hung upside down: it looks level and up, and sees nothing lower than itself.
    """

    point: XY
    facing: float
    field: float
    reach: float
    height: float
    steepest: float = 90.0
    turned_over: bool = False

    def hole(self, body: Body) -> float:
        """Give the radius in metres of the circle under it in which somebody is not seen.

        ``r = (z - h) / tan(steepest)``; none under a detector that is turned over, or hangs no higher than that.
        """
        drop = self.height - body.middle
        return 0.0 if self.turned_over or drop <= 0 else hole_radius(drop, self.steepest)


@dataclass(frozen=True, slots=True)
class Furniture:
    """A thing that stands on the floor: its plan, and how tall it is in metres."""

    plan: Polygon
    height: float


@dataclass(frozen=True, slots=True)
class Cover:
    """What detectors cover of a floor.

    Attributes:
        floor: what one can stand on, square metres on the plan: all shapes are in plan metres.
        covered: what of it is covered.
    """

    floor: BaseGeometry
    covered: BaseGeometry

    @property
    def share(self) -> float:
        """The share of the floor that is covered, from 0 to 1."""
        return float(self.covered.area / self.floor.area) if self.floor.area else 0.0

    @property
    def left(self) -> BaseGeometry:
        """What of the floor is not covered."""
        return self.floor.difference(self.covered)

    @property
    def blind(self) -> tuple[XY, float] | None:
        """Middle and radius of the widest circle that fits into what is not covered, to 10 mm; None for none."""
        left = self.left
        parts = [part for part in getattr(left, "geoms", (left,)) if part.area > _SLIVER]
        lines = [maximum_inscribed_circle(part, tolerance=_FINE) for part in parts]
        widest = max(lines, key=lambda line: float(line.length), default=None)
        if widest is None:
            return None
        x, y = widest.coords[0]
        return (float(x), float(y)), float(widest.length)


def sector(view: View) -> Polygon:
    """Give what is within a detector's angle and reach, as if there were no walls."""
    if view.field >= 360.0:
        return Point(view.point).buffer(view.reach, quad_segs=_SIDES)
    first, steps = view.facing - view.field / 2, max(1, ceil(view.field / ARC))
    bearings = [radians(first + view.field * step / steps) for step in range(steps + 1)]
    x, y = view.point
    return Polygon([view.point, *((x + view.reach * sin(b), y + view.reach * cos(b)) for b in bearings)])


def sector_area(field: float, reach: float) -> float:
    """Give the area of a sector, ``A = (field / 360) pi r²``, for degrees and metres."""
    return field / 360.0 * pi * reach * reach


def seen(view: View, space: BaseGeometry, furniture: Sequence[Furniture], body: Body) -> BaseGeometry:
    """Give what of a space a detector sees of somebody past walls and furniture, whatever its angle and reach.

    A thing as tall as the detector, or taller, hides all behind it. A lower one hides what lies in its shadow on the
    level of the body's middle; under a detector that is turned over it hides nothing. Nobody stands where a thing does.
    """
    return _seen(replace(view, facing=0.0, field=0.0, reach=0.0, steepest=90.0), space, tuple(furniture), body)


@lru_cache(maxsize=256)
def _seen(view: View, space: BaseGeometry, furniture: tuple[Furniture, ...], body: Body) -> BaseGeometry:
    """Work out what is seen, once for all that a sensitivity or a comparison asks of one place."""
    if view.turned_over and body.top <= view.height:
        return Polygon()
    tall = [thing.plan for thing in furniture if thing.height > view.height - _LEVEL]
    found = visible_from(view.point, space.difference(union_all(tall)) if tall else space)
    low = [_shadow(view, thing, body) for thing in furniture if thing.height <= view.height - _LEVEL]
    return found.difference(union_all(low)) if low else found


def _shadow(view: View, thing: Furniture, body: Body) -> BaseGeometry:
    if view.turned_over or thing.height <= body.middle or body.middle >= view.height:
        return thing.plan
    return behind(view.point, thing.plan, (view.height - body.middle) / (view.height - thing.height))


def covered(view: View, space: BaseGeometry, furniture: Sequence[Furniture], body: Body) -> BaseGeometry:
    """Give what of a space a detector covers: what it sees within its angle and reach, outside the zone under it."""
    return _covered(view, space, tuple(furniture), body)


@lru_cache(maxsize=1024)
def _covered(view: View, space: BaseGeometry, furniture: tuple[Furniture, ...], body: Body) -> BaseGeometry:
    found = seen(view, space, furniture, body).intersection(sector(view))
    hole = view.hole(body)
    return found.difference(Point(view.point).buffer(hole, quad_segs=_SIDES)) if hole else found


def standing_room(space: BaseGeometry, furniture: Iterable[Furniture]) -> BaseGeometry:
    """Give the floor of a space without what furniture stands on."""
    return _standing_room(space, tuple(furniture))


@lru_cache(maxsize=256)
def _standing_room(space: BaseGeometry, furniture: tuple[Furniture, ...]) -> BaseGeometry:
    return space.difference(union_all([thing.plan for thing in furniture]))


def together(floor: BaseGeometry, parts: Iterable[BaseGeometry]) -> Cover:
    """Give what several detectors cover of one floor between them."""
    return Cover(floor, union_all(list(parts)).intersection(floor))


def crossing_angles(detector: XY, start: XY, end: XY) -> tuple[float, float]:
    """Give the least and the greatest angle between a straight walk and the line of sight along it.

    0 is walking straight at the detector or straight away from it, which it sees worst; 90 is across its view. The
    angle grows towards the foot of the perpendicular from the detector: so both are at an end of the walk, or at the
    foot.

    Args:
        detector: where it hangs on the plan.
        start: of the walk.
        end: of the walk; another point.
    """
    length = dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    dx, dy = detector[0] - start[0], detector[1] - start[1]
    foot, off = dx * ux + dy * uy, abs(dx * uy - dy * ux)
    ends = [_angle(off, foot), _angle(off, foot - length)]
    return min(ends), 90.0 if off > 0 and 0 <= foot <= length else max(ends)


def _angle(off: float, along: float) -> float:
    far = hypot(off, along)
    return degrees(acos(min(abs(along) / far, 1.0))) if far else 0.0


def of_inputs(view: View, inputs: Mapping[str, Input]) -> View:
    """Give a view with what its inputs say of bearing, field, reach, height and steepest beam."""
    return replace(
        view,
        facing=inputs["β"].value,
        field=inputs["θ"].value,
        reach=inputs["R"].value,
        height=inputs["z"].value,
        steepest=min(max(inputs["δ"].value, 1.0), 90.0),
    )


@dataclass(frozen=True, slots=True)
class Scene:
    """What a detector looks into: where sight passes, the floor its share is of, and what stands on it."""

    space: BaseGeometry
    floor: BaseGeometry
    furniture: tuple[Furniture, ...] = ()


def working(
    title: str, view: View, scene: Scene, inputs: Mapping[str, Input], caveats: tuple[str, ...] = ()
) -> Working:
    """Give the share of a floor that one detector covers, with its working.

    Args:
        title: what it is about.
        view: where it hangs, and whether it is turned over.
        scene: what it looks into.
        inputs: ``z``, ``β``, ``θ``, ``R`` and ``δ``: height, bearing, field, reach and steepest beam of the detector;
            ``h`` and ``t``: the height of the body that must be seen, and its greatest height.
        caveats: what it does not take into account.
    """
    look, body = of_inputs(view, inputs), Body(inputs["h"].value, inputs["t"].value)
    floor = standing_room(scene.floor, scene.furniture)
    sight = seen(look, scene.space, scene.furniture, body)
    cover = together(floor, [covered(look, scene.space, scene.furniture, body)])
    z, h, steep, field, reach = map(number, (look.height, body.middle, look.steepest, look.field, look.reach))
    hole = ("(z − h) / tan δ", f"({z} − {h}) / tan {steep}°") if look.hole(body) else ("0", "0")
    by_corners = "from its corners"
    steps = (
        Step("r", "radius of the zone under it", *hole, look.hole(body), "m"),
        Step(
            "A_f",
            "area of its field",
            "θ / 360° · π R²",
            f"{field} / 360 · π · {reach}²",
            sector_area(look.field, look.reach),
            "m²",
        ),
        Step("A_v", "seen past walls and furniture", "visibility polygon", by_corners, float(sight.area), "m²"),
        Step(
            "A_c",
            "covered: seen, in its field, outside the zone under it",
            "A_v ∩ A_f − π r²",
            by_corners,
            float(cover.covered.area),
            "m²",
        ),
        Step("A", "floor one can stand on", "room less furniture", by_corners, float(floor.area), "m²"),
        Step(
            "s",
            "share of the floor covered",
            "100 A_c / A",
            f"100 · {number(float(cover.covered.area), 2)} / {number(float(floor.area), 2)}",
            100.0 * cover.share,
            "%",
        ),
    )
    return Working(title, tuple(inputs.values()), steps, caveats)
