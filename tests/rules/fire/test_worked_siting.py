"""The worked cases of siting and coverage, under every rule set they name.

Geometry is invented; the figures are those of the publications named beside each case, known as the rule data say. Where
a table of the cases says "warn", the answer here is *not verified* (a figure from memory, or a reading left open) or
the verdict by a limit borrowed from common practice, which the finding says.
"""

import pytest

from tests.rules.fire.homes import findings, home, verdict

C, F, B, N, X = "conforms", "does not conform", "borderline", "not verified", "not applicable"
NONE, SILENT = "nothing asked", "silent"


def smoke(
    west: float, south: float, room: str = "room", more: str = "", tag: str = "SA1", kind: str = "smoke alarm"
) -> str:
    return f"{tag}: {{kind: {kind}, on: ceiling of {room}, from-west: {west}, from-south: {south}, by: laser{more}}}"


def rectangle(width: float, depth: float, use: str = "living") -> str:
    return f"{{id: room, use: {use}, corner: [0, 0], size: [{width}, {depth}]}}"


# Case 1: corridor 13.0 by 1.2, alarm in the middle, bedroom doors at 1.0 and 12.0; to each door the root of 5.5² + 0.6²
# = 5.53, to the corner the root of 6.5² + 0.6² = 6.53, to the end wall 6.5, to the side wall 0.6.
CORRIDOR = (
    rectangle(13.0, 1.2, "circulation")
    + ", {id: one, use: bedroom, corner: [0, 1.3], size: [3.0, 3.0]}"
    + ", {id: two, use: bedroom, corner: [10.0, 1.3], size: [3.0, 3.0]}"
)
DOORS = (
    "{door: room - one, id: one-door, from-west: 0.6, width: 0.8}, "
    "{door: room - two, id: two-door, from-east: 0.6, width: 0.8}"
)


@pytest.mark.parametrize(
    ("rules", "rule", "subject", "expected"),
    [
        # AD B 2000 1.14a and c, read; BS 5839-6 coverage, from memory; 3 m to bedrooms, read in a summary of 2004
        ("uk-england", "smoke-near-room-door", "one", C),
        ("uk-england", "smoke-covers-room", "room", C),
        ("uk-england", "smoke-clear-of-wall", "SA1", C),
        ("uk-england", "smoke-near-bedroom-door", "one", F),
        ("uk-england", "smoke-along-corridor", "room", C),
        # Scottish Technical Handbook 2.11, from memory: fails nothing
        ("uk-scotland", "smoke-near-bedroom-door", "one", N),
        # NFPA 72-2010 29.5.1.1(2), read in the trade press
        ("us", "smoke-near-bedroom-door", "two", C),
        # DIN 14676: 7.5 m to the end wall is common practice; 0.5 m from walls read in a newspaper
        ("de", "smoke-along-corridor", "room", C),
        ("de", "smoke-clear-of-wall", "SA1", C),
        # fire services and SRVFS 2007:1, read; Denmark has no figure read and borrows the common one
        ("no", "smoke-clear-of-wall", "SA1", C),
        ("se", "smoke-clear-of-wall", "SA1", C),
        ("fi", "smoke-clear-of-wall", "SA1", C),
        ("dk", "smoke-clear-of-wall", "SA1", C),
        ("no", "smoke-area-per-alarm", "ground", C),
        ("se", "smoke-area-per-alarm", "ground", C),
        ("fi", "smoke-area-per-alarm", "ground", C),
        ("no", "smoke-spacing", "ground", X),
        # BCA 2019 3.7.5.5(a)(i), read
        ("au", "smoke-clear-of-wall", "SA1", C),
        # NZS 4514:2021, read at a council; 3 m in older homes, read
        ("nz", "smoke-reaches-walls", "room", F),
        ("nz", "smoke-near-bedroom-door", "one", F),
        # 9.10.19.2(1) of 2006, read
        ("ca", "smoke-near-bedroom-door", "one", F),
        ("ca", "smoke-covers-room", "room", C),
        # Technical Guidance Document B, from memory
        ("ie", "smoke-near-bedroom-door", "one", N),
    ],
)
def test_case_1_a_long_corridor(rules: str, rule: str, subject: str, expected: str) -> None:
    text = home(CORRIDOR, smoke(6.5, 0.6), rules=rules, openings=DOORS)
    assert verdict(rule, subject, text) == expected


