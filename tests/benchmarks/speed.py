"""Time the commands, and the steps of one, as ratios to the bare interpreter. Run: python tests/benchmarks/speed.py."""

import gc
import json
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from functools import partial
from importlib import import_module
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from asfitted.reckon.of_home import Reckoned
    from asfitted.reckon.sums import Sum

ROOT = Path(__file__).parents[2]
HOMES = ROOT / "homes"
ON = date(2026, 11, 25)
COMMANDS = ("--help", "rules", "check", "due")
LOADED = ("asfitted.cli.check", "asfitted.cli.terminal", "asfitted.fleet.load", "rich.padding", "rich.table")
"""What ``check`` loads by the time it has printed its findings."""

CALCULATIONS = (
    "alarm_field",
    "asks",
    "of_coverage",
    "of_power",
    "of_radio",
    "of_sound",
    "of_sun",
    "of_walks",
    "ways_out",
)
IMPORTED = ("ephem", "numpy", "shapely", *(f"asfitted.reckon.{name}" for name in CALCULATIONS))
"""What the calculations load, so that their times are those after imports."""
ROOMS = (5, 10, 20, 40)


def seconds(work: Callable[[], object], repeats: int = 7) -> float:
    """Give the median time of a function in seconds, after one run to warm up."""
    work()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return median(times)


def python(*arguments: str) -> str:
    """Run the interpreter afresh and give what it prints."""
    return subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, stdout=subprocess.PIPE, check=False, text=True, encoding="utf-8"
    ).stdout


def steps(name: str) -> dict[str, float]:
    """Do in this interpreter, for the first time, what ``check`` does with a home; give the seconds of every step."""
    times: dict[str, float] = {}
    start = time.perf_counter()

    def done(step: str) -> None:
        nonlocal start
        now = time.perf_counter()
        times[step], start = now - start, now

    from asfitted.cli import GARBAGE_AFTER

    gc.set_threshold(GARBAGE_AFTER)
    for module in LOADED:
        import_module(module)
    from asfitted.dwelling.survey import survey
    from asfitted.record.reader import read
    from asfitted.rules.catalogue import catalogue
    from asfitted.rules.judge import judge
    from asfitted.rules.rule_set import rule_set
    from asfitted.upkeep.schedule import schedule

    done("imports")
    home = read(HOMES / name / "record.yml").home
    assert home is not None
    done("read")
    dwelling, _ = survey(home)
    assert dwelling is not None
    done("survey")
    rules = rule_set(catalogue(), home.home.rules)
    done("rules")
    judge(home, dwelling, ON, rules)
    done("judge")
    schedule(home, ON)
    done("schedule")
    return times


def calculations(text: bytes) -> dict[str, list[float]]:
    """Work every calculation of a home out five times, nothing kept from one to the next but the almanac.

    Returns:
        The seconds of each topic, run by run; last the sheets with their figures, and what would change each of them.
    """
    from asfitted.dwelling.survey import survey
    from asfitted.reckon.of_home import reckoned
    from asfitted.record.reader import read_text

    topics = (
        "coverage",
        "walks",
        "unseen",
        "entries",
        "field",
        "ways",
        "second_ways",
        "radio",
        "sun",
        "sound",
        "power",
    )
    for module in IMPORTED:
        import_module(module)
    reading = read_text(text, Path("record.yml"))
    home = reading.home
    assert home is not None, reading.troubles
    times: dict[str, list[float]] = {}
    for _ in range(5):
        dwelling, _problems = survey(home)
        assert dwelling is not None
        known = reckoned(home, dwelling, ON)
        work: dict[str, Callable[[], object]] = {name: partial(getattr, known, name) for name in topics}
        work["sheets"] = partial(_sheets, known)
        work["what changes each most"] = partial(_swings, known)
        for name, each in work.items():
            start = time.perf_counter()
            each()
            times.setdefault(name, []).append(time.perf_counter() - start)
    return times


def _sheets(known: "Reckoned") -> "list[Sum]":
    from asfitted.reckon.sums import TOPICS, sums_of

    return [one for topic in TOPICS for one in sums_of(known, topic)]


def _swings(known: "Reckoned") -> int:
    return sum(len(one.swings) for one in _sheets(known))


