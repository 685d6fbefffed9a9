"""Every kind of change alone, several at once, and in the other direction."""

from collections import Counter
from math import hypot
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from asfitted.history.changes import FLAGGED, MIRROR, Kind
from asfitted.history.compare_home import compare_home
from tests.conftest import THOROUGH
from tests.history.homes import PLAIN, side, text

Expected = tuple[Kind, str]
NEW_DEVICE = (
    "  FD1: {kind: flood detector, in: study, from-west: 1.00, from-south: 1.00, height: 0, serial: F-001}\nvisits:\n"
)
NEW_VISIT = "  - {date: 2026-05-20, kind: service, by: technician 3, tests: {SA1: {button: sounded}}}\nvariations:\n"
INSERTED = "  - {date: 2024-09-01, kind: call-out, by: technician 3}\n  - {date: 2025-05-12, kind: service"
OLD_VISIT = (
    "  - {date: 2025-05-12, kind: service, by: technician 2, tests: {SA1: {button: sounded}, SA2: {button: sounded}}}\n"
)
SECOND = "  - {rule: window-watched, opening: window, why: high up, agreed: the householder, on: 2026-01-01}\n"
LOFT = (
    "  - {id: loft, height: 2.20, rooms: [{id: loft-room, use: store, corner: [0, 0], size: [3.00, 3.00]}]}\ndevices:\n"
)