def test_case_1_figures() -> None:
    text = home(CORRIDOR, smoke(6.5, 0.6), rules="uk-england", openings=DOORS)
    assert findings("smoke-covers-room", text)["room"].found == pytest.approx(6.53, abs=0.005)
    assert findings("smoke-near-room-door", text)["two"].found == pytest.approx(5.53, abs=0.005)
    assert findings("smoke-along-corridor", text)["room"].found == pytest.approx(6.5)


# Case 2: the edge of the alarm 0.25 from the wall (0.10 across, its middle at 0.30).
@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        ("uk-england", F), ("uk-scotland", N), ("ie", N),  # AD B 2000 1.14c read; the other two from memory
        ("us", NONE),  # no minimum for smoke alarms since 2007, read at an inspector
        ("de", F), ("no", F), ("se", F), ("fi", F),  # 0.5 m, read
        ("dk", F),  # no figure read: borrowed from common practice
        ("au", F),  # BCA 2019 3.7.5.5(a)(i), read
        ("nz", C), ("ca", C),  # 0.20 m of a sketch of 2009, 0.10 m of an inspector
    ],
)  # fmt: skip
def test_case_2_near_the_wall(rules: str, expected: str) -> None:
    text = home(rectangle(5.0, 4.0), smoke(2.5, 0.30, more=", across: 0.10"), rules=rules)
    assert verdict("smoke-clear-of-wall", "SA1", text) == expected


# Case 3: hall 0.80 wide, alarm on the centre line, 0.40 to each wall.
@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        ("uk-england", C), ("uk-scotland", C), ("au", C), ("ie", C), ("ca", C), ("us", NONE),
        ("de", C),  # the centre line of a room no wider than 1.0 m: common practice
        ("no", N), ("se", N), ("fi", N),  # 0.5 m cannot be met, and no exception was found
        ("nz", C),
    ],
)  # fmt: skip
def test_case_3_a_hall_too_narrow(rules: str, expected: str) -> None:
    text = home(rectangle(5.0, 0.8, "circulation"), smoke(2.5, 0.40), rules=rules)
    assert verdict("smoke-clear-of-wall", "SA1", text) == expected


def test_case_3_the_centre_line_is_named_as_the_best_place() -> None:
    on = home(rectangle(5.0, 0.8, "circulation"), smoke(2.5, 0.40), rules="no")
    off = home(rectangle(5.0, 0.8, "circulation"), smoke(2.5, 0.25), rules="no")
    assert "the centre line is the best place" in findings("smoke-clear-of-wall", on)["SA1"].says
    assert verdict("smoke-clear-of-wall", "SA1", off) == F
    assert verdict("smoke-clear-of-wall", "SA1", off.replace("rules: no", "rules: de")) == F


# Case 4: closed kitchen 5.0 by 4.0, heat alarm in the middle; to the corner the root of 2.5² + 2.0² = 3.20.
@pytest.mark.parametrize(
    ("rules", "rule", "subject", "expected"),
    [
        ("uk-england", "heat-covers-room", "room", C), ("uk-scotland", "heat-covers-room", "room", C),
        ("uk-northern-ireland", "heat-covers-room", "room", C), ("ie", "heat-covers-room", "room", C),
        ("uk-england", "heat-clear-of-wall", "HA1", C),
        ("de", "heat-clear-of-wall", "HA1", NONE),  # DIN 14676 is about smoke alarms only, read
        ("us", "heat-covers-room", "room", NONE), ("ca", "heat-covers-room", "room", NONE),
        ("au", "heat-covers-room", "room", NONE),
        # 2.5 m to the walls would do, but the council says 5 m of smoke alarms, and this room has none
        ("nz", "smoke-reaches-walls", "room", SILENT),
    ],
)  # fmt: skip
def test_case_4_a_closed_kitchen(rules: str, rule: str, subject: str, expected: str) -> None:
    text = home(rectangle(5.0, 4.0, "kitchen"), smoke(2.5, 2.0, tag="HA1", kind="heat alarm"), rules=rules)
    assert verdict(rule, subject, text) == expected


