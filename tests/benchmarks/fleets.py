"""Write the records of many invented homes. Run: python tests/benchmarks/fleets.py --homes 500 --seed 1 FOLDER.

The same seed gives the same homes, and home 7 is the same however many there are. Each is a house or flat along a hall:
one to three storeys, two to six rooms on a storey, sometimes one under a slope or a ridge and one that was walked;
fittings, alarms, an intruder alarm, some years of visits. Records are sound by construction, and the reader is asked
about every one before it is written. What is wrong with some homes is what technicians get wrong: an alarm close to
a wall, too few alarms, a detector that looks at a window, a visit that never came, an alarm past its years.
"""

import argparse
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from random import Random

DAY = date(2026, 11, 25)
"""The day before which all visits lie."""
LANGUAGES = ("en", "en", "en", "en", "en", "en", "nb", "de", "es")
USES = ("living", "kitchen", "bathroom", "study", "utility")
MISTAKES = ("", "", "", "close to a wall", "too few alarms", "looks at a window", "visit missed", "past its years")

HANDED_OVER = "as-fitted drawing, makers' booklets, log book, how to test, how to set and unset, what to do when it sounds, certificate"
TAUGHT = "set and unset, test the alarms, silence an alarm, change batteries, what to do when it sounds, what changes to tell, log book"


@dataclass
class Plan:
    """What of a home is drawn by lot first: how large it is, and what is wrong with it."""

    storeys: int
    rooms: list[list[tuple[str, str, float, float]]] = field(default_factory=list)
    mistake: str = ""


def record(seed: int, number: int) -> str:
    """Write the record of one home."""
    lot = Random(f"{seed}/{number}")  # noqa: S311 - invented homes
    plan = _plan(lot)
    beds = [name for storey in plan.rooms for name, use, _, _ in storey if use == "bedroom"]
    first = DAY - timedelta(days=lot.randint(60, 2600))
    if plan.mistake == "past its years":
        first = DAY - timedelta(days=lot.randint(3800, 4200))
    lines = [
        "record: 1",
        "home:",
        f"  label: Invented home {number}",
        f"  reference: B-{number:05}",
        f"  language: {lot.choice(LANGUAGES)}",
        f"  place: [{lot.uniform(50, 58):.1f}, {lot.uniform(-5, 1):.1f}]",
        f"  plan-north: {lot.randrange(0, 360, 5)} deg",
        "household:",
        f"  sleepers: {{{', '.join(f'{bed}: {lot.randint(1, 2)}' for bed in beds)}}}",
        "system: {fire-category: LD2, fire-grade: F1, intruder-grade: 2, entry-time: 30 s, exit-time: 45 s, tells: household}",
        "storeys:",
    ]
    for level in range(plan.storeys):
        lines += _storey(lot, plan, level)
    devices = _devices(lot, plan, first)
    lines += ["devices:", *(f"  {tag}: {{{words}}}" for tag, words in devices.items())]
    lines += ["visits:", *_visits(lot, plan, devices, first, beds[0])]
    return "\n".join(lines) + "\n"


