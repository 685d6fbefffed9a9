"""Just inside, on and just outside the limits of the rules on rooms, links, power, age and dates."""

import pytest

from tests.rules.carbon_monoxide.homes import C, F, N, Verdict, X, said, verdict

HALL = "{id: hall, use: circulation, corner: [0, 0], size: [2.0, 4.0]}"


def alarm(more: str, tag: str = "SA1", kind: str = "smoke alarm") -> str:
    return f"{tag}: {{kind: {kind}, in: hall{', ' if more else ''}{more}}}"


def of(rule: str, more: str, rules: str, on: str = "2026-11-25", **parts: str) -> Verdict | None:
    return verdict(rule, "SA1", on=on, rules=rules, rooms=HALL, devices=alarm(more), **parts)


# BS 5839-6 clause 15 (from memory): 72 h; NBC 9.10.19.4 (from memory): 7 days; NFPA 72 (from memory, medium): 24 h.
@pytest.mark.parametrize(
    ("rules", "hours", "given"),
    [("uk-england", "71 h", F), ("uk-england", "72 h", C), ("uk-england", "73 h", C), ("ca", "167 h", F),
     ("ca", "168 h", C), ("us", "23 h", N), ("us", "24 h", C), ("nz", "1 h", X)],
)  # fmt: skip
def test_standby(rules: str, hours: str, given: Verdict) -> None:
    assert of("alarm-standby", f"power: mains, standby: {hours}", rules) is given


def test_standby_without_evidence_and_of_a_battery_alarm() -> None:
    assert of("alarm-standby", "power: mains", "uk-england") is N
    assert of("alarm-standby", "power: battery", "uk-england") is X


# EN 14604: 1 year; New Zealand tenancy regulations of 2016: 8 years.
@pytest.mark.parametrize(
    ("rules", "life", "given"),
    [("de", "0.9 years", F), ("de", "1 year", C), ("nz", "7.9 years", F), ("nz", "8 years", C), ("nz", "10 years", C)],
)
def test_battery_life(rules: str, life: str, given: Verdict) -> None:
    assert of("alarm-battery-life", f'power: battery, battery: "sealed, {life}"', rules, home=", rented: yes") is given


def test_a_demand_on_rented_homes_leaves_a_home_of_ones_own_alone() -> None:
    short = 'power: battery, battery: "sealed, 1 year"'
    assert of("alarm-battery-life", short, "nz", home=", rented: no") is X
    assert of("alarm-battery-life", short, "nz", home=", rented: yes") is F
    assert of("alarm-battery-life", short, "nz") is N


def test_a_battery_alarm_is_wrong_in_new_homes_alone_in_england() -> None:
    battery = 'power: battery, battery: "sealed, 10 years"'
    for home, given in ((", new: yes", F), (", new: no", X), ("", N)):
        assert of("alarm-power", battery, "uk-england", home=home) is given


# England, rented homes (SI 2015/1693 as amended): law there, a code elsewhere; what the law asks cannot be agreed away.
@pytest.mark.parametrize(("rented", "severity"), [("yes", "law"), ("no", "code")])
def test_law_is_law_only_in_rented_homes(rented: str, severity: str) -> None:
    home = f", rented: {rented}"
    finding = said("smoke-on-every-storey", "ground", rules="uk-england", rooms=HALL, home=home)
    assert finding is not None
    assert finding.verdict is F
    assert finding.limit.severity == severity


@pytest.mark.parametrize(
    ("feed", "given"),
    [('power: mains, battery: "sealed, 10 years"', C), ("power: mains", C), ("power: battery, battery: sealed", C),
     ("power: battery, battery: 2 x AA", F), ("power: battery", N), ("", N)],
)  # fmt: skip
def test_scotland_takes_mains_or_a_sealed_battery(feed: str, given: Verdict) -> None:
    assert of("alarm-power", feed, "uk-scotland") is given


def test_new_work_in_scotland_takes_mains_with_standby_alone() -> None:
    assert of("alarm-power", "power: battery, battery: sealed", "uk-scotland", home=", new: yes") is F
    assert of("alarm-power", "power: mains", "uk-scotland", home=", new: yes") is N


# BS 5839-6:2019+A1:2020 clause 7, read in trade press.
@pytest.mark.parametrize(
    ("grade", "feed", "given"),
    [("D1", 'power: mains, battery: "sealed, 10 years"', C), ("D1", "power: mains, battery: 9 V block", F),
     ("D2", "power: mains, battery: 9 V block", C), ("F1", 'power: battery, battery: "sealed, 10 years"', C),
     ("F1", "power: battery, battery: 2 x AA", F), ("F2", "power: battery, battery: 2 x AA", C),
     ("F2", "power: mains", F), ("F2", "power: battery", C), ("A", "power: mains", X)],
)  # fmt: skip
def test_alarms_as_their_grade_says(grade: str, feed: str, given: Verdict) -> None:
    assert of("alarm-grade", feed, "uk-england", system=f"{{fire-grade: {grade}}}") is given


