"""Every kind of page of both editions against the rules of access that a program can try: WCAG 2.2, level AA."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from asfitted.rules.finding import Verdict
from tests.conftest import THOROUGH
from tests.pages.browser import DESK, PHONE, browsing, in_chromium, watched
from tests.pages.office_site import demo, handbook

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = in_chromium
HOME = next(dossier.id for dossier in demo() if dossier.count(Verdict.FAILS))
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""The rules of axe-core that WCAG 2.2 asks for up to level AA, and what its makers advise beside them."""
SCREENS = {
    "phone light": (PHONE, "light"),
    "desk dark": (DESK, "dark"),
    "phone dark": (PHONE, "dark"),
    "desk light": (DESK, "light"),
}
SOME = {
    "desk dark": {
        "index",
        "how-to",
        "homes/*/index",
        "homes/*/findings",
        "homes/*/history",
        "homes/*/evidence",
        "rules/*",
    },
    "phone dark": {"sounds", "homes/*/sheets/commissioning"},
    "desk light": {"devices", "visits-ahead"},
}
"""Kinds of pages that between them have every colour, for the screens on which a run of minutes does not try all."""
FEW = """() => {
    const count = {}, parts = 'main section, main .about, main .finding, main .short';
    const many = parts + ', main li, main tr, main details, main dl > div, svg.drawing *';
    const look = one => one?.tagName + '.' + one?.getAttribute('class');
    for (const one of document.querySelectorAll(many)) {
        let like = '';
        for (let each = one; each && each.tagName !== 'MAIN'; each = each.parentElement) like += look(each) + ' ';
        count[like] = (count[like] ?? 0) + 1;
        const goes = one.matches(parts) || look(one.previousElementSibling) === look(one) && !one.closest('defs');
        if (count[like] > 2 && goes) one.remove();
    }
}"""
"""Leaves a few of what stands on a page by the dozen, and one line in each list; they are made alike."""


@pytest.fixture(scope="module")
def sites(demo_site: Path, revisions_site: Path, household_site: Path, half_household_site: Path) -> dict[str, Path]:
    return {
        "office": demo_site,
        "office with revisions": revisions_site,
        "household": household_site,
        "household half-finished": half_household_site,
    }


def kind_of(page: str, *, office: bool) -> str:
    """Give the kind of a page by its address: one stands for all that a template makes."""
    kind = re.sub(r"^homes/(?!index$)[^/]+/", "homes/*/", page)
    kind = re.sub(r"(?<=/history/)[^/]+$|(?<=^rooms/)[^/]+$|(?<=^rules/)(?!sets$)[^/]+$", "*", kind)
    if THOROUGH:
        return kind
    return "handbook" if office and f"{page}.md" in handbook() else re.sub(r"(?<=/calculations/)[^/]+$", "*", kind)


def kinds(site: Path) -> dict[str, str]:
    """Give for each kind of page of a site the address of one."""
    found: dict[str, str] = {}
    pages = sorted(file.relative_to(site).with_suffix("").as_posix() for file in site.rglob("*.html"))
    for page in sorted(pages, key=lambda page: f"/{HOME}/" not in page):
        found.setdefault(kind_of(page, office=(site / "homes").is_dir()), page)
    return found


READY = """() => {
    document.querySelectorAll('main details').forEach(part => part.open = true);
    document.querySelectorAll('.plans input').forEach(box => box.checked || box.click());
}"""
"""Opens what is folded away, and switches every layer of the plans on."""


def faults(page: "Page", **options: Any) -> list[tuple[str, list[str]]]:
    """Let axe-core look at a page, and give the rules broken, with where."""
    from axe_playwright_python.sync_playwright import Axe

    given = {
        "runOnly": TAGS, "rules": {"target-size": {"enabled": True}}, "resultTypes": ["violations"], "preload": False
    }  # fmt: skip
    found = Axe().run(page, options={**given, **options}).response["violations"]
    return [(fault["id"], [node["html"][:200] for node in fault["nodes"]]) for fault in found]


@pytest.mark.parametrize("edition", ["office", "office with revisions", "household", "household half-finished"])
@pytest.mark.parametrize("screen", SCREENS)
def test_every_kind_of_page_opens_without_error_foreign_request_sideways_scroll_or_broken_rule_of_access(
    sites: dict[str, Path], chromium: "Browser", edition: str, screen: str
) -> None:
    size, scheme = SCREENS[screen]
    found = kinds(sites[edition])
    revised = {kind for kind in found if "history" in kind or kind in ("changes", "variations")}
    if edition.startswith("office"):
        found = {kind: page for kind, page in found.items() if (kind in revised) == (edition != "office")}
    if not THOROUGH:
        found = {kind: page for kind, page in found.items() if kind in SOME.get(screen, found)}
    with browsing(chromium, size, scheme) as context:
        page, bad = watched(context, sites[edition])
        for name in found.values():
            page.goto((sites[edition] / f"{name}.html").as_uri())
            page.evaluate(READY)
            assert page.evaluate("document.documentElement.scrollWidth") <= size["width"], name
            assert page.evaluate("document.body.dataset.mdColorScheme") == {"light": "default", "dark": "slate"}[scheme]
            if not THOROUGH:
                page.evaluate(FEW)
            assert faults(page) == [], name
        assert bad == []


