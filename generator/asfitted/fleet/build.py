"""Build the household site of every home and the office site of the firm."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

from asfitted.fleet.load import Loaded
from asfitted.history.story import Stories
from asfitted.pages.engine import EngineFailed, SiteConfig, render_site
from asfitted.pages.household import household_tree
from asfitted.pages.office import Unreadable, office_site_tree
from asfitted.pages.tree import Tree, write_tree, written_aside
from asfitted.record.located import Located
from asfitted.rules.catalogue import Catalogue, catalogue


@dataclass(frozen=True, slots=True)
class Built:
    """What became of one site: where it is and its pages, or why it was not built and what was left in place."""

    name: str
    site: Path
    pages: int = 0
    trouble: str = ""


def build_sites(
    loaded: Iterable[Loaded],
    config: SiteConfig,
    handbook: Mapping[str, bytes],
    to: Path,
    on: date,
    tell: Callable[[str], None],
    *,
    office: bool = True,
    own: tuple[Catalogue, Sequence[Located]] | None = None,
    stories: Stories | None = None,
) -> list[Built]:
    """Build the household edition of every usable home, then the office edition.

    Sites go to ``to/homes/<id>`` and ``to/office``, the written trees to ``to/trees/...``. A site that cannot be built
    leaves the earlier one in its place. ``tell`` is called with the name of each site before it is built. ``own`` is
    the catalogue with the firm's own rule sets, and what is wrong with those; ``stories`` are the revisions of the
    homes.
    """
    homes = list(loaded)
    dossiers = [home.dossier for home in homes if home.dossier is not None]
    built = []
    for dossier in dossiers:
        tell(dossier.id)
        make = partial(household_tree, dossier, config.firm)
        site, tree = to / "homes" / dossier.id, to / "trees" / "homes" / dossier.id
        built.append(_build(dossier.id, site, tree, on, config.engine, make))
    if office:
        tell("office")
        unread = [unreadable(home) for home in homes if home.dossier is None]
        rules, troubles = own or (catalogue(), ())
        given = (dossiers, unread, config, handbook, on, rules, unusable_sets(troubles), stories)
        make = partial(office_site_tree, *given)
        built.append(_build("office", to / "office", to / "trees" / "office", on, config.engine, make))
    return built


def unreadable(home: Loaded) -> Unreadable:
    """Say of a home that could not be used why not."""
    return Unreadable(home.id, tuple(f"{t.place}: {t.sentence}" for t in home.troubles))


def unusable_sets(troubles: Iterable[Located]) -> list[Unreadable]:
    """Say of each of the firm's own rule sets that could not be used why not."""
    said: dict[str, list[str]] = {}
    for trouble in troubles:
        said.setdefault(trouble.file.stem, []).append(f"{trouble.place}: {trouble.sentence}")
    return [Unreadable(name, tuple(sentences)) for name, sentences in said.items()]


def _build(name: str, site: Path, tree_folder: Path, on: date, engine: str, make: Callable[[], Tree]) -> Built:
    try:
        with written_aside(tree_folder) as tree_aside, written_aside(site) as site_aside:
            write_tree(make(), tree_aside)
            pages = render_site(tree_aside, site_aside, on, engine)
    except EngineFailed as error:
        return Built(name, site, trouble=f"the site engine stopped: {error}")
    except OSError as error:
        return Built(name, site, trouble=f"{error.strerror or error} ({error.filename})")
    return Built(name, site, pages)
