"""Who carries the pieces of work out: this process, some of its own, or those of a scheduler; one way for all three."""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future
    from multiprocessing.context import BaseContext

A = TypeVar("A")
B = TypeVar("B")
FEWEST = 4
"""Pieces of work below which no processes of our own are started. Measured with two that assess and write cases of
sixteen pages: what this process has to do, and half of what the two have, was as much processor time as doing all alone
at two cases (0.32 s against 0.30 s) and at three (0.41 against 0.42), and less from four on (0.48 against 0.53)."""
MOST = 8
"""Processes that are begun unasked: each holds a case with its series, so that memory is the next thing to run out."""
UNDER_WAY = 64
"""Pieces of work that are under way at once, so that those which carry a case with them do not fill the memory."""
SECONDS = 30
"""How long a scheduler has to answer."""


class NoScheduler(Exception):
    """The scheduler cannot be asked. The text is a sentence."""


@contextmanager
def crew(pieces: int, jobs: int, scheduler: str = "") -> Iterator[Executor | None]:
    """An executor for so many pieces of work; None where this process does them itself. Raises NoScheduler.

    Left by an error or by Ctrl-C, it takes nothing up any more and waits for what is under way.
    """
    if scheduler and pieces:
        with _of_scheduler(scheduler) as found:
            yield found
        return
    if not crowded(pieces, jobs):
        yield None
        return
    # Whoever works alone need not load what starts processes.
    from concurrent.futures import ProcessPoolExecutor

    pool = ProcessPoolExecutor(min(jobs or processors(), pieces), mp_context=_context(), initializer=_begun)
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def processors() -> int:
    """How many processors this process may use; not more than `MOST`."""
    # Fewer than the machine has, where a container or `taskset` says so; not every system can tell.
    found = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(found, MOST)


def crowded(pieces: int, jobs: int) -> bool:
    """Whether so many pieces are worth processes of our own, of so many; 0 for as many as there are processors."""
    return pieces >= FEWEST and (jobs or processors()) > 1


def carried_out(
    executor: Executor | None, work: Callable[[A], B], pieces: Iterable[A]
) -> Iterator[tuple[A, B | Exception]]:
    """Each piece with what came of it, in their order; an error of one is told and stops no other.

    Pieces are made as they are wanted, and only so many at a time are under way. Where the executor itself breaks, as
    when the system ends a process for want of memory, the rest is done here.
    """
    waiting: deque[tuple[A, Future[B] | None]] = deque()
    for piece in pieces:
        waiting.append((piece, _submitted(executor, work, piece)))
        if executor is None or len(waiting) >= UNDER_WAY:
            first, future = waiting.popleft()
            yield first, _ended(work, first, future)
    while waiting:
        first, future = waiting.popleft()
        yield first, _ended(work, first, future)


def _submitted(executor: Executor | None, work: Callable[[A], B], piece: A) -> Future[B] | None:
    if executor is None:
        return None
    from concurrent.futures import BrokenExecutor

    try:
        return executor.submit(work, piece)
    except BrokenExecutor:
        return None


def _ended(work: Callable[[A], B], piece: A, future: Future[Any] | None) -> B | Exception:
    try:
        if future is not None:
            from concurrent.futures import BrokenExecutor

            with suppress(BrokenExecutor):
                ended: B = future.result()
                return ended
        return work(piece)
    except Exception as error:
        return error


def _context() -> BaseContext:
    """How processes begin: as copies of this one, which has loaded everything already, unless it has threads, as
    `mkdocs serve` has. A copy of such a one may wait for ever for what a thread held."""
    import multiprocessing

    if sys.platform == "linux" and threading.active_count() == 1:
        return multiprocessing.get_context("fork")
    if sys.platform == "win32" or "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    # Read once, by the process that all others are copies of.
    context.set_forkserver_preload(["asfound.assess.carried"])
    return context


def _begun() -> None:
    # What was there before is no rubbish of ours to look through.
    gc.freeze()
    # Ctrl-C reaches every process at the terminal. The first one decides, and the others end their piece of work.
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def _of_scheduler(address: str) -> Iterator[Executor]:
    try:
        from distributed import Client
    except ImportError:
        raise NoScheduler('A scheduler needs Dask: pip install "asfound[workers]".') from None
    try:
        client = Client(address, timeout=SECONDS, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        said = " ".join(str(error).split())
        raise NoScheduler(f"The scheduler at {address} did not answer: {said}") from None
    with client:
        # The same work is to be done again where it is asked for again: the store remembers, and not the scheduler.
        executor = client.get_executor(pure=False)
        try:
            yield executor
        finally:
            executor.shutdown(wait=True)
