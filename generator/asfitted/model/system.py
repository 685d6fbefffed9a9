"""The system as a whole: its grades, its times, and whom it tells."""

from typing import Literal

from pydantic import Field

from asfitted.model.base import Value
from asfitted.model.quantity import Duration, Frequency, Power, Received
from asfitted.model.scalar import Count, YesNo
from asfitted.model.words import Grade


class System(Value):
    """How the system as a whole is graded and set. What is not recorded is not taken for granted."""

    fire_category: Literal["LD1", "LD2", "LD3"] | None = Field(
        None, description="which rooms the fire alarms are to cover, where the rule set has such categories"
    )
    fire_grade: Literal["A", "C", "D1", "D2", "F1", "F2"] | None = Field(
        None, description="how the fire alarms are fed and controlled, where the rule set has such grades"
    )
    intruder_grade: Grade | None = Field(None, description="the security grade it is said to have")
    entry_time: Duration | None = Field(None, description="from opening the entry door to the alarm")
    exit_time: Duration | None = Field(None, description="from setting to the last door")
    abort_time: Duration | None = Field(None, description="how long a signal is held back so that it can be called off")
    tells: Literal["nobody", "household", "receiving centre"] | None = Field(
        None, description="who is told of an alarm beyond the sounders"
    )
    path: Literal["SP1", "SP2", "SP3", "SP4", "SP5", "SP6", "DP1", "DP2", "DP3", "DP4"] | None = Field(
        None, description="category of the alarm path to a receiving centre, by EN 50136-1"
    )
    police: YesNo | None = Field(None, description="whether the police are called to it")
    radio: Frequency | None = Field(None, description="frequency of its radio, MHz")
    radio_power: Power | None = Field(
        None, description="radiated power (ERP) of its weakest wire-free device, by its booklet"
    )
    hears: Received | None = Field(None, description="sensitivity of its receivers by their booklet")
    events_kept: Count | None = Field(None, description="how many events the control unit keeps")
