"""The first thing that is ever written through git: a repository, when somebody asks for one."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

from asfound.history.git import SECONDS, GitError, environment, words

BRANCH = "main"


def around(folder: Path) -> Path | None:
    """The folder of the repository that a folder lies in, or is; None where it lies in none. git is not asked."""
    place = folder.resolve()
    return next((one for one in (place, *place.parents) if (one / ".git").exists()), None)


def begin(folder: Path) -> bool:
    """Make a repository of a folder, with the branch `main` and no commit; False where there is no git to ask.

    Nothing of the person's settings or templates goes into it. Raises GitError with git's own words.
    """
    if (git := shutil.which("git")) is None:
        return False
    try:
        done = subprocess.run(
            [git, "-c", f"init.defaultBranch={BRANCH}", "init", "-q", "--template=", "--", str(folder)],
            capture_output=True, env=environment(), timeout=SECONDS, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise GitError(f"git init was stopped after {SECONDS:g} seconds", -1) from None
    except OSError as error:
        raise GitError(f"git could not be started: {error.strerror}", -1) from error
    if done.returncode:
        raise GitError(words(done.stderr) or f"git init ended with {done.returncode}", done.returncode)
    return True
