"""What a task uses up: batteries by type and count, and devices to put in place of old ones."""

import re
from dataclasses import dataclass
from typing import Literal

from asfitted.model.device import Device
from asfitted.upkeep.task import Task

_COUNTED = re.compile(r"(\d{1,2})\s*[x×]\s*(\S.*)")
PartKind = Literal["battery", "device"]
UNNAMED = "standby battery, type not recorded"


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """So many of one type of battery, or of one kind of device."""

    kind: PartKind
    name: str
    count: int


def part_of(task: Task, device: Device | None) -> Part | None:
    """Give what a task uses up; None where it takes nothing but work."""
    if device is None:
        return None
    if task.interval.counts_from == "made":
        return Part("device", device.kind, 1)
    if task.interval.counts_from != "battery":
        return None
    if device.battery is None:
        return Part("battery", UNNAMED, 1)
    return Part("battery", *counted(device.battery.type))


def counted(written: str) -> tuple[str, int]:
    """Read the type of a battery as a record has it: "2 x AA" is two of AA, "rechargeable pack" is one."""
    found = _COUNTED.fullmatch(written.strip())
    return (found[2].strip(), int(found[1])) if found else (written.strip(), 1)
