"""Time the commands and the stages over the demo homes; print ratios. Run: python tests/benchmarks/speed.py."""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

ROOT = Path(__file__).parents[2]
ON = date(2026, 11, 25)


def command(*arguments: str, repeats: int = 7) -> float:
    """Give the median wall time of a command in seconds."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "asfitted", *arguments], cwd=ROOT, capture_output=True, check=False)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def stage(work: Callable[[], object], repeats: int = 15) -> float:
    """Give the median time of a function in seconds, after one run to warm up."""
    work()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the table."""
    from asfitted.dwelling.survey import survey
    from asfitted.fleet.load import home_ids
    from asfitted.history.revision import Revision
    from asfitted.pages.dossier import Dossier, Firm
    from asfitted.pages.household import household_tree
    from asfitted.record.reader import read
    from asfitted.rules.judge import judge
    from asfitted.upkeep.schedule import schedule

    homes = ROOT / "homes"
    largest = max(home_ids(homes), key=lambda name: (homes / name / "record.yml").stat().st_size)
    file = homes / largest / "record.yml"
    bare = stage(lambda: subprocess.run([sys.executable, "-c", ""], check=True))
    print(f"bare interpreter            {bare * 1000:8.1f} ms   1.0")
    for words in (["--help"], ["rules"], ["check", largest], ["check"], ["due"]):
        took = command(*words)
        print(f"asfitted {' '.join(words):<19}{took * 1000:8.1f} ms {took / bare:5.1f}")
    home = read(file).home
    assert home is not None
    dwelling, _ = survey(home)
    assert dwelling is not None
    dossier = Dossier(largest, home, dwelling, judge(home, dwelling, ON, RULES), schedule(home, ON), Revision(), ON)
    stages: dict[str, Callable[[], object]] = {
        "read": lambda: read(file),
        "survey": lambda: survey(home),
        "judge": lambda: judge(home, dwelling, ON, RULES),
        "schedule": lambda: schedule(home, ON),
        "household tree, drawn": lambda: household_tree(dossier, Firm()),
    }
    first = 0.0
    for name, work in stages.items():
        took = stage(work)
        first = first or took
        print(f"{largest}: {name:<24}{took * 1000:8.1f} ms {took / first:5.1f}")


if __name__ == "__main__":
    main()
