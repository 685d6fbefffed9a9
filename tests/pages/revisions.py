"""A firm whose records have a history, and the office edition of it."""

from datetime import date
from pathlib import Path

from asfitted.fleet.load import load_home
from asfitted.fleet.stories import load_stories
from asfitted.history.story import Stories
from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import SiteConfig
from asfitted.pages.office import office_site_tree
from asfitted.rules.catalogue import catalogue
from tests.history.homes import text as plain_text
from tests.history.repos import Repo
from tests.pages.homes import HOSTILE

ON = date(2026, 6, 1)
NAME = "{{ 7*7 }} **x** [a](javascript:alert(1)) `c`"
"""As hostile as git lets a name be."""
WHY = HOSTILE.replace("\u2028", " ")


def text(**values: str) -> str:
    """Write the record with a variation about a rule that there is."""
    return plain_text(**values).replace("outer-door-watched, opening: front-door", "smoke-clear-of-wall, device: SA2")


def firm(root: Path) -> Repo:
    """Give a firm of two homes: one that was moved about, edited after the fact and left open; one taken away."""
    made = Repo(root)
    made.commit({"a": text(), "gone": text(home_note="brick")}, "2025-05-12", author="technician 2")
    made.commit({"a": text(sa1_west="0.30")}, "2025-06-01", author=NAME, subject=HOSTILE)
    made.commit({"a": text(sa1_west="0.30", reading="7 s"), "gone": None}, "2025-07-01", author="technician 9")
    made.write({"a": text(sa1_west="0.30", reading="7 s", why=WHY.replace("'", "''").join("''"))})
    return made


def told(repo: Repo) -> tuple[Dossier, Stories]:
    """Give the home that is left, and what its revisions tell."""
    home = load_home(repo.homes / "a", ON).dossier
    stories = load_stories(repo.homes, ON, ["a"], catalogue())
    assert home is not None
    assert stories is not None
    return home, stories


def revisions_tree(root: Path) -> dict[str, str | bytes]:
    """Write the pages of the firm, made in an empty folder."""
    home, stories = told(firm(root))
    return office_site_tree([home], (), SiteConfig("Records"), {}, ON, stories=stories)