ALONE: dict[str, tuple[list[tuple[str, str]], Expected]] = {
    "past visit edited": ([("smoke: 9 s", "smoke: 7 s")], (Kind.PAST_VISIT_EDITED, "visit of 2024-05-11")),
    "past visit dated anew": ([("2024-05-10, kind: inst", "2024-05-09, kind: inst")], (Kind.PAST_VISIT_EDITED, "visit of 2024-05-10")),
    "test taken out of a past visit": ([("      SA2: {button: sounded, smoke: 8 s}\n", "")], (Kind.PAST_VISIT_EDITED, "visit of 2024-05-11")),
    "past visit deleted": ([(OLD_VISIT, "")], (Kind.PAST_VISIT_DELETED, "visit of 2025-05-12")),
    "visit added": ([("variations:\n", NEW_VISIT)], (Kind.VISIT_ADDED, "visit of 2026-05-20")),
    "visit inserted": ([("  - {date: 2025-05-12, kind: service", INSERTED)], (Kind.VISIT_INSERTED, "visit of 2024-09-01")),
    "device added": ([("visits:\n", NEW_DEVICE)], (Kind.DEVICE_ADDED, "FD1")),
    "device replaced": ([("S-001, fitted: 2024-05-10", "S-009, fitted: 2026-05-10")], (Kind.DEVICE_REPLACED, "IS1")),
    "device replaced under a new tag": ([("IS1:", "IS2:"), ("S-001, fitted: 2024-05-10", "S-009, fitted: 2026-05-10")], (Kind.DEVICE_REPLACED, "IS2")),
    "device replaced by another kind": ([("MD1: {kind: motion detector", "MD1: {kind: glass-break detector")], (Kind.DEVICE_REPLACED, "MD1")),
    "device moved": ([("from-west: 1.00, from-south: 1.50", "from-west: 1.20, from-south: 1.50")], (Kind.DEVICE_MOVED, "SA1")),
    "device moved to another room": ([("ceiling of living", "ceiling of bedroom")], (Kind.DEVICE_MOVED, "SA2")),
    "device hung lower": ([("height: 2.10, facing", "height: 1.90, facing")], (Kind.DEVICE_MOVED, "MD1")),
    "device re-aimed": ([("315 deg", "300 deg")], (Kind.DEVICE_AIMED, "MD1")),
    "device measured from the other wall": ([("from-west: 1.00, from-south: 1.50", "from-east: 1.00, from-south: 1.50")], (Kind.DEVICE_MEASURED, "SA1")),
    "device measured by laser": ([("wall: west, from-south: 1.00", "wall: west, by: laser, from-south: 1.00")], (Kind.DEVICE_MEASURED, "IS1")),
    "device tag changed": ([("  SA1:", "  SA7:"), ("[SA1]", "[SA7]"), ("{SA1:", "{SA7:")], (Kind.DEVICE_RETAGGED, "SA7")),
    "device renamed": ([("hall alarm", "alarm by the stairs")], (Kind.DEVICE_RENAMED, "SA1")),
    "battery changed": ([("battery: 2 x AA", "battery: {type: 2 x AA, fitted: 2026-02-01}")], (Kind.BATTERY, "SA2")),
    "setting changed": ([("cut-off: 10 min", "cut-off: 15 min")], (Kind.SETTING, "IS1")),
    "link taken away": ([("linked: [SA1], ", "")], (Kind.SETTING, "SA2")),
    "particular changed": ([("model: type 1", "model: type 2")], (Kind.PARTICULAR, "MD1")),
    "photo of a device": ([("model: optical", "photos: [{file: photos/sa1.jpg, caption: Alarm}], model: optical")], (Kind.PARTICULAR, "SA1")),
    "photo of a room": ([("name: study}", "name: study, photos: [{file: photos/study.jpg, caption: Ceiling}]}")], (Kind.ROOM, "study")),
    "photo put to a past visit": ([("by: technician 2, tests: {SA1: {button: sounded}, SA2", "by: technician 2, photos: [{file: photos/dust.jpg, caption: Dust}], tests: {SA1: {button: sounded}, SA2")], (Kind.PAST_VISIT_EDITED, "visit of 2025-05-12")),
    "storey added": ([("devices:\n", LOFT)], (Kind.STOREY_ADDED, "loft")),
    "storey changed": ([("height: 2.30", "height: 2.35")], (Kind.STOREY, "first")),
    "room added": ([("    openings:\n", "      - {id: porch, use: store, corner: [6.20, 0], size: [1.00, 1.00]}\n    openings:\n")], (Kind.ROOM_ADDED, "porch")),
    "room reshaped": ([("size: [4.00, 5.00]}\n      - {id: study", "size: [4.40, 5.00]}\n      - {id: study")], (Kind.ROOM_RESHAPED, "living")),
    "room moved": ([("corner: [0, 5.10]", "corner: [0, 5.30]")], (Kind.ROOM_RESHAPED, "study")),
    "ceiling of a room": ([("name: study}", "name: study, height: 2.20}")], (Kind.ROOM_RESHAPED, "study")),
    "room walked instead of sized": ([("corner: [0, 5.10], size: [2.00, 3.00]", "walk: {from: [0, 5.10], legs: [E 2.00, N 3.00, W 2.00, S 3.00]}")], (Kind.ROOM_MEASURED, "study")),
    "room called otherwise": ([("name: study}", "name: box room}")], (Kind.ROOM_RENAMED, "study")),
    "room id changed": ([("bedroom", "chamber"), ("use: chamber", "use: bedroom")], (Kind.ROOM_RENAMED, "chamber")),
    "room put to another use": ([("use: study", "use: store")], (Kind.ROOM, "study")),
    "opening added": ([("    fittings:\n", "      - {window: study west, id: study-window, from-south: 0.50, width: 0.80, sill: 1.00, height: 1.00}\n    fittings:\n")], (Kind.OPENING_ADDED, "study-window")),
    "opening moved": ([("from-west: 0.50, width: 0.90", "from-west: 0.60, width: 0.90")], (Kind.OPENING_MOVED, "front-door")),
    "opening changed": ([("leaf: timber", "leaf: steel")], (Kind.OPENING, "front-door")),
    "fitting added": ([("    stairs:\n", "      - {heater: study, wall: north, from-west: 1.00}\n    stairs:\n")], (Kind.FITTING_ADDED, "heater in study")),
    "fitting moved": ([("light: hall, from-west: 1.00", "light: hall, from-west: 0.80")], (Kind.FITTING_MOVED, "light in hall")),
    "furniture moved": ([("from-west: 0.50, size: [1.00, 0.40]", "from-west: 1.50, size: [1.00, 0.40]")], (Kind.FITTING_MOVED, "dresser")),
    "fitting changed": ([("note: pendant", "note: flush")], (Kind.FITTING, "light in living")),
    "stair moved": ([("from-north: 1.00, size", "from-north: 1.20, size")], (Kind.STAIR_MOVED, "stairs")),
    "stair changed": ([("size: [0.80, 2.50]", "size: [0.90, 2.50]")], (Kind.STAIR, "stairs")),
    "sleepers": ([("bedroom: 2}", "bedroom: 3}")], (Kind.HOUSEHOLD, "sleepers")),
    "animal": ([("mass: 14 kg", "mass: 30 kg")], (Kind.HOUSEHOLD, "pets")),
    "keyholders": ([("named: 2", "named: 3")], (Kind.HOUSEHOLD, "keyholders")),
    "valued rooms": ([("valued-rooms: [living, bedroom]", "valued-rooms: [living]")], (Kind.HOUSEHOLD, "valued-rooms")),
    "system setting": ([("entry-time: 30 s", "entry-time: 40 s")], (Kind.SYSTEM, "system")),
    "home fact": ([("rented: no", "rented: yes")], (Kind.HOME, "home")),
    "variation added": ([("variations:\n", f"variations:\n{SECOND}")], (Kind.VARIATION_ADDED, "window-watched window")),
    "variation changed": ([("glass all round", "glass on one side")], (Kind.VARIATION, "outer-door-watched front-door")),
}  # fmt: skip
"""What is edited in the record, and the one change it must be told as."""


