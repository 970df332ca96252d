"""`asfound --version`, against a Python that imports what any such program needs: click and importlib.metadata."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from .method import Line, processes, spoken

TIMES, BOUND = 15, 1.5


def commands() -> tuple[list[str], list[str]]:
    """Ours and the floor. Raises RuntimeError where the program is not installed beside this Python."""
    program = shutil.which("asfound", path=str(Path(sys.executable).parent))
    if program is None:
        raise RuntimeError("asfound is not installed beside this Python; install the project (pip install -e .)")
    return [program, "--version"], [sys.executable, "-c", "import click, importlib.metadata"]


def measure() -> list[Line]:
    """Whole processes, in turn."""
    mine, floor = processes(commands(), TIMES, Path.cwd())
    return [Line("asfound --version", "python, importing click", mine / floor, BOUND, spoken(mine), spoken(floor))]
