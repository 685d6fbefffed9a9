"""The office edition as a tree and as a site built by the plain engine."""

import posixpath
import re
import shutil
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar
from mkdocs.commands.build import build as engine_build
from mkdocs.config import load_config
from mkdocs.structure.files import Files

from asfitted.fleet.load import load_catalogue
from asfitted.model import building, ceiling, device, home, photo, visit, walk
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.engine import SiteConfig
from asfitted.pages.office import SCRIPTS, STYLES, Unreadable, office_site_tree, office_tree
from asfitted.pages.views.office_board import visits_ahead
from asfitted.pages.views.office_due import due_months
from asfitted.pages.views.office_findings import findings_by_room
from asfitted.pages.views.office_homes import LOOKS, folder, home_rows
from asfitted.pages.views.office_record import examples, record_parts
from asfitted.pages.views.office_short import shortfalls
from asfitted.pages.views.office_visits import evidence, variation_views, visit_views
from asfitted.rules.finding import Verdict
from asfitted.rules.judge import judge
from tests.pages.homes import HOSTILE, RECORD, dossier
from tests.pages.homes import home as home_of
from tests.pages.office_site import (
    ON,
    OWN_RULE,
    ROOT,
    Page,
    build,
    config,
    demo,
    demo_tree,
    pages,
)

Tree = Mapping[str, str | bytes]
Pages = Mapping[str, Page]
CONFIG = SiteConfig("Records", [], Firm("Lantern & Latch"))


def judged(record: str = RECORD, on: date = ON, home_id: str = "millside") -> Dossier:
    read = home_of(record)
    made = dossier(read, on=on)
    return replace(made, id=home_id, findings=judge(read, made.dwelling, on, made.rules))


def page(tree: Tree, path: str) -> str:
    content = tree[path]
    assert isinstance(content, str)
    return content


@pytest.fixture(scope="module")
def site(demo_site: Path) -> Path:
    return demo_site


@pytest.fixture(scope="module")
def tree(site: Path) -> Mapping[str, bytes]:
    """Read what the site was built from."""
    written = site.with_name("tree")
    return {p.relative_to(written).as_posix(): p.read_bytes() for p in written.rglob("*") if p.is_file()}


@pytest.fixture(scope="module")
def built(demo_pages: Pages) -> Pages:
    return demo_pages


@pytest.fixture(scope="module")
def hostile(hostile_site: Path) -> Pages:
    return pages(hostile_site)


# ---------------------------------------------------------------- the tree


def test_the_same_homes_on_the_same_day_give_the_same_bytes_in_whichever_order_they_are_given(
    tree: Mapping[str, bytes],
) -> None:
    again = demo_tree(demo()[::-1])
    assert again.keys() == tree.keys()
    assert [
        path for path, made in again.items() if tree[path] != (made.encode() if isinstance(made, str) else made)
    ] == []


def test_every_home_has_its_pages_drawings_and_calendar(tree: Mapping[str, bytes]) -> None:
    for dossier_ in demo():
        mine = {path.removeprefix(f"docs/homes/{dossier_.id}/") for path in tree if f"/homes/{dossier_.id}/" in path}
        assert {"index.md", "findings.md", "rooms.md", "visits.md", "calendar.ics"} <= mine
        assert sum(path.startswith("drawings/") for path in mine) >= len(dossier_.dwelling.storeys)


def test_planned_visits_are_calendars_of_the_homes_and_of_the_firm_linked_where_they_are_listed(
    tree: Mapping[str, bytes],
) -> None:
    planned = {visit for path, visit in entries_of(tree) if path.endswith("/visits.ics")}
    assert planned == {visit for path, visit in entries_of(tree) if path == "docs/calendar.ics"}
    assert len(planned) == sum(len(month.lines) for month in visits_ahead(demo(), ON).months)
    assert b'href="calendar.ics" download' in tree["docs/visits-ahead.md"]
    assert b'href="calendar.ics" download' in tree["docs/due.md"]
    for path in {path for path, _ in entries_of(tree) if path.endswith("/visits.ics")}:
        assert b'href="visits.ics" download' in tree[path.replace("visits.ics", "index.md")]
    assert "docs/homes/saltpan-lane/visits.ics" not in tree  # nothing of it is fitted on that day