def edited(changes: list[tuple[str, str]]) -> str:
    written = text()
    for old, new in changes:
        assert old in written, old
        written = written.replace(old, new)
    return written


@pytest.mark.parametrize("name", ALONE)
def test_a_change_alone_is_told_once_and_by_its_own_name(name: str) -> None:
    changes, expected = ALONE[name]
    found = compare_home(side(text()), side(edited(changes))).changes
    assert [change.key for change in found] == [expected], [change.says for change in found]
    assert found[0].flagged is (expected[0] in FLAGGED)
    assert found[0].says.endswith(".")
    assert ".." not in found[0].says


@pytest.mark.parametrize("name", ALONE)
def test_comparing_in_the_other_direction_mirrors_the_change(name: str) -> None:
    old, new = side(text()), side(edited(ALONE[name][0]))
    (there,), (back,) = compare_home(old, new).changes, compare_home(new, old).changes
    assert back.kind in (MIRROR[there.kind], *([Kind.VISIT_INSERTED] if there.kind is Kind.PAST_VISIT_DELETED else []))
    assert (back.before, back.after) == (there.after, there.before)
    assert (back.was, back.now) == (there.now, there.was)


@pytest.mark.parametrize(
    "name",
    [
        name
        for name, (_, (kind, subject)) in ALONE.items()
        if kind not in (Kind.DEVICE_RETAGGED, Kind.ROOM_RENAMED) and subject != "IS2"  # a tag or id turns no verdict
    ],
)
def test_doing_the_change_to_the_earlier_home_gives_the_later_one(name: str) -> None:
    old, new = side(text()), side(edited(ALONE[name][0]))
    (change,) = compare_home(old, new).changes
    done = type(old)(change.apply(old.home), old.day, old.catalogue)
    assert compare_home(done, new).changes == ()


def test_every_kind_of_change_has_a_test() -> None:
    told = {kind for _, (kind, _) in ALONE.values()}
    told |= {MIRROR[kind] for kind in told}
    elsewhere = {Kind.VARIATION_LAPSED, Kind.VARIATION_REVIVED, Kind.RULE_SET, Kind.LIMIT}
    removed = {Kind.OPENING_REMOVED, Kind.FITTING_REMOVED, Kind.STAIR_REMOVED, Kind.STAIR_ADDED}
    assert set(Kind) == told | elsewhere | removed


def test_a_stair_that_is_gone_is_told() -> None:
    start = text().index("    stairs:")
    without = text()[:start] + text()[text().index("  - id: first") :]
    found = compare_home(side(text()), side(without)).changes
    assert [change.key for change in found] == [(Kind.STAIR_REMOVED, "stairs")]


