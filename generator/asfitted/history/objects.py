"""The only module that talks to git. It reads and never writes; what cannot be had is said."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from asfitted.history.renames import ALIKE
from asfitted.history.revision import SHOWN, HistoryDamaged
from asfitted.history.trees import differing
from asfitted.record.reader import RECORD_NAME

if TYPE_CHECKING:
    import pygit2


class Objects:
    """What git holds around a folder of homes. Paths are those within the repository, with forward slashes.

    Whatever reads it raises :class:`HistoryDamaged` where a commit or a folder's listing is missing or damaged.
    """

    def __init__(self, git: "pygit2.Repository") -> None:
        self.git: Any = git
        self.missing = False
        self._listings: dict[Any, bytes] = {}
        self._trees: dict[tuple[Any, str], Any] = {}

    @classmethod
    def around(cls, folder: Path) -> "Self | None":
        """Give the repository that holds a folder; None where there is none that can be read."""
        import pygit2

        try:
            found = pygit2.discover_repository(str(folder.resolve()))
            repository = cls(pygit2.Repository(found)) if found else None
            if repository and repository.head:
                repository.read(repository.head)
        except (HistoryDamaged, pygit2.GitError, KeyError, OSError, ValueError):
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

    def read(self, object_id: Any) -> Any:
        """Give a commit, a folder's listing or a file by its id.

        Raises:
            HistoryDamaged: when it is not there, as in a partial clone, or is damaged.
        """
        found = self._found(object_id)
        if found is None:
            raise HistoryDamaged(str(object_id)[:SHOWN])
        return found

    def _found(self, object_id: Any) -> Any:
        import pygit2

        try:
            return self.git.get(object_id)
        except (pygit2.GitError, KeyError, OSError, ValueError):
            raise HistoryDamaged(str(object_id)[:SHOWN]) from None

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
        tree = self.tree(self.read(commit_id), folder)
        entries: Any = tree if tree is not None else ()
        named = [entry for entry in entries if entry.type_str == "blob" and str(entry.name).endswith(ending)]
        return {str(entry.name): bytes(self.read(entry.id).data) for entry in named}

    def differs(self, path: str, file: Path) -> bool:
        """Tell whether a file on disk is not the one that is committed."""
        head = self.head
        blob = self.blob_at(self.read(head), path) if head else None
        try:
            return blob != str(self.git.hashfile(path)) if file.is_file() else blob is not None
        except OSError:
            return True

    def parents(self, commit: "pygit2.Commit") -> "Iterator[pygit2.Commit]":
        """Give the parents that are there: a shallow clone lacks some."""
        for parent_id in commit.parent_ids:
            parent = self._found(parent_id)
            if parent is None:
                self.missing = True
            else:
                yield parent

    def between(self, old: str, new: str) -> frozenset[str]:
        """Give the ids of the commits that a later one was made from, itself among them, and an earlier one was not.

        Raises:
            HistoryDamaged: when what lies between is missing.
        """
        import pygit2

        try:
            walk = self.git.walk(pygit2.Oid(hex=new))
            walk.hide(pygit2.Oid(hex=old))
            return frozenset(str(commit.id) for commit in walk)
        except (pygit2.GitError, KeyError, OSError, ValueError):
            raise HistoryDamaged(f"what lies between {old[:SHOWN]} and {new[:SHOWN]}") from None

    def made_from_others(self, commit: Any) -> bool:
        """Tell whether a commit names parents, there or not; the library hides those that a shallow clone lacks."""
        header, _, _ = bytes(self.git.odb.read(commit.id)[1]).partition(b"\n\n")
        return b"\nparent " in header

    def tree(self, commit: Any, folder: str) -> "pygit2.Tree | None":
        """Give a folder at a commit; None where it is not there. A walk asks for each twice in a row."""
        key = (commit.tree_id, folder)
        if key not in self._trees:
            self._trees = {**dict(list(self._trees.items())[-3:]), key: self._tree(*key)}
        return self._trees[key]  # type: ignore[no-any-return]

    def _tree(self, tree_id: Any, folder: str) -> Any:
        found = self.read(tree_id)
        for name in folder.split("/") if folder else ():
            try:
                entry = found[name]
            except KeyError:
                return None
            if entry.type_str != "tree":
                return None
            found = self.read(entry.id)
        return found

    def blob_at(self, commit: Any, path: str) -> str | None:
        """Give the id of a file's content at a commit; None where it is not there."""
        folder, _, name = path.rpartition("/")
        tree: Any = self.tree(commit, folder)
        if tree is None or name not in tree or tree[name].type_str != "blob":
            return None
        return str(tree[name].id)

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
            import pygit2

            try:
                read = self.git.odb.read(tree.id)[1]
            except (pygit2.GitError, KeyError, OSError, ValueError):
                raise HistoryDamaged(str(tree.id)[:SHOWN]) from None
            self._listings = {**dict(list(self._listings.items())[-3:]), tree.id: read}
        return self._listings[tree.id]

    def _record_in(self, folder: bytes | None) -> str | None:
        """Give the content of the record in a folder, by their ids; None where there is no such."""
        import pygit2

        found: Any = self.read(pygit2.Oid(raw=folder)) if folder else None
        if found is None or found.type_str != "tree" or RECORD_NAME not in found:
            return None
        record = found[RECORD_NAME]
        return str(record.id) if record.type_str == "blob" else None

    def named(self, text: str) -> Any:
        """Give the commit of an id, a tag or a branch; a sentence without its stop where there is none or several."""
        import pygit2

        try:
            return self.git.revparse_single(text).peel(pygit2.Commit)
        except (pygit2.GitError, KeyError, ValueError, OSError) as error:
            return "several begin so" if "ambiguous" in str(error).lower() else "there is none of that name"

    def deltas(self, old: Any, new: Any, folder: str) -> list[Any]:
        """Give the files of a folder that differ between two commits, those that are much alike as one renamed."""
        import pygit2

        before, after = self.tree(old, folder), self.tree(new, folder)
        assert before is not None
        assert after is not None
        try:
            diff = before.diff_to_tree(after)
            diff.find_similar(rename_threshold=round(100 * ALIKE))
            return list(diff.deltas)
        except (pygit2.GitError, KeyError, OSError, ValueError):
            raise HistoryDamaged(f"a record in {str(old.id)[:SHOWN]} or {str(new.id)[:SHOWN]}") from None


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
