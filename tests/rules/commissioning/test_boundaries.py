"""The rules on people, tests, visits and hand-over: just inside, on, just outside, and without evidence.

Sources stand beside each limit in the rules' data; what is tested here is that the figure in the data is applied to the
right thing in the right direction. Where nothing else is said the limit is common practice, no source.
"""

from datetime import date

import pytest

from asfitted.rules.finding import Verdict
from tests.rules.commissioning.homes import ALARM, CONTACT, MOTION, UNIT, visit, visits
from tests.rules.conftest import Ask

F, B, C, N, X = Verdict.FAILS, Verdict.BORDERLINE, Verdict.CONFORMS, Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE


def keyholders(words: str) -> str:
    return f"{{keyholders: {{{words}}}}}"


# United Kingdom 20 min: police policy, read in a guarding firm's summary. United States 15 min: one city's code, read.
@pytest.mark.parametrize(
    ("rules", "within", "verdict"),
    [("uk-wales", "20 min", C), ("uk-wales", "21 min", F), ("us", "15 min", C), ("us", "16 min", F),
     ("common", "90 min", X), ("de", "90 min", X)],
)  # fmt: skip
def test_how_soon_keyholders_come(ask: Ask, rules: str, within: str, verdict: Verdict) -> None:
    told = keyholders(f"named: 2, within: {within}")
    assert ask("keyholders-in-time", "home", UNIT, rules=rules, household=told).verdict is verdict


@pytest.mark.parametrize(("day", "verdict"), [("2025-11-24", C), ("2025-11-23", F), ("2027-01-01", N)])
def test_keyholders_agree_every_year(ask: Ask, day: str, verdict: Verdict) -> None:
    told = keyholders(f"named: 2, confirmed: {day}")
    assert ask("keyholders-confirmed", "home", UNIT, household=told).verdict is verdict


@pytest.mark.parametrize("rule", ["keyholders-shown", "keyholders-confirmed"])
def test_nobody_named_is_told_of_by_one_rule_only(ask: Ask, rule: str) -> None:
    assert ask(rule, "home", UNIT, household=keyholders("named: 0")).verdict is X
    assert ask(rule, "home", UNIT).verdict is X
    assert ask(rule, "home", ALARM).verdict is X
    assert ask("keyholders", "home", UNIT).verdict is N


@pytest.mark.parametrize(
    ("name", "verdict"),
    [("zone 3", F), ("Zone-3", F), ("7", F), ("sensor 12", F), ("No. 4", F), ("hall motion", C), ("zone 3 hall", C),
     ("bedroom 2", C)],
)  # fmt: skip
def test_a_number_is_no_name(ask: Ask, name: str, verdict: Verdict) -> None:
    device = f"MD1: {{kind: motion detector, in: living, corner: north-east, height: 2.2, name: '{name}'}}"
    assert ask("device-named", "MD1", device).verdict is verdict


# UL 1641:2015 15.3.1, read in an excerpt: within 4 steps of 610 mm.
@pytest.mark.parametrize(("steps", "verdict"), [(3, C), (4, C), (5, F)])
@pytest.mark.parametrize("rules", ["common", "us", "de"])
def test_steps_until_someone_is_detected(ask: Ask, rules: str, steps: int, verdict: Verdict) -> None:
    told = visit("2026-10-01", "service", f"tests: {{MD1: {{walk: detected, steps: {steps}}}}}")
    assert ask("walk-test-steps", "MD1", MOTION, rules=rules, visits=told).verdict is verdict


# A tenth either way: CP-01 committee draft of 2009, read.
@pytest.mark.parametrize(("entry", "verdict"), [("27 s", C), ("26.9 s", F), ("30 s", C), ("33 s", C), ("33.1 s", F)])
def test_the_entry_time_by_the_clock(ask: Ask, entry: str, verdict: Verdict) -> None:
    told = visit("2026-10-01", "service", f"entry-time: {entry}", "exit-time: 60 s")
    system = "{entry-time: 30 s, exit-time: 60 s}"
    assert ask("times-clocked", "home", MOTION, system=system, visits=told).verdict is verdict


def test_one_of_the_two_times_alone_does_not_conform_but_can_fail(ask: Ask) -> None:
    system = "{entry-time: 30 s, exit-time: 60 s}"
    good = visit("2026-10-01", "service", "entry-time: 30 s")
    bad = visit("2026-10-01", "service", "entry-time: 50 s")
    assert ask("times-clocked", "home", MOTION, system=system, visits=good).verdict is N
    assert ask("times-clocked", "home", MOTION, system=system, visits=bad).verdict is F