# Case 5: open plan 9.0 by 5.0, the kitchen from 5.0 on; smoke alarm at (2.5, 2.5), heat alarm at (7.5, 2.5), hob at
# (8.5, 0.6). Smoke to the furthest corner the root of 6.5² + 2.5² = 6.96, heat to that of the kitchen 3.54, heat to that
# of the whole 7.91, smoke to the hob 6.29; 45 m².
OPEN = (
    "{id: living, use: living, corner: [0, 0], size: [5.0, 5.0]}, "
    "{id: kitchen, use: kitchen, corner: [5.0, 0], size: [4.0, 5.0]}"
)
ARCH = "{archway: living - kitchen, id: arch, from-south: 0.0, width: 5.0, height: 2.40}"
HOB = "{cooker: kitchen, from-west: 3.5, from-south: 0.6, by: laser}"
OPEN_SMOKE = smoke(2.5, 2.5, "living", ", sensing: {sensing}, silences: no")
OPEN_HEAT = smoke(2.5, 2.5, "kitchen", tag="HA1", kind="heat alarm")


def open_plan(rules: str, *, sensing: str = "optical", alone: bool = False) -> str:
    devices = OPEN_HEAT if alone else f"{OPEN_SMOKE.replace('{sensing}', sensing)}, {OPEN_HEAT}"
    return home(OPEN, devices, rules=rules, openings=ARCH, fittings=HOB)


@pytest.mark.parametrize(
    ("rules", "rule", "subject", "expected"),
    [
        ("uk-england", "smoke-covers-room", "living", C), ("uk-england", "heat-covers-room", "kitchen", C),
        ("ie", "smoke-covers-room", "living", C), ("ie", "heat-covers-room", "kitchen", C),
        ("uk-scotland", "smoke-covers-room", "living", C), ("uk-scotland", "heat-covers-room", "kitchen", C),
        ("uk-northern-ireland", "heat-alone-in-open-plan", "living", SILENT),
        ("us", "smoke-clear-of-cooker", "SA1", C),
        ("de", "smoke-area-per-alarm", "living", C), ("de", "smoke-covers-room", "living", C),
        ("no", "smoke-area-per-alarm", "ground", C), ("se", "smoke-area-per-alarm", "ground", C),
        ("fi", "smoke-area-per-alarm", "ground", C),
        ("no", "smoke-spacing", "ground", C), ("se", "smoke-spacing", "ground", C), ("dk", "smoke-spacing", "ground", C),
        # smoke alarm 6.5 from the east wall, heat alarm 1.5: whether it counts the council does not say
        ("nz", "smoke-reaches-walls", "living", N),
        ("au", "smoke-covers-room", "living", NONE),
        ("ca", "smoke-covers-room", "living", C),
    ],
)  # fmt: skip
def test_case_5_open_plan(rules: str, rule: str, subject: str, expected: str) -> None:
    assert verdict(rule, subject, open_plan(rules)) == expected


def test_case_5_figures_and_an_ionisation_alarm() -> None:
    text = open_plan("us", sensing="ionisation")
    finding = findings("smoke-clear-of-cooker", text)["SA1"]
    assert finding.verdict.value == C  # 907.2.11.3 to 2021, read as reprinted: 20 ft = 6.096 m
    assert finding.margin == pytest.approx(0.197, abs=0.001)
    assert findings("smoke-covers-room", open_plan("uk-england"))["living"].found == pytest.approx(6.96, abs=0.005)
    assert findings("heat-covers-room", open_plan("uk-england"))["kitchen"].found == pytest.approx(3.54, abs=0.005)


def test_case_5_the_heat_alarm_alone_does_not_reach_all_of_it() -> None:
    # SR (NI) 2024/123 as a council sums it up, read: 7.5 m from every point of the open-plan room
    finding = findings("heat-alone-in-open-plan", open_plan("uk-northern-ireland", alone=True))["living"]
    assert finding.verdict.value == F
    assert finding.found == pytest.approx(7.91, abs=0.005)


# Case 6: ridge over the middle of a room 4.0 m deep, pitch 40 degrees: rise 2.0 tan 40 = 1.678. At 0.40 straight down the
# alarm is 0.40 / tan 40 = 0.477 off the ridge on the plan, and 0.40 / sin 40 = 0.622 down the slope.
GABLE = "{ridged: {low: 1.0, high: 2.6782, ridge: east-west}}"


def gable(rules: str, down: float = 0.40, *, tag: str = "SA1", kind: str = "smoke alarm") -> str:
    off = down / 0.8391
    device = smoke(2.5, round(2.0 - off, 4), tag=tag, kind=kind)
    return home(rectangle(5.0, 4.0, "bedroom"), device, rules=rules, height=GABLE)