def test_a_replaced_device_is_told_with_both_serials_and_dates() -> None:
    changes, _ = ALONE["device replaced"]
    (found,) = compare_home(side(text()), side(edited(changes))).changes
    for part in ("S-001", "2024-05-10", "S-009", "2026-05-10"):
        assert part in found.says


def test_an_edited_visit_is_told_with_both_texts() -> None:
    (found,) = compare_home(side(text()), side(text(reading="7 s"))).changes
    assert "SA1 smoke was 9 s, now 7 s" in found.says
    assert "smoke 9 s" in found.before
    assert "smoke 7 s" in found.after
    assert "SA2: button sounded, smoke 8 s" in found.before


def test_a_variation_that_ended_between_the_two_days_lapsed() -> None:
    from datetime import date

    old, new = side(text(), date(2026, 12, 1)), side(text(), date(2027, 2, 1))
    assert [change.kind for change in compare_home(old, new).changes] == [Kind.VARIATION_LAPSED]
    assert [change.kind for change in compare_home(new, old).changes] == [Kind.VARIATION_REVIVED]


def test_another_rule_set_is_told_with_every_limit_that_differs() -> None:
    found = compare_home(side(text()), side(text(rules="us"))).changes
    assert [change.key for change in found if change.kind is not Kind.LIMIT] == [(Kind.RULE_SET, "home")]
    limits = [change for change in found if change.kind is Kind.LIMIT]
    assert limits
    assert all(change.before != change.after or "worded anew" in change.says for change in limits)


def test_a_photo_with_another_caption_or_file_is_told_and_photos_in_another_order_are_not() -> None:
    def with_photos(*photos: str) -> str:
        return text().replace("model: optical", f"photos: [{', '.join(photos)}], model: optical")

    one, two = "{file: photos/sa1.jpg, caption: Alarm, taken: 2024-05-10}", "{file: photos/base.jpg, caption: Its base}"
    old = side(with_photos(one, two))
    assert compare_home(old, side(with_photos(two, one))).changes == ()
    for changed in (one.replace("Alarm", "The alarm"), one.replace("sa1", "sa1-new"), one.replace("-10", "-11")):
        (found,) = compare_home(old, side(with_photos(changed, two))).changes
        assert found.key == (Kind.PARTICULAR, "SA1")
        assert "file photos/sa1.jpg, caption Alarm, taken 2024-05-10" in found.before


def test_two_devices_that_changed_places_are_two_moves_and_no_replacement() -> None:
    swapped = edited(
        [("serial: A-001", "serial: X"), ("serial: A-002", "serial: A-001"), ("serial: X", "serial: A-002")]
    )
    kinds = Counter(change.kind for change in compare_home(side(text()), side(swapped)).changes)
    assert kinds[Kind.DEVICE_REPLACED] == 0
    assert kinds[Kind.DEVICE_MOVED] == 2