@pytest.mark.parametrize(
    ("rules", "grade", "verdict"), [("common", "1", N), ("fr", "1", X), ("fr", "2", N), ("fr", "3", N)]
)
def test_the_cover_of_a_detector_is_tested_from_grade_two(ask: Ask, rules: str, grade: str, verdict: Verdict) -> None:
    # EN 50131-1 clause 8.7, from memory, medium confidence.
    system, device = f"{{intruder-grade: {grade}}}", MOTION.replace("}", ", tamper: cover}")
    assert ask("tamper-tested", "MD1", device, rules=rules, system=system).verdict is verdict


@pytest.mark.parametrize(("rules", "verdict"), [("common", N), ("us", N), ("fr", X), ("uk-wales", X)])
def test_a_device_of_unknown_tamper_signal_is_told_of_by_one_rule_only(ask: Ask, rules: str, verdict: Verdict) -> None:
    assert ask("tamper-tested", "MD1", MOTION, rules=rules).verdict is verdict
    by_grade = ask("tamper-by-grade", "MD1" if verdict is X else "home", MOTION, rules=rules)
    assert by_grade.verdict is (N if verdict is X else X)


@pytest.mark.parametrize(("test", "verdict"), [("button: sounded", N), ("button: sounded, smoke: 9 s", C)])
def test_the_button_alone_is_not_smoke(ask: Ask, test: str, verdict: Verdict) -> None:
    told = visit("2026-10-01", "service", f"tests: {{SA1: {{{test}}}}}")
    assert ask("alarm-tried-with-smoke-heat-gas", "SA1", ALARM, visits=told).verdict is verdict


@pytest.mark.parametrize(
    ("rule", "settings", "test", "verdict"),
    [("device-tested", "wired-to: nothing", "mains-off: held, path-mobile: received", C),
     ("device-tested", "wired-to: router", "mains-off: held, path-mobile: received", N),
     ("device-tested", "wired-to: router", "mains-off: held, path-wired: received", C),
     ("device-tested", "second-path: none", "mains-off: held, path-wired: received", C),
     ("device-tested", "second-path: radio", "mains-off: held, path-wired: received", N),
     ("device-tested", "second-path: radio", "mains-off: held, path-mobile: lost", F),
     ("device-tested", "wired-to: router", "path-wired: received", N),
     ("standby-test-timed", "standby: 12 h", "mains-off: held, held-for: 0 s", N),
     ("standby-test-timed", "standby: 12 h", "mains-off: held", N),
     ("standby-test-timed", "standby: 12 h", "mains-off: held, held-for: 20 min", C)],
)  # fmt: skip
def test_each_path_and_the_battery_are_proven_by_their_own_test(
    ask: Ask, rule: str, settings: str, test: str, verdict: Verdict
) -> None:
    unit = f"CU1: {{kind: control unit, in: hall, {settings}}}"
    told = visit("2026-10-01", "commissioning", f"tests: {{CU1: {{{test}}}}}")
    assert ask(rule, "CU1", unit, visits=told).verdict is verdict


def test_a_failed_test_counts_until_a_good_one_follows(ask: Ask) -> None:
    bad = visit("2026-09-01", "service", "tests: {OC1: {unlatched: silent}}")
    good = visit("2026-10-01", "call-out", "tests: {OC1: {unlatched: signalled}}")
    assert ask("contact-unlatched-tested", "OC1", CONTACT, visits=bad).verdict is F
    assert ask("contact-unlatched-tested", "OC1", CONTACT, visits=visits(bad, good)).verdict is C


@pytest.mark.parametrize(
    ("sent", "on", "verdict"),
    [("2026-10-11", date(2026, 11, 25), C), ("2026-10-12", date(2026, 11, 25), F), (None, date(2026, 10, 11), X),
     (None, date(2026, 10, 12), N), ("2026-12-01", date(2026, 11, 25), N)],
)  # fmt: skip
def test_ten_days_for_the_report(ask: Ask, sent: str | None, on: date, verdict: Verdict) -> None:
    told = visit("2026-10-01", "service", *([f"report: {sent}"] if sent else []))
    assert ask("report-in-time", "home", MOTION, on=on, visits=told).verdict is verdict


@pytest.mark.parametrize(("on", "verdict"), [(date(2027, 3, 1), C), (date(2027, 3, 2), C), (date(2027, 3, 3), F)])
def test_a_year_with_its_leap_day_between_visits(ask: Ask, on: date, verdict: Verdict) -> None:
    assert ask("site-visit-in-a-year", "home", MOTION, on=on, visits=visit("2026-03-01", "service")).verdict is verdict


