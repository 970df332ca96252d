"""A site of 2500 pages, built with nothing kept and with all kept, against the same pages ready made; and growth.

It has as many pages as five hundred cases of five have; a case of the program has more, so that there are fewer cases.
Whole processes, in turn. What a site without cases needs is taken off each side, as `site` says. With nothing kept each
case is read, judged and written, of which the floor has nothing; `jobs: 2` shares that between two processes.
"""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from .method import Line, processes, spoken
from .site import command, sites

PAGES, FEW, TIMES = 2500, 250, 3
COLD_BOUND, SHARED_BOUND, WARM_BOUND, GROWTH_BOUND, KEPT_BOUND = 3.0, 1.5, 1.5, 1.2, 0.6
WAYS = ("cold", "shared", "warm", "floor", "start", "bare")


@dataclass(frozen=True)
class Laid:
    """Sites in folders: `commands` in the order of `WAYS`, and how many pages of cases they have."""

    commands: tuple[list[str], ...]
    pages: int


def lay(place: Path, pages: int) -> Laid:
    """The sites of so many pages, and how each way of building one is asked for."""
    folders, count = sites(place, pages)
    whole = folders["whole"]
    shared = place / "shared"
    shutil.copytree(whole, shared)
    for folder, jobs in ((whole, 1), (shared, 2)):
        config = folder / "mkdocs.yml"
        config.write_text(config.read_text("utf-8").replace('"assess_on"', f'"jobs": {jobs}, "assess_on"'), "utf-8")
    nowhere, kept = ["env", "ASFOUND_CACHE=off"], ["env", f"ASFOUND_CACHE={place / 'cache'}"]
    return Laid(
        (
            [*nowhere, *command(whole)],
            [*nowhere, *command(shared)],
            [*kept, *command(whole)],
            command(folders["floor"]),
            command(folders["prepared-empty"]),
            command(folders["floor-empty"]),
        ),
        count,
    )


def measure() -> list[Line]:
    """Five lines. The first turn, which is not measured, fills the cache of the warm one."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    with TemporaryDirectory() as name:
        many, few = lay(Path(name) / "many", PAGES), lay(Path(name) / "few", FEW)
        small = (WAYS.index("cold"), WAYS.index("warm"))
        asked = [*many.commands, *(few.commands[at] for at in small)]
        cold, shared, warm, floor, start, bare, cold_few, warm_few = processes(asked, TIMES, Path(name))
    least, ready = floor - bare, "the same pages, ready made"
    what, load = f"{many.pages} pages from the files of cases on", f"load {os.getloadavg()[0]:.1f}"
    note = f"starts taken off: {spoken(start)}, {spoken(bare)}; {load}"

    def against_floor(how: str, spent: float, bound: float) -> Line:
        return Line(f"{what}, {how}", ready, (spent - start) / least, bound, spoken(spent - start), spoken(least), note)

    def grown(how: str, spent: float, small: float) -> Line:
        each, before = (spent - start) / many.pages, (small - start) / few.pages
        peer = f"{few.pages} pages"
        return Line(f"a page of {many.pages}, {how}", peer, each / before, GROWTH_BOUND, spoken(each), spoken(before))

    return [
        against_floor("nothing kept", cold, COLD_BOUND),
        against_floor("nothing kept, two processes", shared, SHARED_BOUND),
        against_floor("everything kept", warm, WARM_BOUND),
        Line(
            f"{what}, everything kept", "nothing kept", (warm - start) / (cold - start), KEPT_BOUND,
            spoken(warm - start), spoken(cold - start),
        ),
        grown("nothing kept", cold, cold_few),
        grown("everything kept", warm, warm_few),
    ]  # fmt: skip
