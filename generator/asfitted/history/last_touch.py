"""The last commit that touched each record: one walk back through history for all of them."""

import heapq
from collections.abc import Callable, Collection, Iterable
from itertools import count
from pathlib import Path
from typing import Any

from asfitted.history.objects import unverified
from asfitted.history.repository import Repository
from asfitted.history.revision import HistoryDamaged, Revision
from asfitted.record.reader import RECORD_NAME

_Changed = Callable[[Any, Any], Collection[str]]
"""The records that differ between a commit, or nothing where it is None, and a later one, by name."""


def revision_of(file: Path) -> Revision:
    """Give the revision of a record on disk; none without git, without a repository, without a commit."""
    repository = Repository.around(file.parent)
    path = repository.path_of(file) if repository else None
    if repository is None or path is None:
        return Revision()
    homes, _, name = path.rpartition("/")[0].rpartition("/")
    return _all(repository, homes, {name or path: (path, file)}).get(name or path, Revision())


def revisions_of(homes: Path, names: Iterable[str]) -> dict[str, Revision]:
    """Give the revision of the record of each home of a folder, as :func:`revision_of` does, in one walk for all.

    Args:
        homes: the folder on disk.
        names: the homes.
    """
    files = {name: homes / name / RECORD_NAME for name in names}
    repository, whole = Repository.around(homes), homes.resolve()
    inside = repository.path_of(homes) if repository else None
    if repository is None or inside is None:
        return {name: revision_of(file) for name, file in files.items()}
    alike = {
        name: (f"{inside}/{name}/{RECORD_NAME}".lstrip("/"), file)
        for name, file in files.items()
        if file.resolve() == whole / name / RECORD_NAME and not (whole / name / ".git").exists()
    }
    found = _all(repository, inside, alike)
    return {
        name: found.get(name, Revision()) if name in alike else revision_of(file)  # a link, or a repository of its own
        for name, file in files.items()
    }


def _all(repository: Repository, homes: str, files: dict[str, tuple[str, Path]]) -> dict[str, Revision]:
    """Give the revisions of records of one folder of homes by their names, each with its path in git and its file."""

    def changed(old: Any, new: Any) -> Collection[str]:
        if RECORD_NAME not in files:
            return repository.records_changed(old, new, homes)
        before = repository.blob_at(old, RECORD_NAME) if old else None  # the home is the whole of its repository
        return {RECORD_NAME} if before != repository.blob_at(new, RECORD_NAME) else ()

    try:
        with unverified():
            last = _walk(repository, set(files), changed)
        commits = {found: repository.commit(found) for found in set(last.values())}
        return {
            name: Revision(last_one.short, last_one.day, repository.differs(*files[name]), at=last_one.at)
            for name, last_one in ((name, commits[found]) for name, found in last.items())
        }
    except HistoryDamaged:
        return dict.fromkeys(files, Revision(unknown=True))


def _walk(repository: Repository, names: set[str], changed: _Changed) -> dict[str, str]:
    """Walk back, latest commit first, until the last commit that touched each record is found.

    A merge counts only for a record that differs from that of every parent. Where it is that of one parent, the history
    of that parent alone is followed, as ``git log`` does.
    """
    found: dict[str, str] = {}
    queue: list[tuple[int, int, Any]] = []
    waiting: dict[Any, set[str]] = {}
    number = count()

    def wait(commit: Any, more: set[str]) -> None:
        """Let records wait for a commit to be looked at; the set is kept, not copied."""
        if commit.id in waiting:
            waiting[commit.id].update(more)
        elif more:
            heapq.heappush(queue, (-commit.commit_time, next(number), commit))
            waiting[commit.id] = more

    if repository.head is not None:
        head = repository.read(repository.head)
        wait(head, names.intersection(changed(None, head)))
    while queue:
        _, _, commit = heapq.heappop(queue)
        left = waiting.pop(commit.id)
        for parent in repository.parents(commit):
            other = left.intersection(changed(parent, commit))
            left -= other
            wait(parent, left)
            left = other
        found |= dict.fromkeys(left, str(commit.id))
    return found
