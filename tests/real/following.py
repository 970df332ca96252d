"""A chapter of the manual, followed at a real shell by somebody who types what it says."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from asfound.pages.manual import chapter
from asfound.pages.manual.chapter import Fence, fences

from .support import OFFLINE, PROGRAM

Doing = Callable[[Fence, Path], None]
"""What is done about a block that no shell can do, in the folder one is in."""


def shows(printed: str, expected: str) -> bool:
    """Whether what was printed is what is shown; a line of `…` stands for any lines, `…` in a line for any words."""
    parts = []
    for line in expected.rstrip("\n").split("\n"):
        parts.append(r"(?:.*\n)*?" if line == "…" else re.escape(line).replace("…", ".*") + r"[ ]*\n")
    seen = printed.replace("\N{NO-BREAK SPACE}", " ")
    return re.fullmatch("".join(parts), seen.rstrip("\n") + "\n") is not None


def typed(
    lines: str, where: Path, folder: Path, programs: Path | None = None, seen: tuple[Path, ...] = (OFFLINE, PROGRAM)
) -> tuple[int, str, Path]:
    """Type lines at a real shell; the exit code, what was printed, and the folder one is in afterwards.

    programs  the folder of the programs; those of the environment of the tests where nothing is said
    seen      what is put before everything that Python finds by itself
    """
    path = os.pathsep.join((str(programs or Path(sys.executable).parent), os.environ["PATH"]))
    env = {
        **{name: value for name, value in os.environ.items() if not name.startswith(("GIT_", "LC_", "LANG"))},
        "PATH": path, "HOME": str(where / "home"), "LC_ALL": "C.UTF-8", "NO_MKDOCS_2_WARNING": "1",
        "PYTHONPATH": os.pathsep.join(map(str, seen)), "ASFOUND_CACHE": "off",
        "GIT_AUTHOR_NAME": "An examiner", "GIT_AUTHOR_EMAIL": "examiner@example.org",
        "GIT_COMMITTER_NAME": "An examiner", "GIT_COMMITTER_EMAIL": "examiner@example.org",
    }  # fmt: skip
    script = f"set -eo pipefail\nleave() {{ pwd > {shlex.quote(str(where / 'pwd'))}; }}\ntrap leave EXIT\n{lines}"
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", check=False,
        timeout=170,
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr, Path((where / "pwd").read_text("utf-8").strip())


def follow(
    name: str,
    where: Path,
    others: Mapping[str, Doing] = {},
    programs: Path | None = None,
    seen: tuple[Path, ...] = (OFFLINE, PROGRAM),
    text: str = "",
) -> Path:
    """Do what a chapter says, in order: run, compare, write; the folder one is in at its end.

    `others` does the blocks of other marks; `text` is what is followed where it is no chapter of the manual. Raises
    AssertionError with the line of the chapter.
    """
    folder = where / "desk"
    folder.mkdir()
    (where / "home").mkdir()
    printed = ""
    for one in fences(text or chapter(name)):
        place = f"{name}.md:{one.line}"
        if one.mark("run") is not None:
            code, printed, folder = typed(one.text, where, folder, programs, seen)
            assert code == int(one.mark("fails") or 0), f"{place}\n{printed}"
        elif one.mark("shows") is not None:
            assert shows(printed, one.text), f"{place}: shown\n{one.text}\nprinted\n{printed}"
        elif one.mark("file"):
            file = folder / str(one.mark("file"))
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(one.text, "utf-8")
        else:
            for mark, do in others.items():
                if one.mark(mark) is not None:
                    do(one, folder)
    return folder
