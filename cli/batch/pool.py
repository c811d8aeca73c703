"""Rows worked on by several processes, in chunks, results in the order of the rows."""

from __future__ import annotations

import gc
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from itertools import islice
from multiprocessing import get_context, parent_process
from typing import Final, TypeVar

from outseam.cli.write.save import OutputError

R = TypeVar("R")
T = TypeVar("T")

#: Chunks in flight per process; bounds the memory whatever the number of rows.
AHEAD: Final = 3


def _chunks(rows: Iterable[R], first: int, size: int) -> Iterator[tuple[int, list[R]]]:
    rows = iter(rows)
    while chunk := list(islice(rows, size)):
        yield first, chunk
        first += len(chunk)


#: One thread for each process, or the mathematics of two would stand in each other's way.
_ONE_THREAD: Final = {
    f"{library}_NUM_THREADS": "1" for library in ("OMP", "OPENBLAS", "MKL", "VECLIB_MAXIMUM")
}


@contextmanager
def _starting_processes() -> Iterator[None]:
    """Let processes that are started in here use one thread each and leave Ctrl-C to this one.

    What they inherit, they have from their first line on.
    """
    before = {name: os.environ.get(name) for name in _ONE_THREAD}
    os.environ.update(_ONE_THREAD)
    mask = getattr(signal, "pthread_sigmask", None)
    blocked = mask(signal.SIG_BLOCK, {signal.SIGINT}) if mask else None
    try:
        yield
    finally:
        if mask:
            mask(signal.SIG_SETMASK, blocked)
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _started() -> None:
    """Get a new process ready: load what drafts, and end as soon as the one that started it has.

    A draft makes thousands of small objects and no cycles worth looking for, so the collector is
    called less often, and never again for what the modules hold.
    """
    import outseam.draft.checks
    import outseam.draft.pattern  # noqa: F401

    gc.freeze()
    gc.set_threshold(20_000, 20, 50)
    parent = parent_process()
    if parent is None:
        return

    def wait() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()


def in_processes(
    work: Callable[[int, list[R]], list[T]],
    rows: Iterable[R],
    *,
    jobs: int,
    size: int,
    first: int = 1,
) -> Iterator[tuple[list[R], list[T]]]:
    """Yield rows and what `work` makes of them, `size` rows at a time, in order.

    `work` takes the number of its first row (counted from `first`) and the rows, and can be
    pickled. At most `jobs` processes work at once. Raises OutputError when one was ended by force.
    """
    if jobs <= 1:
        for number, chunk in _chunks(rows, first, size):
            yield chunk, work(number, chunk)
        return
    # spawn: a forked copy of a process that has started threads may hang
    pool = ProcessPoolExecutor(jobs, mp_context=get_context("spawn"), initializer=_started)
    try:
        waiting: deque[tuple[list[R], Future[list[T]]]] = deque()
        for number, chunk in _chunks(rows, first, size):
            with _starting_processes():
                waiting.append((chunk, pool.submit(work, number, chunk)))
            if len(waiting) >= jobs * AHEAD:
                done, made = waiting.popleft()
                yield done, made.result()
        while waiting:
            done, made = waiting.popleft()
            yield done, made.result()
    except BrokenProcessPool:
        raise OutputError(
            "a process of this batch was ended from outside, perhaps for want of memory. What is "
            "done is kept: run the same command again to go on, with fewer --jobs if need be."
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)
