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
from asfitted.rules.judge import judge, rule_problems
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


def load_home(folder: Path, on: date, *, with_revision: bool = True) -> Loaded:
    """Load the home whose folder is given, as it stands on a day."""
    reading = read(folder / RECORD_NAME)
    if reading.home is None:
        return Loaded(folder.name, reading, None, reading.troubles)
    dwelling, problems = survey(reading.home)
    problems = [*problems, *rule_problems(reading.home), *date_problems(reading.home)]
    if dwelling is None or problems:
        located = sorted((reading.locate(problem) for problem in problems), key=lambda trouble: trouble.mark)
        return Loaded(folder.name, reading, None, tuple(located))
    dossier = Dossier(
        id=folder.name,
        home=reading.home,
        dwelling=dwelling,
        findings=judge(reading.home, dwelling, on),
        tasks=tuple(schedule(reading.home, on)),
        revision=revision_of(folder / RECORD_NAME) if with_revision else Revision(),
        on=on,
        undated=undated(reading.home),
    )
    return Loaded(folder.name, reading, dossier, ())


def load_homes(homes: Path, on: date, only: Sequence[str] = ()) -> list[Loaded]:
    """Load every home of a folder, or only those named."""
    return [load_home(homes / name, on) for name in (only or home_ids(homes))]