def entries_of(tree: Mapping[str, bytes]) -> list[tuple[str, tuple[str, str]]]:
    """Give the entries of every calendar in the tree: its path, and name and day."""
    return [
        (path, (str(event["UID"]), str(event.decoded("DTSTART"))))
        for path, content in tree.items()
        if path.endswith(".ics")
        for event in Calendar.from_ical(content).walk("VEVENT")
    ]


def test_the_styles_and_scripts_named_are_in_the_tree() -> None:
    made = office_tree([], [], CONFIG, ON)
    assert {*STYLES, *SCRIPTS} <= made.keys()


@pytest.mark.usefixtures("some_rule_pages")
def test_a_firm_without_homes_gets_a_site_that_builds(tmp_path: Path) -> None:
    made = office_site_tree([], [], CONFIG, {}, ON)
    assert {"index.html", "homes/index.html", "due.html"} <= pages(build(made, tmp_path)).keys()


def test_navigation_keeps_its_order_and_loses_what_is_not_there() -> None:
    nav = [{"Office": [{"Homes": "homes/index.md"}, {"Gone": "gone.md"}]}, {"Empty": ["gone.md"]}, "rules.md"]
    made = office_site_tree([], [], replace(CONFIG, nav=nav), {}, ON)
    written = yaml.safe_load(page(made, "mkdocs.yml"))
    assert written["nav"] == [{"Office": [{"Homes": "homes/index.md"}]}, "rules.md"]
    assert {"due.md", "index.md", "short.md"} <= set(written["not_in_nav"].split())


def test_a_page_of_the_handbook_takes_the_place_of_ours() -> None:
    made = office_site_tree([], [], CONFIG, {"index.md": b"# Our own\n", "photo.jpg": b"\xff\xd8"}, ON)
    assert made["docs/index.md"] == b"# Our own\n"
    assert made["docs/photo.jpg"] == b"\xff\xd8"


def test_the_written_tree_and_the_root_agree_on_what_the_engine_is_told(tree: Mapping[str, bytes]) -> None:
    root = yaml.safe_load((ROOT / "mkdocs.yml").read_text(encoding="utf-8"))
    written = yaml.safe_load(tree["mkdocs.yml"])
    for key in ("markdown_extensions", "validation", "use_directory_urls", "site_url", "nav", "site_name"):
        assert written[key] == root[key], key
    assert [*written["plugins"], "asfitted"] == root["plugins"]
    for key in ("font", "palette", "features", "logo"):
        assert written["theme"][key] == root["theme"][key], key
    for key in ("polyfills", "homepage", "generator"):
        assert written["extra"][key] == root["extra"][key], key


def test_no_page_of_a_home_is_in_the_navigation(tree: Mapping[str, bytes]) -> None:
    nav = yaml.safe_dump(yaml.safe_load(tree["mkdocs.yml"])["nav"])
    assert "homes/index.md" in nav
    assert not re.search(r"homes/[^i]", nav)


# ---------------------------------------------------------------- the built site


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Give the firm's root as it stands, with its handbook and one home."""
    for name in ("mkdocs.yml", "docs", "generator/asfitted/pages/overrides", "homes/dunnock-court"):
        source, target = ROOT / name, tmp_path / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    return tmp_path


@pytest.mark.usefixtures("some_rule_pages")
def test_the_plugin_gives_the_engine_the_pages_of_the_plain_tree(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("asfitted.fleet.stories.load_stories", lambda *_: None)  # revisions have tests of their own
    settings = load_config(str(root / "mkdocs.yml"))
    settings.plugins["asfitted"].config.day = ON
    given = settings.plugins.on_files(Files([]), config=settings)
    rules, _ = load_catalogue(root / "homes")
    [one] = [dossier_ for dossier_ in demo() if dossier_.id == "dunnock-court"]
    assert set(given.src_uris) == office_tree([one], (), config(), ON, rules).keys()


@pytest.mark.usefixtures("some_rule_pages")
def test_the_engine_builds_the_root_of_a_repository_with_the_plugin(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # As the engine's own command builds it.
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    settings = load_config(str(root / "mkdocs.yml"), site_dir=str(root / "site"), strict=True)
    settings.plugins.on_startup(command="build", dirty=False)
    engine_build(settings)
    made = pages(root / "site")
    assert {"index.html", "due.html", "homes/dunnock-court/findings.html", "technician.html"} <= made.keys()


def test_every_link_of_the_site_leads_to_a_page_and_an_anchor_that_are_there(site: Path, built: Pages) -> None:
    followed = 0
    for name, parsed in built.items():
        for address in parsed.addresses:
            parts = urlsplit(address)
            assert not parts.netloc, (name, address)
            if parts.scheme in ("data", "tel"):
                continue
            assert not parts.scheme, (name, address)
            target = (
                posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(parts.path))) if parts.path else name
            )
            assert (site / target).is_file(), (name, address)
            if parts.fragment and target.endswith(".html"):
                ids = built[target].ids
                assert unquote(parts.fragment) in ids or parts.fragment == "__skip", (name, address)
            followed += 1
    assert followed > 2000


