"""From the folder of homes to dossiers: read, survey, judge, plan. One bad home never stops the others."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from asfitted.dwelling.survey import survey
from asfitted.history.repository import revision_of
from asfitted.history.revision import Revision
from asfitted.model.dates import date_problems
from asfitted.pages.dossier import Dossier
from asfitted.record.located import Located
from asfitted.record.reader import RECORD_NAME, Reading, read
from asfitted.rules.catalogue import Catalogue, catalogue
from asfitted.rules.judge import judge, rule_problems
from asfitted.rules.rule_set import rule_set
from asfitted.upkeep.schedule import schedule, undated


@dataclass(frozen=True)
class Loaded:
    """One home as loaded: its dossier, or None and the troubles that keep it from being used."""

    id: str
    reading: Reading
    dossier: Dossier | None
    troubles: tuple[Located, ...]


def home_ids(homes: Path) -> list[str]:
    """Give the ids of all homes in a folder, in order: the folders that are no dot-folders."""
    if not homes.is_dir():
        return []
    return sorted(entry.name for entry in homes.iterdir() if entry.is_dir() and not entry.name.startswith("."))


def load_home(folder: Path, on: date, rules: Catalogue | None = None, *, with_revision: bool = True) -> Loaded:
    """Load the home whose folder is given, as it stands on a day; see :func:`load_homes`."""
    rules = rules or catalogue()
    reading = read(folder / RECORD_NAME)
    if reading.home is None:
        return Loaded(folder.name, reading, None, reading.troubles)
    dwelling, problems = survey(reading.home)
    problems = [*problems, *rule_problems(reading.home, rules), *date_problems(reading.home)]
    if dwelling is None or problems:
        located = sorted((reading.locate(problem) for problem in problems), key=lambda trouble: trouble.mark)
        return Loaded(folder.name, reading, None, tuple(located))
    asked = rule_set(rules, reading.home.home.rules)
    dossier = Dossier(
        id=folder.name,
        home=reading.home,
        dwelling=dwelling,
        findings=judge(reading.home, dwelling, on, asked),
        tasks=tuple(schedule(reading.home, on)),
        revision=revision_of(folder / RECORD_NAME) if with_revision else Revision(),
        on=on,
        rules=asked,
        undated=undated(reading.home),
    )
    return Loaded(folder.name, reading, dossier, ())


def load_catalogue(homes: Path) -> tuple[Catalogue, tuple[Located, ...]]:
    """Give the catalogue with the firm's own rule sets, which stand beside the homes, and what is wrong with those."""
    return catalogue(), ()


def load_homes(homes: Path, on: date, only: Sequence[str] = (), *, with_revision: bool = True) -> list[Loaded]:
    """Load every home of a folder, or only those named; without the revision, which pages show, git is not asked."""
    rules, _ = load_catalogue(homes)
    return [load_home(homes / name, on, rules, with_revision=with_revision) for name in (only or home_ids(homes))]
