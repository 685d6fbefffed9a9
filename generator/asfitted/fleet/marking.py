"""What is printed on a device, as a search asks for it: one marking, all that begin alike, or a range."""

import re
from dataclasses import dataclass

from asfitted.model.base import Unusable, shown

Answer = bool | None
"""Whether something is as asked for; None where the record does not tell."""

_NUMBERS = re.compile(r"\d+(?:\.\d+)*")
_PARTS = re.compile(r"\d+|\D+")


@dataclass(frozen=True, slots=True)
class Marking:
    """A serial number, batch or version to look for, as typed: ``7702-1812``, ``7702-*`` or ``25-40..25-60``.

    Both ends of a range belong to it, and either may be left open. Numbers are compared as numbers, part by part, so
    that 9 comes before 10 and version 2.9 before 2.10. Capitals and blanks do not matter.
    """

    typed: str

    def __post_init__(self) -> None:
        if not self.typed.strip(" .*"):
            raise Unusable(shown(self.typed), "a marking, such as 7702-1812, 7702-* or 25-40..25-60")
        first, last = self._ends
        if first and last and _shape(first) != _shape(last):
            raise Unusable(shown(self.typed), "both ends of the range written alike, such as 25-40..25-60")
        if first and last and _in_order(first) > _in_order(last):
            raise Unusable(shown(self.typed), "the lower end of the range first")

    @property
    def _ends(self) -> tuple[str, str]:
        first, _, last = _plain(self.typed).partition("..")
        return first, last

    def fits(self, printed: str | None) -> Answer:
        """Say whether a device bears the marking.

        What holds it and more (“lot 25-51” for 25-51), or is written in another way than the ends of a range, is not
        passed over: it cannot be told, as long as nobody looks at the device.

        Args:
            printed: what the record says is printed on it.
        """
        if printed is None:
            return None
        mark, typed = _plain(printed), _plain(self.typed)
        if ".." in typed:
            return self._within(mark)
        if typed.endswith("*"):
            typed = typed.rstrip("*")
            return True if mark.startswith(typed) else _held(typed, mark)
        return True if mark == typed else _held(typed, mark)

    def _within(self, mark: str) -> Answer:
        first, last = self._ends
        if _shape(mark) != _shape(first or last):
            return None
        place = _in_order(mark)
        return (not first or _in_order(first) <= place) and (not last or place <= _in_order(last))


def _held(typed: str, mark: str) -> Answer:
    return None if typed in mark else False


def _plain(text: str) -> str:
    return re.sub(r"\s+", "", text).casefold()


def _shape(text: str) -> str:
    """Give what is left of a marking when its numbers are taken for any number."""
    return _NUMBERS.sub("#", text)


def _in_order(text: str) -> tuple[tuple[int, int, str], ...]:
    """Give what sorts markings: number by number, and letters after numbers."""
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in _PARTS.findall(text))