@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        # read in the trade press, and in a copy of public guidance; an older summary of BS 5839-6 that gives 900 mm on the
        # plan is named in the limit and does not decide
        ("uk-england", C), ("us", C),
        ("de", N), ("au", N), ("nz", N),  # a window whose direction no source gives
        ("uk-scotland", C), ("ie", C),  # from memory, and met
        ("no", N), ("se", N),  # "the highest point"
        ("dk", NONE), ("ca", NONE), ("fi", NONE),  # no figure, and the one of common practice is never borrowed
    ],
)  # fmt: skip
def test_case_6_under_a_gable(rules: str, expected: str) -> None:
    assert verdict("smoke-below-ridge", "SA1", gable(rules)) == expected


def test_case_6_the_three_figures_are_told() -> None:
    says = findings("smoke-below-ridge", gable("de"))["SA1"].says
    assert "0.40 m straight down, 0.48 m on the plan and 0.62 m down the slope from the ridge" in says
    assert "does not say which way" in says


@pytest.mark.parametrize("rules", ["uk-england", "us", "de", "au"])
def test_case_6_a_place_that_pleases_four_rule_sets(rules: str) -> None:
    assert verdict("smoke-below-ridge", "SA1", gable(rules, 0.55)) == C


# Case 7: a heat alarm at the same place. BS 5839-6, 150 mm, from memory and certain; the others from memory.
@pytest.mark.parametrize(
    ("rules", "expected"), [("uk-england", F), ("uk-scotland", N), ("ie", N), ("us", C), ("de", NONE), ("au", NONE)]
)
def test_case_7_a_heat_alarm_under_a_gable(rules: str, expected: str) -> None:
    assert verdict("heat-below-ridge", "HA1", gable(rules, tag="HA1", kind="heat alarm")) == expected


# Case 8: beam 0.30 deep across the middle of 8.0 by 5.0 under 2.40, one alarm 0.50 from it; a tenth of 2.40 is 0.24.
def beam(rules: str, depth: float = 0.30, away: float = 0.50) -> str:
    fitting = f"{{beam: room, from-west: 4.0, depth: {depth}, by: laser}}"
    return home(rectangle(8.0, 5.0), smoke(4.0 - away, 2.5), rules=rules, fittings=fitting)


@pytest.mark.parametrize(
    ("rules", "rule", "subject", "depth", "expected"),
    [
        ("uk-england", "alarm-each-side-of-beam", "room", 0.30, F),
        ("uk-england", "alarm-each-side-of-beam", "room", 0.20, C),
        ("uk-england", "alarm-clear-of-beam", "SA1", 0.20, C),  # 2 x 0.20 = 0.40
        ("de", "alarm-each-side-of-beam", "room", 0.30, C),  # bays of 20 m², passed over up to 36 m²: common practice
        ("de", "smoke-area-per-alarm", "room", 0.30, C),
        ("nz", "alarm-each-side-of-beam", "room", 0.30, C), ("nz", "alarm-clear-of-beam", "SA1", 0.30, C),
        ("uk-scotland", "alarm-each-side-of-beam", "room", 0.30, N), ("ie", "alarm-each-side-of-beam", "room", 0.30, N),
        # exactly on 0.50: within what the laser may be out, so borderline where the table says that it passes
        ("de", "alarm-clear-of-beam", "SA1", 0.30, B), ("se", "alarm-clear-of-beam", "SA1", 0.30, B),
        ("fi", "alarm-clear-of-beam", "SA1", 0.30, B),
        # no figure read: borrowed from common practice
        ("us", "alarm-clear-of-beam", "SA1", 0.30, B), ("au", "alarm-clear-of-beam", "SA1", 0.30, B),
        ("no", "alarm-clear-of-beam", "SA1", 0.30, B), ("dk", "alarm-clear-of-beam", "SA1", 0.30, B),
        ("ca", "alarm-clear-of-beam", "SA1", 0.30, B),
    ],
)  # fmt: skip
def test_case_8_a_beam(rules: str, rule: str, subject: str, depth: float, expected: str) -> None:
    assert verdict(rule, subject, beam(rules, depth)) == expected


def test_case_8_a_second_alarm_puts_the_bays_right() -> None:
    two = beam("uk-england").replace("devices: {", "devices: {" + smoke(6.0, 2.5, tag="SA2") + ", ")
    assert verdict("alarm-each-side-of-beam", "room", two) == C
    # each bay is 4.0 by 5.0 and now judged by its own alarm: from (3.5, 2.5) to (0, 0) the root of 3.5² + 2.5²
    assert findings("smoke-covers-room", two)["room"].found == pytest.approx(4.30, abs=0.005)


