"""The written tree is the site; an engine is a choice. The same trees by both engines, and by the mkdocs program alone."""

import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Callable, Mapping
from dataclasses import replace
from fnmatch import fnmatch
from html.parser import HTMLParser
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.pages.engine import EngineFailed, SiteConfig, read_site_config, render_site
from asfitted.pages.engines import ENGINES
from asfitted.pages.engines.mkdocs import UNUSED
from asfitted.pages.household import household_tree
from asfitted.pages.office import office_site_tree
from asfitted.pages.tree import write_tree
from asfitted.rules.catalogue import catalogue
from tests.pages.browser import DESK, browsing, needs_chromium, watched
from tests.pages.homes import FIRM, ON, dossier, home

if TYPE_CHECKING:
    from playwright.sync_api import Browser

EDITIONS = ("household", "office")
RULES = ("smoke-clear-of-wall", "smoke-in-bedroom", "device-named")
LEFT_OUT = (*UNUSED, "assets/javascripts/lunr/**/*.js")
"""What a site of ours lacks of a plain one: files that no page loads, among them search in other languages."""
BLOCK = "import sys\nsys.modules['asfitted'] = None\n"

Site = Callable[[str, str], Path]

second = pytest.mark.skipif(
    find_spec("zensical") is None, reason="the second engine is not installed: pip install 'asfitted[second-engine]'"
)