def test_no_page_has_an_id_twice(built: Pages) -> None:
    for name, parsed in built.items():
        twice = {i for i in parsed.ids if parsed.ids.count(i) > 1}
        assert not twice, (name, sorted(twice)[:5])


def test_no_sheet_or_page_asks_a_foreign_host_for_anything(site: Path, built: Pages) -> None:
    for sheet in site.rglob("*.css"):
        assert not re.search(r"(url\(|@import)\s*['\"]?(https?:)?//", sheet.read_text(encoding="utf-8")), sheet.name
    for name, parsed in built.items():
        assert not any(tag in ("iframe", "object", "embed", "base") for tag, _ in parsed.elements), name


def test_every_page_says_that_it_is_advice_and_no_certificate(built: Pages) -> None:
    assert all("Advice, not a certificate" in parsed.text for parsed in built.values())
    ours = [
        name
        for name in built
        if name.startswith(("homes/", "rules/")) or name in ("due.html", "short.html", "rules.html")
    ]
    assert len(ours) > 20
    assert all("Local codes" in built[name].text for name in ours)


def test_every_verdict_appears_over_the_demo_homes(built: Pages) -> None:
    looks = {
        given["class"].partition("finding--")[2].split()[0]
        for name, parsed in built.items()
        if name.endswith("findings.html")
        for _, given in parsed.elements
        if "finding--" in given.get("class", "")
    }
    assert looks == set(LOOKS.values())


def test_every_finding_of_a_home_stands_on_its_page_under_its_rule_and_subject(built: Pages) -> None:
    for dossier_ in demo():
        parsed = built[f"homes/{dossier_.id}/findings.html"]
        for finding in dossier_.findings:
            subject = f"-{finding.subject.id.lower()}" if finding.subject.kind != "home" else ""
            assert f"{finding.rule.id}{subject}" in parsed.ids
        assert sum(
            tag == "article" and "finding" in given.get("class", "").split() for tag, given in parsed.elements
        ) == len(dossier_.findings)


# ---------------------------------------------------------------- hostile text


def test_hostile_text_makes_no_element_and_no_handler(hostile: Pages) -> None:
    for name, parsed in hostile.items():
        for tag, attributes in parsed.elements:
            assert not any(attribute.startswith("on") for attribute in attributes), (name, tag, attributes)
            assert not any("javascript:" in attributes.get(a, "").lower() for a in ("href", "src")), (name, attributes)
            assert "e.invalid" not in attributes.get("src", ""), (name, attributes)
        scripts = [attributes for tag, attributes in parsed.elements if tag == "script"]
        assert all("src" in s or s.get("id") == "__config" or not s for s in scripts), (name, scripts)


def test_hostile_text_is_shown_as_it_was_typed(hostile: Pages) -> None:
    shown = " ".join(HOSTILE.split())
    checked = 0
    for name, parsed in hostile.items():
        if name.startswith("homes/") or name in ("rules/sets.html", f"rules/{OWN_RULE}.html"):
            assert shown in " ".join(parsed.text.split()), name
            assert not re.search(r"(?<![.\d])49\b", parsed.text), name
            checked += 1
    assert checked > 40


def test_hostile_ids_of_homes_get_folders_of_their_own(hostile: Pages) -> None:
    assert "homes/a_20_b_26__3c_i_3e_/index.html" in hostile
    assert "homes/millside/index.html" in hostile


