"""What changed, on the plan: places against geometry worked out apart, a shape for every change, words for all."""

from math import atan2, degrees, hypot

import pytest

from asfitted.drawing.canvas import XY
from asfitted.drawing.shifts import Shift, shifts_plan
from tests.drawing import changed
from tests.drawing.homes import block_for, draw, having, home_of, moved_to, points

GROUND = draw("terrace", "changes", "ground")
FIRST = draw("terrace", "changes", "first")
PER_METRE = 1000 / GROUND.scale


def symbol(tag: str, shift: str) -> XY:
    """Give where the symbol of a device is on paper, as it was or is now."""
    (use,) = [e for e in having(GROUND, tag=tag, shift=shift) if e.tag == "use"]
    return moved_to(use)


@pytest.mark.parametrize(
    ("tag", "was", "now"),
    [
        # from the tapes of the two records: the hall starts at 0.00, 0.00 and the living room at 1.90, 0.00
        ("SA1", (1.02, 1.95), (1.10, 1.95)),
        ("SA2", (1.90 + 3.00, 3.20), (1.90 + 1.10, 1.95)),
        ("CU1", (1.80, 0.95), (1.80, 0.55)),
    ],
)
def test_old_and_new_symbols_are_as_far_apart_as_their_tapes_say(tag: str, was: XY, now: XY) -> None:
    (ax, ay), (bx, by) = symbol(tag, "was"), symbol(tag, "now")
    assert bx - ax == pytest.approx((now[0] - was[0]) * PER_METRE, abs=0.02)
    assert by - ay == pytest.approx((was[1] - now[1]) * PER_METRE, abs=0.02)


def test_symbols_stand_at_their_distance_from_a_device_that_did_not_change() -> None:
    # SA1 was 1.02 m, is 1.10 m east and 1.95 m north of the corner of the hall; HA1 is 2.05 m east and
    # 4.30 + 1.55 m north of it (both on ceilings, so that their symbols stand on their points)
    (ax, ay), (bx, by) = symbol("HA1", "now"), symbol("SA1", "was")
    assert bx - ax == pytest.approx((1.02 - 2.05) * PER_METRE, abs=0.02)
    assert by - ay == pytest.approx((4.30 + 1.55 - 1.95) * PER_METRE, abs=0.02)


@pytest.mark.parametrize(
    ("tag", "metres"), [("SA1", 0.08), ("SA2", hypot(1.90, 1.25)), ("CU1", 0.40), ("cooker", 0.80)]
)
def test_an_arrow_goes_the_way_of_the_move_and_its_figure_says_how_far(tag: str, metres: float) -> None:
    (head,) = [e for e in having(GROUND, tag=tag, shift="moved") if e.tag == "path"]
    tip, *wings = points(head.get("d", ""))
    neck = (wings[0][0] + wings[1][0]) / 2, (wings[0][1] + wings[1][1]) / 2
    way = {"SA1": 0.0, "SA2": degrees(atan2(1.25, -1.90)), "CU1": 90.0, "cooker": -90.0}[tag]
    found = degrees(atan2(tip[1] - neck[1], tip[0] - neck[0]))
    assert (found - way + 180) % 360 - 180 == pytest.approx(0.0, abs=1.5)
    assert f"{metres:.2f} m" in {e.text for e in having(GROUND, class_="d-mark-figure")}


def test_a_long_arrow_runs_on_the_line_between_the_two_places() -> None:
    (head,) = [e for e in having(GROUND, tag="SA2", shift="moved") if e.tag == "path"]
    (ax, ay), (bx, by), (x, y) = symbol("SA2", "was"), symbol("SA2", "now"), points(head.get("d", ""))[0]
    across = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / hypot(bx - ax, by - ay)
    assert across < 0.05


def test_a_very_short_move_has_an_arrow_long_enough_to_see_beside_its_symbols() -> None:
    (head,) = [e for e in having(GROUND, tag="SA1", shift="moved") if e.tag == "path"]
    tip = points(head.get("d", ""))[0]
    assert abs(tip[1] - symbol("SA1", "now")[1]) > 2.2  # half a symbol
    shafts = [points(e.get("d", "")) for e in having(GROUND, class_="d-shift-halo")]
    (shaft,) = [line for line in shafts if line[-1] == tip]
    assert hypot(shaft[1][0] - shaft[0][0], shaft[1][1] - shaft[0][1]) >= 2.5


