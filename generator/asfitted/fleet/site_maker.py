"""One site after the other, in one process with a warm engine: the unit of work of a build."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, partial
from pathlib import Path

from asfitted.fleet.load import Loaded, load_catalogue, load_home, load_homes
from asfitted.fleet.stories import load_stories
from asfitted.history.revision import HistoryDamaged, Revision
from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import EngineFailed, SiteConfig, render_site
from asfitted.pages.household import household_tree
from asfitted.pages.office import Unreadable, office_site_tree
from asfitted.pages.tree import Tree, write_tree, written_aside
from asfitted.record.located import Located
from asfitted.rules.catalogue import Catalogue

OFFICE = "office"
CACHE = ".cache"
"""The folder in the folder of sites for what may be deleted: shared files, what was built, the lock."""


@dataclass(frozen=True)
class Order:
    """What a build is asked for; all that a process needs to make any of the sites.

    Attributes:
        homes: the folder of homes.
        to: the folder of sites.
        on: the day.
        config: the firm's configuration.
        handbook: the files of the handbook, by their path.
    """

    homes: Path
    to: Path
    on: date
    config: SiteConfig = field(default_factory=SiteConfig)
    handbook: Mapping[str, bytes] = field(default_factory=dict)

    def site(self, name: str | None) -> Path:
        """Give the folder of the site of a home, or of the office."""
        return self.to / OFFICE if name is None else self.to / "homes" / name

    def tree(self, name: str | None) -> Path:
        """Give the folder of the written tree of a site."""
        return self.to / "trees" / self.site(name).relative_to(self.to)


@dataclass(frozen=True)
class Work:
    """One site to make: that of a home with the revision of its record, or that of the office over homes."""

    name: str | None
    revision: Revision = field(default_factory=Revision)
    homes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Built:
    """What became of one site: where it is and its pages, or why it was not built and what was left in place.

    Attributes:
        name: the id of the home, or ``office``.
        site: its folder.
        pages: how many.
        trouble: why it was not built; empty when it was.
        troubles: what is wrong with the record and its photos.
        until: the last day before the window of a task begins, or the task falls due or lapses; None without any.
        kept: whether the site of an earlier build stands for it.
    """

    name: str
    site: Path
    pages: int = 0
    trouble: str = ""
    troubles: tuple[Located, ...] = ()
    until: date | None = None
    kept: bool = False


@dataclass
class SiteMaker:
    """Makes the sites of an order, one after the other. A site that cannot be built leaves the earlier one in place."""

    order: Order

    def make(self, work: Work) -> Built:
        """Make one site. Whatever goes wrong over it is told of it, and costs no other site anything."""
        try:
            return self._home(work.name, work.revision) if work.name is not None else self._office(work.homes)
        except HistoryDamaged as error:
            trouble = str(error)
        except Exception as error:  # noqa: BLE001 - see above
            trouble = f"a fault in asfitted, please report it: {type(error).__name__}: {error}"
        return Built(work.name or OFFICE, self.order.site(work.name), trouble=trouble)

    def _home(self, name: str, revision: Revision) -> Built:
        order, (rules, troubles) = self.order, self._own
        broken = {trouble.file.stem for trouble in troubles}
        site = order.site(name)
        try:
            loaded = load_home(order.homes / name, order.on, rules, broken, revision)
        except OSError as error:
            return Built(name, site, trouble=_of_the_disk(error))
        dossier = loaded.dossier
        if dossier is None:
            return Built(name, site, trouble="its record cannot be used", troubles=loaded.troubles)
        made, trouble = self._built(name, partial(household_tree, dossier, order.config.firm))
        return Built(name, site, made, trouble, loaded.troubles, _until(dossier))

    def _office(self, names: Iterable[str]) -> Built:
        order, (rules, troubles) = self.order, self._own
        homes = load_homes(order.homes, order.on, list(names), own=self._own)
        dossiers = [home.dossier for home in homes if home.dossier is not None]
        unread = [unreadable(home) for home in homes if home.dossier is None]
        stories = load_stories(order.homes, order.on, [home.id for home in homes], rules)
        given = (dossiers, unread, order.config, order.handbook, order.on, rules, unusable_sets(troubles), stories)
        made, trouble = self._built(None, partial(office_site_tree, *given))
        return Built(OFFICE, order.site(None), made, trouble)

    def _built(self, name: str | None, make: Callable[[], Tree]) -> tuple[int, str]:
        """Write a tree, render it and swap both in; give the pages, or else what is in the way."""
        try:
            with written_aside(self.order.tree(name)) as tree, written_aside(self.order.site(name)) as site:
                write_tree(make(), tree)
                return self._render(tree, site, warm=name is not None), ""
        except EngineFailed as error:
            return 0, f"the site engine stopped: {error}"
        except OSError as error:
            return 0, _of_the_disk(error)

    def _render(self, tree: Path, site: Path, *, warm: bool) -> int:
        """Render a tree; households' are alike enough for the warm engine."""
        if warm and self._engine is not None:
            return self._engine(tree, site, self.order.on)
        return render_site(tree, site, self.order.on, self.order.config.engine)

    @cached_property
    def _engine(self) -> Callable[[Path, Path, date], int] | None:
        if self.order.config.engine != "mkdocs":
            return None
        from asfitted.pages.engines.shared import Store
        from asfitted.pages.engines.warm import WarmEngine

        return WarmEngine(Store(self.order.to / CACHE / "shared")).render

    @cached_property
    def _own(self) -> tuple[Catalogue, tuple[Located, ...]]:
        return load_catalogue(self.order.homes)


def unreadable(home: Loaded) -> Unreadable:
    """Say of a home that could not be used why not."""
    return Unreadable(home.id, tuple(f"{t.place}: {t.sentence}" for t in home.troubles))


def unusable_sets(troubles: Iterable[Located]) -> list[Unreadable]:
    """Say of each of the firm's own rule sets that could not be used why not."""
    said: dict[str, list[str]] = {}
    for trouble in troubles:
        said.setdefault(trouble.file.stem, []).append(f"{trouble.place}: {trouble.sentence}")
    return [Unreadable(name, tuple(sentences)) for name, sentences in said.items()]


def _until(dossier: Dossier) -> date | None:
    """Give the first day after that of a dossier on which the window of a task begins, or it falls due or lapses."""
    days = (day for task in dossier.tasks for day in (task.earliest, task.due, task.latest))
    return min((day for day in days if day >= dossier.on), default=None)


def _of_the_disk(error: OSError) -> str:
    return f"{error.strerror or error} ({error.filename})" if error.filename else str(error.strerror or error)