@given(st.lists(st.text(), min_size=2, max_size=2, unique=True))
def test_two_homes_never_share_a_folder_and_none_leaves_its_own(ids: list[str]) -> None:
    first, second = map(folder, ids)
    assert first != second
    assert re.fullmatch(r"[A-Za-z0-9_-]*", first)


# ---------------------------------------------------------------- what pages show


def test_a_home_that_cannot_be_used_stands_on_top_with_its_troubles() -> None:
    text = page(
        office_tree([judged()], [Unreadable("broken-row", ("line 4: found <b>",))], CONFIG, ON), "homes/index.md"
    )
    assert "line 4&#58; found &#60;b&#62;" in text
    assert text.index("broken-row") < text.index("House by the mill")


def test_homes_stand_in_the_order_of_their_labels() -> None:
    labels = [row.label for row in home_rows(demo())]
    assert labels == sorted(labels, key=str.casefold)


def test_the_table_of_homes_counts_every_verdict() -> None:
    one = judged()
    [row] = home_rows([one])
    assert {count.verdict: count.number for count in row.counts} == {v: one.count(v) for v in Verdict}
    assert sum(count.number for count in row.counts) == len(one.findings) > 0


def test_next_due_is_the_first_day_of_the_technician_and_of_the_household() -> None:
    one = judged()
    [row] = home_rows([one])
    assert [next_.who for next_ in row.coming] == ["technician", "household"]
    for next_ in row.coming:
        assert next_.group.due == min(task.due for task in one.tasks if task.interval.who == next_.who)


def test_a_task_is_listed_each_time_it_comes_and_a_monthly_one_at_its_next_date_only() -> None:
    on = date(2026, 8, 1)
    lines = [
        line
        for month in due_months([judged(on=on)], on)
        for home_ in (*month.technician, *month.household)
        for line in home_.lines
    ]
    pressed = [line for line in lines if line.group.interval.id == "press-button" and "SA1" in line.group.tags]
    assert [(line.day, line.again) for line in pressed] == [(date(2026, 4, 4), "then every month")]
    cleaned = [line.day for line in lines if line.group.interval.id == "clean-alarm" and "SA1" in line.group.tags]
    assert cleaned == [date(2026, 9, 4), date(2027, 3, 4)]


def test_what_is_overdue_stands_first_and_by_whose_task_it_is() -> None:
    late = judged(on=date(2027, 6, 1))
    overdue, *months = due_months([late], date(2027, 6, 1))
    assert overdue.first is None
    assert all(line.group.interval.who == "technician" for home_ in overdue.technician for line in home_.lines)
    assert all(line.day < date(2027, 6, 1) for home_ in overdue.household for line in home_.lines)
    assert overdue.technician
    assert overdue.household
    assert [month.first for month in months][:2] == [date(2027, 6, 1), date(2027, 7, 1)]
    assert len(months) == 13  # this month to the same month a year on


def test_what_falls_short_holds_each_such_finding_once() -> None:
    parts = shortfalls(demo())
    for part in parts:
        assert part.number == sum(dossier_.count(part.verdict) for dossier_ in demo())
    assert [part.verdict for part in parts] == [
        Verdict.FAILS,
        Verdict.BORDERLINE,
        Verdict.NOT_VERIFIED,
        Verdict.VARIATION,
    ]


def test_a_limit_from_the_common_rule_set_is_marked_where_the_home_has_another() -> None:
    one, other = judged(), judged(RECORD.replace("label: House", "rules: us, label: House"))
    borrowed = sum(bool(finding.limit.borrowed_by) for finding in other.findings)
    text = page(office_tree([other], [], CONFIG, ON), "homes/millside/findings.md")
    assert "the rule set the United States has no limit of its own here" in text
    assert text.count("finding__borrowed") == borrowed > 0
    assert "finding__borrowed" not in page(office_tree([one], [], CONFIG, ON), "homes/millside/findings.md")


def test_the_head_of_a_home_s_pages_names_its_rule_set_by_title_and_leads_to_it() -> None:
    text = page(office_tree([judged()], [], CONFIG, ON), "homes/millside/findings.md")
    assert '<b>common practice</b> (<a href="../../rules/sets.html#common">common</a>)' in text