def test_two_groups_of_linked_alarms_are_not_one() -> None:
    four = ", ".join(
        alarm(f"linked: [{other}]", tag)
        for tag, other in (("SA1", "SA2"), ("SA2", "SA1"), ("SA3", "SA4"), ("SA4", "SA3"))
    )
    assert verdict("alarms-linked", "SA1", rooms=HALL, devices=four) is F
    chain = ", ".join(
        alarm(f"linked: [{other}]", tag) for tag, other in (("SA1", "SA2"), ("SA2", "SA3"), ("SA3", "SA2"))
    )
    assert verdict("alarms-linked", "SA1", rooms=HALL, devices=chain) is C
    unsaid = f"{alarm('linked: [SA2]')}, {alarm('linked: [SA1]', 'SA2')}, {alarm('', 'SA3')}"
    assert verdict("alarms-linked", "SA1", rooms=HALL, devices=unsaid) is N
    assert verdict("alarms-linked", "SA3", rooms=HALL, devices=unsaid) is N


# DIN 14676 (read): single and linked alarms are both allowed.
def test_germany_does_not_ask_for_a_link() -> None:
    two = f"{alarm('linked: []')}, {alarm('linked: []', 'SA2')}"
    assert verdict("alarms-linked", "SA1", rules="de", rooms=HALL, devices=two) is X


@pytest.mark.parametrize(
    ("rules", "on", "given"),
    [("us", "2027-03-31", C), ("us", "2027-04-01", F), ("no", "2025-03-31", C), ("no", "2025-04-01", N),
     ("no", "2027-03-31", N), ("no", "2027-04-01", F)],
)  # fmt: skip
def test_ten_years_end_with_the_month_of_making(rules: str, on: str, given: Verdict) -> None:
    assert of("smoke-within-life", "made: 2017-03", rules, on) is given


@pytest.mark.parametrize(("on", "given"), [("2027-12-01", C), ("2027-12-02", F)])
def test_the_german_life_counts_from_commissioning(on: str, given: Verdict) -> None:
    visits = "{date: 2017-06-01, kind: commissioning, by: T3}"
    assert of("smoke-within-life", "made: 2017-03", "de", on, visits=visits) is given


def test_a_date_of_the_maker_beats_the_usual_life() -> None:
    assert of("smoke-within-life", "made: 2010-01, replace-by: 2026-11", "common") is C
    assert of("smoke-within-life", "made: 2024-01, replace-by: 2026-10", "common") is F


def test_an_alarm_fitted_ten_years_ago_is_too_old_whenever_it_was_made() -> None:
    assert of("smoke-within-life", "fitted: 2016-11-24", "common") is F
    assert of("smoke-within-life", "fitted: 2016-11-26", "common") is N
    assert of("smoke-within-life", "", "common") is N


@pytest.mark.parametrize(("day", "given"), [("2026-10-25", C), ("2026-10-24", F)])
def test_a_month_between_tests_is_thirty_one_days(day: str, given: Verdict) -> None:
    visits = f"{{date: {day}, kind: household test, by: householder, tests: {{SA1: {{button: sounded}}}}}}"
    assert of("alarm-test-in-time", "", "us", visits=visits) is given


# An alarm 3.0 m from the bedroom door serves in an older home (F7/AS1, New Zealand). The door's middle is at (1.0, 4.0).
@pytest.mark.parametrize(
    ("south", "home", "given"),
    [("1.1", ", new: no", C), ("1.0", ", new: no", C), ("0.9", ", new: no", F), ("1.1", "", N), ("1.1", ", new: yes", F),
     ("0.9", "", F)],
)  # fmt: skip
def test_a_bedroom_borrows_from_the_hall_in_an_older_home(south: str, home: str, given: Verdict) -> None:
    rooms = f'{HALL}, {{id: bed, use: bedroom, beside: "north of hall, flush west", size: [3.0, 3.0]}}'
    door = "{door: hall - bed, id: d1, from-west: 0.6, width: 0.8}"
    device = f"SA1: {{kind: smoke alarm, on: ceiling of hall, from-west: 1.0, from-south: {south}}}"
    parts = {"rooms": rooms, "openings": door, "devices": device, "home": home}
    assert verdict("smoke-in-bedroom", "bed", rules="nz", **parts) is given


