"""The technician's sheets and the evidence of a home, as pages and in a real browser."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from asfitted.model.base import key_of
from asfitted.model.device import SETTINGS, Device
from asfitted.model.standing import standing
from asfitted.model.visit import Test as Reading
from asfitted.model.words import DEVICE_KINDS
from asfitted.pages.dossier import Dossier
from asfitted.pages.figures import Figure
from asfitted.pages.office import HomeHead
from asfitted.pages.office_sheets import sheet_pages
from asfitted.pages.views.office_rooms import UNITS, storeys
from asfitted.pages.views.office_visits import evidence
from asfitted.pages.views.sheet_commissioning import commissioning
from asfitted.pages.views.sheet_drilling import RoomSheet, drilling
from asfitted.pages.views.sheet_fixing import fixing
from asfitted.pages.views.sheet_service import Service, service
from asfitted.pages.views.sheet_survey import Survey, survey_sheet
from asfitted.pages.views.sheet_words import doing_of, doings, instruments, stages
from asfitted.rules.finding import Verdict
from asfitted.rules.judge import judge
from asfitted.upkeep.schedule import undated
from tests.pages.browser import PHONE, browsing, needs_chromium, watched
from tests.pages.homes import EMPTY, HALF, RECORD, dossier
from tests.pages.homes import home as home_of
from tests.pages.office_site import demo, hostile_dossier

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SHEETS = ("survey", "drilling", "fixing", "commissioning", "service")
HEAD = HomeHead("House", "", "common", "common practice", "4f1c2ab")


def judged(record: str = RECORD) -> Dossier:
    read = home_of(record)
    made = dossier(read)
    return replace(made, findings=judge(read, made.dwelling, made.on, made.rules), undated=undated(read))


def written(one: Dossier) -> dict[str, str]:
    rooms: dict[str, list[Figure]] = {room: [] for room in one.dwelling.rooms}
    made = sheet_pages(one, {"home": HEAD, "on": one.on}, rooms)
    return {path: text for path, text in made.items() if isinstance(text, str) and path.endswith(".md")}


def rooms_of(one: Dossier) -> dict[str, RoomSheet]:
    return {room.id: room for room in drilling(one)}


@pytest.fixture(scope="module")
def ordinary() -> Dossier:
    return judged()


@pytest.fixture(scope="module")
def drills() -> dict[str, tuple[RoomSheet, ...]]:
    return {one.id: drilling(one) for one in demo()}


# ---------------------------------------------------------------- commissioning


def test_every_finding_that_is_not_verified_stands_exactly_once_on_the_commissioning_sheet() -> None:
    for one in demo():
        shown = [item.view.finding.key for group in commissioning(one).groups for item in group.items]
        told = [item.view.finding.key for g in commissioning(one).groups for same in g.alike for item in same]
        lacking = [finding.key for finding in one.findings if finding.verdict is Verdict.NOT_VERIFIED]
        assert Counter(shown) == Counter(told) == Counter(lacking), one.id
        assert lacking


def test_evidence_is_grouped_by_how_it_is_got() -> None:
    expected = {  # the groups in our own words: common practice, no source
        ("device-tested", "SA1"): "press",
        ("device-tested", "MD1"): "walk",
        ("device-tested", "OC1"): "open",
        ("radio-margin", "OC1"): "measure",
        ("battery-low", "OC1"): "read",
        ("keyholders-shown", "home"): "ask",
    }
    one = next(each for each in demo() if each.id == "saltpan-lane")
    found = {(f.rule.id, f.subject.id): doing_of(f) for f in one.findings if f.verdict is Verdict.NOT_VERIFIED}
    assert expected.items() <= found.items()
    assert Counter(found.values())["settle"] <= len(found) / 10
    assert set(found.values()) <= {doing.id for doing in doings()}


def test_every_reading_since_fitting_stands_with_its_day_and_who_took_it(ordinary: Dossier) -> None:
    sheet = commissioning(ordinary)
    of = {device.tag: {reading.name: reading.cell for reading in device.readings} for device in sheet.devices}
    assert list(of) == list(ordinary.home.devices)
    cell = of["SA1"]["smoke"]
    assert (cell.value, str(cell.day), cell.by, cell.visit) == ("8 s", "2026-03-04", "technician 4", "visit-1")
    assert of["SA2"]["button"].bad
    assert not of["OS1"]["sounded"].value
    assert "tamper" in of["MD1"]
    assert "smoke" not in of["MD1"]
    assert {"smoke", "sounded"} & {name for tool in sheet.instruments for name in tool.readings} == {"smoke"}


def test_instruments_are_for_readings_that_there_are_and_every_kind_has_its_stage_of_work() -> None:
    assert instruments().keys() <= Reading.model_fields.keys()
    assert sorted(kind for stage in stages() for kind in stage.kinds) == sorted(DEVICE_KINDS)


# ---------------------------------------------------------------- drilling


def test_every_device_with_a_room_is_on_one_drilling_sheet_with_the_figures_of_the_record(
    drills: dict[str, tuple[RoomSheet, ...]],
) -> None:
    for one in demo():
        places = {place.tag: (room.id, place) for room in drills[one.id] for place in room.places}
        assert Counter(p.tag for room in drills[one.id] for p in room.places) == Counter(one.dwelling.spots.keys())
        for tag, (room, place) in places.items():
            device, spot = one.home.devices[tag], one.dwelling.spots[tag]
            assert room == spot.room
            taped = {known.name.split()[0]: known.value for known in place.tapes}
            assert taped == {side: f"{metres:.2f} m" for side, metres in device.tapes.items()}, tag
            if device.height is not None:
                assert (place.height, place.height_from) == (f"{device.height:.2f} m", "as recorded")
            assert bool(place.best) == (spot.point is None and bool(place.zone)), tag


def test_an_alarm_s_sheet_draws_its_zone_and_gives_the_figure_of_every_rule_about_its_place(
    drills: dict[str, tuple[RoomSheet, ...]],
) -> None:
    for one in demo():
        for room in drills[one.id]:
            alarms = [place for place in room.places if place.kind.endswith(" alarm")]
            drawn = " ".join(figure.caption for figure in room.zones)
            for place in alarms:
                assert place.zone, place.tag
                assert place.tag in drawn
            for figure in room.zones:
                assert 'class="d-zone' in figure.drawing.alone or "No place for a" in figure.drawing.alone
                assert figure.drawing.scale > 0


def test_limits_on_the_drilling_sheet_are_those_of_the_findings(ordinary: Dossier) -> None:
    (place,) = (p for p in rooms_of(ordinary)["living"].places if p.tag == "SA1")
    clear = {item.rule: (item.figure, item.by_whom) for item in place.clear}
    limit = ordinary.rules.limits["smoke-clear-of-wall"]
    assert clear["smoke-clear-of-wall"] == (limit.figure, limit.by_whom)


def test_a_device_without_a_place_in_its_room_is_offered_the_best_one_and_one_without_a_room_is_named() -> None:
    half = judged(HALF)
    (room,) = drilling(half)
    places = {place.tag: place for place in room.places}
    assert set(places) == {"SA1", "MD1"}
    assert "clear of every limit" in places["SA1"].best
    page = written(half)["sheets/drilling.md"]
    assert "On no sheet" in page
    assert page.index("SA2") < page.index("hole-sa1")


# ---------------------------------------------------------------- fixing


def test_the_list_for_fixing_holds_every_device_once_and_names_what_the_record_lacks(ordinary: Dossier) -> None:
    devices = {device.tag: device for part in fixing(ordinary).parts for device in part.devices}
    assert devices.keys() == ordinary.home.devices.keys()
    assert next(iter(devices)) == "CU1"
    assert list(devices)[-1] == "OS1"
    sa1 = {known.name: known.value for known in devices["SA1"].asked}
    assert sa1["serial"] == "77-0042"
    assert sa1["linked with"] == "SA2"
    assert "serial" not in devices["SA1"].blank
    assert {"serial", "batch", "mode", "enrolled"} <= set(devices["MD1"].blank)
    assert not {"cable", "mobile"} & set(devices["MD1"].blank)
    for tag, device in devices.items():
        for name in device.blank:
            assert getattr(ordinary.home.devices[tag], key_of(name).replace(" ", "_").replace("-", "_")) in (None, ())


def test_a_step_is_done_only_where_the_record_says_so() -> None:
    for one in demo():
        proven = {f.subject.id for f in one.findings if f.rule.id == "device-tested" and f.verdict is Verdict.CONFORMS}
        for device in (device for part in fixing(one).parts for device in part.devices):
            done = {step.name: step.done for step in device.steps}
            assert bool(done["tested"]) == (device.tag in proven)
            assert done["fixed"] == str(one.home.devices[device.tag].fitted or "")


# ---------------------------------------------------------------- service


def due_batteries(one: Dossier, sheet: Service) -> Counter[str]:
    """Count, as the record writes them, the batteries of devices whose change is due by the end of the sheet."""
    found: Counter[str] = Counter()
    for task in one.tasks:
        battery = one.home.devices[task.tag].battery if task.tag else None
        if task.interval.counts_from == "battery" and battery and task.due <= sheet.until:
            counted = re.fullmatch(r"(\d+) x (.+)", battery.type)
            count, size = counted.groups() if counted else ("1", battery.type)
            found[size[:1].upper() + size[1:]] += int(count)
    return found


def test_the_batteries_to_bring_are_those_of_the_record_that_are_due(ordinary: Dossier) -> None:
    later = dossier(ordinary.home, on=ordinary.on.replace(year=2028))
    assert not service(ordinary).batteries
    assert {item.type: item.count for item in service(later).batteries} == {"AA": 2}
    whole = 0
    for one in demo():
        ahead = dossier(one.home, on=one.on + timedelta(days=1200))
        sheet = service(ahead)
        assert {item.type: item.count for item in sheet.batteries} == due_batteries(ahead, sheet), one.id
        assert all(item.count >= len(item.needs) for item in sheet.batteries)
        whole += sum(item.count for item in sheet.batteries)
    assert whole > 10


def test_a_battery_read_as_low_is_brought_at_once() -> None:
    low = judged(RECORD.replace("CO1: {button: sounded}", "CO1: {button: sounded, battery: low}"))
    (item,) = service(low).batteries
    assert (item.type, item.count, item.needs) == ("AA", 2, (("CO1", "read low on 2026-03-04"),))


def test_the_service_sheet_holds_what_is_due_the_findings_and_the_visit_before() -> None:
    for one in demo():
        sheet = service(one)
        groups = [task for group in (*sheet.overdue, *sheet.due) for task in group.tasks]
        theirs = [t for t in one.tasks if t.interval.who == "technician" and t.due <= sheet.until]
        assert Counter(task.id for task in groups) == Counter(task.id for task in theirs)
        assert all(group.due < one.on for group in sheet.overdue)
        fails = [view.finding.key for about in sheet.fails for view in about.findings]
        assert len(fails) == one.count(Verdict.FAILS)
        assert sum(len(about.findings) for about in sheet.borderline) == one.count(Verdict.BORDERLINE)
        visits = [v for v in standing(one.home.visits, one.on) if v.kind != "household test"]
        assert sheet.last == (visits[-1] if visits else None)


def test_what_was_not_tested_and_why_stands_on_the_service_sheet(ordinary: Dossier) -> None:
    page = written(ordinary)["sheets/service.md"]
    assert "late in the evening" in page
    assert "Outdoor sounder" in page


# ---------------------------------------------------------------- survey


def facts(sheet: Survey) -> Iterator[tuple[str, str]]:
    for storey in sheet.storeys:
        for room in storey.rooms:
            for line in (*room.openings, *room.fittings):
                yield from ((f"{line.name}: {fact.name}", fact.value) for fact in line.facts)


def test_the_survey_sheet_shows_every_room_opening_and_fitting_once_and_a_box_for_what_lacks(ordinary: Dossier) -> None:
    for one in demo():
        sheet = survey_sheet(one)
        rooms = [room for storey in sheet.storeys for room in storey.rooms]
        assert [room.id for room in rooms] == [room.id for s in one.dwelling.storeys for room in s.rooms]
        assert sum(len(room.openings) for room in rooms) == len(one.dwelling.openings)
        fittings = sum(len(storey.fittings) for storey in one.dwelling.storeys)
        assert sum(len(room.fittings) for room in rooms) == fittings
    known = dict(facts(survey_sheet(ordinary)))
    assert known["Front door (door): leaf"] == "steel"
    assert known["Front door (door): high"] == ""
    assert known["W1 (window): sill"] == "0.85 m"
    assert known["W1 (window): glass"] == ""


def test_the_survey_sheet_asks_what_the_rules_lack_of_the_home_and_no_reading_of_a_test() -> None:
    for one in demo():
        asked = [view.finding for about in survey_sheet(one).questions for view in about.findings]
        assert all(finding.verdict is Verdict.NOT_VERIFIED for finding in asked)
        assert all(finding.rule.family != "commissioning" and finding.path[0] != "devices" for finding in asked)
    saltpan = next(one for one in demo() if one.id == "saltpan-lane")
    told = {view.rule.id for about in survey_sheet(saltpan).questions for view in about.findings}
    assert "entry-door-known" in told


def test_every_figure_of_a_device_has_its_unit() -> None:
    settings = {name for names in SETTINGS.values() for name in names}
    figures = {name for name in settings if "float" in str(Device.model_fields[name].annotation)}
    assert {"capacity", "mobile_level", "output"} <= figures
    assert figures == set(UNITS)


def test_the_figures_of_a_control_unit_stand_in_their_own_units() -> None:
    there = "from-south: 1.10, height: 1.40"
    figures = f"{there}, mobile-level: -88 dBm, capacity: 2.6 Ah, current: 120 mA"
    one = dossier(home_of(RECORD.replace(there, figures, 1)))
    facts = next(
        device for storey in storeys(one) for room in storey.rooms for device in room.devices if device.tag == "CU1"
    )
    told = {fact.name: fact.value for fact in facts.settings}
    assert told["mobile level"] == "-88 dBm"
    assert told["capacity"] == "2.6 Ah"
    assert told["current"] == "0.12 A"


# ---------------------------------------------------------------- evidence


def test_every_reading_of_the_evidence_names_the_entry_in_which_it_was_written() -> None:
    for one in demo():
        made = [visit for visit in one.home.visits if visit.date <= one.on]
        cells = [
            (line.tag, cell)
            for matrix in evidence(one)
            for line in matrix.lines
            for cell in line.cells
            if cell.value and not cell.missing
        ]
        for tag, cell in cells:
            entry = made[int(cell.visit.removeprefix("visit-")) - 1]
            assert tag in entry.tests
            assert (entry.corrects or entry.date, entry.by) == (cell.day, cell.by)


def test_a_corrected_reading_leads_to_the_correction() -> None:
    more = "  - {date: 2026-03-06, kind: commissioning, by: technician 9, corrects: 2026-03-04, tests: {SA2: {button: sounded}}}\n"
    cells = {
        line.tag: dict(zip(m.tests, line.cells, strict=True))
        for m in evidence(judged(RECORD + more))
        for line in m.lines
    }
    right = cells["SA2"]["button"]
    assert (right.value, str(right.day), right.by, right.visit) == ("sounded", "2026-03-04", "technician 9", "visit-2")
    assert (cells["SA1"]["button"].by, cells["SA1"]["button"].visit) == ("technician 4", "visit-1")


# ---------------------------------------------------------------- as pages


@pytest.mark.parametrize("record", [EMPTY, HALF, RECORD.split("visits:")[0]], ids=["empty", "half", "no visits"])
def test_a_record_that_is_empty_or_half_filled_gives_every_sheet(record: str) -> None:
    pages = written(judged(record))
    assert pages.keys() >= {"sheets.md", "evidence.md", *(f"sheets/{name}.md" for name in SHEETS)}
    assert all("None" not in re.sub(r"<[^>]+>", "", text) for text in pages.values())


def test_hostile_text_of_a_record_is_escaped_on_every_sheet() -> None:
    for path, text in written(hostile_dossier()).items():
        body = text.split("---\n", 2)[2]
        for raw in ("<script", "](javascript", "{{", "**x**", "<img src=x"):
            assert raw not in body, (path, raw)
        if path != "sheets.md":
            assert "&#60;script&#62;" in body, path


class _Marks(HTMLParser):
    """Counts elements by class."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.classes: Counter[str] = Counter()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        self.classes.update((dict(attrs).get("class") or "").split())