STOP = """() => {
    const one = document.activeElement;
    if (!one || one === document.body) return null;
    const ring = of => of && getComputedStyle(of).outlineStyle !== 'none' && parseFloat(getComputedStyle(of).outlineWidth) > 0;
    const touch = one.querySelector('.d-touch');
    const shows = ring(one) || ring(one.closest('label')) || touch && getComputedStyle(touch).stroke !== 'none';
    const seen = one.matches('.md-option') ? one.parentElement.querySelector('label:not([hidden])') : one;
    const box = seen.getBoundingClientRect();
    const inside = box.width > 0 && box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
    one.dataset.reached = 'yes';
    return [one.outerHTML.slice(0, 120), Boolean(shows), inside];
}"""
"""Gives what the keyboard is at, whether a ring shows it, and whether it is on the screen. The theme's switch of colours
shows by its label."""
MISSED = """() => [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
    .filter(one => one.checkVisibility({visibilityProperty: true}) && !one.dataset.reached && one.tabIndex >= 0)
    .filter(one => { const box = one.getBoundingClientRect(); return box.width > 0 && box.right > 0 && box.left < innerWidth })
    .map(one => one.outerHTML.slice(0, 120))"""
SMALL = """() => [...document.querySelectorAll('main :is(a[href], button, input, select, summary), .md-header :is(a, label, button)')]
    .filter(one => one.checkVisibility({visibilityProperty: true}) && one.getAttribute('tabindex') !== '-1')
    .filter(one => !one.closest('p, li, dd, dt, td, th, figcaption, blockquote') || one.matches('input, button, summary, select'))
    .map(one => [one.outerHTML.slice(0, 120), (one.closest('label') ?? one).getBoundingClientRect()])
    .filter(([, box]) => box.width > 0 && Math.min(box.width, box.height) < 24).map(([name]) => name)"""
"""Gives targets under 24 px, those within a sentence or a line of text left out: WCAG 2.2, success criterion 2.5.8."""


@pytest.mark.parametrize(
    ("edition", "name", "size"),
    [
        ("household", "index", PHONE),
        ("office", f"homes/{HOME}/index", DESK),
        ("office", f"homes/{HOME}/sheets/commissioning", PHONE),
        ("office", "homes/index", PHONE),
    ],
)
def test_the_keyboard_reaches_everything_in_turn_and_shows_where_it_is(
    sites: dict[str, Path], chromium: "Browser", edition: str, name: str, size: dict[str, int]
) -> None:
    with browsing(chromium, size, reduced_motion="reduce") as context:
        page, bad = watched(context, sites[edition])
        page.goto((sites[edition] / f"{name}.html").as_uri())
        assert page.evaluate(SMALL) == []
        stops: list[tuple[str, bool, bool]] = []
        while len(stops) < 300:
            page.keyboard.press("Tab")
            stop = page.evaluate(STOP)
            if stop is None:
                break
            stops.append(stop)
        assert 20 < len(stops) < 300
        assert [what for what, shows, inside in stops if not (shows and inside)] == []
        assert page.evaluate(MISSED) == []
        page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
        page.reload()
        page.keyboard.press("Tab")
        skip = page.locator(".md-skip")
        assert skip.evaluate("link => link === document.activeElement")
        page.keyboard.press("Enter")
        target = page.locator("main h1").bounding_box()
        assert target
        assert 0 <= target["y"] < size["height"]
        page.keyboard.press("Tab")
        assert page.evaluate("Boolean(document.activeElement.closest('main'))")
        assert bad == []


@pytest.mark.parametrize(("edition", "name"), [("household", "index"), ("office", "rules")])
def test_nothing_moves_for_who_wants_no_motion_and_paper_has_no_menus(
    sites: dict[str, Path], chromium: "Browser", edition: str, name: str
) -> None:
    longest = """() => Math.max(...[...document.querySelectorAll('*')].flatMap(one => [null, '::before', '::after'].flatMap(
        part => ['transitionDuration', 'animationDuration'].flatMap(
            what => getComputedStyle(one, part)[what].split(', ').map(parseFloat)))))"""
    with browsing(chromium, DESK, reduced_motion="reduce") as context:
        page, _ = watched(context, sites[edition])
        page.goto((sites[edition] / f"{name}.html").as_uri())
        page.evaluate(FEW)
        assert page.evaluate(longest) <= 0.001
        page.emulate_media(media="print")
        for part in (
            ".md-header",
            ".md-sidebar >> nth=0",
            ".md-sidebar >> nth=1",
            ".md-footer__inner",
            ".only >> nth=0",
        ):
            assert page.locator(part).is_hidden() or page.locator(part).count() == 0, part
        assert page.locator("main h1").is_visible()
        assert faults(page, runOnly=["color-contrast"]) == []  # links too


def test_with_the_colours_of_the_system_what_is_chosen_and_every_verdict_is_still_told(
    sites: dict[str, Path], chromium: "Browser"
) -> None:
    edges = "all => all.map(one => getComputedStyle(one).borderBottomColor + getComputedStyle(one).borderBottomWidth)"
    with browsing(chromium, DESK, forced_colors="active") as context:
        page, _ = watched(context, sites["office"])
        page.goto((sites["office"] / f"homes/{HOME}/findings.html").as_uri())
        page.evaluate(FEW)
        for links in (".home-nav li a", ".only >> nth=0 >> a"):
            chosen = page.locator(links).and_(page.locator("[aria-current]")).evaluate_all(edges)
            others = page.locator(links).and_(page.locator(":not([aria-current])")).evaluate_all(edges)
            assert len(chosen) == 1, links
            assert chosen[0] not in others, links
        told = set(page.locator(".finding__verdict").all_inner_texts())
        assert {"does not conform", "not verified", "conforms"} <= {" ".join(words.split()) for words in told}
