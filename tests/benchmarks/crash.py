"""Kill a build at random moments and look at what it leaves. Run: python tests/benchmarks/crash.py [--kills 20].

Every other kill is of the build itself, the others of one of its processes. After each, every site there is must be
whole: all its pages there, of one day. A last build that nobody kills must find nothing left over and finish all.
"""

import argparse
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

DAY = date(2026, 11, 25)
NOBODY = "nobody"
STAMP = re.compile(r'class="md-copyright__highlight">\s*([^<]*)')
"""The line at the foot of every page that tells the day for which it was built."""


@dataclass(frozen=True)
class Killed:
    """What was killed after so many seconds, how many sites stood then, how many of these were new, and were all whole."""

    what: str
    after: float
    finished: int
    new: int
    whole: bool
    left_over: int


def crash(homes: Path, to: Path, kills: int, seed: int, usual: float) -> list[Killed]:
    """Build homes again and again, each time for another day, and kill each build but the last.

    Args:
        homes: the folder of homes.
        to: the folder of sites; best with a build of an earlier day in it.
        kills: how often.
        seed: for when and what.
        usual: how many seconds a build takes; a kill falls within.
    """
    lot, log = random.Random(seed), []  # noqa: S311 - moments to kill at
    for number in range(1, kills + 2):
        what = ("process", "build")[number % 2] if number <= kills else NOBODY
        log.append(_killed(homes, to, DAY + timedelta(days=number), what, lot.uniform(usual / 4, usual)))
    return log


def _killed(homes: Path, to: Path, on: date, what: str, after: float) -> Killed:
    command = [sys.executable, "-m", "asfitted", "build", "--no-office", "--jobs", "2", "--on", on.isoformat()]
    before = _stamps(to)
    with subprocess.Popen(
        [*command, "--homes", homes, "--to", to], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as build:
        if what != NOBODY:
            time.sleep(after)
            _kill(build, what)
        build.wait()
    time.sleep(0.2 if what == "build" else 0)  # its processes end with it, each as soon as it is told
    now = _stamps(to)
    new = sum(before.get(site) != stamp for site, stamp in now.items())
    over = [left for part in ("homes", "trees/homes") for left in (to / part).glob(".*")]
    return Killed(what, round(after, 2), len(now), new, all(map(whole, now)), len(over))


def _stamps(to: Path) -> dict[Path, str]:
    """Give every site there is, with the day for which it was built."""
    sites = [site for site in (to / "homes").glob("*") if not site.name.startswith(".")]
    return {site: "".join(STAMP.findall((site / "index.html").read_text("utf-8"))) for site in sites}


def _kill(build: subprocess.Popen[bytes], what: str) -> None:
    """Kill a build, or the youngest of the processes that descend from it."""
    below = _descendants(build.pid) if what == "process" else []
    try:
        os.kill(below[-1] if below else build.pid, signal.SIGKILL)
    except ProcessLookupError:
        return


def _descendants(pid: int) -> list[int]:
    listed = subprocess.run(["ps", "-eo", "pid=,ppid="], capture_output=True, text=True, check=True).stdout
    parents = {int(child): int(parent) for child, parent in (line.split() for line in listed.splitlines())}
    found = [pid]
    for one in found:
        found += [child for child, parent in parents.items() if parent == one]
    return found[1:]


def whole(site: Path) -> bool:
    """Say whether a site is whole: every page its pages lead to is there, and ends; search and styles are there."""
    pages = {page.relative_to(site).as_posix(): page.read_text("utf-8") for page in site.rglob("*.html")}
    if "index.html" not in pages or not (site / "search/search_index.js").is_file():
        return False
    led_to = set(re.findall(r'href="([\w/-]+\.html)', pages["index.html"]))
    stamps = {stamp for page in pages.values() for stamp in STAMP.findall(page)}
    styled = all((site / style).is_file() for style in re.findall(r'href="(assets/[^"]+\.css)"', pages["index.html"]))
    return led_to <= pages.keys() and styled and len(stamps) <= 1 and all("</html>" in page for page in pages.values())


def main() -> None:
    """Print what each kill left."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--kills", type=int, default=20)
    asked.add_argument("--homes", type=int, default=6)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    sys.path.insert(0, str(Path(__file__).parents[2]))
    from tests.benchmarks.fleets import write

    with tempfile.TemporaryDirectory() as folder:
        homes = Path(folder) / "homes"
        write(homes, given.homes, given.seed)
        to, start = Path(folder) / "site", time.perf_counter()
        first = _killed(homes, to, DAY, NOBODY, 0)
        usual = time.perf_counter() - start
        print(f"{'killed':<10}{'after s':>8}{'sites':>7}{'new':>5}{'whole':>7}{'left over':>11}")
        for line in [first, *crash(homes, to, given.kills, given.seed, usual)]:
            print(f"{line.what:<10}{line.after:>8}{line.finished:>7}{line.new:>5}{line.whole!s:>7}{line.left_over:>11}")


if __name__ == "__main__":
    main()
