"""The points of a home's history that can be compared: revisions by any name, the working copy, last commissioning."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import overload

from asfitted.history.repository import WORKING_COPY, Repository
from asfitted.history.revision import Commit, Unavailable
from asfitted.history.side import Side, side_of
from asfitted.model.home import Home
from asfitted.record.reader import RECORD_NAME
from asfitted.rules.catalogue import Catalogue, catalogue
from asfitted.rules.own import own_sets

LAST_COMMISSIONING = "last commissioning"
_DIGEST = re.compile(r"[0-9a-f]{12,64}")


@dataclass(frozen=True)
class Point:
    """A home at one point of its history: the commit, or None for the working copy; and the record there."""

    words: str
    commit: Commit | None
    side: Side | Unavailable

    @property
    def signature(self) -> str:
        """What is known of the signature of the commit."""
        return self.commit.signature if self.commit else "not committed"


class Timeline:
    """The history of the homes of a folder, each record read no more than once.

    Args:
        repository: the repository around the folder.
        homes: the folder of homes on disk.
        rule_sets: the folder among the homes that holds a firm's own rule sets.
        today: the day of the working copy.
        now: the catalogue of the working copy.
    """

    def __init__(self, repository: Repository, homes: Path, rule_sets: str, today: date, now: Catalogue) -> None:
        self.repository, self.homes, self.rule_sets, self.today, self.now = repository, homes, rule_sets, today, now
        self._catalogues: dict[tuple[tuple[str, bytes], ...], Catalogue] = {}
        self._sides: dict[tuple[str, date, int], Side | Unavailable] = {}
        self._read: dict[str, Side] = {}
        self._revisions: dict[str, list[Commit]] = {}
        self._between: dict[tuple[str, str], frozenset[str]] = {}
        self._left: dict[str, tuple[str, str]] = {}

    @cached_property
    def inside(self) -> str:
        """The folder of homes within the repository."""
        return self.repository.path_of(self.homes) or ""

    def folder(self, home: str) -> str:
        """Give the folder of a home within the repository."""
        return f"{self.inside}/{home}".lstrip("/")

    def revisions(self, home: str) -> list[Commit]:
        """Give the revisions of a home, newest first."""
        if home not in self._revisions:
            name, last = self._left.get(home, (home, None))
            self._revisions[home] = self.repository.revisions(self.folder(name), last)
        return self._revisions[home]

    @cached_property
    def left(self) -> tuple[str, ...]:
        """Give the homes that some commit took away and that no folder holds now.

        Where another home took the name since, it is told as ``mill-cottage (earlier home)``.
        """
        names: list[str] = []
        known: dict[str, set[str]] = {}
        for name, commit_id in self.repository.departures(self.inside):
            told = known.setdefault(name, {commit.id for commit in self.revisions(name)})
            called = name
            if commit_id not in told:
                number = sum(other == name for other, _ in self._left.values()) + 1
                called = f"{name} (earlier home{f' {number}' if number > 1 else ''})"
                self._left.setdefault(called, (name, commit_id))
                told |= {commit.id for commit in self.revisions(called)}
            if called not in names and not (self.homes / called).is_dir():
                names.append(called)
        return tuple(names)

    def between(self, home: str, old: Commit, new: Commit | None) -> tuple[list[Commit], list[Commit]]:
        """Give the revisions of a home since one commit up to another, newest first; then what they were made from."""
        end = new.id if new else self.repository.head or ""
        if (old.id, end) not in self._between:
            self._between[old.id, end] = self.repository.between(old.id, end)
        within = self._between[old.id, end]
        commits = self.repository.revisions(self.folder(home), end, within)
        return [c for c in commits if c.id in within], [c for c in commits if c.id not in within]

    def earlier(self, home: str, commit: Commit, among: Sequence[Commit] = ()) -> Iterator[Commit]:
        """Give the revisions that one was made after: first that of its parent, then the latest ones.

        The further ones are of use where the parent has no record, or none that can be read. ``among`` gives the
        revisions to look at, where those are not all.
        """
        commits = among or self.revisions(home)
        older = commits[commits.index(commit) + 1 :]
        parent = next((other for other in older if (other.id, other.folder) == commit.before), None)
        if parent is not None:
            yield parent
        for other in older:
            if other is not parent and other.blob is not None and self.repository.descends(commit.id, other.id):
                yield other

    def resolve(self, home: str | None, text: str) -> Commit | Unavailable | None:
        """Find what a person calls a revision; None is the working copy.

        Besides what git knows, ``last commissioning`` is the revision that brought in the latest commissioning, and
        the digest of a record, or its first 12 characters, is the latest revision with that very record.
        """
        if text.replace("-", " ").lower() == WORKING_COPY:
            return None
        if text.replace("-", " ").lower() == LAST_COMMISSIONING:
            return (
                Unavailable("the last commissioning is that of one home") if home is None else self._commissioned(home)
            )
        found = self.repository.resolve(text)
        if isinstance(found, Unavailable) and home is not None and _DIGEST.fullmatch(text):
            return self.with_digest(home, text) or found
        return found

    def with_digest(self, home: str, digest: str) -> Commit | None:
        """Give the latest revision whose record has a SHA-256 that begins so; None if the history holds no such."""
        for commit in self.revisions(home):
            raw = self.repository.text(commit.blob) if commit.blob else None
            if raw is not None and sha256(raw).hexdigest().startswith(digest):
                return commit
        return None

    def point(self, home: str, commit: Commit | None, called: str | None = None) -> Point:
        """Give a home at a commit or one of its revisions, or in the working copy, by the name of today or of then."""
        if commit is None:
            return Point(WORKING_COPY, None, self.working(called or home))
        if commit.folder:  # one of its revisions
            return Point(commit.words, commit, self.side(commit))
        for folder in self._folders(home, commit, called):
            there = self.repository.commit(commit.id, folder)
            if there.blob is not None:
                return Point(there.words, there, self.side(there))
        return Point(commit.words, commit, Unavailable(f"{home} has no record at {commit.words}"))

    def _folders(self, home: str, commit: Commit, called: str | None) -> Iterator[str]:
        """Give the folders to look in: the one that a renamed home had then, since another may have had its name."""
        names = dict.fromkeys(there.folder for there in self.revisions(home)) if called is None else {}
        if len(names) > 1:
            descends = self.repository.descends
            by_then = (at for at in self.revisions(home) if at.id == commit.id or descends(commit.id, at.id))
            if nearest := next(by_then, None):
                yield nearest.folder
                return
        yield self.folder(called or home)
        yield from (name for name in names if name != self.folder(home))

    def holds(self, home: str, commit: Commit | None) -> bool:
        """Tell whether there is a record by a name at a commit, or on disk."""
        if commit is None:
            return (self.homes / home / RECORD_NAME).is_file()
        path = f"{self.folder(home)}/{RECORD_NAME}"
        return self.repository.blob_at(self.repository.read(commit.id), path) is not None

    def working(self, home: str) -> Side | Unavailable:
        """Give a home as it stands on disk."""
        file = self.homes / home / RECORD_NAME
        try:
            raw = file.read_bytes()
        except OSError:
            return Unavailable(f"{home} has no record in the working copy")
        return side_of(raw, self.today, self.now, file)

    def changed(self, home: str) -> bool:
        """Tell whether the record on disk is not the one that is committed."""
        file = self.homes / home / RECORD_NAME
        return self.repository.differs(f"{self.folder(home)}/{RECORD_NAME}", file)

    def side(self, commit: Commit) -> Side | Unavailable:
        """Give a home at one of its revisions; read once for one content and day."""
        if commit.blob is None:
            return Unavailable("the record was deleted there")
        rules = self.catalogue(commit)
        key = (commit.blob, commit.day, id(rules))
        if key not in self._sides:
            file = Path(commit.folder) / RECORD_NAME
            known = self._read.get(commit.blob)
            self._sides[key] = (
                Side(known.home, commit.day, rules, known.digest)
                if known
                else side_of(self.repository.text(commit.blob), commit.day, rules, file)
            )
            if isinstance(side := self._sides[key], Side):
                self._read[commit.blob] = side
        return self._sides[key]

    def catalogue(self, commit: Commit) -> Catalogue:
        """Give the rules that come with the program, and a firm's own as they were at a commit."""
        files = self.repository.files(commit.id, f"{self.inside}/{self.rule_sets}".lstrip("/"), ".toml")
        key = tuple(sorted(files.items()))
        if key not in self._catalogues:
            own: Mapping[Path, bytes] = {Path(name): raw for name, raw in files.items()}
            self._catalogues[key] = own_sets(own, catalogue())[0] if own else catalogue()
        return self._catalogues[key]

    def _commissioned(self, home: str) -> Commit | Unavailable:
        """Give the revision that brought in the latest commissioning."""
        last: date | None = None
        found: Commit | None = None
        for commit in self.revisions(home):
            side = self.side(commit)
            if isinstance(side, Unavailable):
                continue
            if last is None:
                last = max(_commissionings(side.home), default=None)
                if last is None:
                    break
            if last not in _commissionings(side.home):
                break
            found = commit
        if self.repository.head is None:
            return Unavailable("nothing is committed yet")
        return found or Unavailable(f"no commissioning of {home} is recorded")


