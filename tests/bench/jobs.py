"""Cases assessed and written by two processes, against one, by the processor time that each process uses.

The elapsed time says less here: on a busy machine all processes of one run share one part of it, and two of them get no
more than one. Counted is what the first process does, and half of what the two others do, as if nothing of it happened
at once: so it takes on two free cores at most. The elapsed times stand in the note.
"""

from __future__ import annotations

import datetime as dt
import os
import statistics
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from asfound.assess import Means
from asfound.pages import Options
from asfound.publish.work import Built, build

from .method import Line, process, spoken
from .site import ON, repository

CASES, TIMES, BOUND = 45, 5, 0.9
ROOT = Path(__file__).resolve().parents[2]
_RUN = "from tests.bench.jobs import told; told({!r}, {})"


def made(root: Path, jobs: int) -> Built:
    """The site of a repository, nothing kept, by so many processes."""
    return build(root, "cases", dt.date.fromisoformat(ON), Options(), means=Means(jobs=jobs))


def told(root: str, jobs: int) -> None:
    """Print processor seconds of this process and of its children, and elapsed seconds. For a process of its own."""
    from asfound.pages.build import environment

    # What every program loads once is no part of it.
    made(Path(root) / "nothing", 1)
    for name in environment().list_templates(extensions=["html"]):
        environment().get_template(name)
    before, begin = os.times(), time.perf_counter()
    made(Path(root), jobs)
    elapsed, after = time.perf_counter() - begin, os.times()
    own = after.user + after.system - before.user - before.system
    print(own, after.children_user + after.children_system - before.children_user - before.children_system, elapsed)


def run(root: Path, jobs: int) -> tuple[float, float]:
    """Processor seconds that pass one after another, and elapsed seconds."""
    said = process([sys.executable, "-c", _RUN.format(str(root), jobs)], ROOT).split()
    own, others, elapsed = (float(one) for one in said)
    return own + others / max(jobs, 1), elapsed


def measure() -> list[Line]:
    """One and two processes, in turn."""
    with TemporaryDirectory() as name:
        root = Path(name)
        repository(root, CASES)
        turns = [(run(root, 1), run(root, 2)) for _ in range(TIMES + 1)][1:]
    (one, alone), (two, both) = (
        tuple(statistics.median(turn[at][part] for turn in turns) for part in (0, 1)) for at in (0, 1)
    )
    note = f"processor time; elapsed {spoken(both)} against {spoken(alone)} at load {os.getloadavg()[0]:.1f}"
    what = f"{CASES} cases assessed and written by two processes"
    return [Line(what, "by one", two / one, BOUND, spoken(two), spoken(one), note)]
