"""`asfound --version`, against a Python that imports what any such program needs: click and importlib.metadata; and the
hooks before a commit, against `asfound --version`."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from .method import Line, processes, spoken

TIMES, BOUND = 15, 1.5
HOOK_TIMES, HOOK_BOUND, HOOK_ANEW_BOUND = 7, 5.0, 16.0
_ROOT = Path(__file__).parents[2]
_FILE = "cases/return-pad-lesion/items.yml"


def commands() -> tuple[list[str], list[str]]:
    """Ours and the floor. Raises RuntimeError where the program is not installed beside this Python."""
    program = shutil.which("asfound", path=str(Path(sys.executable).parent))
    if program is None:
        raise RuntimeError("asfound is not installed beside this Python; install the project (pip install -e .)")
    return [program, "--version"], [sys.executable, "-c", "import click, importlib.metadata"]


def measure() -> list[Line]:
    """Whole processes, in turn."""
    mine, floor = processes(commands(), TIMES, Path.cwd())
    return [
        Line("asfound --version", "python, importing click", mine / floor, BOUND, spoken(mine), spoken(floor)),
        *_hooks(),
    ]


@contextmanager
def _cache() -> Iterator[None]:
    """A cache of our own, empty to begin with."""
    before = os.environ.get("ASFOUND_CACHE")
    with TemporaryDirectory() as place:
        os.environ["ASFOUND_CACHE"] = place
        try:
            yield
        finally:
            os.environ.pop("ASFOUND_CACHE")
            if before is not None:
                os.environ["ASFOUND_CACHE"] = before


def _hooks() -> list[Line]:
    """The hooks over one case of the demonstration; the unmeasured first turn fills the cache."""
    version = commands()[0]
    anew = [version[0], "hook", "check", _FILE, "--on", "2026-11-29", "--no-cache"]
    with _cache():
        works = [version, anew[:-1], anew, [version[0], "hook", "evidence"]]
        floor, told, cold, looked = processes(works, HOOK_TIMES, _ROOT)
    against = "asfound --version"
    return [
        Line("hook check, one case said before", against, told / floor, HOOK_BOUND, spoken(told), spoken(floor)),
        Line("hook evidence, nothing staged", against, looked / floor, HOOK_BOUND, spoken(looked), spoken(floor)),
        Line("hook check, one case anew", against, cold / floor, HOOK_ANEW_BOUND, spoken(cold), spoken(floor),
             "five times is not kept anew: loading, reading and judging it takes longer"),
    ]  # fmt: skip