metres = st.integers(20, 180).map(lambda cm: f"{cm / 100:.2f}")
EDITS: dict[str, tuple[st.SearchStrategy[str], Expected]] = {
    "sleepers": (st.integers(1, 9).map(str), (Kind.HOUSEHOLD, "sleepers")),
    "dog": (st.integers(2, 60).map(lambda kg: f"{kg} kg"), (Kind.HOUSEHOLD, "pets")),
    "keyholders": (st.integers(1, 9).map(str), (Kind.HOUSEHOLD, "keyholders")),
    "entry_time": (st.integers(10, 44).map(lambda s: f"{s} s"), (Kind.SYSTEM, "system")),
    "rented": (st.just("yes"), (Kind.HOME, "home")),
    "living_wide": (st.integers(405, 600).map(lambda cm: f"{cm} cm"), (Kind.ROOM_RESHAPED, "living")),
    "study_use": (st.sampled_from(["store", "utility", "dining"]), (Kind.ROOM, "study")),
    "study_name": (st.sampled_from(["office", "box room"]), (Kind.ROOM_RENAMED, "study")),
    "door": (st.integers(10, 100).map(lambda cm: f"{cm} cm"), (Kind.OPENING_MOVED, "front-door")),
    "leaf": (st.sampled_from(["steel", "glass", "plastic"]), (Kind.OPENING, "front-door")),
    "light": (metres, (Kind.FITTING_MOVED, "light in hall")),
    "light_note": (st.sampled_from(["flush", "three lamps"]), (Kind.FITTING, "light in living")),
    "dresser": (metres, (Kind.FITTING_MOVED, "dresser")),
    "stairs": (st.integers(10, 240).map(lambda cm: f"{cm} cm"), (Kind.STAIR_MOVED, "stairs")),
    "sa1_name": (st.sampled_from(["alarm one", "hall"]), (Kind.DEVICE_RENAMED, "SA1")),
    "sa1_west": (metres, (Kind.DEVICE_MOVED, "SA1")),
    "sa2_south": (st.integers(30, 400).map(lambda cm: f"{cm} cm"), (Kind.DEVICE_MOVED, "SA2")),
    "sa2_battery": (st.sampled_from(["sealed, 10 years", "1 x 9 V, 5 years"]), (Kind.BATTERY, "SA2")),
    "sa2_note": (st.sampled_from(["second", "in the middle"]), (Kind.PARTICULAR, "SA2")),
    "md1_height": (st.integers(150, 205).map(lambda cm: f"{cm} cm"), (Kind.DEVICE_MOVED, "MD1")),
    "md1_facing": (st.integers(280, 350).map(lambda a: f"{a} deg"), (Kind.DEVICE_AIMED, "MD1")),
    "md1_model": (st.sampled_from(["type 2", "type 3"]), (Kind.PARTICULAR, "MD1")),
    "md1_mode": (st.sampled_from(["delayed", "always"]), (Kind.SETTING, "MD1")),
    "is1_cut_off": (st.integers(1, 9).map(lambda m: f"{m} min"), (Kind.SETTING, "IS1")),
    "visit_note": (st.sampled_from(["all done", "half done"]), (Kind.PAST_VISIT_EDITED, "visit of 2024-05-10")),
    "reading": (st.integers(1, 60).map(lambda s: f"{s} s"), (Kind.PAST_VISIT_EDITED, "visit of 2024-05-11")),
    "why": (st.sampled_from(["of glass", "listed"]), (Kind.VARIATION, "outer-door-watched front-door")),
}  # fmt: skip


@settings(max_examples=120 if THOROUGH else 40, deadline=None)
@given(st.data())
def test_random_edits_are_each_told_once_and_mirror(data: st.DataObject) -> None:
    names = data.draw(st.lists(st.sampled_from(sorted(EDITS)), min_size=1, max_size=4, unique=True))
    values = {name: data.draw(EDITS[name][0]) for name in names}
    same = {"1.00", "0.50", "100 cm", "50 cm", "250 cm", "210 cm", "9 s", "30 s", "2", "315 deg", "14 kg"}
    values = {name: value for name, value in values.items() if value not in same}
    old, new = side(text()), side(text(**values))
    there, back = compare_home(old, new).changes, compare_home(new, old).changes
    assert Counter(change.key for change in there) == Counter(EDITS[name][1] for name in values)
    assert Counter(change.key for change in back) == Counter((MIRROR[c.kind], c.subject) for c in there)
    assert sorted((c.after, c.before) for c in back) == sorted((c.before, c.after) for c in there)


@settings(max_examples=60 if THOROUGH else 20, deadline=None)
@given(st.integers(20, 180), st.integers(20, 480))
def test_a_move_is_as_long_as_the_tapes_say(west: int, south: int) -> None:
    # the hall's south-west corner is the origin of the plan, so that its tapes are coordinates
    new = side(text(sa1_west=f"{west} cm", sa1_south=f"{south} cm"))
    found = compare_home(side(text()), new).changes
    dx, dy = west / 100 - 1.00, south / 100 - 1.50
    if hypot(dx, dy) < 0.001:
        assert found == ()
        return
    (move,) = found
    assert move.was is not None
    assert move.now is not None
    assert move.was.point == pytest.approx((1.00, 1.50))
    assert move.now.point == pytest.approx((west / 100, south / 100))
    length = hypot(dx, dy)
    told = float(move.says.split(" moved ")[1].split(" m ")[0])
    assert told == pytest.approx(length, abs=0.0006)
    assert f"{west / 100:.2f} m from the west wall and " not in move.before
    assert f"{west / 100:.2f} m from the west wall" in move.after
    assert f"{south / 100:.2f} m from the south wall" in move.after


