"""What watches the openings by which one gets in."""

from collections.abc import Iterator

from asfitted.dwelling.paths import walk
from asfitted.dwelling.shapes import XY, PlacedOpening
from asfitted.rules.access import Access, in_service, openings, reached, watchers
from asfitted.rules.case import Case, Placed
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.terms import grade
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judgement import Question, listed

CONTACT = "opening contact"
DETECTORS = (CONTACT, "motion detector", "glass-break detector")


def no_system(
    rule: Rule, limit: Limit, case: Case, words: str = "The home has no intruder system."
) -> Iterator[Finding]:
    """Give the finding about a home that has no intruder system, or lacks another thing that a rule is about."""
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("home",))
    yield ask.answer(Verdict.NOT_APPLICABLE, words)


def watched(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that each opening that can be reached has what the rule asks for at the grade of the system.

    Options: ``kinds`` of opening; ``from-uses``, rooms whose inner doors count as outer ones; ``asks``, groups of kinds
    of device of which one each is asked for, and ``by-grade`` what other grades ask for; ``perhaps``, metres above
    ground up to which an opening may count, for a person to look up; and those of
    :func:`asfitted.rules.access.reached`.
    """
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    assert limit.most is not None
    access = reached(case, rule.options, rule.options.get("perhaps", limit.most))
    for path, opening, subject in openings(case):
        if opening.opening.kind not in rule.options["kinds"]:
            continue
        ask = Question(rule, limit, subject, path)
        uses = [case.dwelling.rooms[room].room.use for room in opening.rooms if room]
        if opening.is_outer:
            yield _watched(ask, case, opening, access[opening.id])
        elif any((use in rule.options.get("from-uses", ())) != (uses[0] in rule.options["from-uses"]) for use in uses):
            yield _watched(ask, case, opening, Access(reached=True, why="from the garage"))


def _watched(ask: Question, case: Case, opening: PlacedOpening, access: Access) -> Finding:
    options, name = ask.rule.options, f"The {opening.opening.called} ({access.why})"
    asks = options.get("by-grade", {}).get(grade(case), options["asks"])
    groups = [kinds for group in asks if (kinds := _that_fit(opening, group))]
    has = {tuple(kinds): watchers(case, opening, *kinds) for kinds in groups}
    lacks = [" or ".join(kinds) for kinds, tags in has.items() if not tags]
    if access.reached is False:
        return ask.answer(Verdict.NOT_APPLICABLE, f"{name} cannot be reached.")
    if not groups:
        says = (
            f"{name}: grade {grade(case)} asks nothing of it." if not asks else f"{name} is a pane that does not open."
        )
        return ask.answer(Verdict.NOT_APPLICABLE, says)
    if not lacks:
        tags = sorted({tag for found in has.values() for tag in found})
        return ask.answer(Verdict.CONFORMS, f"{name} has {listed(tags)}.")
    wanted = "one" if len(lacks) == 1 else "both"
    says = f"{name} has no {' and no '.join(lacks)}; the rule asks for {wanted} ({ask.limit.by_whom})"
    if access.reached is None:
        remedy = "Measure what one can stand on outside, and record its width under climb."
        return ask.answer(Verdict.NOT_VERIFIED, f"{says} if it can be reached.", remedy)
    if not access.sure:
        return ask.answer(Verdict.NOT_VERIFIED, f"{says} if it can be reached, which is not certain.")
    behind = None if opening.opening.opening_part else f"Fit a {' and a '.join(lacks)} behind it."
    return ask.answer(Verdict.FAILS, f"{says}.", behind)


def _that_fit(opening: PlacedOpening, kinds: list[str]) -> list[str]:
    """Leave out the contact of a pane that does not open."""
    return [kind for kind in kinds if kind != CONTACT or opening.opening.opening_part]


def middle_of(case: Case, placed: Placed) -> XY:
    """Give where a device is on the plan; the middle of its room where the record does not say."""
    if placed.spot.point is not None:
        return placed.spot.point
    middle = case.dwelling.rooms[placed.spot.room].outline.representative_point()
    return float(middle.x), float(middle.y)


def rooms_to(case: Case, opening: PlacedOpening, placed: Placed) -> tuple[str, ...]:
    """Give the rooms on the shortest walk from an outer opening to a device; empty when no walk leads there."""
    start, goal = (opening.rooms[0], opening.middle), (placed.spot.room, middle_of(case, placed))
    found = walk(case.dwelling, start, goal)
    return found.rooms if found else ()


def trap(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a motion detector stands on the way from an opening that can be reached to the control unit.

    Options: ``uses`` of the rooms in which it counts; ``most``, metres above ground in reach; and those of
    :func:`asfitted.rules.access.reached`.
    """
    if not case.has_intruder_system:
        yield from no_system(rule, limit, case)
        return
    ask = Question(rule, limit, Subject("home", "home", case.home.home.label), ("devices",))
    units = list(in_service(case, "control unit"))
    motion = list(in_service(case, "motion detector"))
    ways_in = [
        case.dwelling.openings[name]
        for name, a in reached(case, rule.options, rule.options["most"]).items()
        if a.reached
    ]
    passed = {room for opening in ways_in for unit in units for room in rooms_to(case, opening, unit)}
    traps = [
        item.tag
        for item in motion
        if item.spot.room in passed and case.dwelling.rooms[item.spot.room].room.use in rule.options["uses"]
    ]
    lost = [
        tag for tag, d in case.home.devices.items() if d.kind == "motion detector" and tag not in case.dwelling.spots
    ]
    if not motion and lost:
        says = f"The record does not say in which room {listed(lost)} hangs."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record where it hangs.")
    elif not motion:
        yield ask.answer(Verdict.FAILS, f"The home has no motion detector; the rule asks for one ({limit.by_whom}).")
    elif not units:
        says = "The record has no control unit, so the way to it is not known."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record the control unit and where it is.")
    elif not passed:
        says = "The record shows no way on foot from an opening that can be reached to the control unit."
        yield ask.answer(Verdict.NOT_VERIFIED, says, "Record the doors and windows.")
    elif traps:
        yield ask.answer(Verdict.CONFORMS, f"On the way to the control unit one passes {listed(traps)}.")
    else:
        stands = f"{listed([item.words for item in motion])} {'stands' if len(motion) == 1 else 'stand'} aside"
        says = f"No hall, landing or living room on the way to the control unit has a motion detector: {stands}"
        yield ask.answer(Verdict.FAILS, f"{says}; the rule asks for one ({limit.by_whom}).")


def inside_protected(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that every opening of a device's room that can be reached is watched. Options: those of :func:`trap`."""
    access = reached(case, rule.options, rule.options["most"])
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        here = [opening for opening in case.dwelling.openings_of(placed.spot.room) if opening.is_outer]
        bare = [opening for opening in here if not watchers(case, opening, *DETECTORS)]
        open_to = [f"the {opening.opening.called}" for opening in bare if access[opening.id].reached]
        unknown = [f"the {opening.opening.called}" for opening in bare if access[opening.id].reached is None]
        if placed.spot.fixed == "outside":
            yield ask.answer(Verdict.FAILS, f"{placed.words} is outdoors.")
        elif not any(case.dwelling.openings_of(placed.spot.room)):
            says = f"The record gives no door or window of the {placed.room}, where {placed.tag} is."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record its doors and windows.")
        elif open_to:
            says = f"{placed.words} can be reached through {listed(open_to)}, which nothing watches"
            yield ask.answer(Verdict.FAILS, f"{says} ({limit.by_whom}).")
        elif unknown:
            says = f"Nothing watches {listed(unknown)} beside {placed.words}; whether it is reached is not recorded."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Measure what one can stand on outside, and record climb.")
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words}: what can be reached of its room is watched.")
