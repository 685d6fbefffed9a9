"""Visits: who came, what was tested, what it read, what was handed over. Append-only."""

from typing import Literal

from pydantic import Field

from asfitted.model.base import Value
from asfitted.model.photo import Photos
from asfitted.model.quantity import Current, Duration, Length, Level, Voltage
from asfitted.model.scalar import Count, Day, Id, Tag, Text, YesNo
from asfitted.model.words import Checked, Taught, VisitKind


class Test(Value):
    """What was done to one device on one visit, and what it read.

    Only what was done stands here: an absent reading is a test that was not made.
    """

    button: Literal["sounded", "silent"] | None = Field(None, description="test button pressed")
    smoke: Duration | None = Field(None, description="time to sound in test aerosol")
    heat: Duration | None = Field(None, description="time to sound with a test heater")
    gas: Duration | None = Field(None, description="time to sound with test gas")
    link: Literal["all sounded", "some silent", "silent"] | None = Field(
        None, description="whether the linked alarms sounded too"
    )
    at_one_metre: Level | None = Field(None, description="sound level of a sounder at 1 m, dB(A)")
    level: dict[Id, Level] = Field({}, description="sound level by room, at the bed where there is one")
    doors: Literal["open", "closed"] | None = Field(None, description="doors during the sound level reading")
    walk: Literal["detected", "missed"] | None = Field(None, description="someone walked across")
    steps: Count | None = Field(None, description="steps until it was detected")
    pet: Literal["not detected", "detected"] | None = Field(None, description="the animal itself walked across")
    opened: Literal["signalled", "silent"] | None = Field(None, description="leaf opened with the system set")
    at: Length | None = Field(None, description="opening at the lock edge at which it signalled")
    gap: Length | None = Field(None, description="between sensor and magnet, leaf closed")
    unlatched: Literal["signalled", "silent"] | None = Field(None, description="leaf resting shut but not latched")
    tamper: Literal["signalled", "silent"] | None = Field(None, description="cover opened, or taken off the wall")
    water: Literal["signalled", "silent"] | None = Field(None, description="contacts wetted")
    glass: Literal["signalled", "silent"] | None = Field(None, description="with a glass-break tester")
    pressed: Literal["signalled", "silent"] | None = Field(None, description="hold-up button pressed")
    sounded: YesNo | None = Field(None, description="a sounder, set off from the control unit")
    keys: Literal["worked", "failed"] | None = Field(None, description="set and unset from a keypad")
    mains_off: Literal["held", "lost"] | None = Field(None, description="with the mains switched off")
    held_for: Duration | None = Field(None, description="how long it ran without mains")
    path_wired: Literal["received", "lost"] | None = Field(None, description="test alarm over the cable")
    path_mobile: Literal["received", "lost"] | None = Field(None, description="test alarm over the second path")
    charging: Current | None = Field(None, description="what flows into the standby battery, amperes")
    signal: Level | None = Field(None, description="margin of the radio link, dB")
    battery: Voltage | Literal["good", "low"] | None = Field(None, description="voltage, or what the display says")
    cleaned: YesNo | None = Field(None, description="dust taken off")
    battery_changed: YesNo | None = Field(None, description="a fresh battery put in")
    note: Text | None = Field(None, description="anything else worth knowing")

    @property
    def outcome(self) -> bool | None:
        """True when what was tried worked, False when something did not, None when nothing was tried."""
        results = [
            word in GOOD
            for word in (
                self.button,
                self.link,
                self.walk,
                self.opened,
                self.unlatched,
                self.tamper,
                self.water,
                self.glass,
                self.pressed,
                self.keys,
                self.mains_off,
                self.path_wired,
                self.path_mobile,
            )
            if word is not None
        ]
        results += [True for time in (self.smoke, self.heat, self.gas) if time is not None]
        if self.sounded is not None:
            results.append(self.sounded)
        return all(results) if results else None


GOOD = frozenset({"sounded", "all sounded", "detected", "signalled", "worked", "held", "received"})
"""Results that prove a device works. A pet that was detected is not a proof, so it is not counted."""


class NotTested(Value):
    """Something that could not be tested on a visit, and why."""

    what: Text = Field(description="the test that was not made")
    device: Tag | None = Field(None, description="the device, if it is about one")
    why: Text = Field(description="the reason")
    told: Text | None = Field(None, description="who was told; a role, never a name")


class Visit(Value):
    """One visit. A correction is a new visit that names the day of the one it corrects."""

    date: Day = Field(description="the day of the visit")
    kind: VisitKind = Field(description="what the visit was for")
    by: Text = Field(description="technician's number or role; householder for their own test")
    tests: dict[Tag, Test] = Field({}, description="what was tested, by the tag of the device")
    not_tested: tuple[NotTested, ...] = Field((), description="what could not be tested, and why")
    remote: YesNo | None = Field(None, description="yes for a check made over the line")
    cause: Literal["genuine", "false alarm", "fault", "other"] | None = Field(
        None, description="what a call-out was for"
    )
    police_called: YesNo | None = Field(None, description="whether the police were called that time")
    entry_time: Duration | None = Field(None, description="entry time by the clock")
    exit_time: Duration | None = Field(None, description="exit time by the clock")
    checked: tuple[Checked, ...] = Field((), description="what was looked at besides the devices")
    taught: tuple[Taught, ...] = Field((), description="what the household was shown how to do")
    accepted_by: Text | None = Field(None, description="who accepted the work in writing; a role, never a name")
    handed_over: tuple[Text, ...] = Field((), description="manual, log book, how to test, ...")
    shown_to: Text | None = Field(None, description="a role, never a name")
    report: Day | None = Field(None, description="the day the report went to the householder")
    corrects: Day | None = Field(None, description="the day of the earlier visit that this entry corrects")
    photos: Photos = Field((), description="taken at that visit; a later one goes to the device or the room")
    note: Text | None = Field(None, description="anything else worth knowing")
