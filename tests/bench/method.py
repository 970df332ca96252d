"""The one method of measuring, and what a measurement gives."""

from __future__ import annotations

import gc
import os
import statistics
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table.

    what       what was measured
    against    the peer or floor
    ratio      ours over theirs; for a size, the size over its bound
    bound      the largest ratio allowed
    ours, theirs  the medians, with their unit
    note       what a reader has to know besides
    """

    what: str
    against: str
    ratio: float
    bound: float
    ours: str
    theirs: str
    note: str = ""

    @property
    def kept(self) -> bool:
        """Whether the bound is kept."""
        return self.ratio <= self.bound


def in_turn(works: Sequence[Callable[[], object]], times: int, clock: Callable[[], float]) -> list[float]:
    """Median seconds of each work, all of them done `times` times in turn, after one unmeasured turn.

    What a work leaves behind is cleared before the next begins, outside the measured time.
    """
    taken: list[list[float]] = [[] for _ in works]
    for turn in range(times + 1):
        for work, kept in zip(works, taken, strict=True):
            gc.collect()
            begin = clock()
            left = work()
            spent = clock() - begin
            del left
            if turn:
                kept.append(spent)
    return [statistics.median(kept) for kept in taken]


def inside(works: Sequence[Callable[[], object]], times: int) -> list[float]:
    """Median processor seconds of works done in this process."""
    return in_turn(works, times, time.process_time)


def processes(commands: Sequence[Sequence[str]], times: int, folder: Path) -> list[float]:
    """Median elapsed seconds of whole processes, run in `folder`. Raises RuntimeError, with what it said, where one
    fails."""

    def run(command: Sequence[str]) -> Callable[[], object]:
        return lambda: process(command, folder)

    return in_turn([run(command) for command in commands], times, time.perf_counter)


def process(command: Sequence[str], folder: Path) -> str:
    """Run a process in `folder` and give back what it wrote. Raises RuntimeError where it fails.

    Python may keep what it compiles, as it does for whoever installed the program; else each turn would compile ours
    anew, and of a peer that an installer compiled nothing.
    """
    around = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False, env=around)
    if done.returncode:
        raise RuntimeError(f"{' '.join(command)} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def spoken(seconds: float) -> str:
    """A time in milliseconds."""
    return f"{seconds * 1000:.1f} ms" if seconds < 10 else f"{seconds:.2f} s"
