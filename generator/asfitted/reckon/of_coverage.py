"""The motion detectors of a home: what each looks into, what is known of it, and what they cover together."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property, partial
from math import inf

from shapely import Polygon, union_all
from shapely.geometry.base import BaseGeometry

from asfitted.dwelling.shapes import Dwelling, PlacedOpening, Spot
from asfitted.model.device import Device
from asfitted.model.home import Home
from asfitted.model.standing import standing, tests_of
from asfitted.reckon.coverage import Body, Cover, Furniture, Scene, View, covered, of_inputs, standing_room, together
from asfitted.reckon.coverage import working as coverage_working
from asfitted.reckon.standard import standard
from asfitted.reckon.working import Input, Known, Model, Swing, Working, sensitivity

_SLIVER = 1e-6
_LAP = 1e-3
"""Metres by which a doorway is drawn into the rooms on either side, so that the three are one shape."""
_CAVEATS = (
    "Doors are taken as shut unless the record says that they stand open; glass and shut doors stop it.",
    "Sight through an archway or an open door is taken as open up to the ceiling.",
    "Only tall furniture of the record is in the way; curtains, plants and open leaves are not in it.",
    "Whether it detects is shown by a walk test alone: it sees badly who walks straight at it, and on hot days.",
)


@dataclass(frozen=True)
class Detector:
    """A motion detector with all that bears on what it covers.

    Attributes:
        tag: as written on it.
        room: the room it hangs in.
        storey: the storey whose plan its shapes are on.
        view: how it looks.
        scene: what it looks into; its share is of the floor of its room.
        inputs: by symbol, of somebody upright.
        notes: what the last walk test gave, and furniture whose height is not known, in words.
    """

    tag: str
    room: str
    storey: str
    view: View
    scene: Scene
    inputs: Mapping[str, Input]
    notes: tuple[str, ...] = ()

    @cached_property
    def covered(self) -> BaseGeometry:
        """What it covers of somebody upright, in its room and through archways and doors that stand open."""
        return self._covered(Body(self.inputs["h"].value, self.inputs["t"].value))

    @cached_property
    def creeping(self) -> BaseGeometry:
        """What it covers of somebody who creeps."""
        return self._covered(Body(standard("coverage", "creeping-h").value, standard("coverage", "creeping-t").value))

    @cached_property
    def cover(self) -> Cover:
        """What it covers of the floor of its room."""
        return together(standing_room(self.scene.floor, self.scene.furniture), [self.covered])

    @property
    def model(self) -> Model:
        """The calculation as a function of its inputs."""
        caveats = (*_CAVEATS, *self.notes)
        return lambda inputs: coverage_working(f"Coverage of {self.tag}", self.view, self.scene, inputs, caveats)

    @cached_property
    def working(self) -> Working:
        """The share of the floor of its room that it covers, with its working."""
        return self.model(self.inputs)

    @cached_property
    def swings(self) -> tuple[Swing, ...]:
        """What would change that share most."""
        return sensitivity(self.model, self.inputs)

    def _covered(self, body: Body) -> BaseGeometry:
        return covered(self.view, self.scene.space, self.scene.furniture, body)


@dataclass(frozen=True, slots=True)
class Detectors:
    """The detectors of a home that have a place, and the tags of those that have none."""

    placed: tuple[Detector, ...]
    without_place: tuple[str, ...]

    def on_storey(self, storey: str) -> tuple[Detector, ...]:
        """Give those whose shapes are on the plan of a storey."""
        return tuple(detector for detector in self.placed if detector.storey == storey)


def detectors_of(home: Home, dwelling: Dwelling, on: date, open_doors: frozenset[str] = frozenset()) -> Detectors:
    """Give the motion detectors of a home that are fitted by a day.

    Args:
        home: the record.
        dwelling: its shapes.
        on: the day.
        open_doors: ids of doors taken as open besides archways and those that the record says stand open.
    """
    placed, lost = [], []
    for tag, device in home.devices.items():
        if device.kind != "motion detector" or not device.fitted_by(on):
            continue
        spot = dwelling.spots.get(tag)
        if spot is None or spot.point is None or (spot.facing is None and spot.fixed != "ceiling"):
            lost.append(tag)
        elif spot.fixed != "outside":
            placed.append(_detector(home, dwelling, on, tag, open_doors))
    return Detectors(tuple(placed), tuple(lost))


def rooms_covered(dwelling: Dwelling, detectors: Detectors) -> dict[str, Cover]:
    """Give what the detectors cover together of each room into which one looks."""
    found = {}
    for room in dwelling.rooms.values():
        here = [seen for seen in detectors.on_storey(room.storey) if seen.covered.intersects(room.outline)]
        floor = standing_room(room.outline, furniture_in(dwelling, (room.id,)))
        cover = together(floor, [seen.covered for seen in here])
        if cover.covered.area > _SLIVER or any(seen.room == room.id for seen in detectors.placed):
            found[room.id] = cover
    return found


def sight_space(
    dwelling: Dwelling, room: str, open_doors: frozenset[str] = frozenset()
) -> tuple[BaseGeometry, tuple[str, ...]]:
    """Give what sight from a room passes through on its storey, and the rooms of it: itself, and those behind openings.

    Args:
        dwelling: the home.
        room: where one looks from.
        open_doors: ids of doors taken as open besides archways and those that the record says stand open.
    """
    rooms, shapes, queue = [room], [dwelling.rooms[room].outline], [room]
    while queue:
        here = queue.pop()
        for opening in dwelling.openings_of(here):
            beyond = next((other for other in opening.rooms if other != here), None)
            if beyond is None or not _stands_open(opening, open_doors):
                continue
            shapes.append(doorway(opening))
            if beyond not in rooms:
                rooms.append(beyond)
                queue.append(beyond)
                shapes.append(dwelling.rooms[beyond].outline)
    return (union_all(shapes) if len(shapes) > 1 else shapes[0]), tuple(rooms)


def _stands_open(opening: PlacedOpening, open_doors: frozenset[str]) -> bool:
    said = opening.opening.stands == "open" or opening.id in open_doors
    return opening.opening.kind == "archway" or (opening.is_door and said)


def doorway(opening: PlacedOpening) -> Polygon:
    """Give what an opening between two rooms takes up of the plan, from room to room."""
    assert opening.wall is not None
    nx, ny = opening.wall.outward
    near, far = -_LAP, opening.thickness + _LAP
    return Polygon(
        [
            (x + nx * out, y + ny * out)
            for (x, y), out in zip((opening.a, opening.b, opening.b, opening.a), (near, near, far, far), strict=True)
        ]
    )


def furniture_in(dwelling: Dwelling, rooms: tuple[str, ...]) -> tuple[Furniture, ...]:
    """Give the tall furniture of some rooms; one without a height counts as taller than any detector."""
    return tuple(
        Furniture(placed.shape, placed.fitting.height if placed.fitting.height is not None else inf)
        for room in rooms
        for placed in dwelling.fittings_of(room, "tall-furniture")
        if isinstance(placed.shape, Polygon)
    )


def _detector(home: Home, dwelling: Dwelling, on: date, tag: str, open_doors: frozenset[str]) -> Detector:
    device, spot = home.devices[tag], dwelling.spots[tag]
    assert spot.point is not None
    space, rooms = sight_space(dwelling, spot.room, open_doors)
    inputs = {given.symbol: given for given in _inputs(tag, device, spot)}
    view = View(spot.point, 0.0, 0.0, 0.0, 0.0, turned_over=bool(device.turned_over))
    scene = Scene(space, dwelling.rooms[spot.room].outline, furniture_in(dwelling, rooms))
    notes = (*_without_height(dwelling, rooms), *_tried(home, on, tag))
    return Detector(tag, spot.room, spot.storey, of_inputs(view, inputs), scene, inputs, notes)


def _inputs(tag: str, device: Device, spot: Spot) -> Iterator[Input]:
    """Give what is known of a detector: what the record says of it, or what is usual for its kind of place."""
    place = "ceiling-" if spot.fixed == "ceiling" else ""
    given = partial(standard, "coverage")
    where = f"devices.{tag}."
    height, facing = given("z"), given("β")
    yield height if spot.z is None else _said(height, spot.z, where + "height", spot.tolerance, measured=True)
    if device.facing is not None:
        yield _said(facing, spot.facing or 0.0, where + "facing", facing.spread, measured=True)
    elif not place:
        yield replace(facing, value=spot.facing or 0.0)
    else:
        yield replace(facing, spread=0.0)
    for key, value, name in (("θ", device.field, "field"), ("R", device.range, "range")):
        usual = given(place + key)
        yield usual if value is None else _said(usual, value, where + name, usual.spread)
    steepest = given(place + "δ")
    if device.turned_over:
        yield _said(steepest, 0.0, where + "turned-over", 0.0)
    else:
        down = device.looks_down
        yield steepest if down is None else _said(steepest, down, where + "looks-down", steepest.spread)
    yield given("h")
    yield given("t")


def _said(usual: Input, value: float, origin: str, spread: float, *, measured: bool = False) -> Input:
    known: Known = "measured" if measured else "stated"
    return Input(usual.symbol, usual.meaning, value, usual.unit, known, origin, spread)


def _without_height(dwelling: Dwelling, rooms: tuple[str, ...]) -> Iterator[str]:
    for room in rooms:
        for placed in dwelling.fittings_of(room, "tall-furniture"):
            what = f"the {placed.fitting.called} in the {dwelling.rooms[room].room.called}"
            if not isinstance(placed.shape, Polygon):
                yield f"The record gives no place and size for {what}: it is left out."
            elif placed.fitting.height is None:
                yield f"The record gives no height for {what}: it is taken as taller than the detector."


def _tried(home: Home, on: date, tag: str) -> Iterator[str]:
    """Say what the last walk test of a detector gave."""
    for visit, test in reversed(tests_of(tag, home.devices[tag], standing(home.visits, on))):
        if test.walk is not None:
            steps = f" after {test.steps} steps" if test.walk == "detected" and test.steps is not None else ""
            yield f"On {visit.date} a walk test {'was detected' if test.walk == 'detected' else 'was missed'}{steps}."
            return
