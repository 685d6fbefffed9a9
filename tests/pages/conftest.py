"""The office site of the demo homes, built once for all tests of the pages."""

import fcntl
from pathlib import Path

import pytest

from tests.pages.office_site import build, demo_tree


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build the office edition of the demo homes by the plain engine, once for all processes that run tests."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent
    with (shared / "demo-office.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        done = shared / "demo-office.done"
        if not done.exists():
            (shared / "demo-office").mkdir()
            made = build(demo_tree(), shared / "demo-office")
            done.write_text(str(made), encoding="utf-8")
        return Path(done.read_text(encoding="utf-8"))
