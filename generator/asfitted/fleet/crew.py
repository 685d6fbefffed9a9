"""Work shared out among processes, so that the death of one loses nothing."""

import gc
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_all_start_methods, get_context
from os import _exit

from asfitted.fleet.site_maker import OFFICE, Built, Order, SiteMaker, Work

GARBAGE_AFTER = 50_000
"""New objects before a process looks for garbage; see :data:`asfitted.cli.GARBAGE_AFTER`."""
_AHEAD = 2
"""Units that wait for each process, so that none is idle; all of them are suspect when one dies."""
_maker: SiteMaker | None = None


def made(order: Order, works: Sequence[Work], jobs: int) -> Iterator[Built]:
    """Make sites, in this process for one job and otherwise in so many others; give each as it is done.

    Where a process dies, whatever was handed out is tried once more, each in a process of its own; what dies again is
    reported. Processes end with the one that started them.
    """
    if jobs == 1:
        yield from map(SiteMaker(order).make, works)
        return
    left, suspects = deque(works), deque[Work]()
    while left:
        yield from _shared_out(order, left, suspects, jobs)
        while suspects:
            yield _once_more(order, suspects.popleft())


def _shared_out(order: Order, left: deque[Work], suspects: deque[Work], jobs: int) -> Iterator[Built]:
    """Work off what is left until it is done, or until a process dies."""
    with _pool(order, jobs) as pool:
        handed_out: dict[Future[Built], Work] = {}
        try:
            while left or handed_out:
                while left and len(handed_out) < _AHEAD * jobs:
                    handed_out[pool.submit(_make, left[0])] = left[0]
                    left.popleft()
                for future in wait(handed_out, return_when=FIRST_COMPLETED).done:
                    built = future.result()
                    del handed_out[future]
                    yield built
        except BrokenProcessPool:
            for future, work in handed_out.items():
                if future.done() and future.exception() is None:
                    yield future.result()
                else:
                    suspects.append(work)


def _once_more(order: Order, work: Work) -> Built:
    with _pool(order, 1) as pool:
        try:
            return pool.submit(_make, work).result()
        except BrokenProcessPool:
            why = "the process that built it was ended from outside, twice"
            return Built(work.name or OFFICE, order.site(work.name), trouble=why)


@contextmanager
def _pool(order: Order, jobs: int) -> Iterator[ProcessPoolExecutor]:
    method = "forkserver" if "forkserver" in get_all_start_methods() else "spawn"
    context = get_context(method)
    if method == "forkserver":
        context.set_forkserver_preload([__name__])
    pool = ProcessPoolExecutor(jobs, context, _begin, (order,))
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


def _begin(order: Order) -> None:
    """Prepare a process: it ends with the one that started it, and leaves an interrupt to that."""
    import signal
    from multiprocessing import connection, parent_process
    from threading import Thread

    global _maker  # noqa: PLW0603 - what a process of a pool keeps from one unit to the next has no other place
    _maker = SiteMaker(order)
    gc.set_threshold(GARBAGE_AFTER)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if parent := parent_process():

        def end_with_it() -> None:
            connection.wait([parent.sentinel])
            _exit(1)

        Thread(target=end_with_it, daemon=True).start()


def _make(work: Work) -> Built:
    assert _maker is not None
    return _maker.make(work)
