"""What is reckoned of radio links and of sound, set against what was read on site: a reading beats a prediction."""

from collections.abc import Iterator
from statistics import median
from typing import TYPE_CHECKING

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.prediction import reckoned, surer
from asfitted.rules.checks.wanting import sleeps
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed

if TYPE_CHECKING:  # worked out, and loaded, only for homes that have them
    from asfitted.reckon.hearing import AtBed, Together
    from asfitted.reckon.of_radio import Link


def readings_as_reckoned(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge by how many dB the radio readings of a home differ from what is reckoned; the middle one counts.

    While power or sensitivity of the system are assumed, nothing fails.

    Options: ``fewest`` readings from which it is judged; ``tolerance``, dB by which the reckoning may be out.
    """
    read = _read(case)
    if len(read) < rule.options["fewest"]:
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("system",))
    off = median(excess for _, excess in read)
    way = "below" if off < 0 else "above"
    says = (
        f"The {len(read)} readings of radio margin lie {abs(off):.0f} dB (the middle one) {way} what distance, walls, "
    )
    says += "power and receiver lead one to expect"
    shared = [read[0][0].inputs[symbol] for symbol in ("P", "S")]
    finding = reckoned(ask, abs(off), rule.options["tolerance"], says, shared)
    if finding.verdict is Verdict.FAILS and surer(shared):
        yield ask.answer(Verdict.NOT_VERIFIED, finding.says, finding.remedy)
    else:
        yield finding


def link_as_others(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge by how many dB a radio reading falls behind, against its prediction, of the readings of the other links.

    What is assumed of the system is the same for all, and drops out. A reading no worse than the middle one is never
    failed: displays end at a highest figure.

    Options: ``fewest`` other readings from which it is judged; ``tolerance``, dB by which the comparison may be out.
    """
    read = _read(case)
    if len(read) <= rule.options["fewest"]:
        return
    middle = median(link.measured[0] for link, _ in read if link.measured)
    for link, excess in read:
        assert link.measured is not None
        placed = next(item for item in case.devices if item.tag == link.tag)
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        behind = median(other for one, other in read if one is not link) - excess
        reading, day = link.measured
        says = f"{placed.words} was read at {reading:.0f} dB on {day}, "
        if behind <= 0 or reading >= middle:
            yield ask.answer(Verdict.CONFORMS, f"{says}no worse than the other links lead one to expect.")
        else:
            says += f"{behind:.0f} dB worse than the other links, its way to {link.to} and the walls on it lead one to "
            says += "expect"
            yield reckoned(ask, behind, rule.options["tolerance"], says, [link.inputs["d"], link.inputs["W"]])


def _read(case: Case) -> "list[tuple[Link, float]]":
    """Give the links that were read, with the dB by which the reading beats the prediction."""
    if not any(test.signal is not None for visit in case.visits for test in visit.tests.values()):
        return []
    return [(link, link.excess) for link in case.reckoned.radio.links if link.excess is not None]


def heard_at_every_bed(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the level at the bed that hears least, doors shut, of the alarm or linked alarms heard least, in dB(A).

    Measured levels count before reckoned ones; a reckoned level that is enough proves nothing and is only told.
    """
    alarms = any(item.device.is_fire for item in case.devices)
    if not alarms or not any(sleeps(case, room) for room in case.dwelling.rooms):
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("devices",))
    at = case.reckoned.sound.weakest
    group = at.weakest if at is not None else None
    if at is not None and group is not None and group.fire:
        yield _at_bed(ask, at, group)


def _at_bed(ask: Question, at: "AtBed", group: "Together") -> Finding:
    loudest = max(group.heard, key=lambda one: one.level)
    place = at.bed.called.replace(", ", " in the ", 1).replace("middle of ", "middle of the ")
    who = "linked with no other" if len(group.heard) == 1 else "which sound together"
    how = f"as measured on {loudest.measured[1]}" if loudest.measured else "as reckoned"
    says = (
        f"Least is heard of {listed(list(group.tags))}, {who}: {group.level:.0f} dB(A) at the {place} with the doors "
    )
    says += f"shut, {how}"
    if loudest.measured:
        return ask.measured(group.level, loudest.spread, says)
    finding = reckoned(ask, group.level, loudest.spread, says, loudest.inputs.values())
    if finding.verdict is Verdict.CONFORMS:
        words = f"{finding.says} A reckoned level is no proof."
        return ask.answer(Verdict.NOT_VERIFIED, words, "Sound it, measure at the bed, and record level and doors.")
    return finding
