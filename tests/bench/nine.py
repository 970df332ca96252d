"""The demonstration site of nine whole cases, against the floor: the same pages ready made, handed over by a hook.

Whole processes, in turn, each with the theme and the engine's own search. Ours reads the cases as they lie in the
repository, in a repository of one commit, and is measured twice: with what was worked out before at hand, as on the
second build of a person or after a change of one case, and with nothing kept, as a job that trusts no cache does it:
then every series is read and every case judged, of which the floor has nothing.
"""

from __future__ import annotations

import datetime as dt
import os
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

from asfound.cli.reference import commands
from asfound.pages import Options
from asfound.publish.work import Built, build

from .method import Line, processes, spoken
from .site import SITE, command, lay_floor

ROOT = Path(__file__).resolve().parents[2]
ON = "2026-11-25"
TIMES, BOUND = 5, 3.0


def sites(place: Path, *, cases: tuple[str, ...] = ()) -> tuple[Path, Path, Built]:
    """Our site and its floor, in folders of their own, and what ours is made of; of the named cases or of all."""
    ours, floor = place / "ours", place / "floor"
    for folder in (ours, floor):
        (folder / "docs").mkdir(parents=True)
        (folder / "docs" / "start.md").write_text("# Start\n", "utf-8")
    shutil.copytree(ROOT / ".asfound", ours / ".asfound")
    for one in sorted((ROOT / "cases").iterdir()):
        if (one / "case.yml").is_file() and (not cases or one.name in cases):
            shutil.copytree(one, ours / "cases" / one.name)
    (ours / "mkdocs.yml").write_text(SITE.replace("[search]", f'[search, asfound: {{"assess_on": "{ON}"}}]'), "utf-8")
    _commit(ours)
    built = build(ours, "cases", dt.date.fromisoformat(ON), Options(), commands=commands())
    if built.rejects:
        raise ValueError("\n".join(built.rejects[:5]))
    lay_floor(floor, built)
    return ours, floor, built


def _commit(folder: Path) -> None:
    """The folder as a repository of one commit."""
    who = ["-c", "user.name=Bench", "-c", "user.email=bench@example.invalid", "-c", "commit.gpgsign=false"]
    for words in (["init", "-q"], ["add", "-A"], [*who, "commit", "-qm", "The cases as they stand"]):
        subprocess.run(["git", *words], cwd=folder, check=True, capture_output=True)


def kept_nowhere(folder: Path) -> list[str]:
    """One build that keeps and believes nothing worked out before."""
    return ["env", "ASFOUND_CACHE=off", *command(folder)]


def measure() -> list[Line]:
    """Both ways of building, and the floor."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    with TemporaryDirectory() as place:
        ours, floor, built = sites(Path(place))
        again, bare, anew = processes([command(ours), command(floor), kept_nowhere(ours)], TIMES, Path(place))
    what = f"the site of nine cases, {len(built.pages)} pages"
    ready = "the same pages, ready made"
    return [
        Line(f"{what}, assessed before", ready, again / bare, BOUND, spoken(again), spoken(bare)),
        Line(f"{what}, nothing kept", ready, anew / bare, BOUND, spoken(anew), spoken(bare)),
    ]