def test_every_finding_names_source_severity_and_status_and_leads_to_its_rule(built: Pages) -> None:
    for dossier_ in demo():
        parsed = built[f"homes/{dossier_.id}/findings.html"]
        for finding in dossier_.findings:
            assert f"../../rules/{finding.rule.id}.html" in parsed.addresses
            assert f"{finding.limit.severity}, {finding.limit.status}" in parsed.text
            assert finding.limit.source.called in parsed.text


def test_a_margin_shows_on_which_side_of_the_limit_it_is() -> None:
    views = [
        v for dossier_ in demo() for room in findings_by_room(dossier_) for about in room.about for v in about.findings
    ]
    short = [v for v in views if v.finding.margin is not None and v.verdict is Verdict.FAILS]
    assert short
    for view in short:
        margin = next(figure.value for figure in view.figures if figure.name == "margin")
        assert margin.startswith("\N{MINUS SIGN}")


def test_evidence_holds_the_last_reading_and_says_what_was_never_tested() -> None:
    lines = {line.tag: dict(zip(m.tests, line.cells, strict=True)) for m in evidence(judged()) for line in m.lines}
    assert lines["SA1"]["smoke"].lines == ("8 s",)
    assert lines["SA1"]["smoke"].day == date(2026, 3, 4)
    assert lines["SA2"]["button"].bad
    assert not lines["SA1"]["button"].bad
    assert lines["OS1"]["sounded"].missing
    assert not lines["CU1"]["mains off"].missing
    assert lines["CU1"]["path wired"].missing
    assert lines["SA2"]["link"].missing
    assert not any(cell.missing for cell in lines["SA1"].values())


CORRECTED = (
    RECORD
    + """
  - date: 2026-03-06
    kind: commissioning
    by: technician 4
    corrects: 2026-03-04
    tests: {SA2: {button: sounded}}
"""
)


def test_a_correction_stands_in_the_evidence_and_both_entries_stay_in_the_list() -> None:
    one = judged(CORRECTED)
    lines = {line.tag: dict(zip(m.tests, line.cells, strict=True)) for m in evidence(one) for line in m.lines}
    assert lines["SA2"]["button"].lines == ("sounded",)
    newest, oldest = visit_views(one)
    assert newest.visit.corrects == oldest.visit.date
    assert oldest.corrected_by == (newest.visit.date,)


def test_a_visit_after_the_day_of_the_pages_is_not_shown() -> None:
    assert [view.visit.date for view in visit_views(judged(CORRECTED, on=date(2026, 3, 5)))] == [date(2026, 3, 4)]


VARIED = (
    RECORD
    + """
variations:
  - {rule: smoke-in-bedroom, room: bedroom, why: w, agreed: householder, on: 2026-01-05, until: 2026-02-01}
  - {rule: motion-height, device: MD1, why: w, agreed: householder, on: 2027-01-05}
"""
)


def test_the_register_says_which_variations_are_in_force() -> None:
    assert [view.state for view in variation_views(judged(VARIED))] == ["not yet in force", "lapsed"]
    states = {view.state for dossier_ in demo() for view in variation_views(dossier_)}
    assert "in force" in states


# ---------------------------------------------------------------- the record page

MODELS = {
    name: value
    for module in (building, ceiling, device, home, photo, visit, walk)
    for name, value in vars(module).items()
}


def test_every_part_of_the_record_has_its_keys_and_an_example() -> None:
    parts = record_parts()
    assert len(parts) == len({part.anchor for part in parts}) == len(examples())
    assert all(part.example and part.says and part.keys for part in parts)
    assert all(key.takes and key.says for part in parts for key in part.keys)
    required = {key.key for part in parts if part.path == ("storeys",) for key in part.keys if key.required}
    assert required == {"id", "height", "rooms"}


@pytest.mark.parametrize("name", sorted(set(examples()) - {"Home"}))
def test_an_example_of_the_record_page_is_read_by_the_model(name: str) -> None:
    data = yaml.load(examples()[name], yaml.BaseLoader)  # noqa: S506 - makes nothing but texts
    parts = {part.path[-1] for part in record_parts() if part.example == examples()[name]}
    while isinstance(data, dict) and len(data) == 1 and next(iter(data)) in {*parts, "height"}:
        [data] = data.values()
    if name in ("Device", "Test"):
        data = list(data.values())
    for value in data if isinstance(data, list) else [data]:
        assert MODELS[name].model_validate(value)
