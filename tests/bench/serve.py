"""A site being served, after one reading of one case changed, against a rebuild of the same pages where nothing did.

Each side is a process that builds as `mkdocs serve` does, again and again in one process, and tells how long its last
build took. The floor hands the same pages over ready made. A reading gets another value before each build, so that no
build finds in memory what it needs; nothing is kept on disk.
"""

from __future__ import annotations

import os
import statistics
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from .method import Line, process, spoken
from .site import sites

PAGES, TURNS, TIMES, BOUND = 500, 4, 3, 2.0
READINGS = "cases/case-000/readings/flow.csv"
VALUES = ("1,50,50.4,", "1,50,50.7,", "1,50,50.2,", "1,50,50.9,", "1,50,50.1,", "1,50,51.0,")
"""The first row as it is, and as it is changed to, build by build."""

_SERVED = """
import sys, time
from pathlib import Path
from mkdocs.commands.build import build
from mkdocs.config import load_config
folder, change, turns = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
values = sys.argv[4:]
taken = []
for turn in range(turns + 1):
    if change and turn:
        text = (folder / change).read_text("utf-8")
        assert values[turn - 1] in text
        (folder / change).write_text(text.replace(values[turn - 1], values[turn]), "utf-8", newline="\\n")
    begin = time.perf_counter()
    config = load_config(str(folder / "mkdocs.yml"), site_dir=str(folder / "site"))
    if not turn:
        config.plugins.on_startup(command="serve", dirty=False)
    build(config)
    taken.append(time.perf_counter() - begin)
if change:
    (folder / change).write_text((folder / change).read_text("utf-8").replace(values[turns], values[0]), "utf-8")
print("\\n", *taken[1:])
"""


def rebuilds(folder: Path, change: str, turns: int = TURNS) -> list[float]:
    """Seconds of each rebuild of a site; `change` names the file of which a value changes before each."""
    words = [sys.executable, "-c", _SERVED, str(folder), change, str(turns), *VALUES]
    return [float(one) for one in process(["env", "ASFOUND_CACHE=off", *words], folder).rpartition("\n ")[2].split()]


def measure() -> list[Line]:
    """Both processes in turn; of each the median of all its rebuilds."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    ours: list[float] = []
    theirs: list[float] = []
    with TemporaryDirectory() as name:
        folders, count = sites(Path(name), PAGES)
        for _ in range(TIMES):
            ours += rebuilds(folders["whole"], READINGS)
            theirs += rebuilds(folders["floor"], "")
    mine, floor = statistics.median(ours), statistics.median(theirs)
    what = f"{count} pages served, one reading changed"
    note = f"{len(ours)} rebuilds each; load {os.getloadavg()[0]:.1f}"
    return [Line(what, "nothing changed, ready made", mine / floor, BOUND, spoken(mine), spoken(floor), note)]
