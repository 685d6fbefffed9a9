"""Time comparisons and timelines in generated repositories. Run: python tests/benchmarks/history.py [homes ...]."""

import gc
import resource
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from pathlib import Path
from string import Template

import pygit2

COMMITS = 10_000
CHANGED = 50
REVISIONS = 100
DAY = date(2026, 6, 1)
RECORD = Template("""\
record: 1
home: {label: Cottage $number, rules: common, note: written in step $step}
household:
  sleepers: {bedroom: $sleepers}
system: {entry-time: 30 s, exit-time: 45 s, tells: household}
storeys:
  - id: ground
    height: 2.40
    rooms:
      - {id: hall, use: circulation, corner: [0, 0], size: [2.00, 5.00]}
      - {id: living, use: living, corner: [2.10, 0], size: [4.00, 5.00]}
      - {id: kitchen, use: kitchen, corner: [0, 5.10], size: [3.00, 3.00]}
    openings:
      - {door: hall south, id: front-door, from-west: 0.50, width: 0.90, to: outside, hinge: west}
      - {door: hall - living, id: living-door, from-south: 1.00, width: 0.80}
      - {window: living south, id: window, from-west: 1.00, width: 1.20, sill: 0.90, height: 1.10}
    fittings:
      - {light: hall, from-west: 1.00, from-south: 2.50}
      - {cooker: kitchen, wall: north, from-west: 1.00, size: [0.60, 0.60]}
    stairs:
      - {id: stairs, in: hall, to: bedroom, from-west: 0, from-north: 0.50, size: [0.80, 2.50], up: north}
  - id: first
    height: 2.30
    rooms:
      - {id: bedroom, use: bedroom, corner: [0, 0], size: [4.00, 5.00]}
devices:
  SA1: {kind: smoke alarm, on: ceiling of hall, from-west: 1.00, from-south: $south, serial: A-$number, made: 2024-01, fitted: 2024-05-10, battery: "sealed, 10 years", linked: [SA2]}
  SA2: {kind: smoke alarm, on: ceiling of living, from-west: 2.00, from-south: 2.50, serial: B-$number, made: 2024-01, fitted: 2024-05-10, battery: "sealed, 10 years", linked: [SA1]}
  MD1: {kind: motion detector, in: living, corner: south-east, height: 2.10, serial: M-$number, fitted: 2024-05-10}
  OC1: {kind: opening contact, on: front-door, edge: lock side, height: 1.86, serial: O-$number, fitted: 2024-05-10}
  IS1: {kind: indoor sounder, in: hall, wall: west, from-south: 1.00, height: 2.10, serial: S-$number, fitted: 2024-05-10}
visits:
  - {date: 2024-05-11, kind: commissioning, by: technician 2, tests: {SA1: {button: sounded, smoke: 9 s}, SA2: {button: sounded}}}
""")


