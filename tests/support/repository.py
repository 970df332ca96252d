"""A repository made for a test: real git, one author, times that do not move."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path


class Repo:
    """git at a folder, as a person would call it."""

    def __init__(self, root: Path, branch: str = "main") -> None:
        self.root = root
        self._minute = 0
        if not (root / ".git").exists():
            self.git("init", "-q", "-b", branch)

    def git(self, *arguments: str, data: str | None = None) -> str:
        """What git writes. Raises CalledProcessError with its words where it fails."""
        when = f"2026-03-20T12:{self._minute:02}:00 +0000"
        who = {
            f"GIT_{side}_{name}": value
            for side in ("AUTHOR", "COMMITTER")
            for name, value in (("NAME", "A. Bench"), ("EMAIL", "bench@example.org"), ("DATE", when))
        }
        done = subprocess.run(
            ["git", "-C", str(self.root), *arguments],
            env={**os.environ, **who}, input=data, capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode:
            raise subprocess.CalledProcessError(done.returncode, done.args, done.stdout, done.stderr)
        return done.stdout.strip()

    def tick(self) -> None:
        """A minute passes."""
        self._minute += 1

    def commit(self, message: str) -> str:
        """Commit everything; the id."""
        self.tick()
        self.git("add", "-A")
        self.git("commit", "-q", "-m", message)
        return self.git("rev-parse", "HEAD")