class LazyPoints(Sequence[Point]):
    """A home at its revisions, oldest first, then the working copy where it is another; each read when asked for."""

    def __init__(self, timeline: Timeline, home: str) -> None:
        self.timeline, self.home = timeline, home
        self.commits: list[Commit | None] = [c for c in reversed(timeline.revisions(home)) if c.blob is not None]
        if timeline.changed(home):
            self.commits.append(None)

    def __len__(self) -> int:
        """How many there are."""
        return len(self.commits)

    @overload
    def __getitem__(self, index: int) -> Point: ...
    @overload
    def __getitem__(self, index: slice) -> "Sequence[Point]": ...
    def __getitem__(self, index: int | slice) -> "Point | Sequence[Point]":
        """Give the home at one of them."""
        if isinstance(index, slice):
            return [self._point(commit) for commit in self.commits[index]]
        return self._point(self.commits[index])

    @property
    def branched(self) -> bool:
        """Whether lines of history are joined among them, so that one need not be made from the one before."""
        return any(commit.merge for commit in self.commits if commit)

    def made_after(self, later: int, earlier: int) -> bool:
        """Tell whether one of them was made from another, at once or by way of further ones."""
        after, before = self.commits[later], self.commits[earlier]
        return before is not None and (after is None or self.timeline.repository.descends(after.id, before.id))

    def _point(self, commit: Commit | None) -> Point:
        if commit is None:
            return self.timeline.point(self.home, None)
        return Point(commit.words, commit, self.timeline.side(commit))


def _commissionings(home: Home) -> set[date]:
    return {visit.date for visit in home.visits if visit.kind == "commissioning"}