@pytest.mark.parametrize("kind", ["call-out", "survey", "household test", "installation"])
def test_not_every_visit_is_a_service(ask: Ask, kind: str) -> None:
    assert ask("site-visit-in-a-year", "home", MOTION, visits=visit("2026-10-01", kind)).verdict is N


def test_checks_over_the_line_count_as_one_visit_at_most(ask: Ask) -> None:
    told = visits(
        visit("2024-01-01", "commissioning"),
        visit("2026-02-01", "service", "remote: yes"),
        visit("2026-06-01", "service", "remote: yes"),
    )
    finding = ask(
        "service-visits-in-a-year", "home", MOTION, rules="uk-wales", system="{tells: receiving centre}", visits=told
    )
    assert (finding.found, finding.verdict) == (1, F)


def test_the_first_year_asks_for_no_second_visit(ask: Ask) -> None:
    told = visit("2026-01-10", "commissioning")
    system = "{tells: receiving centre}"
    assert ask("service-visits-in-a-year", "home", MOTION, rules="uk-wales", system=system, visits=told).verdict is X


def test_a_corrected_visit_counts_once_and_keeps_what_the_correction_leaves_out(ask: Ask) -> None:
    told = visits(
        visit("2026-06-01", "call-out", "cause: false alarm", "note: balloon", "report: 2026-06-02"),
        visit("2026-06-20", "call-out", "corrects: 2026-06-01", "tests: {MD1: {walk: detected}}"),
    )
    assert ask("false-alarms-in-a-year", "home", MOTION, visits=told).found == 1
    assert ask("call-out-cause", "home", MOTION, visits=told).verdict is C
    assert ask("report-in-time", "home", MOTION, visits=told).found == 1


# A call-out exactly twelve months ago is past them.
@pytest.mark.parametrize(("first", "count", "verdict"), [("2025-11-25", 1, C), ("2025-11-26", 2, F)])
def test_false_alarms_of_twelve_months(ask: Ask, first: str, count: int, verdict: Verdict) -> None:
    told = visits(*(visit(day, "call-out", "cause: false alarm") for day in (first, "2026-09-01")))
    finding = ask("false-alarms-in-a-year", "home", MOTION, visits=told)
    assert (finding.found, finding.verdict) == (count, verdict)


@pytest.mark.parametrize("cause", ["genuine", "fault", "other"])
def test_other_call_outs_are_no_false_alarms(ask: Ask, cause: str) -> None:
    told = visits(*(visit(day, "call-out", f"cause: {cause}") for day in ("2026-03-01", "2026-09-01")))
    assert ask("false-alarms-in-a-year", "home", MOTION, visits=told).found == 0


def test_codes_changed_once_are_changed_but_the_clock_is_looked_at_every_time(ask: Ask) -> None:
    told = visits(
        visit("2025-10-01", "commissioning", "checked: [codes changed, zone names, clock set]"),
        visit("2026-10-01", "service"),
    )
    assert ask("set-up-checked", "home", MOTION, visits=told).verdict is C
    assert ask("clock-and-events-checked", "home", MOTION, visits=told).verdict is N


@pytest.mark.parametrize(
    ("checked", "verdict", "lacks"),
    [("", N, "“clock set”, “events read”"), ("clock set", N, "“events read”"), ("clock set, events read", C, "")],
)
def test_one_finding_lists_all_that_was_not_looked_at(ask: Ask, checked: str, verdict: Verdict, lacks: str) -> None:
    told = visit("2026-10-01", "service", f"checked: [{checked}]")
    finding = ask("clock-and-events-checked", "home", MOTION, visits=told)
    assert finding.verdict is verdict
    assert verdict is C or finding.says.endswith(f"does not say {lacks}.")


def test_a_home_with_fire_alarms_only_is_asked_what_changed_but_not_about_the_control_unit(ask: Ask) -> None:
    told = visit("2026-10-01", "service", "checked: [changes in the home asked for]")
    assert ask("household-asked", "home", ALARM, visits=told).verdict is C
    assert ask("household-asked", "home", MOTION, visits=told).verdict is N
    assert ask("clock-and-events-checked", "home", ALARM, visits=told).verdict is X


PAPERS = (
    "As-Fitted Drawing rev 2, LOG BOOK, makers' booklets, How To Test, how to set and unset, what to do when it sounds"
)


