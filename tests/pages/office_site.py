"""The office edition for tests: the demo homes, one home whose every free text is hostile, and sites built of them."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from asfitted.fleet.load import home_ids, load_catalogue, load_home
from asfitted.model.home import Household, Pet, Variation
from asfitted.model.visit import Test
from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import SiteConfig, read_site_config
from asfitted.pages.office import Unreadable, office_site_tree
from asfitted.pages.tree import write_tree
from asfitted.pages.views.office_rules import rule_pages
from asfitted.rules.catalogue import Catalogue, catalogue
from asfitted.rules.judge import judge
from asfitted.rules.own import own_sets
from asfitted.rules.rule_set import rule_set
from tests.pages.homes import HOSTILE, dossier, hostile_home

ROOT = Path(__file__).parents[2]
ON = date(2026, 11, 15)


@cache
def demo() -> tuple[Dossier, ...]:
    homes = ROOT / "homes"
    loaded = [load_home(homes / name, ON) for name in home_ids(homes)]
    assert all(home.dossier for home in loaded), [t.sentence for home in loaded for t in home.troubles]
    return tuple(home.dossier for home in loaded if home.dossier)


@cache
def config() -> SiteConfig:
    return read_site_config(ROOT / "mkdocs.yml")


def handbook() -> dict[str, bytes]:
    docs = ROOT / "docs"
    return {path.relative_to(docs).as_posix(): path.read_bytes() for path in sorted(docs.rglob("*")) if path.is_file()}


def few_rules(rules: Catalogue, settled: Any, dossiers: Any) -> Iterator[Any]:
    """Give the pages of some rules only: all have tests of their own, and writing them takes longer than the rest."""
    some = {OWN_RULE, "smoke-clear-of-wall", "smoke-in-bedroom", "device-named"}
    kept = {name: rule for name, rule in rules.rules.items() if name in some}
    return rule_pages(replace(rules, rules=kept), settled, dossiers)


def demo_tree(homes: tuple[Dossier, ...] | None = None) -> dict[str, str | bytes]:
    rules, troubles = load_catalogue(ROOT / "homes")
    assert not troubles, [trouble.sentence for trouble in troubles]
    return office_site_tree(homes or demo(), (), config(), handbook(), ON, rules)


def hostile_dossier() -> Dossier:
    plain = hostile_home()
    told = [
        visit.model_copy(
            update={"not_tested": tuple(item.model_copy(update={"told": HOSTILE}) for item in visit.not_tested)}
        )
        for visit in plain.visits
    ]
    gone = Test(button="silent").model_copy(update={"note": HOSTILE})
    visits = (*told, plain.visits[-1].model_copy(update={"kind": "removal", "tests": {"XX9": gone}}))
    home = plain.model_copy(
        update={
            "visits": visits,
            "household": Household(pets=(Pet(kind="cat", mass=4.0).model_copy(update={"kind": HOSTILE}),)),
            "variations": (
                Variation(rule="smoke-in-bedroom", room="bedroom", why="w", agreed="a", on="2026-01-02").model_copy(
                    update={"why": HOSTILE, "agreed": HOSTILE}
                ),
            ),
        }
    )
    made = dossier(home)
    return Dossier(
        made.id,
        home,
        made.dwelling,
        judge(home, made.dwelling, made.on, made.rules),
        made.tasks,
        made.revision,
        made.on,
        made.rules,
    )


OWN_RULE = "heat-clear-of-everything"
_QUOTED = json.dumps(HOSTILE)
HOSTILE_SET = f"""
title = {_QUOTED}
about = {_QUOTED}
note = {_QUOTED}
extends = "common"
[rules.{OWN_RULE}]
family = "fire"
title = {_QUOTED}
says = {json.dumps(HOSTILE.translate(dict.fromkeys(map(ord, "{}"))) + " {limit}")}
why = {_QUOTED}
measured = {_QUOTED}
remedy = {_QUOTED}
plain = {_QUOTED}
applies-to = ["smoke alarm"]
unit = "m"
check = "clear-of"
options = {{of = "walls", thing = {_QUOTED}}}
[limits.{OWN_RULE}]
least = 0.4
source = {_QUOTED}
clause = {_QUOTED}
printed = {_QUOTED}
note = {_QUOTED}
status = "read"
severity = "advice"
"""
"""A rule set of a firm whose every text is hostile."""


def hostile_rules() -> Catalogue:
    rules, troubles = own_sets({Path("rule-sets/hostile.toml"): HOSTILE_SET.encode()}, catalogue())
    assert not troubles, [trouble.sentence for trouble in troubles]
    return rules


def hostile_tree() -> dict[str, str | bytes]:
    home = hostile_dossier()
    twin = Dossier("a b&<i>", home.home, home.dwelling, home.findings, home.tasks, home.revision, home.on, home.rules)
    unread = (Unreadable(HOSTILE, (HOSTILE, "homes/x/record.yml:1:1: found <script>alert(9)</script>")),)
    asked = rule_set(hostile_rules(), "hostile")
    twin = replace(twin, rules=asked, findings=judge(twin.home, twin.dwelling, twin.on, asked))
    return office_site_tree([home, twin], unread, SiteConfig(HOSTILE), {}, home.on, hostile_rules(), unread)


def mkdocs(folder: Path, site: Path) -> Path:
    """Build the site of a folder by the engine's own command."""
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "-f", str(folder / "mkdocs.yml"), "-d", str(site)],
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return site


def build(tree: dict[str, str | bytes], folder: Path) -> Path:
    write_tree(tree, folder / "tree")
    return mkdocs(folder / "tree", folder / "site")


class Page(HTMLParser):
    """What a built page holds: its elements with their attributes, its addresses, its ids and its text."""

    def __init__(self, file: Path) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.addresses: list[str] = []
        self.ids: list[str] = []
        self.text = ""
        self.feed(file.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.elements.append((tag, given))
        self.addresses += [
            given[name] for name in ("href", "src", "action", "data", "poster", "xlink:href") if name in given
        ]
        self.ids += [given["id"]] if given.get("id") else []

    def handle_data(self, data: str) -> None:
        self.text += data


def pages(site: Path) -> dict[str, Page]:
    return {file.relative_to(site).as_posix(): Page(file) for file in sorted(site.rglob("*.html"))}
