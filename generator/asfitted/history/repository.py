"""The repository of the homes: its commits by any name, the revisions of a home, the homes that changed."""

import heapq
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import count
from pathlib import Path
from typing import Any

from asfitted.history.commits import as_commit, day_of
from asfitted.history.objects import Objects, unverified
from asfitted.history.order import children_first
from asfitted.history.renames import exchanged, paired, strangers
from asfitted.history.revision import ChangedHome, Commit, Unavailable
from asfitted.model.base import shown
from asfitted.record.reader import RECORD_NAME

WORKING_COPY = "working copy"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_Node = tuple[Any, str]
"""A commit by its id, and the folder of the home in it."""


@dataclass(frozen=True, slots=True)
class _Step:
    """A step on the way back: the commit where the record is another than in every parent, else None."""

    told: Any
    blob: str | None
    parents: tuple[_Node, ...]
    held: _Node | None
    """The first parent that has the record."""


class Repository(Objects):
    """What git holds, read as the history of homes."""

    def __init__(self, git: Any) -> None:
        super().__init__(git)
        self._departures: dict[str, list[tuple[str, str]]] = {}

    def commit(self, commit_id: str, folder: str = "") -> Commit:
        """Give what is known of a commit, and, with a home's folder, of its record there."""
        found = self.read(commit_id)
        blob = self.blob_at(found, f"{folder}/{RECORD_NAME}") if folder else None
        return as_commit(found, folder, blob)

    def resolve(self, text: str) -> "Commit | Unavailable":
        """Find a commit by its id, a tag, a branch, or a day, which means the last commit of that day or before.

        A day is counted from the commit that is checked out, by the days of the committers' own clocks.
        """
        if self.head is None:
            return Unavailable("nothing is committed yet")
        if _DAY.fullmatch(text):
            return self._by_day(text)
        found = self.named(text)
        if isinstance(found, str):
            return Unavailable(f"no revision {shown(text)}: {found}; give a commit, a tag, a branch or a day")
        return as_commit(found)

    def _by_day(self, text: str) -> "Commit | Unavailable":
        try:
            day = date.fromisoformat(text)
        except ValueError:
            return Unavailable(f"{text} is not in the calendar")
        for commit in self._newest_first():
            if day_of(commit) <= day:
                return as_commit(commit)
        return Unavailable(f"nothing was committed on {text} or before")

    def _newest_first(self) -> Iterator[Any]:
        """Give every commit behind the one checked out, latest commit time first."""
        start = self.read(self.head)
        queue: list[tuple[int, int, Any]] = [(-start.commit_time, 0, start)]
        seen, number = {start.id}, count(1)
        while queue:
            _, _, commit = heapq.heappop(queue)
            yield commit
            for parent in self.parents(commit):
                if parent.id not in seen:
                    seen.add(parent.id)
                    heapq.heappush(queue, (-parent.commit_time, next(number), parent))

    def departures(self, homes: str) -> list[tuple[str, str]]:
        """Give the homes whose record some commit took away, each with the id of it, the latest first.

        One that was renamed is not among them.

        Args:
            homes: the folder of homes in the repository.
        """
        if self.head is None:
            return []
        if homes not in self._departures:
            found: dict[tuple[str, str], None] = {}
            with unverified():
                for commit in self._newest_first():
                    for parent in self.parents(commit):
                        changed = self._between(parent, commit, homes)
                        found |= {(home.old, str(commit.id)): None for home in changed if home.old and not home.new}
            self._departures[homes] = list(found)
        return self._departures[homes]

    def revisions(self, folder: str, start: str | None = None, within: Collection[str] | None = None) -> list[Commit]:
        """Give the revisions of a home's record, through renames of its folder: each above those it was made from.

        Of those that could stand next, the latest does, as with ``git log --date-order``.

        A merge counts only where the record differs from that of every parent. Where it is that of one parent, the
        history of that parent alone is followed, as ``git log`` does.

        Args:
            folder: the home's folder, such as ``homes/gable-hatch``.
            start: the commit to begin at; the one checked out unless given.
            within: the commits to stay within; those where the walk leaves them stand last, as they are.
        """
        head = start or self.head
        if head is None:
            return []
        with unverified():
            steps, when = self._walked(self.read(head), folder, within)
        order = list(children_first({node: step.parents for node, step in steps.items()}, when))
        revision: dict[_Node, _Node | None] = {}  # the one by which the record came to be as it is there
        for node in reversed(order):
            step = steps[node]
            revision[node] = node if step.told is not None else next(map(revision.__getitem__, step.parents), None)
        return [self._told(node, steps[node], revision) for node in order if steps[node].told is not None]

    def _told(self, node: _Node, step: _Step, revision: dict[_Node, _Node | None]) -> Commit:
        made_from = revision[step.held] if step.held else None
        before = (str(made_from[0]), made_from[1]) if made_from else None
        cut = not step.parents and self.made_from_others(step.told)
        return as_commit(step.told, node[1], step.blob, before, cut=cut)

    def _walked(
        self, first: Any, folder: str, within: Collection[str] | None
    ) -> tuple[dict[_Node, _Step], dict[_Node, int]]:
        """Walk back from a commit, and give every step with the time of its commit."""
        steps: dict[_Node, _Step] = {}
        when = {(first.id, folder): first.commit_time}
        ahead = [(first, folder, self.blob_at(first, f"{folder}/{RECORD_NAME}"))]
        while ahead:
            commit, here, blob = ahead.pop()
            if within is not None and str(commit.id) not in within:
                steps[commit.id, here] = _Step(commit if blob else None, blob, (), None)
                continue
            parents = [(parent, here, self._before(parent, commit, here, blob)) for parent in self.parents(commit)]
            alike = next((parent for parent in parents if parent[2] == blob), None)
            if alike is None and blob is not None:
                anew = all(old is None for *_, old in parents)
                by_name = self._before_rename if anew else self._before_exchange
                parents = [by_name(parent, commit, here, blob, old) for parent, _, old in parents]
            told = alike is None and bool(blob or any(old for *_, old in parents))
            parents = [alike] if alike else parents
            nodes = tuple((parent.id, where) for parent, where, _ in parents)
            held = next((node for node, (*_, old) in zip(nodes, parents, strict=True) if old), None)
            steps[commit.id, here] = _Step(commit if told else None, blob, nodes, held)
            for node, (parent, where, old) in zip(nodes, parents, strict=True):
                if node not in when:
                    when[node] = parent.commit_time
                    ahead.append((parent, where, old))
        return steps, when

    def _before(self, parent: Any, commit: Any, folder: str, blob: str | None) -> str | None:
        """Give the content that the record of a home has in a parent, from what it has in the commit."""
        homes, _, name = folder.rpartition("/")
        return self.records_changed(parent, commit, homes).get(name, (blob, blob))[0]

    def _before_rename(
        self, parent: Any, commit: Any, folder: str, _blob: str, old: str | None
    ) -> tuple[Any, str, str | None]:
        """Give the folder that a home had in a parent, where its record came in by another name."""
        homes, _, name = folder.rpartition("/")
        for changed in self._between(parent, commit, homes):
            if changed.new == name and changed.old:
                return self._by_name(parent, homes, changed.old)
        return parent, folder, old

    def _before_exchange(
        self, parent: Any, commit: Any, folder: str, blob: str, old: str | None
    ) -> tuple[Any, str, str | None]:
        """Give the folder that a home had in a parent, where it exchanged its name with another home."""
        homes, _, name = folder.rpartition("/")
        records = self._edited(parent, commit, homes)
        taken = any(was == blob for was, _ in records.values())
        if old and len(records) > 1 and (taken or strangers(self.text(old), self.text(blob))):
            other = exchanged(records, self.text).get(name)
            if other is not None:
                return self._by_name(parent, homes, other)
        return parent, folder, old

    def _by_name(self, parent: Any, homes: str, name: str) -> tuple[Any, str, str | None]:
        where = f"{homes}/{name}".lstrip("/")
        return parent, where, self.blob_at(parent, f"{where}/{RECORD_NAME}")

    def _edited(self, old: Any, new: Any, homes: str) -> dict[str, tuple[str, str]]:
        """Give the content of the records that are in both commits and differ."""
        records = self.records_changed(old, new, homes)
        return {name: (was, now) for name, (was, now) in records.items() if was and now}

    def changed_homes(self, homes: str, old: str, new: str | None, disk: Path) -> list[ChangedHome]:
        """Give the homes whose record differs between two commits, or a commit and the working copy.

        Nothing is read of a home that did not change.

        Args:
            homes: the folder of homes in the repository.
            old: the earlier commit.
            new: the later one; None for the working copy.
            disk: the folder of homes on disk, for the working copy.
        """
        if new is not None:
            a, b = self.read(old), self.read(new)
            return _crosswise(self._between(a, b, homes), exchanged(self._edited(a, b, homes), self.text))
        before = {name: blob for name, (_, blob) in self.records_changed(None, self.read(old), homes).items() if blob}
        after = {
            file.parent.name: str(self.git.hashfile(f"{homes}/{file.parent.name}/{RECORD_NAME}".lstrip("/")))
            for file in sorted(disk.glob(f"*/{RECORD_NAME}"))
            if file.is_file() and not file.parent.name.startswith(".")
        }
        gone = {name: self.text(blob) or b"" for name, blob in before.items() if name not in after}
        come = {name: (disk / name / RECORD_NAME).read_bytes() for name in after if name not in before}
        renamed = paired(gone, come)
        edited = {name: (before[name], now) for name, now in after.items() if before.get(name, now) != now}
        files = {now: disk / name / RECORD_NAME for name, (_, now) in edited.items()}
        crossed = exchanged(edited, lambda blob: files[blob].read_bytes() if blob in files else self.text(blob))
        changed = _crosswise([ChangedHome(name, name) for name in edited], crossed)
        changed += [ChangedHome(name, renamed.get(name)) for name in gone]
        changed += [ChangedHome(None, name) for name in come if name not in renamed.values()]
        return sorted(changed, key=lambda home: home.name)

    def _between(self, old: Any, new: Any, homes: str) -> list[ChangedHome]:
        records = self.records_changed(old, new, homes)
        changed = [ChangedHome(name if was else None, name if now else None) for name, (was, now) in records.items()]
        if any(home.old is None for home in changed) and any(home.new is None for home in changed):
            changed = self._with_renames(old, new, homes)
        return sorted(changed, key=lambda home: home.name)

    def _with_renames(self, old: Any, new: Any, homes: str) -> list[ChangedHome]:
        changed = []
        for delta in self.deltas(old, new, homes):
            status = delta.status_char()
            was = _home_of(delta.old_file.path) if status != "A" else None
            now = _home_of(delta.new_file.path) if status != "D" else None
            if was and now and was != now and strangers(*self._texts(delta)):
                changed += [ChangedHome(was, None), ChangedHome(None, now)]
            elif was or now:
                changed.append(ChangedHome(was, now))
        return changed

    def _texts(self, delta: Any) -> tuple[bytes | None, bytes | None]:
        return self.text(str(delta.old_file.id)), self.text(str(delta.new_file.id))


def _crosswise(changed: list[ChangedHome], crossed: Mapping[str, str]) -> list[ChangedHome]:
    """Give homes that exchanged their names by the earlier and the later name of each."""
    return [ChangedHome(crossed.get(home.new, home.old), home.new) if home.new else home for home in changed]


def _home_of(path: str) -> str | None:
    name, _, rest = path.partition("/")
    return name if rest == RECORD_NAME else None
