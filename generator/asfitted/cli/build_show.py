"""What ``asfitted build`` prints: how far it is, and what became of every site."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from asfitted.cli.terminal import clean, console, show_trouble
from asfitted.fleet.build import Built


@contextmanager
def progress() -> Iterator[Callable[[Built, int, int], None]]:
    """Show how many sites are done, how fast, and how long it will take; what is wrong is told as it is found."""
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=console(errors=True), transient=True) as shown:
        bar = shown.add_task("", total=None, rate="")

        def tell(built: Built, done: int, of: int) -> None:
            for trouble in built.troubles:
                show_trouble(trouble)
            took = shown.tasks[0].elapsed
            rate = f"{done / took:.1f} sites a second" if took else ""
            shown.update(bar, completed=done, total=of, description=clean(built.name), rate=rate)

        yield tell


def show_built(built: Sequence[Built]) -> None:
    """Print what was built, how many sites stand as they were, and last what was not built."""
    out = console()
    for site in built:
        if not site.kept and not site.trouble:
            out.print(clean(f"{site.site.as_posix()}: {site.pages} pages"))
    kept = sum(site.kept for site in built)
    if kept:
        out.print(f"{kept} unchanged")
    failed = [site for site in built if site.trouble]
    for site in failed:
        out.print(clean(f"{site.site.as_posix()}: not built: {site.trouble}"))
    if failed:
        out.print(f"{len(failed)} of {len(built)} not built; where there was a site before, it stands.")