class Generated:
    """A repository with so many homes: home 0 has 100 revisions, and the last 50 commits touch 50 homes."""

    def __init__(self, root: Path, homes: int) -> None:
        self.git = pygit2.init_repository(root, initial_head="main")
        self.homes, self.time = homes, 1_700_000_000
        self.folders: dict[str, pygit2.Oid] = {}
        self.tree = self.git.TreeBuilder()
        self.tip: list[pygit2.Oid] = []
        for number in range(homes):
            self.put(number, 0)
        self.commit()
        own = set(range(50, COMMITS - 100, (COMMITS - 150) // (REVISIONS - 2)))
        for step in range(1, COMMITS):
            late = step >= COMMITS - CHANGED
            home = COMMITS - step if late else 0 if step in own else 1 + step * 7919 % (homes - 1)
            self.put(home, step)
            self.commit()
        self.old = str(self.git.revparse_single(f"HEAD~{CHANGED}").id)

    def put(self, number: int, step: int) -> None:
        """Write the record of a home as of a step."""
        text = RECORD.substitute(number=number, step=step, sleepers=1 + step % 3, south=f"{1 + step % 90 / 100:.2f}")
        folder = self.git.TreeBuilder()
        folder.insert("record.yml", self.git.create_blob(text.encode()), pygit2.enums.FileMode.BLOB)
        self.tree.insert(f"home-{number:05d}", folder.write(), pygit2.enums.FileMode.TREE)

    def commit(self) -> None:
        """Commit what was put."""
        self.time += 600
        root = self.git.TreeBuilder()
        root.insert("homes", self.tree.write(), pygit2.enums.FileMode.TREE)
        by = pygit2.Signature("technician", "t@firm.example", self.time, 0)
        self.tip = [self.git.create_commit("refs/heads/main", by, by, "Record", root.write(), self.tip)]


def seconds(work: Callable[[], object]) -> str:
    """Time a function once: seconds by the clock, and of the processor, which others on the machine disturb less."""
    start, own = time.perf_counter(), time.process_time()
    work()
    return f"{time.perf_counter() - start:.2f}/{time.process_time() - own:.2f}"


def row(homes: int) -> list[str]:
    """Measure one repository."""
    from asfitted.history.compare_home import compare_home
    from asfitted.history.integrity import integrity
    from asfitted.history.last_touch import revisions_of
    from asfitted.history.points import Timeline
    from asfitted.history.report import report
    from asfitted.history.repository import Repository
    from asfitted.history.side import Side
    from asfitted.rules.catalogue import catalogue

    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        made: list[Generated] = []
        built = seconds(lambda: made.append(Generated(root, homes)))
        made[0].git.checkout("HEAD", strategy=pygit2.enums.CheckoutStrategy.FORCE)
        subprocess.run(["git", "-C", folder, "gc", "-q"], check=True)

        def fresh() -> Timeline:
            found = Repository.around(root / "homes")
            assert found is not None
            return Timeline(found, root / "homes", "rule-sets", DAY, catalogue())

        def compared(*, judged: bool) -> None:
            line = fresh()
            old = line.repository.commit(made[0].old)
            new = line.repository.commit(line.repository.head or "")
            changed = line.repository.changed_homes(line.inside, old.id, new.id, line.homes)
            assert len(changed) == CHANGED, len(changed)
            for home in changed:
                assert report(line, home, old, new, judged=judged, between=True).comparison

        def timeline() -> None:
            line = fresh()
            commits = line.revisions("home-00000")
            sides = [line.side(commit) for commit in commits]
            assert len(commits) == REVISIONS, len(commits)
            for new, old in pairwise(sides):
                assert isinstance(new, Side)
                assert isinstance(old, Side)
                compare_home(old, new)

        def counted() -> None:
            line = fresh()
            for commit in line.revisions("home-00000"):
                side = line.side(commit)
                assert isinstance(side, Side)
                assert Counter(finding.verdict for finding in side.findings(commit.day))

        def walked() -> None:
            assert len(fresh().revisions("home-00000")) == REVISIONS

        def last() -> None:
            found = revisions_of(root / "homes", [f"home-{number:05d}" for number in range(homes)])
            assert all(revision.commit for revision in found.values())

        compared(judged=True)  # loads the rules and the shapes once
        gc.collect()
        times = [
            seconds(lambda: compared(judged=False)), seconds(lambda: compared(judged=True)), seconds(walked),
            seconds(timeline), seconds(counted), seconds(lambda: integrity(fresh(), "home-00000")), seconds(last),
        ]  # fmt: skip
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return [f"{homes}", built, *times, f"{memory:.0f}"]


def main() -> None:
    """Print the table."""
    heads = ["homes", "made in", "compare", "judged", "walk", "timeline", "verdicts", "evidence", "all last", "peak MB"]
    print(
        f"{COMMITS} commits; compare: {CHANGED} changed homes; timeline: {REVISIONS} revisions; seconds by clock/of processor"
    )
    print("".join(f"{head:>13}" for head in heads))
    for homes in [int(word) for word in sys.argv[1:]] or [500, 1000, 2000]:
        print("".join(f"{cell:>13}" for cell in row(homes)), flush=True)


if __name__ == "__main__":
    main()
