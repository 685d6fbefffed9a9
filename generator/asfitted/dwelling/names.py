"""Names in a record: each given once, and each that is used given somewhere."""

from collections import Counter
from collections.abc import Iterator, Sequence

from asfitted.model.base import Path, Problem, did_you_mean
from asfitted.model.building import Fitting, Opening, Room, Stair
from asfitted.model.home import Home


def repeated_ids(home: Home) -> dict[str, list[Problem]]:
    """Find ids that stand for two parts of the home, each with what is wrong."""
    seen: Counter[str] = Counter()
    problems: dict[str, list[Problem]] = {}
    for path, name in _given(home):
        seen[name] += 1
        if seen[name] > 1:
            expected = "an id of its own for every part of the home"
            problems.setdefault(name, []).append(Problem(path, f"“{name}” a second time", expected))
    return problems


def _given(home: Home) -> Iterator[tuple[Path, str]]:
    for i, storey in enumerate(home.storeys):
        yield ("storeys", i, "id"), storey.id
        parts: dict[str, Sequence[Room | Opening | Fitting | Stair]] = {
            "rooms": storey.rooms,
            "openings": storey.openings,
            "fittings": storey.fittings,
            "stairs": storey.stairs,
        }
        for kind, items in parts.items():
            for j, item in enumerate(items):
                if item.id:
                    yield ("storeys", i, kind, j, "id"), item.id


def unknown_names(home: Home) -> list[Problem]:
    """Find names in household facts, visits, variations and links that stand for nothing in the home.

    What a removed device once read stays in the record: a tag in the tests of a removal or alteration may be
    gone from the devices.
    """
    gone = {tag for visit in home.visits if visit.kind in ("removal", "alteration") for tag in visit.tests}
    openings = [opening.id for storey in home.storeys for opening in storey.openings]
    names = {"room": list(home.rooms), "device": list(home.devices), "opening": openings}
    problems = []
    for path, name, what in (*_used_in_household(home), *_used_later(home, gone)):
        known = names[what]
        if name not in known:
            expected = "one of " + ", ".join(known) if known else f"a {what} of the record"
            found = f"“{name}”, which is no {what} of this home"
            problems.append(Problem(path, found, expected, did_you_mean(name, known)))
    return problems


_Used = Iterator[tuple[Path, str, str]]


def _used_in_household(home: Home) -> _Used:
    people = home.household
    by_room = {
        "sleepers": people.sleepers,
        "hard-of-hearing": people.hard_of_hearing,
        "needs-help-out": people.needs_help_out,
    }
    for key, counts in by_room.items():
        for room in counts:
            yield ("household", key, room), room, "room"
    for i, room in enumerate(people.valued_rooms):
        yield ("household", "valued-rooms", i), room, "room"
    for i, pet in enumerate(people.pets):
        for j, room in enumerate(pet.roams):
            yield ("household", "pets", i, "roams", j), room, "room"


def _used_later(home: Home, gone: set[str]) -> _Used:
    for tag, device in home.devices.items():
        for i, other in enumerate(device.linked):
            yield ("devices", tag, "linked", i), other, "device"
    for i, visit in enumerate(home.visits):
        for tag, test in visit.tests.items():
            if tag not in gone:
                yield ("visits", i, "tests", tag), tag, "device"
            for room in test.level:
                yield ("visits", i, "tests", tag, "level", room), room, "room"
    for i, agreed in enumerate(home.variations):
        named = {"device": agreed.device, "room": agreed.room, "opening": agreed.opening}
        yield from ((("variations", i, what), name, what) for what, name in named.items() if name)
