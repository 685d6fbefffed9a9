"""Sites built once for all tests of the pages, whichever process runs them, and one browser to open them in."""

import fcntl
import gc
import pickle
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.pages import office
from asfitted.pages.household import household_tree
from tests.pages.browser import CHROMIUM
from tests.pages.homes import FIRM, HALF, dossier, home, hostile_home
from tests.pages.office_site import Page, build, demo_tree, few_rules, hostile_tree, pages
from tests.pages.revisions import revisions_tree
from tests.pages.sealing import PASSPHRASE, seal

if TYPE_CHECKING:
    from playwright.sync_api import Browser

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
def demo_pages(demo_site: Path) -> dict[str, Page]:
    """Read the pages of that site; taking some hundred pages apart is for one process to do, and kept for the other."""
    kept = demo_site.with_name("pages.pickle")
    with demo_site.with_name("lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            kept.write_bytes(pickle.dumps(pages(demo_site)))
        read: dict[str, Page] = pickle.loads(kept.read_bytes())  # noqa: S301 - written by these tests
    return read


@pytest.fixture(scope="session")
def hostile_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build an office edition in which every free text is hostile, with the pages of a few rules."""

    def made() -> Tree:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(office, "rule_pages", few_rules)
            return hostile_tree()

    return _shared(tmp_path_factory, worker_id, "hostile-office", made)


@pytest.fixture(scope="session")
def revisions_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build the office edition of a firm whose records have a history, with the pages of a few rules."""

    def made() -> Tree:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(office, "rule_pages", few_rules)
            return revisions_tree(tmp_path_factory.mktemp("firm"))

    return _shared(tmp_path_factory, worker_id, "revisions-office", made)


@pytest.fixture(scope="session")
def household_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build the household edition of the ordinary home."""
    return _shared(tmp_path_factory, worker_id, "household", lambda: household_tree(dossier(home()), FIRM))


@pytest.fixture(scope="session")
def half_household_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build the household edition of a home whose work is not finished."""
    return _shared(tmp_path_factory, worker_id, "half-household", lambda: household_tree(dossier(home(HALF)), FIRM))


@pytest.fixture(scope="session")
def hostile_household_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Build the household edition of a home whose every free text is hostile."""
    return _shared(
        tmp_path_factory, worker_id, "hostile-household", lambda: household_tree(dossier(hostile_home()), FIRM)
    )


@pytest.fixture(scope="package")
def chromium() -> "Iterator[Browser]":
    """One browser for all tests; every context is a new profile that nobody used before."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-background-networking"]
        )
        yield browser
        browser.close()
    with warnings.catch_warnings():  # Playwright leaves its event loop's sockets to the garbage collector
        warnings.simplefilter("ignore", ResourceWarning)
        gc.collect()


@pytest.fixture(scope="session")
def sealed_file(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """Seal the ordinary home once, with the command."""
    base = tmp_path_factory.getbasetemp()
    folder = (base if worker_id == "master" else base.parent) / "sealed-edition"
    folder.mkdir(exist_ok=True)
    file = folder / "out" / "sealed.html"
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not file.exists():
            done = seal(folder, to=file)
            assert done.exit_code == 0, done.output
            assert PASSPHRASE not in done.output
    return file


@pytest.fixture
def some_rule_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """Write the pages of a few rules only, where a test is about something else."""
    monkeypatch.setattr(office, "rule_pages", few_rules)
