"""The last commit that touched each record: one walk back through history for all of them."""

import heapq
from functools import lru_cache
from itertools import count
from pathlib import Path
from typing import Any

from asfitted.history.repository import Repository, unverified
from asfitted.history.revision import Revision
from asfitted.record.reader import RECORD_NAME


def revision_of(file: Path) -> Revision:
    """Give the revision of a record on disk; none without git, without a repository, without a commit."""
    repository = Repository.around(file.parent)
    path = repository.path_of(file) if repository else None
    if repository is None or path is None:
        return Revision()
    folder, name = _split(path)
    found = _walk(str(repository.git.path), repository.head or "", folder).last(name)
    if found is None:
        return Revision()
    commit = repository.commit(found)
    return Revision(commit.short, commit.day, repository.differs(path, file))


class _Walk:
    """One walk back through history that all records of a folder share; it goes as far as it is asked to."""

    def __init__(self, git_folder: str, head: str, folder: str) -> None:
        repository = Repository.around(Path(git_folder))
        assert repository is not None
        self.repository = repository
        self.folder = folder
        self.found: dict[str, str] = {}
        self.queue: list[tuple[int, int, Any]] = []
        self.waiting: dict[Any, set[str]] = {}
        self.number = count(1)
        if head:
            commit: Any = self.repository.git[head]
            tree: Any = self.repository.tree(commit, folder)
            names = {f"{entry.name}/{RECORD_NAME}" for entry in tree or () if entry.type_str == "tree"}
            self._wait(commit, {name for name in names | {RECORD_NAME} if self._there(commit, name)})

    def last(self, name: str) -> str | None:
        """Give the last commit that touched a record; None where it is not committed."""
        with unverified():
            while name not in self.found and self.queue:
                self._step()
        return self.found.get(name)

    def _there(self, commit: Any, name: str) -> bool:
        return self.repository.blob_at(commit, f"{self.folder}/{name}".lstrip("/")) is not None

    def _wait(self, commit: Any, names: set[str]) -> None:
        """Let records wait for a commit to be looked at; the set is kept, not copied."""
        if not names:
            return
        if commit.id in self.waiting:
            self.waiting[commit.id].update(names)
        else:
            heapq.heappush(self.queue, (-commit.commit_time, next(self.number), commit))
            self.waiting[commit.id] = names

    def _step(self) -> None:
        _, _, commit = heapq.heappop(self.queue)
        names = self.waiting.pop(commit.id)
        for parent in self.repository.parents(commit):
            other = self._other(parent, commit, names)
            names.difference_update(other)
            self._wait(parent, names)
            names = other
        self.found |= dict.fromkeys(names, str(commit.id))

    def _other(self, parent: Any, commit: Any, names: set[str]) -> set[str]:
        """Give those of the records that are not the same in a parent."""
        before: Any = self.repository.tree(parent, self.folder)
        after: Any = self.repository.tree(commit, self.folder)
        if before is None:
            return set(names)
        if before.id == after.id:
            return set()
        return {path for delta in before.diff_to_tree(after).deltas if (path := str(delta.new_file.path)) in names}


@lru_cache(maxsize=4)
def _walk(git_folder: str, head: str, folder: str) -> _Walk:
    return _Walk(git_folder, head, folder)


def _split(path: str) -> tuple[str, str]:
    """Part the path of a record into the folder of homes, and the rest."""
    parts = path.split("/")
    return "/".join(parts[:-2]), "/".join(parts[-2:])
