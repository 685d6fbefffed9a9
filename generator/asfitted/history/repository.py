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
from asfitted.history.trees import differing
from asfitted.model.base import shown
from asfitted.record.reader import RECORD_NAME

if TYPE_CHECKING:
    import pygit2

WORKING_COPY = "working copy"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LAST_SECOND = 221_845_392_000
"""The year 9000: what is planned from a commit's day has to be in the calendar as well."""
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
        self._listings: dict[Any, bytes] = {}

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

    def taken_away(self, homes: str) -> list[str]:
        """Give the homes whose record some commit took away, the latest first; one that was renamed is not among them.

        Args:
            homes: the folder of homes in the repository.
        """
        if self.head is None:
            return []
        found: dict[str, None] = {}
        with unverified():
            for commit in self._newest_first():
                for parent in self.parents(commit):
                    changed = self._between(parent, commit, homes)
                    found |= {home.old: None for home in changed if home.old and not home.new}
        return list(found)

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
            parents = [(parent, here, self._before(parent, commit, here, blob)) for parent in self.parents(commit)]
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

    def _before(self, parent: "pygit2.Commit", commit: "pygit2.Commit", folder: str, blob: str | None) -> str | None:
        """Give the content that the record of a home has in a parent, from what it has in the commit."""
        homes, _, name = folder.rpartition("/")
        return self.records_changed(parent, commit, homes).get(name, (blob, blob))[0]

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

    def descends(self, commit_id: str, other_id: str) -> bool:
        """Tell whether a commit was made after another one, on a line of history that holds both."""
        import pygit2

        try:
            return bool(self.git.descendant_of(commit_id, other_id))
        except (pygit2.GitError, KeyError):
            return False  # what lies between is missing

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
        before = {name: blob for name, (_, blob) in self.records_changed(None, self.git[old], homes).items() if blob}
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
        records = self.records_changed(old, new, homes)
        changed = [ChangedHome(name if was else None, name if now else None) for name, (was, now) in records.items()]
        if any(home.old is None for home in changed) and any(home.new is None for home in changed):
            changed = self._with_renames(old, new, homes)
        return sorted(changed, key=lambda home: home.name)

    def _with_renames(self, old: "pygit2.Commit", new: "pygit2.Commit", homes: str) -> list[ChangedHome]:
        before, after = self.tree(old, homes), self.tree(new, homes)
        assert before is not None
        assert after is not None
        diff = before.diff_to_tree(after)
        diff.find_similar(rename_threshold=round(100 * ALIKE))
        changed = []
        for delta in diff.deltas:
            status = delta.status_char()
            was = _home_of(delta.old_file.path) if status != "A" else None
            now = _home_of(delta.new_file.path) if status != "D" else None
            if was or now:
                changed.append(ChangedHome(was, now))
        return changed

    def records_changed(
        self, old: "pygit2.Commit | None", new: "pygit2.Commit", homes: str
    ) -> dict[str, tuple[str | None, str | None]]:
        """Give the ids of the content of every record that differs between two commits, by its home.

        Args:
            old: the earlier commit; None for all records of the later one.
            new: the later commit.
            homes: the folder of homes in the repository.
        """
        before, after = self.tree(old, homes) if old else None, self.tree(new, homes)
        if before is not None and after is not None and before.id == after.id:
            return {}
        entries = differing(self._listing(before), self._listing(after), len(new.id.raw))
        records = {name: (self._record_in(was), self._record_in(now)) for name, (was, now) in entries.items()}
        return {name: (was, now) for name, (was, now) in records.items() if was != now}

    def _listing(self, tree: "pygit2.Tree | None") -> bytes:
        """Give the bytes of a folder's listing; a walk asks for each twice in a row."""
        if tree is None:
            return b""
        if tree.id not in self._listings:
            self._listings = {**dict(list(self._listings.items())[-3:]), tree.id: self.git.odb.read(tree.id)[1]}
        return self._listings[tree.id]

    def _record_in(self, folder: bytes | None) -> str | None:
        """Give the content of the record in a folder, by their ids; None where there is no such."""
        import pygit2

        found: Any = self.git.get(pygit2.Oid(raw=folder)) if folder else None
        if found is None or found.type_str != "tree" or RECORD_NAME not in found:
            return None
        record = found[RECORD_NAME]
        return str(record.id) if record.type_str == "blob" else None

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
            author=_name_in(commit, "author"),
            committer=_name_in(commit, "committer"),
            subject=_read(commit.raw_message, commit.message_encoding).partition("\n")[0],
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


def _name_in(commit: Any, role: str) -> str:
    return _read(getattr(commit, role).raw_name, commit.message_encoding)


def _read(raw: bytes, encoding: str | None) -> str:
    """Read a text of a commit by the encoding that it names, which need not be a real one."""
    try:
        return raw.decode(encoding or "utf-8", "replace")
    except LookupError:
        return raw.decode("utf-8", "replace")


def _moment(seconds: int, offset: int) -> datetime:
    """Give the moment of a commit; one that no calendar holds counts as the last that is left room to plan from."""
    return datetime.fromtimestamp(min(max(seconds, 0), _LAST_SECOND), timezone(timedelta(minutes=offset)))


def _signed(commit: Any) -> str:
    signature = commit.gpg_signature[0]
    if not signature:
        return ""
    return next((kind for start, kind in _SIGNATURES.items() if signature.startswith(start)), "of an unknown kind")
