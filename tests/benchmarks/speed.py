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

ROOT = Path(__file__).parents[2]
HOMES = ROOT / "homes"
ON = date(2026, 11, 25)
COMMANDS = ("--help", "rules", "check", "due")
LOADED = ("asfitted.cli.check", "asfitted.cli.terminal", "asfitted.fleet.load", "rich.padding", "rich.table")
"""What ``check`` loads by the time it has printed its findings."""


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


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(steps(sys.argv[1])))
    else:
        main()
