"""The plugin for MkDocs: found by its name, its options looked at, and a saved record shown again in the same server."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.metadata import entry_points
from pathlib import Path
from urllib.request import urlopen

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError
from mkdocs.structure.pages import Page

from asfitted.fleet import kept_pages
from asfitted.fleet.plugin import AsfittedPlugin
from asfitted.pages.engine import EngineFailed, read_site_config
from tests.conftest import GOOD

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/plugin.md").read_text(encoding="utf-8")
EXAMPLE = next(iter(re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)))
"""The configuration that the handbook shows."""
SERVER = """
import sys
from itertools import islice
from asfitted.cli import main
from asfitted.pages import office
every = office.rule_pages
office.rule_pages = lambda *given: islice(every(*given), 1)
main(sys.argv[1:])
"""
"""The command as it is, with the page of one rule only."""


@pytest.fixture
def firm(tmp_path: Path) -> Path:
    """Give a folder with a home, a page of the firm's own and the configuration of the handbook."""
    for name, text in {"homes/one/record.yml": GOOD, "docs/index.md": "# Our firm\n", "mkdocs.yml": EXAMPLE}.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def with_options(firm: Path, options: str) -> Path:
    file = firm / "mkdocs.yml"
    changed = re.sub(r"^  - asfitted.*?(?=^\S)", f"  - asfitted:\n{options}", EXAMPLE, flags=re.DOTALL | re.MULTILINE)
    assert changed != EXAMPLE
    file.write_text(changed, encoding="utf-8")
    return file


def loaded(firm: Path) -> MkDocsConfig:
    return load_config(str(firm / "mkdocs.yml"), site_dir=str(firm / "site"))


def files_of(site: Path) -> dict[str, bytes]:
    return {p.relative_to(site).as_posix(): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()}


def test_mkdocs_finds_the_plugin_by_its_name() -> None:
    (found,) = entry_points(group="mkdocs.plugins", name="asfitted")
    assert found.load() is AsfittedPlugin


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ("      homs: houses\n", r"option 'homs': there is no such option; expected one of homes, day\. Did you mean homes\?"),
        ("      homes: [a]\n", r"option 'homes': found \['a'\]; expected the name of a folder"),
        ("      homes: ''\n", r"option 'homes': found ''; expected the name of a folder"),
        ("      day: soon\n", r"option 'day': found 'soon'; expected a day such as 2026-11-25"),
        ("      day: 2026-11-25 10:00:00\n", r"option 'day': found .*; expected a day such as 2026-11-25"),
        ("      day: 2026-02-30\n", r"day is out of range"),
    ],
)  # fmt: skip
def test_an_option_that_is_wrong_is_told_in_a_sentence(firm: Path, options: str, said: str) -> None:
    with pytest.raises(EngineFailed, match=said):
        read_site_config(with_options(firm, options))


def test_a_day_may_be_text(firm: Path) -> None:
    with_options(firm, "      day: '2026-11-25'\n")
    plugin = loaded(firm).plugins["asfitted"]
    assert isinstance(plugin, AsfittedPlugin)
    assert plugin.config.day is not None
    assert plugin.config.day.isoformat() == "2026-11-25"


def test_homes_that_are_not_there_stop_the_build_with_what_to_do(firm: Path) -> None:
    with_options(firm, "      homes: houses\n")
    with pytest.raises(ConfigurationError, match="found houses, which is no folder; make it, or name the folder"):
        build(loaded(firm))


def test_an_unknown_engine_stops_the_plugin_with_the_choice(firm: Path, caplog: pytest.LogCaptureFixture) -> None:
    (firm / "mkdocs.yml").write_text(f"{EXAMPLE}extra: {{engine: steam}}\n", encoding="utf-8")
    with pytest.raises(Abort):
        build(loaded(firm))
    assert "found steam; expected one of mkdocs, zensical" in caplog.text


def test_pages_kept_from_the_build_before_are_those_that_a_new_build_makes(
    firm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "0")
    rendered: list[str] = []
    keep = kept_pages.KeptPages.markdown

    def told(self: kept_pages.KeptPages, markdown: str, page: Page) -> str:
        given = keep(self, markdown, page)
        rendered.extend([page.file.src_uri] if given else [])
        return given

    monkeypatch.setattr(kept_pages.KeptPages, "markdown", told)
    file = with_options(firm, "      day: 2026-11-25\n")
    plain = re.sub(r"name: material\n  font: false", "name: mkdocs", file.read_text(encoding="utf-8"))
    file.write_text(plain.replace("  - offline\n", ""), encoding="utf-8")  # a theme that is quicker
    config = loaded(firm)
    config.plugins.on_startup(command="serve", dirty=False)
    build(config)
    first, everything = files_of(firm / "site"), len(rendered)

    rendered.clear()
    build(loaded(firm))
    assert rendered == []
    assert files_of(firm / "site") == first

    record = firm / "homes/one/record.yml"
    record.write_text(GOOD.replace("Cabin with one room", "Hut by the lake"), encoding="utf-8")
    build(loaded(firm))
    kept = files_of(firm / "site")
    assert 0 < len(rendered) < everything
    assert b"Hut by the lake" in kept["homes/one/index.html"]
    rendered.clear()
    (firm / "docs/index.md").write_text("# Another firm\n", encoding="utf-8")  # it stands in every page's navigation
    build(loaded(firm))
    assert len(rendered) == everything


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port: int = asked.getsockname()[1]
        return port


@contextmanager
def served(firm: Path) -> Iterator[Callable[[str], str]]:
    """Serve a firm's folder by the command, on this machine only; give a function that reads a page."""
    address = f"127.0.0.1:{free_port()}"
    log = (firm / "log").open("w+", encoding="utf-8")
    server = subprocess.Popen(
        [sys.executable, "-c", SERVER, "serve", "--at", address],
        cwd=firm, env={**os.environ, "PYTHONWARNINGS": "ignore"}, stdout=log, stderr=log,
    )  # fmt: skip

    def read(page: str) -> str:
        assert server.poll() is None, (firm / "log").read_text(encoding="utf-8")
        try:
            with urlopen(f"http://{address}/{page}", timeout=60) as answer:
                text: str = answer.read().decode()
                return text
        except OSError:  # not listening yet
            return ""

    try:
        yield read
    finally:
        server.send_signal(signal.SIGINT)
        code = server.wait(30)
        log.close()
    assert code == 0, (firm / "log").read_text(encoding="utf-8")


def waited(said: Callable[[], bool], seconds: float = 60) -> None:
    """Wait until something is so; machines that test are slow, and a quick one does not wait."""
    end = time.monotonic() + seconds
    while not said():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.1)


def test_a_saved_record_and_a_saved_rule_set_are_shown_again_by_the_running_server(firm: Path) -> None:
    with served(firm) as read:
        waited(lambda: "Cabin with one room" in read("homes/one/index.html"))
        record = firm / "homes/one/record.yml"
        record.write_text(GOOD.replace("Cabin with one room", "Hut by the lake"), encoding="utf-8")
        waited(lambda: "Hut by the lake" in read("homes/one/index.html"))
        record.write_text(GOOD.replace("kind: smoke alarm", "knid: smoke alarm"), encoding="utf-8")
        own = firm / "homes/rule-sets/lakeside.toml"
        own.parent.mkdir()
        own.write_text('title = "Lakeside homes"\nabout = "Ours."\nextends = "common"\n', encoding="utf-8")
        waited(lambda: "Lakeside homes" in read("rules/sets.html"))
        waited(lambda: "Did you mean kind?" in read("homes/index.html"))
