"""Motion detectors where animals roam."""

from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule, amount
from asfitted.rules.checks.beams import view_of
from asfitted.rules.finding import Finding, Verdict
from asfitted.rules.judgement import Question, listed
from asfitted.rules.obstacles import flights_in


def over_pets(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that a detector where animals roam is turned over and hangs low, unless its maker made it for animals."""
    assert limit.most is not None
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        pets = case.pets_in(placed.spot.room)
        if not pets or placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No animal roams where {placed.words} is.")
            continue
        animals = listed([f"a {pet.kind} of {pet.mass:g} kg" for pet in pets])
        roam = f"where {animals} roam{'s' if len(pets) == 1 else ''}"
        asks = f"{ask.asks}, turned over."
        turned, height = placed.device.turned_over, placed.spot.z
        made_for = placed.device.pets_up_to
        if not turned and made_for is not None:
            says = f"{placed.words} is made for rooms where animals of up to {made_for:g} kg roam, the way it hangs."
            yield ask.answer(Verdict.NOT_APPLICABLE, says)
        elif turned is False:
            yield ask.answer(Verdict.FAILS, f"{placed.words}, {roam}, is not turned over; {asks}")
        elif turned is None or height is None:
            lacks = "whether it is turned over" if turned is None else "how high it hangs"
            says = f"The record does not say {lacks}: {placed.words}, {roam}; {asks}"
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look and measure, and record it.")
        else:
            yield ask.measured(
                height,
                placed.spot.tolerance,
                f"{placed.words}, {roam}, is turned over and hangs {height:.2f} m above the floor",
                remedy=f"Hang it lower than {amount(limit.most - placed.spot.tolerance, 'm')}, as its maker says.",
            )


def pets_mass(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge the heaviest animal that roams where each detector hangs against what its maker says it ignores."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag, "pets-up-to"))
        pets, up_to = case.pets_in(placed.spot.room), placed.device.pets_up_to
        heaviest = max(pets, key=lambda pet: pet.mass, default=None)
        if heaviest is None or placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No animal roams where {placed.words} is.")
            continue
        says = f"A {heaviest.kind} of {heaviest.mass:g} kg roams where {placed.words} is"
        if up_to is None:
            says = f"{says}; the record does not say what mass it ignores."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Look in its booklet, and record pets-up-to.")
        else:
            good = heaviest.mass <= up_to
            says = f"{says}; its maker says up to {up_to:g} kg."
            yield ask.answer(Verdict.CONFORMS if good else Verdict.FAILS, says)


def pets_tried(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that the animal itself was tried, and was ignored the last time."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        tried = case.last_reading(placed.tag, "pet")
        if not case.pets_in(placed.spot.room) or placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No animal roams where {placed.words} is.")
        elif tried is None:
            yield ask.answer(Verdict.NOT_VERIFIED, f"{placed.words} has not been tried with the animal itself.")
        else:
            good = tried[1] == "not detected"
            says = f"On {tried[0].date} {placed.words} {'ignored the animal' if good else 'was set off by the animal'}."
            yield ask.answer(Verdict.CONFORMS if good else Verdict.FAILS, says)


def pets_climb(rule: Rule, limit: Limit, case: Case) -> Iterator[Finding]:
    """Judge that no stairs, and no fitting of the ``kinds`` in the options, are in view where animals roam."""
    for placed in case.of_kinds(rule.applies_to):
        ask = Question(rule, limit, placed.subject, ("devices", placed.tag))
        room = placed.spot.room
        things: list[tuple[str, BaseGeometry]] = [("the stairs", flight) for flight in flights_in(case.dwelling, room)]
        beds = case.dwelling.fittings_of(room, *rule.options["kinds"])
        things += [(f"the {item.fitting.called}", item.shape) for item in beds if item.shape is not None]
        if not case.pets_in(room) or placed.spot.fixed == "outside":
            yield ask.answer(Verdict.NOT_APPLICABLE, f"No animal roams where {placed.words} is.")
            continue
        view = view_of(case, placed, placed.device.range)
        if not things:
            yield ask.answer(Verdict.CONFORMS, f"Nothing to climb on is recorded in the {placed.room}.")
        elif view is None:
            says = f"The record does not say where {placed.tag} is and which way it looks."
            yield ask.answer(Verdict.NOT_VERIFIED, says, "Record its corner, or its wall and the distance along it.")
        elif seen := [name for name, shape in things if view.intersects(shape)]:
            says = f"{placed.words} looks at {listed(seen)}, on which an animal climbs ({limit.by_whom})."
            yield ask.answer(Verdict.FAILS, says)
        else:
            yield ask.answer(Verdict.CONFORMS, f"{placed.words} looks at nothing to climb on.")