class Article(HTMLParser):
    """What the article of a page says and where it leads."""

    def __init__(self, file: Path) -> None:
        super().__init__(convert_charrefs=True)
        self._depth = 0
        self._said: list[str] = []
        self.links: list[str] = []
        self.ids: list[str] = []
        self.feed(file.read_text(encoding="utf-8"))
        self.text = " ".join("".join(self._said).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self._depth += tag == "article"
        if self._depth:
            self.links += [address for name in ("href", "src") if (address := given.get(name))]
            self.ids += [name for name in (given.get("id"),) if name and not name.startswith("__")]

    def handle_endtag(self, tag: str) -> None:
        self._depth -= tag == "article"

    def handle_data(self, data: str) -> None:
        if self._depth:
            self._said.append(data)


def files_of(site: Path) -> dict[str, bytes]:
    return {p.relative_to(site).as_posix(): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()}


def pages_of(site: Path) -> list[str]:
    return sorted(p.relative_to(site).as_posix() for p in site.rglob("*.html"))


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Give the written tree of an edition."""
    of_all = catalogue()
    few = replace(of_all, rules={name: of_all.rules[name] for name in RULES})
    made: Mapping[str, Mapping[str, str | bytes]] = {
        "household": household_tree(dossier(home()), FIRM),
        "office": office_site_tree([dossier(home())], (), SiteConfig("Office", firm=FIRM), {}, ON, few),
    }
    folder = tmp_path_factory.mktemp("trees")
    for name, files in made.items():
        write_tree(files, folder / name)
    return lambda edition: folder / edition


@pytest.fixture(scope="module")
def site(tree: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory) -> Site:
    """Give the site of an edition by an engine, rendered once."""
    folder = tmp_path_factory.mktemp("sites")

    def made(engine: str, edition: str) -> Path:
        to = folder / engine / edition
        if not to.exists():
            to.mkdir(parents=True)
            assert render_site(tree(edition), to, ON, engine) == len(pages_of(to)) > 3
        return to

    return made


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_mkdocs_program_gives_the_same_site_where_nothing_of_ours_can_be_loaded(
    tree: Callable[[str], Path], site: Site, tmp_path: Path, edition: str
) -> None:
    (tmp_path / "sitecustomize.py").write_text(BLOCK, encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(tmp_path), "NO_MKDOCS_2_WARNING": "1"}
    assert subprocess.run(
        [sys.executable, "-c", "import asfitted"], env=env, capture_output=True, check=False
    ).returncode
    shutil.copytree(tree(edition), tmp_path / "tree")
    program = Path(sysconfig.get_path("scripts")) / "mkdocs"
    done = subprocess.run(
        [program, "build", "--strict"], cwd=tmp_path / "tree", env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    ours, plain = files_of(site("mkdocs", edition)), files_of(tmp_path / "tree/site")
    assert [name for name in ours if ours[name] != plain.get(name)] == []
    left_out = [name for name in plain if name not in ours]
    assert left_out
    assert [name for name in left_out if not any(fnmatch(name, one.replace("**/", "*")) for one in LEFT_OUT)] == []


@second
@pytest.mark.parametrize("edition", EDITIONS)
def test_the_second_engine_makes_the_same_pages_with_the_same_text_links_and_anchors(site: Site, edition: str) -> None:
    first, other = (site(engine, edition) for engine in ENGINES)
    assert pages_of(other) == pages_of(first)
    for name in pages_of(first):
        one, two = Article(first / name), Article(other / name)
        assert one.text, name
        assert two.text == one.text, name
        assert two.links == one.links, name
        assert two.ids == one.ids, name


@second
@pytest.mark.parametrize("edition", EDITIONS)
def test_the_second_engine_copies_every_drawing_calendar_style_and_script_of_ours(
    tree: Callable[[str], Path], site: Site, edition: str
) -> None:
    made, given = files_of(site("zensical", edition)), files_of(tree(edition) / "docs")
    assert [name for name in given if not name.endswith(".md") and made.get(name) != given[name]] == []
    assert "404.html" not in made
    assert "sitemap.xml" not in made


@second
@pytest.mark.parametrize(("edition", "room"), [("household", "Living room"), ("office", "Living room")])
def test_the_search_data_of_either_engine_hold_tags_and_rooms(site: Site, edition: str, room: str) -> None:
    index = json.loads((site("mkdocs", edition) / "search/search_index.json").read_text(encoding="utf-8"))
    other = json.loads((site("zensical", edition) / "search.json").read_text(encoding="utf-8"))
    for entries in (index["docs"], other["items"]):
        said = json.dumps(entries, ensure_ascii=False)
        for word in (*dossier(home()).home.devices, room):
            assert word.casefold() in said.casefold(), word


@second
def test_the_second_engine_gives_the_same_bytes_again(tree: Callable[[str], Path], site: Site, tmp_path: Path) -> None:
    (tmp_path / "again").mkdir()
    render_site(tree("household"), tmp_path / "again", ON, "zensical")
    assert files_of(tmp_path / "again") == files_of(site("zensical", "household"))
    assert [path.name for path in tmp_path.iterdir()] == ["again"]


@second
def test_a_link_that_leads_nowhere_stops_the_second_engine_with_the_reason(tmp_path: Path) -> None:
    write_tree({"mkdocs.yml": "site_name: x\n", "docs/index.md": "[x](nowhere.md)\n"}, tmp_path / "tree")
    (tmp_path / "site").mkdir()
    with pytest.raises(EngineFailed, match=r"index\.md:1:5(.|\n)*nowhere\.md(.|\n)*strict"):
        render_site(tmp_path / "tree", tmp_path / "site", ON, "zensical")
    assert list((tmp_path / "site").iterdir()) == []


def test_an_engine_that_is_not_installed_says_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("asfitted.pages.engines.zensical.find_spec", lambda _: None)
    with pytest.raises(EngineFailed, match=r"pip install 'asfitted\[second-engine\]'"):
        render_site(tmp_path, tmp_path, ON, "zensical")


def test_the_configuration_may_name_the_engine_but_no_unknown_one(tmp_path: Path) -> None:
    file = tmp_path / "mkdocs.yml"
    (tmp_path / "docs").mkdir()
    assert read_site_config(file).engine == "mkdocs"
    file.write_text("site_name: x\nextra: {engine: zensical}\n", encoding="utf-8")
    assert read_site_config(file).engine == "zensical"
    file.write_text("site_name: x\nextra: {engine: steam}\n", encoding="utf-8")
    with pytest.raises(EngineFailed, match="found steam; expected one of mkdocs, zensical"):
        read_site_config(file)


SEARCH = {
    "mkdocs": (".md-search__input", ".md-search-result__link"),
    "zensical": (".md-search__button", "[role=option]"),
}
"""What opens the search of an engine, and what a result is."""


@needs_chromium
@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("engine", ["mkdocs", pytest.param("zensical", marks=second)])
def test_search_from_disk_finds_a_tag_and_a_room_and_nothing_is_asked_of_another_host(
    site: Site, chromium: "Browser", engine: str, edition: str
) -> None:
    made = site(engine, edition)
    with browsing(chromium, DESK) as context:
        page, bad = watched(context, made)
        start = (made / {"household": "index.html", "office": "homes/index.html"}[edition]).as_uri()
        opens, result = SEARCH[engine]
        for asked in ("SA1", "living room"):
            page.goto(start)
            page.locator(opens).click()
            page.keyboard.type(asked, delay=20)
            page.locator(result).filter(has_text=re.compile(asked, re.IGNORECASE)).first.wait_for()
            page.locator(result).first.click()
            page.wait_for_url(lambda address: address != start)
        assert bad == []
