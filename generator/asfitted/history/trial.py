"""Judging the earlier home with some of the changes done to it: what each set of changes makes of each rule, once."""

from collections.abc import Iterable, Mapping, Sequence

from asfitted.history.beside import beside, reckoned_beside, shapes_beside
from asfitted.history.changes import Change, Comparison, Kind
from asfitted.history.pairing import later_names
from asfitted.history.parts import retagged
from asfitted.history.side import Side
from asfitted.reckon.of_home import Reckoned
from asfitted.rules.finding import Finding, Verdict

Key = tuple[str, str, str]
"""Rule, kind of subject and subject, as the later revision names it."""
_ABOUT_RECORD = frozenset(
    {
        Kind.SETTING, Kind.BATTERY, Kind.PARTICULAR, Kind.DEVICE_RENAMED, Kind.HOUSEHOLD, Kind.SYSTEM,
        Kind.VISIT_ADDED, Kind.VISIT_INSERTED, Kind.PAST_VISIT_EDITED, Kind.PAST_VISIT_DELETED,
        Kind.VARIATION, Kind.VARIATION_ADDED, Kind.VARIATION_WITHDRAWN, Kind.DEVICE_REPLACED,
    }
)  # fmt: skip
"""Kinds of change that leave every shape as it is."""
_KEPT = 8
"""Homes with other storeys that are kept in hand with their shapes."""


def by_key(findings: Iterable[Finding], comparison: Comparison | None) -> dict[Key, Finding]:
    """Name findings as the later revision does; what is gone and left its name to another keeps apart from it."""
    later = {"device": comparison.tags, "room": comparison.rooms} if comparison else {}
    taken = {kind: set(names.values()) - names.keys() for kind, names in later.items()}
    named: dict[Key, Finding] = {}
    for finding in findings:
        rule, kind, subject = finding.key
        name = later.get(kind, {}).get(subject, subject)
        if subject in taken.get(kind, ()):
            name = f"{subject} (earlier)"
        named.setdefault((rule, kind, name), finding)
    return named


class Trial:
    """The earlier home with some of the changes done to it, judged on one day.

    Args:
        old: the earlier home.
        known: what is reckoned of it on that day.
        comparison: all that changed; changes are done in its order.
    """

    def __init__(self, old: Side, known: Reckoned, comparison: Comparison) -> None:
        home = retagged(old.home, later_names(old.home.devices, comparison.tags))
        if home is not old.home:
            old = Side(home, old.day, old.catalogue)
            known = old.reckoned(known.on)
        self.old, self.known, self.comparison = old, known, comparison
        self._rooms = Comparison((), {}, comparison.rooms)
        self._place = {id(change): index for index, change in enumerate(comparison.changes)}
        self._done: dict[tuple[int, ...], dict[str, Mapping[Key, Verdict] | None]] = {}
        self._surveyed = [old]

    def verdicts(self, changes: Sequence[Change], rules: Iterable[str]) -> dict[Key, Verdict] | None:
        """Give the verdicts by some rules when these changes are done; None where the home cannot be judged then."""
        places = tuple(sorted(self._place[id(change)] for change in changes))
        done = self._done.setdefault(places, {})
        wanted = set(rules)
        if missing := wanted - done.keys():
            done |= self._judged(places, missing)
        found: dict[Key, Verdict] = {}
        for rule in wanted:
            verdicts = done[rule]
            if verdicts is None:
                return None
            found |= verdicts
        return found

    def _judged(self, places: tuple[int, ...], rules: set[str]) -> dict[str, Mapping[Key, Verdict] | None]:
        side = self._side([self.comparison.changes[place] for place in places])
        if side.dwelling is None or side.trouble is not None:
            return dict.fromkeys(rules)
        known = reckoned_beside(side, self.known)
        judged = by_key(side.findings(self.known.on, rules, known), self._rooms)
        return {rule: {key: item.verdict for key, item in judged.items() if key[0] == rule} for rule in rules}

    def _side(self, changes: Sequence[Change]) -> Side:
        """Do some changes; a dwelling is surveyed only where none before has the same storeys."""
        home = self.old.home
        for change in changes:
            home = change.apply(home)
        if all(change.kind in _ABOUT_RECORD for change in changes):
            return beside(home, self.old, self.old.dwelling)
        shapes = (shapes_beside(home, near) for near in self._surveyed)
        side = beside(home, self.old, next((found for found in shapes if found is not None), None))
        if side.dwelling is not None and all(home.storeys != near.home.storeys for near in self._surveyed):
            self._surveyed = [*self._surveyed[: _KEPT - 1], side]
        return side