def shuffled(data: Any, random: Random, path: tuple[str, ...] = ()) -> Any:
    """Give a record with its keys, and those of its lists whose order says nothing, in another order."""
    if isinstance(data, dict):
        items = [(key, shuffled(value, random, (*path, key))) for key, value in data.items()]
        random.shuffle(items)
        return dict(items)
    if isinstance(data, list):
        items = [shuffled(value, random, path) for value in data]
        if path[-1] in {"rooms", "openings", "fittings", "stairs", "linked", "valued-rooms", "roams", "variations"}:
            random.shuffle(items)
        return items
    return data


@settings(max_examples=40 if THOROUGH else 12, deadline=None)
@given(st.integers(0, 10_000))
def test_a_record_written_otherwise_has_not_changed(seed: int) -> None:
    data = shuffled(yaml.load(text(), yaml.BaseLoader), Random(seed))  # noqa: S311, S506 - strings only, no secrets
    written = "# rewritten\n" + yaml.safe_dump(data, default_flow_style=bool(seed % 2), sort_keys=False)
    assert compare_home(side(text()), side(written)).changes == ()
    assert compare_home(side(written), side(text())).changes == ()


@pytest.mark.parametrize(
    ("old", "new"), [("2.10", "210 cm"), ("30 s", "0.5 min"), ("from-west: 1.00", "from-west: 1000 mm  # by tape")]
)
def test_another_unit_or_a_comment_is_no_change(old: str, new: str) -> None:
    line = text().replace(old, new) if "#" not in new else text() + "# by tape\n"
    assert compare_home(side(text()), side(line)).changes == ()


def test_a_wall_that_moves_is_the_change_of_its_room_and_not_of_the_devices_in_it() -> None:
    corner = ("corner: [2.10, 0]", "corner: [2.20, 0]")
    found = compare_home(side(text()), side(edited([corner]))).changes
    assert [change.key for change in found] == [(Kind.ROOM_RESHAPED, "living")]
    assert PLAIN["sa2_west"] == "2.00"


def test_visits_that_stand_as_they_were_written_are_not_edited_by_exchanged_serials() -> None:
    swapped = text().replace("A-001", "A-000").replace("A-002", "A-001").replace("A-000", "A-002")
    assert not [change for change in compare_home(side(text()), side(swapped)).changes if change.flagged]


def test_a_room_that_was_renamed_and_reshaped_in_one_step_is_one_room() -> None:
    new = text(study_name="den").replace("id: study", "id: den").replace("size: [2.00, 3.00]", "size: [2.00, 3.60]")
    old, new_side = side(text()), side(new)
    found = compare_home(old, new_side).changes
    assert [change.key for change in found] == [(Kind.ROOM_RESHAPED, "den"), (Kind.ROOM_RENAMED, "den")]
    home = old.home
    for change in found:
        home = change.apply(home)
    room = home.rooms["study"]
    assert (room.name, room.size) == (new_side.home.rooms["den"].name, new_side.home.rooms["den"].size)


def test_a_link_to_a_tag_that_another_device_has_now_is_told_apart() -> None:
    old = (
        text()
        .replace("linked: [SA2]}", "linked: [SA2, SA3]}")
        .replace(
            "  MD1:",
            "  SA3: {kind: smoke alarm, on: ceiling of study, from-west: 1.00, from-south: 1.50, serial: A-003}\n  MD1:",
        )
    )
    new = text().replace("SA2", "SA3").replace("A-003", "A-002")
    found = {change.key: change.says for change in compare_home(side(old), side(new)).changes}
    assert found[Kind.SETTING, "SA1"] == "SA1 (hall): linked was SA3, SA3 (earlier), now SA3."
