"""The life of a device as a bar: from the day it was fitted or made, past today, to the day it is to be replaced."""

from dataclasses import dataclass
from datetime import date

from asfitted.model.device import Device


@dataclass(frozen=True, slots=True)
class Life:
    """A life from ``start`` to ``end``, of which the share ``gone``, from 0 to 1, has passed.

    ``fitted`` is False where the day of fitting is not known and the life is drawn from the month of manufacture.
    """

    start: date
    end: date
    gone: float
    fitted: bool

    @property
    def percent(self) -> str:
        """The share that has passed, as a length for a style sheet."""
        return f"{100 * self.gone:.1f}%"

    @property
    def over(self) -> bool:
        """Whether the day of replacement has come."""
        return self.gone >= 1


def life(device: Device, end: date | None, on: date) -> Life | None:
    """Give the life of a device on a day; None where its beginning or its end is not known."""
    start = device.fitted or device.made
    if start is None or end is None or start >= end:
        return None
    gone = (on - start).days / (end - start).days
    return Life(start, end, min(max(gone, 0.0), 1.0), fitted=device.fitted is not None)