def test_built_sheets_lose_nothing_to_the_engine(demo_site: Path) -> None:
    for one in demo():
        folder = demo_site / "homes" / one.id / "sheets"
        found = {name: _Marks((folder / f"{name}.html").read_text(encoding="utf-8")).classes for name in SHEETS}
        assert found["commissioning"]["to-prove"] == one.count(Verdict.NOT_VERIFIED)
        assert found["drilling"]["hole"] == len(one.dwelling.spots)
        assert found["fixing"]["fix"] == found["commissioning"]["test-card"] == len(one.home.devices)
        assert found["survey"]["survey-room"] == len(one.dwelling.rooms)


@needs_chromium
def test_sheets_have_large_targets_and_print_on_a4(demo_site: Path, chromium: "Browser") -> None:
    one = demo()[0]
    small = """[...document.querySelectorAll('.todo input, .sheet-nav a, .home-nav li a')]
        .filter(e => Math.min(e.getBoundingClientRect().width, e.getBoundingClientRect().height) < 24).length"""
    with browsing(chromium, PHONE) as context:
        page, bad = watched(context, demo_site)
        for name in ("sheets", "evidence", *(f"sheets/{sheet}" for sheet in SHEETS)):
            page.goto((demo_site / "homes" / one.id / f"{name}.html").as_uri())
            assert page.evaluate(small) == 0, name
            if name in ("sheets/drilling", "evidence"):
                paper = page.pdf(prefer_css_page_size=True)
                boxes = {tuple(map(float, box)) for box in re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", paper)}
                sides = {tuple(sorted(round(side / 72 * 25.4) for side in box)) for box in boxes}
                assert sides == {(210, 297)}, name  # A4 by ISO 216
        assert bad == []