def street(rooms: int) -> bytes:
    """Give the record of a home of so many rooms on both sides of a hall, each with door, window, alarm and detector."""
    named = [f"r{number}" for number in range(rooms - 1)]
    alarms = [f"SA{number}" for number in range(rooms - 1)]
    lines = [
        "record: 1",
        "home: {label: street, place: [54.0, -2.8], plan-north: 20 deg}",
        "household: {sleepers: {r0: 2, r1: 1}}",
        "storeys:",
        "  - id: ground",
        "    height: 2.40",
        "    rooms:",
        f"      - {{id: hall, use: circulation, corner: [0, 0], size: [{2.5 * (rooms // 2) + 0.1:.2f}, 1.2]}}",
    ]
    openings = ["{door: hall west, id: front, from-south: 0.2, width: 0.8, to: outside, entry: yes}"]
    devices = [
        "CU1: {kind: control unit, in: hall, wall: south, from-west: 2, height: 1.5}",
        "KP1: {kind: keypad, in: hall, wall: west, from-north: 0.1, height: 1.4, battery: 4 x AA}",
    ]
    for number, room in enumerate(named):
        use, (south, out) = "bedroom" if number < 2 else "living", ((1.3, "north"), (-4.1, "south"))[number % 2]
        lines.append(
            f"      - {{id: {room}, use: {use}, corner: [{2.5 * (number // 2):.2f}, {south}], size: [2.4, 4.0]}}"
        )
        openings += [
            f"{{door: {room} - hall, id: {room}-door, from-west: 0.2, width: 0.8}}",
            f"{{window: {room} {out}, id: {room}-w, from-west: 0.6, width: 1.2, sill: 0.9, height: 1.2}}",
        ]
        others = ", ".join(other for other in alarms if other != f"SA{number}")
        alarm = f"kind: smoke alarm, on: ceiling of {room}, from-west: 1.2, from-south: 2, battery: 1 x 9V"
        devices += [
            f"SA{number}: {{{alarm}, linked: [{others}]}}",
            f"MD{number}: {{kind: motion detector, in: {room}, corner: south-east, height: 2.2, battery: 1 x CR123}}",
        ]
    lines += [
        "    openings:",
        *(f"      - {each}" for each in openings),
        "devices:",
        *(f"  {each}" for each in devices),
    ]
    return "\n".join(lines).encode()


def main() -> None:
    """Print the table."""
    from asfitted.fleet.load import load_homes
    from asfitted.pages.dossier import Dossier, Firm
    from asfitted.pages.household import household_tree

    bare = seconds(partial(python, "-c", ""))

    def row(name: str, took: float) -> None:
        print(f"{name:<32}{took * 1000:8.1f} ms {took / bare:6.1f}")

    def findings(dossier: Dossier) -> int:
        return len(dossier.findings)

    row("bare interpreter", bare)
    loaded = load_homes(HOMES, ON, with_revision=False)
    largest = max((home.dossier for home in loaded if home.dossier), key=findings)
    for words in (*COMMANDS, f"check {largest.id}"):
        row(f"asfitted {words}", seconds(partial(python, "-m", "asfitted", *words.split())))
    print(f"\nthe steps of asfitted check {largest.id}, {findings(largest)} findings:")
    runs = [json.loads(python(__file__, largest.id)) for _ in range(8)][1:]
    for step in runs[0]:
        row(f"  {step}", median(run[step] for run in runs))
    row("  after imports", median(sum(run.values()) - run["imports"] for run in runs))
    print()
    row("its household tree, drawn", seconds(partial(household_tree, largest, Firm())))
    print(f"\nthe calculations of {largest.id} after imports, first and best of five:")
    found: dict[str, list[float]] = json.loads(python(__file__, "calculations", largest.id))
    extra = found.pop("what changes each most")
    found["together"] = [sum(runs) for runs in zip(*found.values(), strict=True)]
    found["what changes each most"] = extra
    for topic, times in found.items():
        print(f"  {topic:<30}{times[0] * 1000:8.1f} ms{min(times) * 1000:8.1f} ms {min(times) / bare:6.1f}")
    print("\ngrowth with rooms, each with a door, a window, an alarm and a detector; best of five, ratio to the first:")
    grown = [{topic: min(times) for topic, times in calculations(street(rooms)).items()} for rooms in ROOMS]
    print(f"  {'':<30}" + "".join(f"{rooms:>8}" for rooms in ROOMS))
    for topic, first in grown[0].items():
        print(f"  {topic:<30}" + "".join(f"{home[topic] / first:8.1f}" for home in grown))


if __name__ == "__main__":
    if sys.argv[1:2] == ["calculations"]:
        print(json.dumps(calculations((HOMES / sys.argv[2] / "record.yml").read_bytes())))
    elif len(sys.argv) > 1:
        print(json.dumps(steps(sys.argv[1])))
    else:
        main()
