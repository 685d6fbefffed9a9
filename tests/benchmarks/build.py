"""How fast many homes are built. Run: python tests/benchmarks/build.py [--homes 60] [--sample 6] [--jobs 2].

The measure is a loop that runs plain ``mkdocs build`` once a home over the same written trees; ``asfitted build`` reads,
checks, calculates, draws and renders. Both are timed in one run on one machine, by the clock and by processor time,
which a busy machine stretches less; that of processes which a process started is not seen, so it is measured with
one process. Then: the same again with nothing changed and with some homes changed, the memory
of the largest process, the room on disk, and where the time of a cold build goes.
"""

import argparse
import cProfile
import os
import pstats
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

ON = date(2026, 11, 25)


@dataclass(frozen=True)
class Took:
    """Seconds by the clock and of processor time, with all processes below; and MB of the largest of these."""

    clock: float
    processor: float
    largest: float


def timed(work: Callable[[], object]) -> Took:
    """Do something in processes of its own, and tell what it took."""
    before, start = os.times(), time.perf_counter()
    work()
    clock, after = time.perf_counter() - start, os.times()
    processor = after.children_user + after.children_system - before.children_user - before.children_system
    return Took(clock, processor, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024)


def build(homes: Path, to: Path, jobs: int) -> None:
    """Build the households' sites."""
    command = [sys.executable, "-m", "asfitted", "build", "--no-office", "--on", ON.isoformat(), "--jobs", str(jobs)]
    subprocess.run([*command, "--homes", homes, "--to", to], check=True, stdout=subprocess.DEVNULL)


def plain(trees: list[Path], to: Path) -> None:
    """Run MkDocs once a written tree."""
    for tree in trees:
        subprocess.run(
            [sys.executable, "-m", "mkdocs", "build", "--quiet", "-f", tree / "mkdocs.yml", "-d", to / tree.name],
            check=True,
            env=os.environ | {"NO_MKDOCS_2_WARNING": "1"},
        )


def profile(homes: Path, to: Path, count: int) -> None:
    """Build some homes in this process, and print the shares of the stages and what costs most."""
    from asfitted.fleet.site_maker import Order, SiteMaker, Work
    from asfitted.pages.engine import SiteConfig

    maker = SiteMaker(Order(homes, to, ON, SiteConfig()))
    names = sorted(folder.name for folder in homes.iterdir())
    for name in names[:2]:
        maker.make(Work(name))  # what is loaded once a process
    watched = cProfile.Profile()
    watched.enable()
    for name in names[2 : 2 + count]:
        maker.make(Work(name))
    watched.disable()
    stats: Any = pstats.Stats(watched)
    whole = stats.total_tt
    print(f"\nprofile of {count} homes, share of {whole / count:.2f} s a home (with the profiler's own cost):")
    stages = {
        "reading": ("reader.py", "read"),
        "surveying": ("survey.py", "survey"),
        "judging": ("judge.py", "judge"),
        "drawing and writing pages": ("household.py", "household_tree"),
        "- finding room for letters": ("lettering.py", "best"),
        "rendering": ("warm.py", "render"),
        "- Markdown": ("pages.py", "render"),
        "- search index": ("plugin.py", "add_entry_from_context"),
        "- theme": ("environment.py", "render"),
    }
    for words, (file, function) in stages.items():
        spent = [
            row[3] for (path, _, name), row in stats.stats.items() if name == function and path.endswith("/" + file)
        ]
        print(f"  {words:<30}{100 * max(spent, default=0) / whole:5.1f} %")


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--homes", type=int, default=60)
    asked.add_argument("--sample", type=int, default=6, help="homes of the loop of plain mkdocs")
    asked.add_argument("--changed", type=int, default=10)
    asked.add_argument("--jobs", type=int, default=2)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--profile", type=int, default=6, help="homes to profile")
    given = asked.parse_args()
    sys.path.insert(0, str(Path(__file__).parents[2]))
    from tests.benchmarks.fleets import write

    with tempfile.TemporaryDirectory() as folder:
        homes, site = Path(folder) / "homes", Path(folder) / "site"
        write(homes, given.homes, given.seed)

        def row(words: str, took: Took, count: int) -> None:
            each, cpu = took.clock / count, took.processor / count
            print(f"{words:<34}{count:>6}{took.clock:>9.2f}{each:>9.3f}{1 / each:>9.2f}{cpu:>9.3f}{took.largest:>7.0f}")

        print(f"{'':<34}{'homes':>6}{'s':>9}{'s/home':>9}{'homes/s':>9}{'CPU/home':>9}{'MB':>7}")
        cold = timed(lambda: build(homes, site, given.jobs))
        row(f"asfitted build, cold, {given.jobs} processes", cold, given.homes)
        some = Path(folder) / "some"
        some.mkdir()
        for home in sorted(homes.iterdir())[: max(given.sample, 10)]:
            (some / home.name).symlink_to(home)
        alone = timed(lambda: build(some, Path(folder) / "alone", 1))
        row("asfitted build, cold, 1 process", alone, len(list(some.iterdir())))
        trees = sorted((site / "trees/homes").iterdir())[: given.sample]
        loop = timed(lambda: plain(trees, Path(folder) / "plain"))
        row("plain mkdocs build, one a home", loop, len(trees))
        row("asfitted build, nothing changed", timed(lambda: build(homes, site, given.jobs)), given.homes)
        for home in sorted(homes.iterdir())[: given.changed]:
            with (home / "record.yml").open("a", encoding="utf-8") as record:
                record.write("# looked at again\n")
        row(f"asfitted build, {given.changed} changed", timed(lambda: build(homes, site, given.jobs)), given.homes)
        by_clock = (loop.clock / len(trees)) / (cold.clock / given.homes)
        by_cpu = (loop.processor / len(trees)) / (alone.processor / len(list(some.iterdir())))
        print(
            f"\ncold build with {given.jobs} processes against the loop: {by_clock:.1f} times as fast by the clock;"
            f" with one process {by_cpu:.1f} times by processor time"
        )
        linked = [file for file in (site / "homes").rglob("*") if file.is_file() and file.stat().st_nlink == 1]
        own = sum(file.stat().st_size for file in linked) / given.homes / 1e6
        shared = sum(file.stat().st_size for file in (site / ".cache/shared").iterdir()) / 1e6
        print(f"disk: {own:.2f} MB a site of its own, {shared:.2f} MB shared by all")
        profile(homes, Path(folder) / "again", min(given.profile, given.homes - 2))


if __name__ == "__main__":
    main()
