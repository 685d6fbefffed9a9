"""From the repository around the folder of homes to the story of every home; none where there is no repository."""

from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from asfitted.fleet.rule_sets import FOLDER
from asfitted.history.story import Chapter, Key, Stories, stories
from asfitted.rules.catalogue import Catalogue


def load_stories(
    homes: Path, on: date, names: Iterable[str], rules: Catalogue, known: Mapping[Key, Chapter] | None = None
) -> Stories | None:
    """Tell the stories of the homes of a folder, and of those that left it; none, and why, where history is missing.

    Args:
        homes: the folder.
        on: the day of the working copy.
        names: the homes there are.
        rules: the catalogue with the firm's own rule sets.
        known: chapters told before.
    """
    from asfitted.history.points import Timeline
    from asfitted.history.repository import Repository
    from asfitted.history.revision import HistoryDamaged

    repository = Repository.around(homes)
    if repository is None or repository.path_of(homes) is None:
        return None
    timeline = Timeline(repository, homes, FOLDER, on, rules)
    try:
        return stories(timeline, names, known)
    except HistoryDamaged as error:
        return Stories({}, (str(error),))
