"""The one thing that is ever written through git: a tag on a commit, when somebody asks for it."""

from __future__ import annotations

import os
import subprocess

from asfound.history.git import SECONDS, Git, GitError, environment, words

_WHO = (
    "GIT_CONFIG_GLOBAL",
    "GIT_CONFIG_SYSTEM",
    "GIT_CONFIG_NOSYSTEM",
    "GIT_COMMITTER_NAME",
    "GIT_COMMITTER_EMAIL",
    "GIT_COMMITTER_DATE",
)


def set_tag(git: Git, name: str, commit: str, message: str) -> None:
    """Set an annotated tag, signed by nobody. Raises GitError with git's own words, also where the tag stands already.

    Who sets it is taken from the person's own settings of git; nothing else of them is.
    """
    named = environment()
    # A tag says who set it, and that stands in the person's settings.
    for one in _WHO:
        if one in os.environ:
            named[one] = os.environ[one]
        else:
            named.pop(one, None)
    command = git.command("-c", "tag.gpgSign=false", "-c", "tag.forceSignAnnotated=false")
    try:
        done = subprocess.run(
            [*command, "tag", "-a", "--cleanup=verbatim", "-m", message, "--end-of-options", name, commit],
            capture_output=True, env=named, timeout=SECONDS, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise GitError(f"git tag was stopped after {SECONDS:g} seconds", -1) from None
    except OSError as error:
        raise GitError(f"git could not be started: {error.strerror}", -1) from error
    if done.returncode:
        raise GitError(words(done.stderr) or f"git tag ended with {done.returncode}", done.returncode)