def test_outlines_of_a_moved_window_are_its_old_and_new_opening() -> None:
    # the living room starts 1.90 m east; 1.80 m of window, 1.60 m and 1.10 m from its west wall; wall of 0.30 m
    (now,) = having(GROUND, tag="living window", shift="now")
    xs = [x for x, _ in points(now.get("d", ""))]
    assert max(xs) - min(xs) == pytest.approx(1.80 * PER_METRE, abs=0.05)
    (was,) = having(GROUND, tag="living window", shift="was")
    old = [x for x, _ in points(was.get("d", ""))]
    assert max(old) - max(xs) == pytest.approx(0.50 * PER_METRE, abs=0.05)
    assert min(old) == pytest.approx(max(xs), abs=0.05)  # only where there is wall again


def test_faces_of_walls_that_stood_elsewhere_are_dashed_where_they_were() -> None:
    # the east wall of the living room stood at 1.90 + 4.50 m; it is at 1.90 + 4.20 m
    (line,) = having(GROUND, class_="d-earlier-wall", shift="wall")
    east = max(x for x, _ in points(line.get("d", "")))
    assert east - symbol("HA1", "now")[0] == pytest.approx((1.90 + 4.50 - 2.05) * PER_METRE, abs=0.02)
    assert not having(FIRST, class_="d-earlier-wall")


def test_every_change_has_a_shape_of_its_own() -> None:
    shapes = {
        how: "".join(e.get("d", "") for e in having(GROUND, tag=tag, shift=how))
        for how, tag in {
            "added": "FD1", "removed": "KP2", "replaced": "HA1", "moved": "SA2", "re-aimed": "MD1", "higher": "KP1",
        }.items()
    }  # fmt: skip
    kinds = {how: "".join(letter for letter in d if letter.isalpha()) for how, d in shapes.items()}
    assert all(kinds.values())
    assert len(set(kinds.values())) == len(kinds)
    assert "a" in kinds["removed"]  # a ring, and nothing else has one
    assert not [how for how, letters in kinds.items() if "a" in letters and how != "removed"]


def test_a_re_aimed_detector_shows_both_directions() -> None:
    heads = {e.get("data-part"): points(e.get("d", "")) for e in having(GROUND, tag="MD1", shift="re-aimed")}
    start, tip = heads["was"]
    was = degrees(atan2(tip[0] - start[0], start[1] - tip[1])) % 360
    end, *wings = heads["now"]
    neck = (wings[0][0] + wings[1][0]) / 2, (wings[0][1] + wings[1][1]) / 2
    now = degrees(atan2(end[0] - neck[0], neck[1] - end[1])) % 360
    assert was == pytest.approx(290.0, abs=0.5)
    assert now == pytest.approx(315.0, abs=1.5)
    assert "turned 25°" in {e.text for e in having(GROUND, tag="MD1")}


def test_a_device_that_changed_storey_goes_on_one_and_comes_on_the_other() -> None:
    assert having(GROUND, tag="GB1", shift="added")
    assert having(FIRST, tag="GB1", shift="removed")
    called = {storey.id: storey.storey.called for storey in home_of("terrace")[1].storeys}
    assert f"from {called['first']}" in {e.text for e in having(GROUND, tag="GB1")}
    assert f"to {called['ground']}" in {e.text for e in having(FIRST, tag="GB1")}


def test_the_description_tells_every_change_of_the_storey() -> None:
    assert all(shift.says in GROUND.description for shift in changed.shifts())
    assert changed.device("GB1", "moved", "").tag in FIRST.description
    assert "SA2" not in FIRST.description


def test_the_legend_names_what_is_shown_and_nothing_else() -> None:
    entries = {e.text for e in having(FIRST, class_="d-legend")}
    assert "removed" in entries
    assert not entries & {"added", "replaced", "hung higher or lower", "wall face before", "keypad"}


def test_a_device_that_did_not_change_is_drawn_lighter() -> None:
    tags = {e.get("data-tag") for e in having(GROUND, shift="untouched")}
    assert {"CO1", "OC1", "IS1"} <= tags
    assert not tags & {shift.tag for shift in changed.shifts()}


def test_a_storey_without_change_has_no_drawing() -> None:
    home, dwelling = home_of("terrace")
    block, sa2 = block_for(home, "Changes"), changed.device("SA2", "moved", "SA2 moved.")
    assert shifts_plan(dwelling, dwelling, "first", home, block, [sa2]) is None
    assert shifts_plan(dwelling, None, "ground", home, block, []) is None


def test_a_device_without_a_place_on_the_plan_is_named_below_it() -> None:
    home, dwelling = home_of("terrace")
    lost = Shift("SA4", "smoke alarm", "added", None, dwelling.spots["SA4"], "SA4 is new.")
    others = [changed.device("SA2", "moved", "SA2 moved."), lost]
    drawing = shifts_plan(dwelling, None, "ground", home, block_for(home, "Changes"), others)
    assert drawing is not None
    assert "Changed, but without a place on the plan: SA4" in {e.text for e in having(drawing, class_="d-note")}
    assert "SA4 is new." in drawing.description
