"""From the folder of homes to dossiers: read, survey, judge, plan. One bad home never stops the others."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

from asfitted.dwelling.survey import survey
from asfitted.fleet.photos import photo_problems, read_photo
from asfitted.fleet.rule_sets import FOLDER, load_catalogue
from asfitted.history.last_touch import revisions_of
from asfitted.history.revision import Revision
from asfitted.model.base import Problem
from asfitted.model.dates import date_problems
from asfitted.pages.dossier import Dossier
from asfitted.reckon.of_home import reckoned
from asfitted.record.located import Located
from asfitted.record.reader import RECORD_NAME, Reading, read
from asfitted.rules.catalogue import Catalogue, catalogue
from asfitted.rules.judge import judge, rule_problems
from asfitted.rules.rule_set import rule_set
from asfitted.upkeep.schedule import schedule, undated


@dataclass(frozen=True)
class Loaded:
    """One home as loaded: its dossier, or None and the troubles that keep it from being used.

    Beside a dossier stand the troubles of photos, which keep nothing but themselves from being used.
    """

    id: str
    reading: Reading
    dossier: Dossier | None
    troubles: tuple[Located, ...]


def home_ids(homes: Path) -> list[str]:
    """Give the ids of all homes in a folder, in order: the folders that are no dot-folders and hold no rule sets."""
    if not homes.is_dir():
        return []
    folders = (entry.name for entry in homes.iterdir() if entry.is_dir())
    return sorted(name for name in folders if name != FOLDER and not name.startswith("."))


def load_home(
    folder: Path,
    on: date,
    rules: Catalogue | None = None,
    broken: Collection[str] = (),
    revision: Revision | None = None,
) -> Loaded:
    """Load the home whose folder is given, as it stands on a day; see :func:`load_homes`.

    Args:
        folder: the home's.
        on: the day.
        rules: the catalogue with the firm's own rule sets.
        broken: the firm's own rule sets that cannot be used.
        revision: that of the record.
    """
    rules = rules or catalogue()
    reading = read(folder / RECORD_NAME)
    if reading.home is None:
        return Loaded(folder.name, reading, None, reading.troubles)
    dwelling, problems = survey(reading.home)
    asked_by = [
        _of_broken_set(problem, reading.home.home.rules, broken) for problem in rule_problems(reading.home, rules)
    ]
    problems = [*problems, *asked_by, *date_problems(reading.home)]
    if dwelling is None or problems:
        located = sorted((reading.locate(problem) for problem in problems), key=lambda trouble: trouble.mark)
        return Loaded(folder.name, reading, None, tuple(located))
    asked = rule_set(rules, reading.home.home.rules)
    known = reckoned(reading.home, dwelling, on)
    dossier = Dossier(
        id=folder.name,
        home=reading.home,
        dwelling=dwelling,
        findings=judge(reading.home, dwelling, on, asked, known=known),
        tasks=tuple(schedule(reading.home, on, asked)),
        revision=revision or Revision(),
        on=on,
        rules=asked,
        undated=undated(reading.home),
        known=known,
        photo=partial(read_photo, folder),
    )
    return Loaded(folder.name, reading, dossier, tuple(map(reading.locate, photo_problems(reading.home, folder))))


def _of_broken_set(problem: Problem, name: str, broken: Collection[str]) -> Problem:
    """Say of a rule set that the firm has but that cannot be used where the trouble is."""
    if problem.path != ("home", "rules") or name not in broken:
        return problem
    return replace(
        problem,
        expected="a rule set that can be used",
        remedy=f"Put {FOLDER}/{name}.toml right; asfitted check tells how.",
    )


def load_homes(
    homes: Path,
    on: date,
    only: Sequence[str] = (),
    *,
    with_revision: bool = True,
    own: tuple[Catalogue, tuple[Located, ...]] | None = None,
) -> list[Loaded]:
    """Load every home of a folder, or only those named.

    Args:
        homes: the folder.
        on: the day for which to judge and plan.
        only: ids of homes.
        with_revision: whether to ask git for the revision, which only pages show.
        own: the catalogue and its troubles, where :func:`load_catalogue` has been asked already.
    """
    rules, troubles = own or load_catalogue(homes)
    broken = {trouble.file.stem for trouble in troubles}
    names = list(only or home_ids(homes))
    revisions = revisions_of(homes, names) if with_revision else {}
    return [load_home(homes / name, on, rules, broken, revisions.get(name)) for name in names]


__all__ = ["Loaded", "home_ids", "load_catalogue", "load_home", "load_homes"]
