"""The profile of a ridged or sloping ceiling, cut along its steepest rise."""

from dataclasses import dataclass

from asfitted.dwelling.ceilings import CeilingShape
from asfitted.dwelling.shapes import XY, RoomShape, Spot
from asfitted.language import figure, say


@dataclass(frozen=True)
class Profile:
    """A section along the steepest rise: metres along the axis across the paper, metres above floor up it."""

    ceiling: CeilingShape
    start: float
    end: float
    top: float

    def height(self, along: float) -> float:
        """Give the height of the ceiling at a distance along the axis."""
        axis = self.ceiling.axis
        assert axis is not None
        return self.ceiling.height_at(axis[0] * along, axis[1] * along)

    @property
    def line(self) -> list[XY]:
        """The underside of the ceiling from one end to the other."""
        stops = [self.start, self.top, self.end] if self.start < self.top < self.end else [self.start, self.end]
        return [(stop, self.height(stop)) for stop in stops]


def profile_of(room: RoomShape) -> Profile | None:
    """Give the section of a room across its ridge or up its slope; None under a flat ceiling."""
    ceiling = room.ceiling
    if ceiling.axis is None or ceiling.is_flat:
        return None
    ax, ay = ceiling.axis
    along = [x * ax + y * ay for x, y in room.outline.exterior.coords]
    top = (ceiling.start + ceiling.end) / 2 if ceiling.ridged else ceiling.end
    return Profile(ceiling, min(along), max(along), top)


def profile_sentence(profile: Profile, scale: int) -> str:
    """Say the shape, heights and pitch of a ceiling."""
    ceiling = profile.ceiling
    given = {
        "scale": scale,
        "low": figure(ceiling.low, 2),
        "high": figure(ceiling.high, 2),
        "pitch": figure(ceiling.pitch, 0),
    }
    if ceiling.ridged:
        return say(
            "Section at 1:{scale} across the ridge of the ridged ceiling: {low} m at the low edge, "
            "{high} m at the ridge, pitch {pitch} degrees.",
            **given,
        )
    return say(
        "Section at 1:{scale} up the slope of the sloping ceiling: {low} m at the low edge, "
        "{high} m at the upper edge, pitch {pitch} degrees.",
        **given,
    )


def hung_sentence(profile: Profile, spot: Spot, tag: str, kind: str, where: str) -> str:
    """Say where a device is, how high, and how far down the slope."""
    assert spot.z is not None
    given = {
        "tag": tag,
        "kind": say(kind),
        "where": where,
        "height": figure(spot.z, 2),
        "down": figure(slope_distance(profile, spot), 2),
    }
    if profile.ceiling.ridged:
        return say("{tag} {kind} {where}, {height} m above the floor, {down} m down the slope from the ridge.", **given)
    return say(
        "{tag} {kind} {where}, {height} m above the floor, {down} m down the slope from the upper edge.", **given
    )


def slope_distance(profile: Profile, spot: Spot) -> float:
    """Give the distance from the ridge or upper edge down the slope to above a spot: run over cosine of the pitch."""
    assert spot.point is not None
    return profile.ceiling.slope_distance_from_top(*spot.point)


def along_axis(profile: Profile, point: XY) -> float:
    """Give how far along the section a point of the plan falls, in metres."""
    axis = profile.ceiling.axis
    assert axis is not None
    return point[0] * axis[0] + point[1] * axis[1]
