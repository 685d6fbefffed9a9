"""The checks: plain functions from a rule, its limit and a case to findings.

Each is named in the rule data by the key it has here.
"""

from collections.abc import Callable, Iterator, Mapping

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.clearance import clear_of, keep_clear, near, not_over_stairs, off_stairs
from asfitted.rules.checks.evidence import dated, enrolled, linked, named, placed, tested
from asfitted.rules.checks.openings import gap, upper_part
from asfitted.rules.checks.people import keyholders
from asfitted.rules.checks.rooms import room_has, storey_has
from asfitted.rules.checks.settings import setting
from asfitted.rules.checks.view import at_height, facing_away, indoors, over_pets
from asfitted.rules.finding import Finding
from asfitted.rules.placing import Placing

Check = Callable[[Rule, Limit, Case], Iterator[Finding]]

CHECKS: Mapping[str, Check] = {
    "clear-of": clear_of,
    "near": near,
    "room-has": room_has,
    "storey-has": storey_has,
    "linked": linked,
    "not-over-stairs": not_over_stairs,
    "at-height": at_height,
    "indoors": indoors,
    "facing-away": facing_away,
    "over-pets": over_pets,
    "gap": gap,
    "upper-part": upper_part,
    "setting": setting,
    "keyholders": keyholders,
    "enrolled": enrolled,
    "named": named,
    "placed": placed,
    "dated": dated,
    "tested": tested,
}

PLACINGS: Mapping[str, Placing] = {
    "clear-of": keep_clear,
    "not-over-stairs": off_stairs,
}
"""What the checks that are about the place of a device forbid of a ceiling or wall, by the same keys."""