# Case 9: on a wall, the upper edge 0.20 and 0.35 below a ceiling of 2.40; the alarm is 0.10 across.
@pytest.mark.parametrize(
    ("rules", "high", "low"),
    [
        ("uk-england", C, F), ("uk-scotland", F, F), ("us", C, F), ("ca", C, F),
        ("de", N, C),  # 0.30 to 0.50 is common practice of medium confidence: it fails nothing
        ("au", F, C),
        ("nz", C, N),  # a sketch of low quality: it fails nothing
        ("ie", C, N),  # the window was read of BS 5839-6; that Ireland follows it is from memory
        ("no", F, F), ("se", F, F), ("fi", F, F),
        ("dk", C, F),  # borrowed from common practice
    ],
)  # fmt: skip
def test_case_9_on_a_wall(rules: str, high: str, low: str) -> None:
    for z, expected in ((2.15, high), (2.00, low)):
        device = (
            f"SA1: {{kind: smoke alarm, in: room, wall: west, from-south: 2.0, height: {z}, across: 0.10, by: laser}}"
        )
        text = home(rectangle(5.0, 4.0), device, rules=rules)
        assert verdict("smoke-wall-mounted", "SA1", text) == expected


WITHOUT_A_FIGURE = ("uk-england", "uk-scotland", "ie", "de", "no", "se", "fi", "dk", "au", "ca", "nz")


# Case 10: optical alarm in a hall, 0.80 from the door of a bathroom with a shower, 2.50 from a hob.
def hall(rules: str, sensing: str = "optical") -> str:
    rooms = rectangle(6.0, 3.0, "circulation") + ", {id: bath, use: bathroom, corner: [-2.1, 0], size: [2.0, 2.0]}"
    door = "{door: room - bath, id: bath-door, from-south: 0.5, width: 0.8}"
    hob = "{cooker: room, from-west: 3.3, from-south: 0.9, by: laser}"
    device = smoke(0.8, 0.9, more=f", sensing: {sensing}, silences: no")
    return home(rooms, device, rules=rules, openings=door, fittings=hob)


@pytest.mark.parametrize(
    ("rules", "rule", "expected"),
    [
        ("us", "smoke-clear-of-bathroom-door", F),  # 36 in, read at a state authority
        ("us", "smoke-clear-of-cooker", N),  # 2.50 < 3.048, but 1.829 is allowed where needed: IRC 2024 R310.3.1, read
        # no figure read: borrowed from common practice, which asks for 0.90 and 3.00
        *((rules, "smoke-clear-of-bathroom-door", F) for rules in WITHOUT_A_FIGURE),
        *((rules, "smoke-clear-of-cooker", F) for rules in WITHOUT_A_FIGURE),
    ],
)
def test_case_10_bathroom_and_hob(rules: str, rule: str, expected: str) -> None:
    finding = findings(rule, hall(rules))["SA1"]
    assert finding.verdict.value == expected
    assert ("has no limit here" in finding.says) == (rules != "us")


def test_case_10_an_ionisation_alarm_without_silence_fails_at_once() -> None:
    assert verdict("smoke-clear-of-cooker", "SA1", hall("us", "ionisation")) == F


# Case 13: 9.4 by 7.2 = 67.7 m², one alarm in the middle; to the corner the root of 4.7² + 3.6² = 5.92.
@pytest.mark.parametrize(
    ("rules", "rule", "subject", "expected"),
    [
        ("uk-england", "smoke-covers-room", "room", C),
        ("de", "smoke-area-per-alarm", "room", F), ("de", "smoke-covers-room", "room", C),
        ("no", "smoke-area-per-alarm", "ground", F), ("se", "smoke-area-per-alarm", "ground", F),
        ("fi", "smoke-area-per-alarm", "ground", F),
        ("us", "smoke-on-big-floor", "ground", X),  # 67.7 is below 92.9 m²
        ("nz", "smoke-reaches-walls", "room", C),
        ("ca", "smoke-covers-room", "room", C),
        ("au", "smoke-covers-room", "room", NONE),
    ],
)  # fmt: skip
def test_case_13_a_big_room(rules: str, rule: str, subject: str, expected: str) -> None:
    assert verdict(rule, subject, home(rectangle(9.4, 7.2), smoke(4.7, 3.6), rules=rules)) == expected
