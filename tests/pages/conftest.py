"""Office sites built once for all tests of the pages, whichever process runs them."""

import fcntl
from collections.abc import Callable
from pathlib import Path

import pytest

from asfitted.pages import office
from tests.pages.office_site import build, demo_tree, few_rules, hostile_tree

Tree = dict[str, str | bytes]


def _shared(factory: pytest.TempPathFactory, worker_id: str, name: str, make: Callable[[], Tree]) -> Path:
    base = factory.getbasetemp()
    folder = (base if worker_id == "master" else base.parent) / name
    folder.mkdir(exist_ok=True)
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        done = folder / "done"
        if not done.exists():
            build(make(), folder)
            done.touch()
    return folder / "site"


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build the office edition of the demo homes by the plain engine."""
    return _shared(tmp_path_factory, worker_id, "demo-office", demo_tree)


@pytest.fixture(scope="session")
def hostile_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build an office edition in which every free text is hostile, with the pages of a few rules."""

    def made() -> Tree:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(office, "rule_pages", few_rules)
            return hostile_tree()

    return _shared(tmp_path_factory, worker_id, "hostile-office", made)


@pytest.fixture
def some_rule_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """Write the pages of a few rules only, where a test is about something else."""
    monkeypatch.setattr(office, "rule_pages", few_rules)
