"""Build the household site of every home and the office site of the firm: what has changed, and nothing by halves."""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from asfitted.fleet.built_before import BuiltBefore, Fact, fact_is_fresh, folder_seen
from asfitted.fleet.crew import made
from asfitted.fleet.inputs import Inputs, common_to_all, of_home, of_office
from asfitted.fleet.lock import Busy, clear_away, only_build
from asfitted.fleet.site_maker import CACHE, OFFICE, Built, Order, Work, unreadable, unusable_sets
from asfitted.history.last_touch import revisions_of
from asfitted.history.repository import Repository
from asfitted.history.revision import Revision

FEW = 4
"""Sites that are built in this process: others take as long to start."""


def build_sites(
    order: Order,
    names: Sequence[str],
    tell: Callable[[Built, int, int], None] = lambda *_: None,
    *,
    office: bool = True,
    jobs: int | None = None,
    fresh: bool = False,
    keep_days: int = 0,
) -> list[Built]:
    """Build the household edition of homes, then the office edition.

    Sites go to ``to/homes/<id>`` and ``to/office``, the written trees to ``to/trees/...``. A site whose inputs have not
    changed is left alone. A site that cannot be built leaves the earlier one in its place.

    Args:
        order: what to build from, and where to.
        names: the homes.
        tell: called with each site as it is done, how many are done, and how many there are.
        office: whether to build the office edition too, over these homes.
        jobs: how many processes; None to use this one for a few sites, and one a processor for more.
        fresh: whether to build all again.
        keep_days: for so many days a site may stand whose tasks have no date in between.

    Returns:
        What became of every site, in the order of the names.

    Raises:
        Busy: when another build works in the same folder.
        OSError: when the folder cannot be written.
    """
    cache = order.to / CACHE
    with only_build(cache / "lock"):
        for folder in (order.to, order.to / "homes", order.to / "trees", order.to / "trees" / "homes"):
            clear_away(folder)
        before = BuiltBefore(cache / "built.sqlite")
        try:
            return _build(order, names, tell, before, office=office, jobs=jobs, fresh=fresh, keep_days=keep_days)
        finally:
            before.close()


def _build(
    order: Order,
    names: Sequence[str],
    tell: Callable[[Built, int, int], None],
    before: BuiltBefore,
    *,
    office: bool,
    jobs: int | None,
    fresh: bool,
    keep_days: int,
) -> list[Built]:
    if fresh:
        before.forget()
    facts, done = before.facts(), dict[Path, Built]()
    works, inputs = list[Work](), dict[Path, Inputs | None]()
    for work, made_from in _asked(order, names, facts, office=office):
        site, fact = order.site(work.name), facts.get(_key(work))
        inputs[site] = made_from
        if fact and made_from and _stands(fact, made_from, site, order, keep_days):
            done[site] = Built(work.name or OFFICE, site, fact.pages, kept=True)
        else:
            works.append(work)
    for number, built in enumerate(made(order, _office_first(works), jobs or _jobs(len(works))), 1):
        done[built.site] = built
        _keep(order, before, built, inputs[built.site])
        tell(built, number, len(works))
    return [done[site] for site in inputs]


def _asked(
    order: Order, names: Sequence[str], facts: Mapping[str, Fact], *, office: bool
) -> Iterator[tuple[Work, Inputs | None]]:
    """Give every site that is asked for, with what it is made from; the office's last."""
    revisions, common = revisions_of(order.homes, names), common_to_all(order)
    digests: list[str] = []
    for name in names:
        work = Work(name, revisions.get(name, Revision()))
        fact = facts.get(_key(work))
        found = of_home(order, common, name, work.revision, fact.photos if fact else {})
        digests.append(f"{name} {found.digest if found else 'unreadable'}")
        yield work, found
    if office:
        repository = Repository.around(order.homes)
        digests.append(f"history up to {repository.head if repository else 'none'}")
        yield Work(None, homes=tuple(names)), Inputs(of_office(order, common, digests), {})


def _stands(fact: Fact, made_from: Inputs, site: Path, order: Order, keep_days: int) -> bool:
    same = fact.inputs == made_from.digest and fact.folder == folder_seen(site)
    return same and fact_is_fresh(fact, order.on, keep_days)


def _keep(order: Order, before: BuiltBefore, built: Built, made_from: Inputs | None) -> None:
    """Keep that a site was built; not of one about which there is something to tell at every build."""
    if made_from is None or built.trouble or built.troubles:
        return
    until = built.until.isoformat() if built.until else None
    key = built.site.relative_to(order.to).as_posix()
    seen = folder_seen(built.site)
    before.keep(key, Fact(made_from.digest, order.on.isoformat(), until, built.pages, seen, made_from.photos))


def _office_first(works: Sequence[Work]) -> list[Work]:
    """Put the site first that takes longest."""
    return sorted(works, key=lambda work: work.name is not None)


def _key(work: Work) -> str:
    return OFFICE if work.name is None else f"homes/{work.name}"


def _jobs(works: int) -> int:
    return 1 if works < FEW else min(os.cpu_count() or 1, works)


__all__ = ["Built", "Busy", "Order", "build_sites", "unreadable", "unusable_sets"]
