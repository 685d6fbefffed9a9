"""Repositories for the tests, written with the git library; the git program is asked the same questions."""

import subprocess
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import pygit2


class Repo:
    """A repository that a test writes revision by revision. A text of None takes a home away."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.git = pygit2.init_repository(root, initial_head="main")
        self.homes = root / "homes"
        self.homes.mkdir()

    def write(self, records: Mapping[str, str | None]) -> None:
        """Write records in the working copy."""
        for name, written in records.items():
            file = self.homes / name / "record.yml"
            if written is None:
                file.unlink()
                file.parent.rmdir()
            else:
                file.parent.mkdir(exist_ok=True)
                file.write_text(written, encoding="utf-8")

    def commit(
        self,
        records: Mapping[str, str | None],
        day: str = "2026-01-01",
        *,
        author: str = "technician 1",
        subject: str = "Record",
        parents: list[str] | None = None,
        written: str | None = None,
        signature: str = "",
    ) -> str:
        """Write records and commit them on the day named; give the id."""
        self.write(records)
        index = self.git.index
        index.read()
        index.add_all()
        index.write()
        tree = index.write_tree()
        unborn = self.git.head_is_unborn
        parents = parents if parents is not None else ([] if unborn else [str(self.git.head.target)])
        by = pygit2.Signature(author, "a@firm.example", _seconds(written or day), 0)
        committer = pygit2.Signature("office", "o@firm.example", _seconds(day), 0)
        if signature:
            text = self.git.create_commit_string(by, committer, subject, tree, [*parents])
            made = self.git.create_commit_with_signature(str(text), signature, "gpgsig")
            name = "refs/heads/main" if unborn else self.git.head.name
            self.git.references.create(name, made, force=True)
            return str(made)
        ref = "HEAD" if [*parents[:1]] == ([] if unborn else [str(self.git.head.target)]) else None
        return str(self.git.create_commit(ref, by, committer, subject, tree, parents))

    def branch(self, name: str, commit: str) -> None:
        """Start a branch at a commit and check it out."""
        if name not in self.git.branches.local:
            self.git.branches.local.create(name, self.git[commit].peel(pygit2.Commit))
        self.git.checkout(f"refs/heads/{name}", strategy=pygit2.enums.CheckoutStrategy.FORCE)

    def ask(self, *arguments: str) -> list[str]:
        """Ask the git program, and give its lines."""
        done = subprocess.run(["git", *arguments], cwd=self.root, capture_output=True, text=True, check=True)
        return done.stdout.splitlines()


def _seconds(day: str) -> int:
    return int(datetime.fromisoformat(day if "T" in day else f"{day}T12:00:00").replace(tzinfo=UTC).timestamp())