def _plan(lot: Random) -> Plan:
    plan = Plan(lot.choices((1, 2, 3), (35, 50, 15))[0], mistake=lot.choice(MISTAKES))
    for level in range(plan.storeys):
        count = lot.randint(2, 6) if plan.storeys > 1 else lot.randint(4, 6)
        sleeps = level > 0 or plan.storeys == 1
        uses = ["bedroom"] * max(1, count // 2) if sleeps else []
        others = [USES[0], USES[1], *lot.sample(USES[2:], 3)] if level == 0 else ["bathroom", "study", "utility"]
        uses = (uses + others)[:count] if level else (others[:2] + uses + others[2:])[:count]
        plan.rooms.append(
            [
                (f"{use}-{level}-{place}", use, round(lot.uniform(2.6, 4.2), 2), round(lot.uniform(2.6, 4.4), 2))
                for place, use in enumerate(uses)
            ]
        )
    return plan


def _storey(lot: Random, plan: Plan, level: int) -> list[str]:
    """Write a storey: rooms on both sides of a hall, each with a door to the hall and a window."""
    rooms, openings, fittings = [], [], []
    ends, wide = {0: 0.0, 1: 0.0}, 1.3 if plan.storeys == 1 else 2.0
    hall = f"hall-{level}"
    pitched = level == plan.storeys - 1 and lot.random() < 0.4
    for place, (name, use, across, deep) in enumerate(plan.rooms[level]):
        side = place % 2
        left, south = ends[side], (wide + 0.1 if side else -deep - 0.1)
        ends[side] = round(left + across + 0.1, 2)
        ceiling = ""
        if pitched and place == 0:
            low, high = round(lot.uniform(1.3, 1.9), 2), round(lot.uniform(2.4, 2.9), 2)
            ceiling = f", height: {{ridged: {{low: {low}, high: {high}, ridge: east-west}}}}"
        if place == 2 and lot.random() < 0.3 and not ceiling:
            east, north = round(across, 2), round(deep, 2)
            legs = f"[E {east:.2f}, N {north + 0.01:.2f}, W {east:.2f}, S {north:.2f}]"
            rooms.append(
                f"{{id: {name}, use: {use}, walk: {{from: [{left:.2f}, {south:.2f}], legs: {legs}, by: laser}}}}"
            )
        else:
            rooms.append(
                f"{{id: {name}, use: {use}, corner: [{left:.2f}, {south:.2f}], size: [{across:.2f}, {deep:.2f}]{ceiling}}}"
            )
        wall, hinge = ("north", "west") if side else ("south", "east")
        openings.append(f"{{door: {name} - {hall}, id: {name}-door, from-west: 0.20, width: 0.80, hinge: {hinge}}}")
        if use != "utility":
            sill, high = (0.9, 1.0) if not ceiling else (0.3, 0.7)
            openings.append(
                f"{{window: {name} {wall}, id: {name}-window, from-west: 0.60, width: 1.20, sill: {sill}, height: {high}}}"
            )
        fittings += _fittings(lot, name, use, across, deep, wall, low=bool(ceiling))
    long = max(max(ends.values()) - 0.1, 5.2)
    rooms.insert(0, f"{{id: {hall}, use: circulation, corner: [0, 0], size: [{long:.2f}, {wide}]}}")
    if level == 0:
        openings.insert(
            0,
            f"{{door: {hall} west, id: front-door, from-south: 0.20, width: 0.90, entry: yes, to: outside, hinge: south}}",
        )
    fittings.append(f"{{light: {hall}, from-west: 3.30, from-south: 0.60}}")
    lines = [f"  - id: storey-{level}", f"    height: {lot.choice((2.30, 2.35, 2.40, 2.50))}", "    rooms:"]
    lines += [f"      - {room}" for room in rooms]
    lines += ["    openings:", *(f"      - {each}" for each in openings)]
    lines += ["    fittings:", *(f"      - {each}" for each in fittings)]
    if level < plan.storeys - 1:
        stair = f"{{id: stairs-{level}, in: {hall}, to: hall-{level + 1}, from-west: 1.20, from-north: 0, size: [2.60, 0.80], up: east}}"
        lines += ["    stairs:", f"      - {stair}"]
    return lines


def _fittings(lot: Random, name: str, use: str, across: float, deep: float, wall: str, *, low: bool) -> list[str]:
    found = [f"{{light: {name}, from-west: {across / 2 + 0.4:.2f}, from-south: {deep / 2:.2f}}}"]
    found.append(f"{{heater: {name}, wall: {wall}, from-west: 0.70, size: [1.00, 0.10], height: 0.25}}")
    if use == "kitchen":
        found.append(
            f"{{cooker: {name}, wall: east, from-south: 0.90, size: [0.60, 0.60], height: 0.90, burns: {lot.choice(('gas', 'nothing'))}}}".replace(
                ", burns: nothing", ""
            )
        )
    if use == "bathroom" and not low:
        found.append(f"{{shower: {name}, wall: east, from-south: 0.60, size: [0.80, 0.80]}}")
    if use == "bedroom" and not low:
        found.append(f"{{bed: {name}, wall: east, from-south: 0.30, size: [1.90, {lot.choice((0.9, 1.4))}]}}")
    if use == "living":
        found.append(f"{{socket: {name}, wall: east, from-south: 1.50, height: 0.30}}")
    return found


def _devices(lot: Random, plan: Plan, first: date) -> dict[str, str]:
    """Give the devices by tag, as text within braces."""
    made = f"{first.year - (1 if first.month < 4 else 0)}-{(first.month - 4) % 12 + 1:02}"
    since = f"made: {made}, fitted: {first}"
    sealed, enrolled = 'battery: "sealed, 10 years", power: battery', "enrolled: yes"
    alarms: list[tuple[str, str, str]] = []
    for level, rooms in enumerate(plan.rooms):
        alarms.append(("SA", "smoke alarm", f"on: ceiling of hall-{level}, from-west: 2.40, from-south: 0.65"))
        for name, use, across, deep in rooms:
            middle = f"on: ceiling of {name}, from-west: {across / 2 - 0.3:.2f}, from-south: {deep / 2:.2f}"
            if use in ("living", "bedroom", "study") and lot.random() < 0.75:
                alarms.append(("SA", "smoke alarm", middle))
            if use == "kitchen":
                alarms.append(("HA", "heat alarm", middle))
    if plan.mistake == "close to a wall":
        alarms[0] = (*alarms[0][:2], "on: ceiling of hall-0, from-west: 2.40, from-south: 0.18")
    if plan.mistake == "too few alarms":
        alarms = alarms[:1]
    tags = [
        f"{short}{1 + sum(one[0] == short for one in alarms[:place])}" for place, (short, _, _) in enumerate(alarms)
    ]
    devices = {}
    for tag, (_, kind, where) in zip(tags, alarms, strict=True):
        linked = f", linked: [{', '.join(other for other in tags if other != tag)}]" if len(tags) > 1 else ""
        model = "optical, battery, type 1" if kind == "smoke alarm" else "fixed heat 58 degrees, battery, type 1"
        devices[tag] = (
            f'kind: {kind}, {where}, model: "{model}", batch: {first:%y}-{lot.randint(1, 52):02}, serial: {lot.randint(1000, 9999)}-{tag}, {since}, {sealed}{linked}'
        )
    if lot.random() < 0.3:
        return _named(devices)
    near = [room for storey in plan.rooms for room in storey if room[1] in ("living", "kitchen")]
    for number, (name, _, _, _) in enumerate(near[: lot.randint(1, 2)], 1):
        corner = "south-east" if plan.mistake == "looks at a window" else "north-east"
        devices[f"MD{number}"] = (
            f"kind: motion detector, mode: instant, in: {name}, corner: {corner}, height: 2.10, range: 10, serial: {lot.randint(1000, 9999)}-M,"
            f" battery: {{type: 1 x CR123, life: 3 years, fitted: {first}}}, {since}, {enrolled}"
        )
    devices |= {
        "OC1": f"kind: opening contact, mode: delayed, on: front-door, edge: lock side, height: 1.80, gap: {lot.randint(5, 12)} mm, serial: {lot.randint(1000, 9999)}-O, battery: {{type: 1 x CR2450, life: 3 years, fitted: {first}}}, {since}, {enrolled}",
        "KP1": f"kind: keypad, in: hall-0, wall: south, from-west: 1.40, height: 1.40, battery: {{type: 4 x AA, life: 2 years, fitted: {first}}}, {since}, {enrolled}",
        "IS1": f"kind: indoor sounder, in: hall-0, wall: east, from-south: 0.40, height: 2.05, cut-off: 10 min, battery: {{type: 4 x AA, life: 3 years, fitted: {first}}}, {since}, {enrolled}",
        "CU1": f"kind: control unit, in: hall-0, wall: east, from-south: 0.90, height: 1.50, wired-to: router, capacity: 2.6 Ah, current: 130 mA, standby: 12 h, battery: {{type: rechargeable pack, life: 4 years, fitted: {first}}}, {since}",
    }  # fmt: skip
    return _named(devices)


def _named(devices: dict[str, str]) -> dict[str, str]:
    return {
        tag: f"name: {words.partition(',')[0].removeprefix('kind: ')} {tag}, {words}" for tag, words in devices.items()
    }


def _visits(lot: Random, plan: Plan, devices: dict[str, str], first: date, bed: str) -> list[str]:
    """Write the commissioning, a service a year, and the household's own tests between."""
    who = f"technician {lot.randint(1, 9)}"
    lines = [
        f"  - {{date: {first}, kind: commissioning, by: {who}, report: {first + timedelta(days=1)}, shown-to: householder, accepted-by: householder,",
        f"     tests: {{{_tests(lot, devices, level=bed)}}}, handed-over: [{HANDED_OVER}], taught: [{TAUGHT}]}}",
    ]
    on = first
    while (on := on + timedelta(days=lot.randint(340, 400))) < DAY:
        if plan.mistake == "visit missed" and lot.random() < 0.7:
            continue
        home = on - timedelta(days=lot.randint(60, 200))
        alarms = {tag: words for tag, words in devices.items() if tag[:2] in ("SA", "HA")}
        own = ", ".join(f"{tag}: {{button: sounded}}" for tag in alarms)
        lines.append(f"  - {{date: {home}, kind: household test, by: householder, tests: {{{own}}}}}")
        lines.append(f"  - {{date: {on}, kind: service, by: {who}, report: {on}, tests: {{{_tests(lot, devices)}}}}}")
    return lines


def _tests(lot: Random, devices: dict[str, str], level: str = "") -> str:
    linked = ", link: all sounded" if sum(tag[:2] in ("SA", "HA") for tag in devices) > 1 else ""
    said = {
        "SA": f"button: sounded, smoke: {lot.randint(6, 12)} s{linked}",
        "HA": f"button: sounded, heat: {lot.randint(25, 40)} s{linked}",
        "MD": f"walk: detected, steps: {lot.randint(2, 3)}, signal: {lot.randint(14, 33)} dB, battery: 2.9 V",
        "OC": f"opened: signalled, at: {lot.randint(16, 28)} mm, signal: {lot.randint(14, 33)} dB, battery: 2.9 V",
        "KP": "keys: worked, battery: 6.1 V",
        "IS": "sounded: yes, battery: 6.0 V",
        "CU": "mains-off: held, held-for: 15 min, path-wired: received",
    }
    tests = {tag: said[tag[:2]] for tag in devices}
    if level:
        tests["SA1"] += f", level: {{{level}: {lot.randint(66, 92)} dB}}, doors: closed"
    return ", ".join(f"{tag}: {{{words}}}" for tag, words in tests.items())


def write(folder: Path, homes: int, seed: int) -> None:
    """Write so many homes into a folder, one folder a home, each read and laid out first.

    Raises:
        ValueError: with what the reader says, when a record is not sound.
    """
    from asfitted.dwelling.survey import survey
    from asfitted.record.reader import read_text

    for number in range(homes):
        text = record(seed, number)
        reading = read_text(text.encode(), Path(f"home-{number:05}/record.yml"))
        problems = list(reading.troubles)
        if reading.home is not None:
            problems += [reading.locate(problem) for problem in survey(reading.home)[1]]
        if problems:
            raise ValueError("\n".join(f"{each.place}: {each.sentence}" for each in problems))
        file = folder / f"home-{number:05}" / "record.yml"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")


def main() -> None:
    """Write the homes that the command line asks for."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--homes", type=int, default=500)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("folder", type=Path)
    given = asked.parse_args()
    write(given.folder, given.homes, given.seed)
    print(f"{given.homes} homes in {given.folder}")


if __name__ == "__main__":
    main()
