"""Ways out of a home: from each bed to each final exit, the way round kitchens, what needs a key, and second ways.

A plan of escape is for the household to make and to practise; these are the distances it starts from.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from asfitted.dwelling.paths import Spot, Walk, walks
from asfitted.dwelling.shapes import Dwelling, PlacedOpening
from asfitted.language import to_say
from asfitted.model.home import Home
from asfitted.reckon.of_walks import beds_of
from asfitted.reckon.standard import standard
from asfitted.reckon.working import Input, Step, Working, number

_SPREAD = 0.05
"""Metres by which one straight piece of a way may be out (common practice, no source)."""
CAUTION = to_say(
    "A plan of escape is yours to make and to practise, with everybody who sleeps here; doors must not need a search."
)
_CAVEATS = (
    "Along the floor and down the slope of stairs; furniture is not walked round.",
    "Through every door, whatever is behind it: smoke, not distance, decides which way is open.",
)


@dataclass(frozen=True, slots=True)
class WayOut:
    """The shortest way from a bed to one final exit.

    Attributes:
        bed: where it starts.
        exit: the outer door.
        walk: the shortest way.
        round_kitchens: the shortest that enters no kitchen, unless it starts there; None when there is none.
        keys: doors on the shortest way that need a key from inside, the exit included.
    """

    bed: Spot
    exit: str
    walk: Walk
    round_kitchens: Walk | None
    keys: tuple[str, ...]

    @property
    def through_kitchen(self) -> bool:
        """Whether the shortest way goes through a kitchen."""
        return self.round_kitchens is None or self.round_kitchens.rooms != self.walk.rooms


@dataclass(frozen=True, slots=True)
class SecondWay:
    """A window by which a room may be left if its door is cut off, and what it lacks for that.

    Attributes:
        opening: its id.
        room: the room it is in.
        width: of the whole window, metres; its opening part may be smaller.
        height: the same; None where it is not recorded.
        sill: above the floor, metres.
        above_ground: its lower edge above the ground outside, metres.
        floor: the floor of the storey above the ground outside, metres.
        onto: what one can stand on outside, as recorded; empty for the ground.
        lacks: in what it falls short, in words; empty for none.
        unknown: what the record does not tell of it, in words.
    """

    opening: str
    room: str
    width: float
    height: float | None
    sill: float
    above_ground: float
    floor: float
    onto: str
    lacks: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def serves(self) -> bool | None:
        """Whether it may serve; None where the record does not tell."""
        return False if self.lacks else None if self.unknown else True


def final_exits(dwelling: Dwelling) -> tuple[PlacedOpening, ...]:
    """Give the doors that lead out of the home, in the order of the record."""
    return tuple(opening for opening in dwelling.openings.values() if opening.is_outer and opening.is_door)


def kitchens(dwelling: Dwelling) -> frozenset[str]:
    """Give the rooms in which people cook: kitchens, and others with a cooker."""
    rooms = dwelling.rooms.values()
    return frozenset(
        room.id for room in rooms if room.room.use == "kitchen" or any(dwelling.fittings_of(room.id, "cooker"))
    )


def ways_out(home: Home, dwelling: Dwelling) -> tuple[WayOut, ...]:
    """Give the way from each bed, or from the middle of a room people sleep in, to each final exit; nearest first."""
    exits, avoid = final_exits(dwelling), kitchens(dwelling)
    goals = [(door.rooms[0], door.middle) for door in exits]
    found = []
    for bed in beds_of(home, dwelling):
        straight, around = walks(dwelling, bed, goals), walks(dwelling, bed, goals, avoid)
        ways = [
            WayOut(bed, door.id, way, _clear(other, bed, avoid), _keys(dwelling, way, door))
            for door, way, other in zip(exits, straight, around, strict=True)
            if way is not None
        ]
        found += sorted(ways, key=lambda way: way.walk.length)
    return tuple(found)


def _clear(walk: Walk | None, bed: Spot, avoid: frozenset[str]) -> Walk | None:
    """Give a walk unless it ends in a kitchen: an outer door there is no way round it."""
    return None if walk is None or (avoid - {bed[0]}) & set(walk.rooms) else walk


def _keys(dwelling: Dwelling, walk: Walk, door: PlacedOpening) -> tuple[str, ...]:
    passed = [dwelling.openings[name] for name in walk.passed if name in dwelling.openings]
    return tuple(opening.id for opening in (*passed, door) if opening.opening.key_needed)


def second_ways(home: Home, dwelling: Dwelling) -> tuple[SecondWay, ...]:
    """Give the windows and rooflights of the rooms people sleep in, with what they lack to serve as a way out."""
    rooms = list(dict.fromkeys(room for room, _ in beds_of(home, dwelling)))
    return tuple(_second_way(dwelling, opening) for room in rooms for opening in _windows(dwelling, room))


def _windows(dwelling: Dwelling, room: str) -> Iterator[PlacedOpening]:
    return (opening for opening in dwelling.openings_of(room) if opening.is_outer and not opening.is_door)


def _second_way(dwelling: Dwelling, opening: PlacedOpening) -> SecondWay:
    written, floor = opening.opening, dwelling.storey(opening.storey).level
    sill = written.sill
    if opening.outline is not None:  # a rooflight: its lower edge is where the slope is lowest under it
        ceiling = dwelling.rooms[opening.rooms[0]].ceiling
        sill = min(ceiling.height_at(float(x), float(y)) for x, y in opening.outline.exterior.coords)
    return SecondWay(
        opening.id,
        opening.rooms[0],
        written.width,
        written.height,
        sill,
        floor + sill,
        floor,
        written.climb.from_ if written.climb else "",
        tuple(_lacks(opening, sill, floor)),
        ("its height",) if written.height is None else (),
    )


def _lacks(opening: PlacedOpening, sill: float, floor: float) -> Iterator[str]:
    """Give in what a window falls short of one to climb out of."""
    limit = {key: standard("ways_out", key).value for key in ("least-side", "least-area", "most-sill", "most-floor")}
    written, side = opening.opening, limit["least-side"]
    area = None if written.height is None else written.width * written.height
    if not written.opening_part:
        yield "it does not open"
    if written.key_needed:
        yield "it needs a key"
    if written.width < side:
        yield f"{written.width:.2f} m wide, less than {side:.2f} m"
    if written.height is not None and written.height < side:
        yield f"{written.height:.2f} m high, less than {side:.2f} m"
    if area is not None and area < limit["least-area"]:
        yield f"{area:.2f} m², less than {limit['least-area']:.2f} m²"
    if sill > limit["most-sill"]:
        yield f"its lower edge {sill:.2f} m above the floor, more than {limit['most-sill']:.2f} m"
    if floor > limit["most-floor"]:
        yield f"the floor {floor:.2f} m above the ground, more than {limit['most-floor']:.2f} m"


def way_inputs(way: WayOut) -> dict[str, Input]:
    """Give the parts of a way out: what is walked on the level, through walls, and along stairs."""
    legs = [(f"l_{number}", leg) for number, leg in enumerate(way.walk.legs, start=1)]
    return {
        symbol: Input(
            symbol,
            f"through {leg.passes}" if leg.passes else f"in {leg.start[0]}",
            leg.length,
            "m",
            "measured",
            "the rooms as surveyed",
            _SPREAD,
        )
        for symbol, leg in legs
    }


def way_working(called: str, inputs: Mapping[str, Input]) -> Working:
    """Add up the length of a way out, with the working.

    Args:
        called: what it is about, for the title.
        inputs: as :func:`way_inputs` gives them.
    """
    lengths = [given.value for given in inputs.values()]
    formula = " + ".join(inputs) or "0"
    figures = " + ".join(number(length, 2) for length in lengths) or "0"
    step = Step("L", "length of the shortest way", formula, figures, sum(lengths), "m")
    caveats = (*_CAVEATS, CAUTION)
    return Working(f"Way out, {called}", tuple(inputs.values()), (step,), caveats)
