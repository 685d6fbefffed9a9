"""Entries of a calendar as an iCalendar file (RFC 5545).

Every entry is an all-day one: VALUE=DATE, the same day wherever it is read, so that no file needs a time zone.

A file holds no METHOD: it is a feed, to be fetched whole again and again, not a message about a meeting. DTSTAMP is
then when the entry was last revised (RFC 5545, 3.8.7.2), which is LAST-MODIFIED. What no longer holds is left out
rather than listed as cancelled: whoever subscribes gets the whole again, CANCELLED is a word between organiser and
attendees (RFC 5546, 3.2.5), and programs show it as an entry struck through.

The few lines of an entry are written here and not by the icalendar library, which takes some 0.7 ms an entry, 20 ms a
home. The tests read every kind of file back by that library, and it writes the same lines again.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from asfitted.language import spoken

DOMAIN = "asfitted.invalid"  # a name that can never be somebody's: RFC 2606, section 2
FETCHED_AGAIN = "P1D"
"""How often a program that subscribes is asked to fetch the file again."""
_FIRST = datetime(2020, 1, 1, tzinfo=UTC)
_MOST = 2**31 - 1  # RFC 5545, 3.3.8; reached in 2088
_OCTETS = 74  # and the blank that begins a folded line


@dataclass(frozen=True, slots=True)
class Entry:
    """One all-day entry of a calendar.

    Attributes:
        uid: by which a calendar program knows it again.
        day: its first day.
        summary: its title.
        description: its lines.
        revised: when it last changed; see :func:`sequence`.
        rule: its RRULE, if it comes again.
        tentative: whether it is planned and not yet agreed.
    """

    uid: str
    day: date
    summary: str
    description: tuple[str, ...]
    revised: datetime
    rule: str = ""
    tentative: bool = False


def begin(day: date, committed: datetime | None = None) -> datetime:
    """Give the moment at which a day begins, by the clock of whoever committed the record, else in UTC."""
    return datetime.combine(day, time(), committed.tzinfo if committed else UTC)


def sequence(revised: datetime) -> int:
    """Give the SEQUENCE of an entry: the seconds from the beginning of 2020, UTC, to when it last changed.

    It needs no memory of earlier files, never falls from one file to the next, and rises with every change.
    """
    return min(max(0, int((revised - _FIRST).total_seconds())), _MOST)


def calendar_file(name: str, entries: Iterable[Entry]) -> bytes:
    """Write entries as a file, UTF-8, its lines ended by CR LF and folded at 75 octets.

    Args:
        name: what a calendar program shows as the calendar's name.
        entries: in the order in which they shall stand.
    """
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//asfitted//upkeep of a home//{spoken().code.upper()}",
        f"NAME:{_text(name)}",
        f"X-WR-CALNAME:{_text(name)}",  # RFC 7986 has NAME; most programs still read only this one
        f"REFRESH-INTERVAL;VALUE=DURATION:{FETCHED_AGAIN}",
        f"X-PUBLISHED-TTL:{FETCHED_AGAIN}",  # the same, for programs from before RFC 7986
        *(line for entry in entries for line in _event(entry)),
        "END:VCALENDAR",
    ]
    return b"".join(map(_folded, lines))


def _event(entry: Entry) -> Iterator[str]:
    moment = f"{entry.revised.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield "BEGIN:VEVENT"
    yield f"SUMMARY:{_text(entry.summary)}"
    yield f"DTSTART;VALUE=DATE:{entry.day:%Y%m%d}"
    yield f"DTSTAMP:{moment}"
    yield f"UID:{_text(entry.uid)}"
    yield f"SEQUENCE:{sequence(entry.revised)}"
    if entry.rule:
        yield f"RRULE:{entry.rule}"
    yield "DESCRIPTION:" + r"\n".join(map(_text, entry.description))
    yield f"LAST-MODIFIED:{moment}"
    if entry.tentative:
        yield "STATUS:TENTATIVE"
    yield "TRANSP:TRANSPARENT"  # a day with a task on it is still a free day
    yield "END:VEVENT"


def _text(text: str) -> str:
    """Give text as a value of one line (RFC 5545, 3.3.11). Not only a line feed is taken for the end of a line."""
    line = "".join(c for c in " ".join(text.split()) if c.isprintable())
    return line.replace("\\", "\\\\").replace(";", r"\;").replace(",", r"\,")


def _folded(line: str) -> bytes:
    """End a line, and fold it where it is longer than 75 octets, never within a character (RFC 5545, 3.1)."""
    octets, pieces = line.encode(), list[bytes]()
    while len(octets) > _OCTETS:
        cut = _OCTETS
        while octets[cut] & 0xC0 == 0x80:  # within a character
            cut -= 1
        pieces.append(octets[:cut])
        octets = octets[cut:]
    return b"\r\n ".join([*pieces, octets]) + b"\r\n"
