"""Everything that is reckoned of one home on one day, each topic worked out when it is first asked for, and once."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from asfitted.dwelling.shapes import Dwelling
from asfitted.model.home import Home

if TYPE_CHECKING:
    from asfitted.reckon.alarm_field import RoomField
    from asfitted.reckon.hearing import HomeSound
    from asfitted.reckon.of_coverage import Detectors
    from asfitted.reckon.of_power import HomePower
    from asfitted.reckon.of_radio import Radio
    from asfitted.reckon.of_sun import HomeSun
    from asfitted.reckon.of_walks import WayIn
    from asfitted.reckon.undetected import Route
    from asfitted.reckon.ways_out import SecondWay, WayOut


@dataclass(frozen=True, eq=False)
class Reckoned:
    """The calculations of a home: nothing is worked out, and nothing heavy is imported, before it is asked for."""

    home: Home
    dwelling: Dwelling
    on: date

    @cached_property
    def coverage(self) -> "Detectors":
        """The motion detectors, and what each covers."""
        from asfitted.reckon.of_coverage import detectors_of

        return detectors_of(self.home, self.dwelling, self.on)

    @cached_property
    def walks(self) -> "tuple[Route, ...]":
        """The walks from openings that can be reached to what is worth reaching, with what notices each first."""
        from asfitted.reckon.of_walks import routes_of

        return routes_of(self.home, self.dwelling, self.on, self.coverage)

    @cached_property
    def unseen(self) -> Mapping[str, tuple[str, ...]]:
        """What is reached from an opening, by its id, without anything noticing, whatever way is taken."""
        from asfitted.reckon.of_walks import unnoticed

        return unnoticed(self.home, self.dwelling, self.on, self.coverage)

    @cached_property
    def entries(self) -> "tuple[WayIn, ...]":
        """The walk from each entry door to its keypad, with the entry time that suits it."""
        from asfitted.reckon.of_walks import ways_in

        return ways_in(self.home, self.dwelling, self.on)

    @cached_property
    def field(self) -> "tuple[RoomField, ...]":
        """The distance to the nearest smoke or heat alarm over every room."""
        from asfitted.reckon.alarm_field import fields_of

        return fields_of(self.home, self.dwelling, self.on)

    @cached_property
    def ways(self) -> "tuple[WayOut, ...]":
        """The way from each bed to each final exit."""
        from asfitted.reckon.ways_out import ways_out

        return ways_out(self.home, self.dwelling)

    @cached_property
    def second_ways(self) -> "tuple[SecondWay, ...]":
        """The windows of the rooms people sleep in, with what they lack to serve as a way out."""
        from asfitted.reckon.ways_out import second_ways

        return second_ways(self.home, self.dwelling)

    @cached_property
    def radio(self) -> "Radio":
        """The radio links."""
        from asfitted.reckon.of_radio import radio_of

        return radio_of(self.home, self.dwelling, self.on)

    @cached_property
    def sun(self) -> "HomeSun":
        """Direct sun on the motion detectors, in the year of the day."""
        from asfitted.reckon.of_sun import sun_of

        return sun_of(self.home, self.dwelling, self.on)

    @cached_property
    def sound(self) -> "HomeSound":
        """What is heard at every bed, inner doors shut and open."""
        from asfitted.reckon.of_sound import sound_of

        return sound_of(self.home, self.dwelling, self.on)

    @cached_property
    def power(self) -> "HomePower":
        """Control units, batteries and cables."""
        from asfitted.reckon.of_power import power_of

        return power_of(self.home, self.on)


def reckoned(home: Home, dwelling: Dwelling, on: date) -> Reckoned:
    """Give the calculations of a home as it stands on a day."""
    return Reckoned(home, dwelling, on)
