"""git as the person has it, with their own settings: what these would do to a checkout of this repository.

Everything else in this box sets a person's settings aside. These calls ask about them, and so read them; they run
nothing that a repository brings, and change nothing.
"""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

from msgspec import Struct

from asfound.history.git import SECONDS, program

_ELSEWHERE = {"GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_COMMON_DIR", "GIT_OBJECT_DIRECTORY",
              "GIT_NAMESPACE", "GIT_ALTERNATE_OBJECT_DIRECTORIES"}  # fmt: skip
MOST = 400
"""How many files are asked about in one call."""


class Own(Struct, frozen=True):
    """What a person's git says in a folder.

    version   as git prints it: `git version 2.39.5`; empty where there is no git
    refused   why it will not work in this repository, in its own words; empty where it does
    autocrlf  `true`, `input`, `false`, or empty where nothing is set; in small letters
    changed   files given whose bytes git may change on the way in or out, since no attribute forbids it
    """

    version: str = ""
    refused: str = ""
    autocrlf: str = ""
    changed: tuple[str, ...] = ()


def own(root: Path, files: tuple[str, ...]) -> Own:
    """Ask; `files` are paths from `root` of files whose bytes must not change. Raises nothing."""
    executable = program(root)
    if executable is None:
        return Own()
    code, version, said = _ask(executable, root, "version")
    if code != 0:
        return Own(refused=said or "git could not be started")
    code, _, said = _ask(executable, root, "rev-parse", "--git-dir")
    autocrlf = _ask(executable, root, "config", "--get", "core.autocrlf")[1].lower()
    if code != 0:
        return Own(version, said, autocrlf)
    return Own(version, "", autocrlf, _unprotected(executable, root, files))


def _unprotected(executable: str, root: Path, files: tuple[str, ...]) -> tuple[str, ...]:
    found = []
    for start in range(0, len(files), MOST):
        code, said, _ = _ask(executable, root, "check-attr", "-z", "text", "--", *files[start : start + MOST])
        parts = said.split("\0") if code == 0 else []
        # Path, attribute and value follow one another; `unset` is what `-text` and `binary` come to.
        found += [path for path, value in zip(parts[0::3], parts[2::3], strict=False) if value != "unset"]
    return tuple(found)


def _ask(executable: str, root: Path, *arguments: str) -> tuple[int, str, str]:
    # Inside a hook these speak of another repository. What names a person's settings is kept, since it is asked about.
    kept = {name: value for name, value in os.environ.items() if name.upper() not in _ELSEWHERE}
    guarded = ("-c", "core.fsmonitor=false", "-c", f"core.hooksPath={os.devnull}")
    try:
        done = subprocess.run(
            [executable, "--no-pager", *guarded, "-C", str(root), *arguments],
            capture_output=True, env={**kept, "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0"},
            timeout=SECONDS, check=False,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired) as error:
        return -1, "", str(error)
    return done.returncode, os.fsdecode(done.stdout).strip("\n"), os.fsdecode(done.stderr).strip()
