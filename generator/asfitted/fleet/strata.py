"""What parts homes into strata for an audit: rule set, age, technician, failing or not."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal, get_args

from asfitted.fleet.load import Loaded
from asfitted.model.home import Home
from asfitted.rules.finding import Verdict

Factor = Literal["rules", "age", "technician", "failing"]
FACTORS: tuple[Factor, ...] = get_args(Factor)
"""What may part homes into strata."""
UNUSABLE = "cannot be used"
"""The stratum of homes whose record cannot be read or judged; they belong to the population like any other."""
ALL = "all homes"
"""The stratum of a draw without strata."""
_BANDS = ((1, "under 1 year"), (3, "1 to 3 years"), (6, "3 to 6 years"), (10, "6 to 10 years"))
"""Ages below so many years. 10 years is when alarms are replaced (common practice); the rest is our choice."""
_OLDEST = "10 years or more"


def stratum(facts: Mapping[Factor, str] | None, by: Sequence[Factor]) -> str:
    """Give the stratum of a home by the factors named, in their order; facts are None for one that cannot be used."""
    if not by:
        return ALL
    return UNUSABLE if facts is None else ", ".join(facts[factor] for factor in by)


def facts_of(loaded: Loaded, on: date) -> dict[Factor, str] | None:
    """Give what parts a home from others, as it stands on a day; None when its record cannot be used."""
    if loaded.dossier is None:
        return None
    home = loaded.dossier.home
    return {
        "rules": home.home.rules,
        "age": _age(home, on),
        "technician": _technician(home, on),
        "failing": "failing" if loaded.dossier.count(Verdict.FAILS) else "not failing",
    }


def _age(home: Home, on: date) -> str:
    """Give the band of full years since the first commissioning, else installation, else the first device fitted."""
    started = [
        [visit.corrects or visit.date for visit in home.visits if visit.kind == kind]
        for kind in ("commissioning", "installation")
    ]
    started.append([device.fitted for device in home.devices.values() if device.fitted])
    first = min(next(filter(None, ([day for day in days if day <= on] for days in started)), []), default=None)
    if first is None:
        return "age not known"
    years = on.year - first.year - ((on.month, on.day) < (first.month, first.day))
    return next((words for below, words in _BANDS if years < below), _OLDEST)


def _technician(home: Home, on: date) -> str:
    """Give who made the last visit, the household's own tests aside; a correction stands for what it corrects."""
    made = [
        (visit.corrects or visit.date, number, f"visited by {' '.join(visit.by.split()).lower()}")
        for number, visit in enumerate(home.visits)
        if visit.kind != "household test" and visit.by.lower() != "householder"
    ]
    return max((visit for visit in made if visit[0] <= on), default=(on, 0, "no technician's visit"))[2]