@pytest.mark.parametrize(
    ("rules", "extra", "verdict"),
    [("common", "", C), ("uk-england", "", C), ("de", "", C), ("ca", "", C)],
)
def test_papers_are_known_by_their_words_in_any_case(ask: Ask, rules: str, extra: str, verdict: Verdict) -> None:
    told = visit("2026-10-01", "commissioning", f'handed-over: ["{PAPERS}{extra}"]')
    assert ask("documents-handed-over", "home", MOTION, rules=rules, visits=told).verdict is verdict


@pytest.mark.parametrize(
    ("rules", "papers", "verdict"),
    [("uk-england", PAPERS, F), ("uk-wales", f"{PAPERS}, Certificate of completion", C), ("common", PAPERS, X)],
)
def test_a_certificate_in_the_united_kingdom(ask: Ask, rules: str, papers: str, verdict: Verdict) -> None:
    # PD 6662, from memory, high confidence.
    told = visit("2026-10-01", "commissioning", f'handed-over: ["{papers}"]')
    assert ask("certificate-handed-over", "home", MOTION, rules=rules, visits=told).verdict is verdict


@pytest.mark.parametrize(("rented", "severity"), [("yes", "law"), ("no", "advice"), (None, "advice")])
def test_the_law_of_let_homes_is_advice_in_others(ask: Ask, rented: str | None, severity: str) -> None:
    # Ontario's fire code on booklets for tenants, read in a fire service's page.
    told = visit("2026-10-01", "commissioning", "handed-over: [log book]")
    home = f", rented: {rented}" if rented else ""
    finding = ask("documents-handed-over", "home", ALARM, rules="ca", home=home, visits=told)
    assert (finding.verdict, finding.limit.severity) == (F, severity)


# TS 50131-7, from memory, medium: at grade 4 both visits are made in the home, at grade 2 one may be over the line.
@pytest.mark.parametrize(("grade", "count", "verdict"), [("2", 2, C), ("3", 2, C), ("4", 1, N)])
def test_a_check_over_the_line_does_not_count_at_grade_four(ask: Ask, grade: str, count: int, verdict: Verdict) -> None:
    told = visits(
        visit("2024-01-01", "commissioning"),
        visit("2026-02-01", "service"),
        visit("2026-06-01", "service", "remote: yes"),
    )
    system = f"{{intruder-grade: {grade}}}"
    finding = ask("service-visits-in-a-year", "home", MOTION, rules="fr", system=system, visits=told)
    assert (finding.found, finding.verdict) == (count, verdict)


def test_a_record_without_devices_has_nothing_to_test(ask: Ask) -> None:
    told = visit("2026-10-01", "commissioning")
    assert ask("every-device-tested-or-listed", "home", "", visits=told).verdict is X


def test_a_home_with_fire_alarms_only_needs_no_paper_on_setting(ask: Ask) -> None:
    papers = "handed-over: [plan, log book, manuals, how to test, what to do when it sounds]"
    told = visit("2026-10-01", "commissioning", papers)
    assert ask("documents-handed-over", "home", ALARM, visits=told).verdict is C
    assert ask("documents-handed-over", "home", MOTION, visits=told).verdict is F


def test_topics_taught_at_several_visits_add_up(ask: Ask) -> None:
    first = visit("2026-10-01", "commissioning", "taught: [set and unset, what to do when it sounds]")
    second = visit("2026-10-20", "service", "taught: [call off a false alarm, what changes to tell]")
    assert ask("household-taught", "home", MOTION, visits=first).verdict is F
    assert ask("household-taught", "home", MOTION, visits=visits(first, second)).verdict is C


def test_what_was_tested_later_is_no_longer_open(ask: Ask) -> None:
    first = visit("2026-09-01", "commissioning", "not-tested: [{what: opening, device: OC1, why: door locked}]")
    second = visit("2026-10-01", "service", "tests: {OC1: {opened: signalled}}")
    assert ask("not-tested-told", "home", CONTACT, visits=first).verdict is F
    assert ask("not-tested-told", "home", CONTACT, visits=visits(first, second)).verdict is X


def test_a_visit_after_the_day_does_not_count(ask: Ask) -> None:
    told = visit("2026-12-24", "service", "report: 2026-12-24", "checked: [clock set]")
    assert ask("report-in-time", "home", MOTION, visits=told).verdict is X
    assert ask("clock-and-events-checked", "home", MOTION, visits=told).verdict is X


def test_words_of_a_record_reach_the_sentence_unchanged(ask: Ask) -> None:
    told = visit("2026-10-01", "commissioning", "accepted-by: '<b>householder</b> {limit}'")
    assert "<b>householder</b> {limit}" in ask("work-accepted", "home", MOTION, visits=told).says