# BS 5839-6: LD3 circulation alone; LD2 living room and kitchen too; LD1 every room.
@pytest.mark.parametrize(
    ("category", "living", "kitchen", "study"),
    [("LD1", F, F, F), ("LD2", F, F, X), ("LD3", X, X, X)],
)
def test_categories_ask_for_more_and_more_rooms(
    category: str, living: Verdict, kitchen: Verdict, study: Verdict
) -> None:
    rooms = ", ".join(
        f"{{id: {use}, use: {use}, corner: [{at}, 0], size: [3.0, 3.0]}}"
        for use, at in (("living", 0), ("kitchen", 3.1), ("study", 6.2))
    )
    system = f"{{fire-category: {category}}}"
    asked = [("smoke-in-living-room", "living"), ("heat-in-kitchen", "kitchen"), ("alarm-in-other-rooms", "study")]
    found = [verdict(rule, room, rules="uk-england", rooms=rooms, system=system) for rule, room in asked]
    assert found == [living, kitchen, study]


# Approved Document B 2006, 1.13: whatever the category, where no door parts kitchen and hall.
def test_a_kitchen_open_to_the_hall_needs_a_heat_alarm_even_in_the_least_category() -> None:
    rooms = f"{HALL}, {{id: kitchen, use: kitchen, corner: [2.1, 0], size: [3.0, 3.0]}}"
    system = "{fire-category: LD3}"
    for kind, given in (("archway", F), ("door", None)):
        opening = f"{{{kind}: hall - kitchen, id: way, from-south: 1.0, width: 0.9}}"
        parts = {"rooms": rooms, "openings": opening, "system": system}
        assert verdict("heat-in-open-kitchen", "kitchen", rules="uk-england", **parts) is given


def test_the_living_room_most_used_is_the_one_asked() -> None:
    for flag, given in ((", most-used: yes", X), ("", N)):
        rooms = (
            f"{{id: front, use: living, corner: [0, 0], size: [3.0, 3.0]{flag}}}, "
            "{id: back, use: living, corner: [3.1, 0], size: [3.0, 3.0]}"
        )
        device = "SA1: {kind: smoke alarm, in: front}"
        assert verdict("smoke-in-living-room", "back", rules="uk-scotland", rooms=rooms, devices=device) is given
        assert verdict("smoke-in-living-room", "front", rules="uk-scotland", rooms=rooms, devices=device) is C


@pytest.mark.parametrize(("means", "given"), [("low tone", C), ("light", C), ("shaking", C), ("sound", F)])
def test_someone_hard_of_hearing_needs_another_means(means: str, given: Verdict) -> None:
    room = "{id: bed, use: bedroom, corner: [0, 0], size: [3.0, 3.0]}"
    device = f"SA1: {{kind: smoke alarm, in: bed, wakes-by: [{means}]}}"
    parts = {"rooms": room, "devices": device, "household": "{hard-of-hearing: {bed: 1}}"}
    assert verdict("woken-without-hearing", "bed", **parts) is given
    assert verdict("woken-without-hearing", "bed", **{**parts, "devices": ""}) is F
    assert verdict("woken-without-hearing", "bed", **{**parts, "household": "{}"}) is None


# Law of rented homes alone: New Zealand tenancy regulations of 2016, Queensland; SR (NI) 2024/123.
@pytest.mark.parametrize(
    ("rule", "rules", "rented", "otherwise"),
    [("smoke-sensing", "nz", "law", "advice"), ("alarm-test-in-time", "au-queensland", "law", "advice"),
     ("alarm-test-in-time", "ca", "code", "advice")],
)  # fmt: skip
def test_what_is_law_of_rented_homes_is_advice_elsewhere(rule: str, rules: str, rented: str, otherwise: str) -> None:
    for home, severity in ((", rented: yes", rented), (", rented: no", otherwise), ("", otherwise)):
        finding = said(rule, "SA1", rules=rules, rooms=HALL, devices=alarm("sensing: ionisation"), home=home)
        assert finding is not None
        assert finding.limit.severity == severity


def test_a_norwegian_kitchen_without_a_detector_is_not_told_that_a_smoke_alarm_alone_would_do() -> None:
    finding = said(
        "heat-in-kitchen", "kitchen", rules="no", rooms="{id: kitchen, use: kitchen, corner: [0, 0], size: [3.0, 3.0]}"
    )
    assert finding is not None
    assert finding.verdict is F
    assert "no smoke alarm or heat alarm" in finding.says


# Local authority building control: no smoke alarm in bathrooms and garages; Finnish rescue advice: bathroom and kitchen.
@pytest.mark.parametrize(
    ("rules", "use", "given"),
    [("uk-scotland", "bathroom", F), ("uk-scotland", "garage", F), ("uk-scotland", "kitchen", C), ("fi", "kitchen", F),
     ("fi", "garage", C), ("common", "bathroom", X)],
)  # fmt: skip
def test_a_smoke_alarm_is_not_where_steam_or_fumes_are_usual(rules: str, use: str, given: Verdict) -> None:
    rooms = f"{{id: hall, use: {use}, corner: [0, 0], size: [2.0, 4.0]}}"
    finding = said("smoke-not-in-fumes", "SA1", rules=rules, rooms=rooms, devices=alarm(""))
    assert finding is not None
    assert finding.verdict is given
    if given is F:
        assert "before this one comes down" in finding.remedy
