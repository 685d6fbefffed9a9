"""The only module that talks to git. It reads and never writes; what cannot be had is said as a value."""

import heapq
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta, timezone
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

from asfitted.history.renames import ALIKE, paired
from asfitted.history.revision import ChangedHome, Commit, Unavailable
from asfitted.model.base import shown
from asfitted.record.reader import RECORD_NAME

if TYPE_CHECKING:
    import pygit2

WORKING_COPY = "working copy"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_SIGNATURES = {
    b"-----BEGIN PGP": "OpenPGP",
    b"-----BEGIN SSH": "SSH",
    b"-----BEGIN SIGNED": "X.509",
    b"-----BEGIN PKCS7": "X.509",
}


class Repository:
    """A repository around a folder of homes. Paths are those within the repository, with forward slashes."""

    def __init__(self, git: "pygit2.Repository") -> None:
        self.git: Any = git
        self.missing = False

    @classmethod
    def around(cls, folder: Path) -> "Repository | None":
        """Give the repository that holds a folder; None where there is none that can be read."""
        import pygit2

        try:
            found = pygit2.discover_repository(str(folder.resolve()))
            repository = cls(pygit2.Repository(found)) if found else None
            if repository and repository.head:
                repository.commit(repository.head)
        except (pygit2.GitError, KeyError, OSError, ValueError):
            return None
        return repository

    @property
    def head(self) -> str | None:
        """The id of the commit that is checked out; None where nothing is committed."""
        return None if self.git.is_empty or self.git.head_is_unborn else str(self.git.head.target)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What keeps the history from being whole, in sentences."""
        said = []
        if self.head is None:
            said.append("Nothing is committed yet.")
        elif self.git.is_shallow:
            said.append(
                "This is a shallow clone: earlier history is missing, and the oldest revision shown need not be the "
                "first."
            )
        elif self.missing:
            said.append("Earlier commits are missing from this repository, and nothing says why.")
        if self.git.is_bare:
            said.append("This is a bare repository: it has no working copy.")
        return tuple(said)

    def path_of(self, file: Path) -> str | None:
        """Give the path of a file or folder within the repository; None when it is outside."""
        if self.git.workdir is None:
            return None
        try:
            path = file.resolve().relative_to(Path(self.git.workdir).resolve()).as_posix()
        except ValueError:
            return None
        return "" if path == "." else path

    def commit(self, commit_id: str, folder: str = "") -> Commit:
        """Give what is known of a commit, and, with a home's folder, of its record there."""
        found = self.git[commit_id]
        blob = self.blob_at(found, f"{folder}/{RECORD_NAME}") if folder else None
        return self._as_commit(found, folder, blob, None)

    def resolve(self, text: str) -> "Commit | Unavailable":
        """Find a commit by its id, a tag, a branch, or a day, which means the last commit of that day or before.

        A day is counted from the commit that is checked out, by the days of the committers' own clocks.
        """
        if self.head is None:
            return Unavailable("nothing is committed yet")
        if _DAY.fullmatch(text):
            return self._by_day(text)
        import pygit2

        try:
            found = self.git.revparse_single(text).peel(pygit2.Commit)
        except (pygit2.GitError, KeyError, ValueError, OSError) as error:
            reason = "several begin so" if "ambiguous" in str(error).lower() else "there is none of that name"
            return Unavailable(f"no revision {shown(text)}: {reason}; give a commit, a tag, a branch or a day")
        return self._as_commit(found, "", None, None)

    def _by_day(self, text: str) -> "Commit | Unavailable":
        try:
            day = date.fromisoformat(text)
        except ValueError:
            return Unavailable(f"{text} is not in the calendar")
        for commit in self._newest_first():
            if _moment(commit.commit_time, commit.commit_time_offset).date() <= day:
                return self._as_commit(commit, "", None, None)
        return Unavailable(f"nothing was committed on {text} or before")

    def _newest_first(self) -> "Iterator[pygit2.Commit]":
        """Give every commit behind the one checked out, latest commit time first."""
        start = self.git[self.head or ""]
        queue: list[tuple[int, int, Any]] = [(-start.commit_time, 0, start)]
        seen, number = {start.id}, count(1)
        while queue:
            _, _, commit = heapq.heappop(queue)
            yield commit
            for parent in self.parents(commit):
                if parent.id not in seen:
                    seen.add(parent.id)
                    heapq.heappush(queue, (-parent.commit_time, next(number), parent))

    def revisions(self, folder: str, start: str | None = None) -> list[Commit]:
        """Give the revisions of a home's record, newest first, through renames of its folder.

        A merge counts only where the record differs from that of every parent. Where it is that of one parent, the
        history of that parent alone is followed, as ``git log`` does.

        Args:
            folder: the home's folder, such as ``homes/gable-hatch``.
            start: the commit to begin at; the one checked out unless given.
        """
        with unverified():
            return list(self._revisions(folder, start or self.head))

    def _revisions(self, folder: str, head: str | None) -> Iterator[Commit]:
        if head is None:
            return
        first = self.git[head]
        queue = [(-first.commit_time, 0, first, folder, self.blob_at(first, f"{folder}/{RECORD_NAME}"))]
        seen, number = {(first.id, folder)}, count(1)
        while queue:
            _, _, commit, here, blob = heapq.heappop(queue)
            record = f"{here}/{RECORD_NAME}"
            parents = [(parent, here, self.blob_at(parent, record)) for parent in self.parents(commit)]
            alike = next((parent for parent in parents if parent[2] == blob), None)
            if alike is None and blob is not None and parents and all(old is None for _, _, old in parents):
                parents = [self._before_rename(parent, commit, here) for parent, _, _ in parents]
            if alike is None and (blob or any(old for *_, old in parents)):
                there = next(((old, where) for _, where, old in parents if old), None)
                yield self._as_commit(commit, here, blob, there)
            for parent, where, old in [alike] if alike else parents:
                if (parent.id, where) not in seen:
                    seen.add((parent.id, where))
                    heapq.heappush(queue, (-parent.commit_time, next(number), parent, where, old))

    def _before_rename(
        self, parent: "pygit2.Commit", commit: "pygit2.Commit", folder: str
    ) -> "tuple[pygit2.Commit, str, str | None]":
        """Give the folder that a home had in a parent, where its record came in by another name."""
        homes, _, _ = folder.rpartition("/")
        name = folder.rpartition("/")[2]
        for changed in self._between(parent, commit, homes):
            if changed.new == name and changed.old:
                where = f"{homes}/{changed.old}" if homes else changed.old
                return parent, where, self.blob_at(parent, f"{where}/{RECORD_NAME}")
        return parent, folder, None

    def text(self, blob: str) -> bytes | None:
        """Give the content of a record by its id; None where it is missing, as in a partial clone, or damaged."""
        import pygit2

        try:
            found: Any = self.git.get(blob)
        except (pygit2.GitError, OSError, ValueError):
            return None
        return None if found is None else bytes(found.data)

    def files(self, commit_id: str, folder: str, ending: str) -> dict[str, bytes]:
        """Give the files of a folder at a commit whose names end so, by name."""
        tree = self.tree(self.git[commit_id], folder)
        entries: Any = tree if tree is not None else ()
        return {str(e.name): e.data for e in entries if e.type_str == "blob" and str(e.name).endswith(ending)}

    def differs(self, path: str, file: Path) -> bool:
        """Tell whether a file on disk is not the one that is committed."""
        head = self.head
        blob = self.blob_at(self.git[head], path) if head else None
        try:
            return blob != str(self.git.hashfile(path)) if file.is_file() else blob is not None
        except OSError:
            return True

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
            return self._between(self.git[old], self.git[new], homes)
        before = self._records(self.git[old], homes)
        after = {
            file.parent.name: str(self.git.hashfile(f"{homes}/{file.parent.name}/{RECORD_NAME}".lstrip("/")))
            for file in sorted(disk.glob(f"*/{RECORD_NAME}"))
            if file.is_file() and not file.parent.name.startswith(".")
        }
        gone = {name: self.text(blob) or b"" for name, blob in before.items() if name not in after}
        come = {name: (disk / name / RECORD_NAME).read_bytes() for name in after if name not in before}
        renamed = paired(gone, come)
        changed = [ChangedHome(name, name) for name in after if name in before and after[name] != before[name]]
        changed += [ChangedHome(name, renamed.get(name)) for name in gone]
        changed += [ChangedHome(None, name) for name in come if name not in renamed.values()]
        return sorted(changed, key=lambda home: home.name)

    def _between(self, old: "pygit2.Commit", new: "pygit2.Commit", homes: str) -> list[ChangedHome]:
        before, after = self.tree(old, homes), self.tree(new, homes)
        if after is None:
            return [] if before is None else [ChangedHome(name, None) for name in self._records(old, homes)]
        if before is None:
            return [ChangedHome(None, name) for name in self._records(new, homes)]
        if before.id == after.id:
            return []
        diff = before.diff_to_tree(after)
        if {"A", "D"} <= {delta.status_char() for delta in diff.deltas}:
            diff.find_similar(rename_threshold=round(100 * ALIKE))
        changed = []
        for delta in diff.deltas:
            status = delta.status_char()
            was = _home_of(delta.old_file.path) if status != "A" else None
            now = _home_of(delta.new_file.path) if status != "D" else None
            if was or now:
                changed.append(ChangedHome(was, now))
        return sorted(changed, key=lambda home: home.name)

    def _records(self, commit: "pygit2.Commit", homes: str) -> dict[str, str]:
        """Give the content of every record at a commit, by its home and its id."""
        tree: Any = self.tree(commit, homes)
        found = {}
        for entry in tree if tree is not None else ():
            if entry.type_str == "tree" and RECORD_NAME in entry:
                found[str(entry.name)] = str(entry[RECORD_NAME].id)
        return found

    def parents(self, commit: "pygit2.Commit") -> "Iterator[pygit2.Commit]":
        """Give the parents that are there: a shallow clone lacks some."""
        for parent_id in commit.parent_ids:
            parent: Any = self.git.get(parent_id)
            if parent is None:
                self.missing = True
            else:
                yield parent

    def tree(self, commit: Any, folder: str) -> "pygit2.Tree | None":
        """Give a folder at a commit; None where it is not there."""
        try:
            found = commit.tree[folder] if folder else commit.tree
        except KeyError:
            return None
        return found if found.type_str == "tree" else None

    def blob_at(self, commit: Any, path: str) -> str | None:
        """Give the id of a file's content at a commit; None where it is not there."""
        try:
            found = commit.tree[path]
        except KeyError:
            return None
        return str(found.id) if found.type_str == "blob" else None

    def _as_commit(self, commit: Any, folder: str, blob: str | None, before: tuple[str, str] | None) -> Commit:
        return Commit(
            id=str(commit.id),
            at=_moment(commit.commit_time, commit.commit_time_offset),
            authored=_moment(commit.author.time, commit.author.offset),
            author=commit.author.name,
            committer=commit.committer.name,
            subject=commit.message.partition("\n")[0],
            merge=len(commit.parent_ids) > 1,
            signed=_signed(commit),
            folder=folder,
            blob=blob,
            before=before,
        )


@contextmanager
def unverified() -> Iterator[None]:
    """Walk without computing the hash of every tree on the way, which takes two thirds of the time.

    The git program does not either, except in ``git fsck``. Records themselves are read with their hash verified.
    """
    import pygit2

    pygit2.settings.enable_strict_hash_verification(False)  # noqa: FBT003 - the library takes it so
    try:
        yield
    finally:
        pygit2.settings.enable_strict_hash_verification(True)  # noqa: FBT003


def _home_of(path: str) -> str | None:
    name, _, rest = path.partition("/")
    return name if rest == RECORD_NAME else None


def _moment(seconds: int, offset: int) -> datetime:
    return datetime.fromtimestamp(seconds, timezone(timedelta(minutes=offset)))


def _signed(commit: Any) -> str:
    signature = commit.gpg_signature[0]
    if not signature:
        return ""
    return next((kind for start, kind in _SIGNATURES.items() if signature.startswith(start)), "of an unknown kind")
